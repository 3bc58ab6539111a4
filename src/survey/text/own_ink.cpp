// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/own_ink.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>

namespace paleproof::survey {
namespace {

constexpr double most_beside = 0.6;  // of the way from ground to ink; beyond lies another color

RectPx between(double x0, double y0, double x1, double y1) {
    const auto whole = [](double value) { return static_cast<int>(std::lround(value)); };
    const int left = whole(std::min(x0, x1)), top = whole(std::min(y0, y1));
    return {left, top, whole(std::max(x0, x1)) - left, whole(std::max(y0, y1)) - top};
}

}  // namespace

Upright::Upright(int quarter_turns)
    : c_(std::array{1, 0, -1, 0}[static_cast<std::size_t>(quarter_turns & 3)]),
      s_(std::array{0, 1, 0, -1}[static_cast<std::size_t>(quarter_turns & 3)]) {}

RectPx Upright::turned(const RectPx& box) const {
    return between(u(box.x, box.y), v(box.x, box.y), u(box.right(), box.bottom()),
                   v(box.right(), box.bottom()));
}

RectPx Upright::back(const RectPx& box) const {
    return between(x(box.x, box.y), y(box.x, box.y), x(box.right(), box.bottom()),
                   y(box.right(), box.bottom()));
}

Plane8 own_ink(const Image& face, const TextLine& line, const Upright& upright,
               const RectPx& part) {
    Plane8 result(part.width, part.height);
    // In whole numbers: how far along the way to the ink, times the way's length squared.
    std::array<int, 3> ground{}, way{};
    std::int64_t far = 0;
    for (std::size_t c = 0; c < 3; ++c) {
        ground[c] = line.ground_color[c];
        way[c] = line.text_color[c] - ground[c];
        far += way[c] * way[c];
    }
    if (far == 0) return result;
    const auto most = static_cast<std::int64_t>(
        most_beside * most_beside * static_cast<double>(far) * static_cast<double>(far));
    const std::size_t last = face.channels() == 3 ? 2 : 0;
    const auto pixel = [](double place) { return static_cast<int>(std::floor(place)); };
    const int step_x = pixel(upright.x(1.5, 0.5)) - pixel(upright.x(0.5, 0.5));
    const int step_y = pixel(upright.y(1.5, 0.5)) - pixel(upright.y(0.5, 0.5));
    for (int v = 0; v < part.height; ++v) {
        std::uint8_t* to = result.row(v);
        int x = pixel(upright.x(part.x + 0.5, part.y + v + 0.5));
        int y = pixel(upright.y(part.x + 0.5, part.y + v + 0.5));
        for (int u = 0; u < part.width; ++u, x += step_x, y += step_y) {
            if (x < 0 || y < 0 || x >= face.width() || y >= face.height()) continue;
            const std::uint8_t* at = face.row(y) + static_cast<std::ptrdiff_t>(x) * face.channels();
            std::int64_t along = 0, off = 0;
            for (std::size_t c = 0; c < 3; ++c) {
                const int from_ground = at[std::min(c, last)] - ground[c];
                along += from_ground * way[c];
                off += from_ground * from_ground;
            }
            if (2 * along >= far && off * far - along * along <= most) to[u] = 255;
        }
    }
    return result;
}

}  // namespace paleproof::survey
