// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/corners.h"

#include <algorithm>
#include <cmath>

#include "core/error.h"
#include "core/format.h"

namespace paleproof::filters {
namespace {

/// The outermost pixels inside the curve are part paper: antialiasing.
constexpr double soft_rim = 1.5;

void fill(Image& image, const Image& card, RectPx area, double radius, bool right, bool bottom) {
    const double cx = right ? area.right() - radius : area.x + radius;
    const double cy = bottom ? area.bottom() - radius : area.y + radius;
    const int size = static_cast<int>(std::ceil(radius));
    const int x0 = right ? area.right() - size : area.x;
    const int y0 = bottom ? area.bottom() - size : area.y;
    const double inside = std::max(0.0, radius - soft_rim);
    const int channels = card.channels();
    for (int y = y0; y < y0 + size; ++y) {
        for (int x = x0; x < x0 + size; ++x) {
            const double dx = x + 0.5 - cx;
            const double dy = y + 0.5 - cy;
            if ((right ? dx < 0.0 : dx > 0.0) || (bottom ? dy < 0.0 : dy > 0.0)) continue;
            const double far = std::hypot(dx, dy);
            if (far <= inside) continue;
            const double back = std::max(0.0, 2.0 * inside - far) / far;
            const int fx =
                std::clamp(static_cast<int>(std::floor(cx + dx * back)), area.x, area.right() - 1);
            const int fy =
                std::clamp(static_cast<int>(std::floor(cy + dy * back)), area.y, area.bottom() - 1);
            std::copy_n(card.row(fy) + static_cast<std::ptrdiff_t>(fx) * channels, channels,
                        image.row(y) + static_cast<std::ptrdiff_t>(x) * channels);
        }
    }
}

}  // namespace

Image corners(const Image& card, const Corners& p) {
    const RectPx area = p.area.empty() ? card.bounds() : p.area;
    if (intersection(area, card.bounds()) != area) {
        throw Error(ErrorKind::range, "corners", "the area leaves the picture");
    }
    const double most = std::min(area.width, area.height) / 2.0;
    Image result = card;
    for (std::size_t i = 0; i < 4; ++i) {
        const double radius = p.radius_px[i];
        if (!(radius >= 0.0) || radius > most) {
            throw Error(ErrorKind::range, "corners, radius",
                        "0 to " + fixed(most, 1) + " pixels, got " + fixed(radius, 1));
        }
        if (radius > 0.0) fill(result, card, area, radius, i == 1 || i == 2, i >= 2);
    }
    return result;
}

}  // namespace paleproof::filters
