// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/bleed.h"

#include <algorithm>
#include <string>
#include <vector>

#include "core/error.h"

namespace paleproof::filters {
namespace {

constexpr int most = 20'000;

/// Place in 0 .. length-1 that `at` shows, with reflection that repeats the outermost sample:
/// ... 1 0 | 0 1 2 .. n-1 | n-1 n-2 ...
int mirrored(int at, int length) {
    const int period = 2 * length;
    int phase = at % period;
    if (phase < 0) {
        phase += period;
    }
    return phase < length ? phase : period - 1 - phase;
}

std::vector<int> sources(int length, int before, int after, BleedMethod first, BleedMethod last) {
    std::vector<int> result;
    result.reserve(static_cast<std::size_t>(length + before + after));
    for (int at = -before; at < length + after; ++at) {
        const BleedMethod method = at < 0 ? first : last;
        result.push_back(method == BleedMethod::mirror ? mirrored(at, length)
                                                       : std::clamp(at, 0, length - 1));
    }
    return result;
}

void check(int amount, const char* edge) {
    if (amount > most || amount < -most) {
        throw Error(
            ErrorKind::range, std::string("bleed, ") + edge,
            "expected at most " + std::to_string(most) + " pixels, got " + std::to_string(amount));
    }
}

}  // namespace

Image bleed(const Image& card, const Bleed& p) {
    check(p.amount.top, "top");
    check(p.amount.right, "right");
    check(p.amount.bottom, "bottom");
    check(p.amount.left, "left");
    const int width = card.width() + p.amount.left + p.amount.right;
    const int height = card.height() + p.amount.top + p.amount.bottom;
    if (width < 1 || height < 1) {
        throw Error(ErrorKind::range, "bleed", "the cut leaves nothing of the picture");
    }
    const auto columns =
        sources(card.width(), p.amount.left, p.amount.right, p.method.left, p.method.right);
    const auto rows =
        sources(card.height(), p.amount.top, p.amount.bottom, p.method.top, p.method.bottom);
    const int channels = card.channels();
    Image result(width, height, card.encoding(), card.ppi());

    const int inner_begin = std::max(0, p.amount.left);
    const int inner_end = width - std::max(0, p.amount.right);
    for (int y = 0; y < height; ++y) {
        const std::uint8_t* in = card.row(rows[static_cast<std::size_t>(y)]);
        std::uint8_t* out = result.row(y);
        const auto copy_pixel = [&](int x) {
            const int from = columns[static_cast<std::size_t>(x)] * channels;
            std::copy_n(in + from, channels, out + static_cast<std::ptrdiff_t>(x) * channels);
        };
        for (int x = 0; x < std::min(inner_begin, width); ++x) copy_pixel(x);
        if (inner_begin < inner_end) {
            const int from = columns[static_cast<std::size_t>(inner_begin)] * channels;
            std::copy_n(in + from, static_cast<std::ptrdiff_t>(inner_end - inner_begin) * channels,
                        out + static_cast<std::ptrdiff_t>(inner_begin) * channels);
        }
        for (int x = std::max(inner_end, inner_begin); x < width; ++x) copy_pixel(x);
    }
    return result;
}

}  // namespace paleproof::filters
