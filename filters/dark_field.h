// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>

#include "core/field.h"
#include "core/image.h"

namespace paleproof::filters {

struct DarkField {
    double stroke_mm = 0.16;  ///< radius of what is drawn as a line: 1.9 px at 300 ppi
    double form_mm = 0.6;     ///< radius within which forms are modelled
    double cast_mm = 2.5;     ///< reach of the soft shade that sets a form off from its ground
    double form = 0.45;       ///< share of the modelling in strokes and in shades, each
    double cast = 0.30;       ///< strength of the soft shade
};

inline constexpr std::array dark_field_fields{
    Field<DarkField>{"stroke", "mm", &DarkField::stroke_mm, 0.05, 1.0},
    Field<DarkField>{"form", "mm", &DarkField::form_mm, 0.1, 5.0},
    Field<DarkField>{"cast", "mm", &DarkField::cast_mm, 0.5, 20.0},
    Field<DarkField>{"form-strength", "share", &DarkField::form, 0.0, 1.0},
    Field<DarkField>{"cast-strength", "share", &DarkField::cast, 0.0, 1.0},
};

/// A drawing of a face on paper, in two layers of ink: 0 = none, 255 = solid.
struct FieldInk {
    Image strokes;  ///< lines and the small forms
    Image shades;   ///< modelling and the soft shade beside edges
};

/// What a face shows, without the ink of its even grounds: however dark a sky, a frame or a panel
/// is, where nothing happens it becomes paper, and what stands out from it is drawn.
///
/// At three radii each pixel is compared with the Gaussian mean around it. It takes ink by how much
/// darker it is, as a ratio, so that a tree on a night sky is drawn as well as one on snow; ratios
/// too small to be more than grain take none. The dark side of an edge carries the line and a soft
/// shade that ends after two radii.
///
/// Input    8-bit gray; any size from 1 x 1.
/// Result   two gray pictures of ink, same size and ppi; the sum of both is never more than the
///          ink of the face (255 - code), so the drawing is nowhere darker than the face.
/// Keeps    an even face of any tone gives no ink at all.
/// Edges    the outermost pixels are repeated.
/// Cost     three Gaussians, the two wider ones and what is modelled by them at about 150 ppi.
/// Errors   Error{range} for a field outside its limits; Error{format} for color.
/// Not for  a tone that carries meaning by itself: two even fields look alike but for their edge.
/// Source   own construction, docs/filters.md#dark_field; the ratio to a local mean as in Weber's
///          contrast.
[[nodiscard]] FieldInk dark_field(const Image& card, const DarkField& p = {});

}  // namespace paleproof::filters
