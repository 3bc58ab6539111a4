// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/small_view.h"

#include <algorithm>
#include <array>
#include <cmath>

#include "core/wide.h"
#include "survey/means.h"

namespace paleproof::survey {
namespace {

constexpr double small_ppi = 150.0;
constexpr double most_step = 255.0;  // of more than 38,000 ppi nobody can see anything

/// For each of `count` pixels of a row 1 where it is alike its neighbor, else 0; `a` and `b` are
/// the three channels of the pixels and of their neighbors.
void alike_row(const std::uint8_t* a, const std::uint8_t* b, int count, std::uint8_t* alike) {
    wide([=] {
        constexpr int block = 64;  // pixels: what is between the two steps stays near
        std::array<std::uint8_t, 3 * block> apart;
        for (int begin = 0; begin < count; begin += block) {
            const int n = std::min(block, count - begin);
            const std::uint8_t* one = a + 3 * begin;
            const std::uint8_t* other = b + 3 * begin;
            for (int i = 0; i < 3 * n; ++i) {
                const std::uint8_t low = std::min(one[i], other[i]);
                const std::uint8_t high = std::max(one[i], other[i]);
                apart[static_cast<std::size_t>(i)] =
                    static_cast<std::uint8_t>(high - low) > flat_step ? 1 : 0;
            }
            for (int x = 0; x < n; ++x) {
                const std::uint8_t* of = apart.data() + 3 * x;
                alike[begin + x] = static_cast<std::uint8_t>(1 ^ (of[0] | of[1] | of[2]));
            }
        }
    });
}

}  // namespace

SmallView small_view(const Image& face, RectPx trimmed, Ppi ppi) {
    SmallView view;
    const double known = ppi.value > 0.0 ? ppi.value : 300.0;
    view.step = static_cast<int>(std::clamp(std::round(known / small_ppi), 1.0, most_step));
    view.trimmed = trimmed;
    view.width = std::max(1, trimmed.width / view.step);
    view.height = std::max(1, trimmed.height / view.step);
    view.rgb.resize(3 * static_cast<std::size_t>(view.width) *
                    static_cast<std::size_t>(view.height));
    const int across = std::min(view.step, trimmed.width);
    const int down = std::min(view.step, trimmed.height);
    const auto count = static_cast<std::uint32_t>(across * down);
    const int channels = face.channels();
    const auto row_bytes =
        static_cast<std::size_t>(view.width) * static_cast<std::size_t>(across * channels);
    // A step has at most 255 rows: 16 bits are enough for their sum.
    std::vector<std::uint16_t> sums(row_bytes);
    const Mean mean(count);
    std::uint8_t* out = view.rgb.data();
    for (int y = 0; y < view.height; ++y) {
        std::ranges::fill(sums, std::uint16_t{0});
        for (int k = 0; k < down; ++k) {
            add_row(face.row(trimmed.y + y * view.step + k) +
                        static_cast<std::ptrdiff_t>(trimmed.x) * channels,
                    sums);
        }
        const std::uint16_t* in = sums.data();
        for (int x = 0; x < view.width; ++x) {
            std::uint32_t sum[3] = {};
            for (int j = 0; j < across; ++j, in += channels) {
                sum[0] += in[0];
                sum[1] += in[channels == 3 ? 1 : 0];
                sum[2] += in[channels == 3 ? 2 : 0];
            }
            for (const std::uint32_t s : sum) *out++ = mean(s);
        }
    }
    view.alike_right.assign(view.rgb.size() / 3, 0);
    view.alike_below.assign(view.rgb.size() / 3, 0);
    for (int y = 0; y < view.height; ++y) {
        if (view.width > 1) {
            alike_row(view.at(0, y), view.at(1, y), view.width - 1,
                      view.alike_right.data() + view.index(0, y));
        }
        if (y + 1 < view.height) {
            alike_row(view.at(0, y), view.at(0, y + 1), view.width,
                      view.alike_below.data() + view.index(0, y));
        }
    }
    return view;
}

}  // namespace paleproof::survey
