// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "survey/text/bands.h"
#include "survey/text/plane.h"

namespace paleproof::survey {

/// The surroundings of one band, turned so that its text stands upright and brought to a size at
/// which an x-height has about 9 to 24 pixels. u runs along the line, v down; pixel i covers
/// [i, i + 1).
struct Strip {
    Plane8 rgb;        ///< three channels; pixels are repeated where the strip is enlarged
    Plane8 luminance;  ///< sRGB-encoded relative luminance; smooth where the strip is enlarged
    double scale_u = 1.0, scale_v = 1.0;    ///< strip pixels for each pixel of the face
    double top = 0.0, base = 0.0;           ///< rows of x-height and base line as the net saw them
    double left = 0.0, right = 0.0;         ///< columns where the net saw the line
    bool compact = false;                   ///< it saw no more than a number or a single glyph
    int quarter_turns = 0;                  ///< counterclockwise, made the text upright
    double slant = 0.0;                     ///< radians, clockwise, taken out besides
    double origin_x = 0.0, origin_y = 0.0;  ///< of (0, 0), in pixels of the face

    /// A place of the strip in pixels of the face.
    [[nodiscard]] double face_x(double u, double v) const;
    [[nodiscard]] double face_y(double u, double v) const;
};

/// Cuts the strip of a band: 2.2 band heights more at both ends, 1.7 above, 1.4 below. What lies
/// outside of the face continues its edge.
[[nodiscard]] Strip strip_of(const Image& image, const Band& band, int quarter_turns);

}  // namespace paleproof::survey
