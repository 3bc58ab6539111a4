// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/edge_judgement.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <utility>

#include "core/card_size.h"
#include "core/format.h"

namespace paleproof::plan {
namespace {

constexpr Mm rounding{0.1};           // a pixel or so; no cutter is that good
constexpr double wander_times = 3.0;  // a border thinner than that ends up twice as wide opposite
constexpr Mm most_uneven{0.3};
constexpr Mm least_stretch{0.2};
constexpr double line_art_ppi = 300.0;
constexpr double enlarged_edge = 3.0;  // px; softer than any lens or resampling leaves an edge
constexpr double grave_misfit = 0.05;  // share of a side that would stay white or be cut away

std::optional<Finding> art_coarse(const survey::FaceSurvey& face, const Limits& limits) {
    const double ppi = face.place.placement.ppi.value;
    const survey::Sharpness& sharp = face.sharpness;
    const bool enlarged = sharp.edge_px >= enlarged_edge;
    const double effective = enlarged ? ppi / sharp.edge_px : ppi;
    const bool lines = sharp.line_art && limits.min_ppi > 0.0;
    const double least = lines ? std::max(line_art_ppi, limits.min_ppi) : limits.min_ppi;
    // Half a pixel per inch is rounding of the size.
    if (effective + 0.5 >= least) {
        return std::nullopt;
    }
    std::string message =
        "the art has " + fixed(ppi, ppi < 10.0 ? 1 : 0) + " pixels per inch at printed size";
    if (enlarged) {
        message += ", but its sharpest edges are " + fixed(sharp.edge_px, 1) +
                   " pixels wide, as if enlarged from " + fixed(effective, 0);
    }
    message += std::string("; ") + (lines ? "line art wants " : "at least ") + fixed(least, 0) +
               (lines ? "" : " are wanted") + "; export it at 300" +
               (enlarged ? " from the original" : "");
    return Finding{.rule = Rule::art_coarse,
                   .severity = Severity::warning,
                   .face = face.name,
                   .box_px = std::nullopt,
                   .measured = effective,
                   .limit = least,
                   .unit = "ppi",
                   .message = std::move(message)};
}

/// A picture that is printed a little out of its shape: too little to see, and said.
std::optional<Finding> stretched(const survey::FaceSurvey& face) {
    const double share = std::abs(face.place.stretch);
    const TrimPlacement& place = face.place.placement;
    const Mm amount = share * std::min(place.trim.width, place.trim.height);
    if (amount < least_stretch) return std::nullopt;
    return Finding{.rule = Rule::size_off,
                   .severity = Severity::note,
                   .face = face.name,
                   .box_px = std::nullopt,
                   .measured = amount.value,
                   .limit = least_stretch.value,
                   .unit = "mm",
                   .message = "the picture is not quite of the card's shape, " +
                              size_text(place.trim) + ": filling it stretches the " +
                              (face.place.stretch > 0.0 ? "height" : "width") + " by " +
                              millimeters(Mm{std::round(amount.value * 100.0) / 100.0}) +
                              "; export it in the card's shape, or cut it with fit = \"crop\""};
}

std::optional<Finding> size_off(const survey::FaceSurvey& face) {
    const TrimPlacement& place = face.place.placement;
    const SizePx shown = face.scaled_from.value_or(face.image);
    if (face.place.shape_off <= 0.0 && !face.scaled_from) return stretched(face);
    const int wide = place.trim_px.width - shown.width;
    const int high = place.trim_px.height - shown.height;
    const bool in_width = std::abs(wide) > std::abs(high);
    const Mm misfit = from_pixels(std::abs(in_width ? wide : high), place.ppi);
    const double off =
        std::max(std::abs(wide) / static_cast<double>(std::max(1, place.trim_px.width)),
                 std::abs(high) / static_cast<double>(std::max(1, place.trim_px.height)));
    const bool cropped = face.fit == FitMethod::crop;
    const char* done = face.scaled_from ? "; it was stretched to fit"
                       : cropped        ? "; it was cut evenly"
                                        : "; it was kept whole and its edges continued";
    return Finding{
        .rule = Rule::size_off,
        .severity =
            off > grave_misfit && face.fit == FitMethod::keep ? Severity::error : Severity::warning,
        .face = face.name,
        .box_px = std::nullopt,
        .measured = misfit.value,
        .limit = 0.0,
        .unit = "mm",
        .message = "the picture (" + std::to_string(shown.width) + " x " +
                   std::to_string(shown.height) + " px) has not the shape of the card, " +
                   size_text(place.trim) + ": " + millimeters(misfit) +
                   (cropped ? " too much in " : " are missing in ") +
                   (in_width ? "width" : "height") + done + "; export it in the card's shape"};
}

struct NamedBorder {
    const char* edge;
    const survey::Border* border;
};

std::array<NamedBorder, 4> named(const Edges<survey::Border>& borders) {
    return {{{"top", &borders.top},
             {"right", &borders.right},
             {"bottom", &borders.bottom},
             {"left", &borders.left}}};
}

std::optional<Finding> frame_at_trim(const survey::FaceSurvey& face, const Limits& limits) {
    const Ppi ppi = face.place.placement.ppi;
    const Mm least = limits.cut_wander * wander_times;
    const NamedBorder* nearest = nullptr;
    const auto all = named(face.borders);
    for (const NamedBorder& one : all) {
        if (one.border->frame && (nearest == nullptr || one.border->frame->distance_px <
                                                            nearest->border->frame->distance_px)) {
            nearest = &one;
        }
    }
    if (nearest == nullptr) return std::nullopt;
    const Mm distance = from_pixels(nearest->border->frame->distance_px, ppi);
    if (distance + rounding >= least) return std::nullopt;
    return Finding{
        .rule = Rule::frame_at_trim,
        .severity = Severity::warning,
        .face = face.name,
        .box_px = std::nullopt,
        .measured = distance.value,
        .limit = least.value,
        .unit = "mm",
        .message = "a thin line runs " + millimeters(distance) + " from the " + nearest->edge +
                   " edge; a cut that is " + millimeters(limits.cut_wander) +
                   " off will show; keep frames at least " + millimeters(least) + " from the trim"};
}

std::optional<Finding> border_uneven(const survey::FaceSurvey& face, const Limits& limits) {
    const Ppi ppi = face.place.placement.ppi;
    const Mm least = limits.cut_wander * wander_times;
    const auto width = [&](const survey::Border& border) {
        return from_pixels(border.width_px, ppi);
    };
    const auto bounded = [](const survey::Border& border) {
        return border.width_px > 0.0 && !border.open;
    };
    const survey::Border& left = face.borders.left;
    const survey::Border& right = face.borders.right;
    if (bounded(left) && bounded(right)) {
        const Mm difference{std::abs((width(left) - width(right)).value)};
        if (difference > most_uneven) {
            return Finding{.rule = Rule::border_uneven,
                           .severity = Severity::warning,
                           .face = face.name,
                           .box_px = std::nullopt,
                           .measured = difference.value,
                           .limit = most_uneven.value,
                           .unit = "mm",
                           .message = "the border is " + millimeters(width(left)) +
                                      " wide on the left and " + millimeters(width(right)) +
                                      " on the right; make it even"};
        }
    }
    const NamedBorder* narrowest = nullptr;
    const auto all = named(face.borders);
    for (const NamedBorder& one : all) {
        // What ends at a frame is judged there.
        if (!bounded(*one.border) || one.border->frame) continue;
        if (narrowest == nullptr || one.border->width_px < narrowest->border->width_px) {
            narrowest = &one;
        }
    }
    if (narrowest == nullptr || width(*narrowest->border) + rounding >= least) return std::nullopt;
    return Finding{.rule = Rule::border_uneven,
                   .severity = Severity::warning,
                   .face = face.name,
                   .box_px = std::nullopt,
                   .measured = width(*narrowest->border).value,
                   .limit = least.value,
                   .unit = "mm",
                   .message = "the border is only " + millimeters(width(*narrowest->border)) +
                              " wide (" + narrowest->edge + "); a cut that is " +
                              millimeters(limits.cut_wander) +
                              " off makes it look lopsided; make it at least " +
                              millimeters(least) + " or let the art run past the trim"};
}

}  // namespace

std::vector<Finding> edge_findings(const survey::FaceSurvey& face, const Limits& limits) {
    std::vector<Finding> result;
    for (auto finding : {art_coarse(face, limits), size_off(face), frame_at_trim(face, limits),
                         border_uneven(face, limits)}) {
        if (finding) result.push_back(std::move(*finding));
    }
    return result;
}

}  // namespace paleproof::plan
