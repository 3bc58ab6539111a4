// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof::survey {

/// A thin line that runs along an edge.
struct FrameLine {
    double distance_px = 0.0;  ///< from the trim to its outer side
    double width_px = 0.0;
    friend bool operator==(const FrameLine&, const FrameLine&) = default;
};

/// The border of one color along one edge.
struct Border {
    std::array<std::uint8_t, 3> color{};  ///< median; gray pictures use the first
    /// From the trim to where something else begins, to the half pixel; 0 when the edge is art.
    double width_px = 0.0;
    bool open = false;   ///< nothing else begins within a quarter of the card: a plain ground
    double noise = 0.0;  ///< standard deviation about the local color, 8-bit codes
    std::optional<FrameLine> frame;  ///< nearest thin line along the edge, within 5 mm
};

/// Borders along the four edges of `area`, which lies in the picture and is not empty.
///
/// The color may drift along the edge, and may carry noise, JPEG's included, or a paper texture
/// of up to 8 codes. Corners (a tenth of the edge at each end) are not looked at. A border goes on
/// while nine tenths of a row keep to the color that the edge has there; what crosses it in fewer
/// places is overlooked.
///
/// A frame is a change of at least 20 codes along 70 % of the edge and, within 1.3 mm, one back.
///
/// Errors  none.
/// Source  own construction; the limits are common practice, no source.
[[nodiscard]] Edges<Border> borders(const Image& image, RectPx area, Ppi ppi);

}  // namespace paleproof::survey
