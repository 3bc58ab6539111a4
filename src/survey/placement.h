// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>

#include "core/deck.h"
#include "core/fit_method.h"
#include "survey/crop_marks.h"

namespace paleproof::survey {

/// What is known of a face before its pixels are looked at.
struct PlacementQuestion {
    SizePx image{};  ///< pixels of the upright picture, at least 1 x 1
    Ppi declared{};  ///< what the file says, 0 when it says nothing
    /// Card size that was asked for; turned to lie as the picture lies.
    std::optional<SizeMm> size = std::nullopt;
    Mm bleed{3.0};  ///< the bleed that the job asks for; one of the amounts looked for
    /// crop: a picture of another shape covers the trim. Other than keep: a shape counts as the
    /// card's within a pixel only, not within 0.5 %.
    FitMethod fit = FitMethod::keep;
    Mm cut_wander{1.0};  ///< for the survey of the cut; the placement does not depend on it
    std::optional<CropMarks> marks = std::nullopt;  ///< printed around the card: they rule
};

struct PlacementAnswer {
    TrimPlacement placement;
    RectPx art_px;     ///< the part of the picture that is art: all of it, but for crop marks
    std::string note;  ///< how the size was decided, one sentence for a person
    /// How far the shape of the picture is off: the share of the card's longer-by-comparison side
    /// that the picture leaves uncovered, 0 when it fits within a pixel or 0.5 %.
    double shape_off = 0.0;
    /// A picture that fills the trim and is not quite of its shape: pixels per inch across over
    /// those down, less 1. Positive: printing it stretches the height.
    double stretch = 0.0;
};

/// Where the trimmed card lies in a picture, and what bleed the picture already has.
///
/// 1. The card size is the one asked for; else the file's own resolution, when it gives a usual
///    size with or without bleed; else the usual size of the same shape; else the resolution taken
///    as it stands (10 to 500 mm); else the nearest usual size.
/// 2. Bleed is present when the picture is larger than the trim by an equal amount all around:
///    0.5 to 10 mm by the file's resolution, or by its shape for 3 mm, 1/8 in and the job's bleed.
/// 3. A picture of another shape keeps its aspect and is set inside the trim, centered: trim_px
///    then reaches past the picture and bleed_present is negative there. Nothing is cut away,
///    nothing stretched.
///    With FitMethod::crop it covers the trim instead, and what reaches past it is bleed.
/// 4. With crop marks the trim lies between them, and the size is decided from what they enclose.
///
/// Errors  none: every picture gets an answer.
[[nodiscard]] PlacementAnswer placement(const PlacementQuestion& question);

}  // namespace paleproof::survey
