// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/look.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <vector>

#include "core/base64.h"
#include "core/error.h"
#include "core/wide.h"

namespace paleproof::app {
namespace {

constexpr Mm place_size{1.5};

int places(Mm length) {
    return std::max(1, static_cast<int>(std::lround(length.value / place_size.value)));
}

/// First pixel of place `i` of `count` along `length` pixels from `start`.
int first(int start, int length, int i, int count) {
    return start + static_cast<int>(std::int64_t{length} * i / count);
}

void add_row(const std::uint8_t* row, std::vector<std::uint32_t>& sums) {
    std::uint32_t* out = sums.data();
    const std::size_t count = sums.size();
    wide([=] {
        for (std::size_t x = 0; x < count; ++x) out[x] += row[x];
    });
}

}  // namespace

std::string look_of(const Image& picture, RectPx trim_px, SizeMm trim) {
    const RectPx area = intersection(trim_px, picture.bounds());
    if (area.empty()) {
        throw Error(ErrorKind::internal, "look", "expected a trimmed area inside of the picture");
    }
    const int columns = std::min(places(trim.width), area.width);
    const int rows = std::min(places(trim.height), area.height);
    const auto channels = static_cast<std::size_t>(picture.channels());
    std::string means;  // bytes
    std::vector<std::uint32_t> sums(static_cast<std::size_t>(area.width) * channels);
    for (int r = 0; r < rows; ++r) {
        const int top = first(area.y, area.height, r, rows);
        const int bottom = first(area.y, area.height, r + 1, rows);
        std::ranges::fill(sums, 0U);
        for (int y = top; y < bottom; ++y) {
            add_row(picture.row(y) + static_cast<std::size_t>(area.x) * channels, sums);
        }
        for (int c = 0; c < columns; ++c) {
            const auto left = static_cast<std::size_t>(first(0, area.width, c, columns));
            const auto right = static_cast<std::size_t>(first(0, area.width, c + 1, columns));
            const std::uint64_t count = std::max<std::uint64_t>(
                1, (right - left) * static_cast<std::uint64_t>(bottom - top));
            for (std::size_t k = 0; k < channels; ++k) {
                std::uint64_t sum = 0;
                for (std::size_t x = left; x < right; ++x) sum += sums[x * channels + k];
                means.push_back(static_cast<char>((sum + count / 2) / count));
            }
        }
    }
    return std::to_string(columns) + "x" + std::to_string(rows) + "x" + std::to_string(channels) +
           ":" + base64(means);
}

double look_difference(const std::string& a, const std::string& b) {
    const auto parts = [](const std::string& text) {
        const std::size_t colon = std::min(text.find(':'), text.size());
        return std::pair{text.substr(0, colon), colon < text.size()
                                                    ? from_base64(text.substr(colon + 1))
                                                    : std::vector<std::uint8_t>{}};
    };
    const auto [grid_a, means_a] = parts(a);
    const auto [grid_b, means_b] = parts(b);
    if (grid_a != grid_b || means_a.size() != means_b.size() || means_a.empty()) return 255.0;
    int worst = 0;
    for (std::size_t i = 0; i < means_a.size(); ++i) {
        worst = std::max(worst, std::abs(int{means_a[i]} - int{means_b[i]}));
    }
    return worst;
}

}  // namespace paleproof::app
