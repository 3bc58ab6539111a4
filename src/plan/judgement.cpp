// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/judgement.h"

#include <algorithm>

#include "core/card_size.h"
#include "core/format.h"

namespace paleproof::plan {
namespace {

constexpr double budget_tolerance = 0.002;
constexpr Mm rounding{0.1};            // a pixel or so; no cutter is that good
constexpr double grave_misfit = 0.05;  // share of a side that would stay white or be cut away

std::optional<Finding> ink_heavy(const survey::FaceSurvey& face, const Limits& limits) {
    if (!limits.total_limit || face.ink.peak <= *limits.total_limit) {
        return std::nullopt;
    }
    return Finding{.rule = Rule::ink_heavy,
                   .severity = Severity::warning,
                   .face = face.name,
                   .box_px = face.ink.peak_box,
                   .measured = face.ink.peak,
                   .limit = *limits.total_limit,
                   .unit = "share",
                   .message = "printed in color, total coverage reaches " +
                              percent(face.ink.peak, 0) + " here, the limit is " +
                              percent(*limits.total_limit, 0) +
                              "; lighten the darkest areas, or print a gray edition"};
}

std::optional<Finding> bleed_missing(const survey::FaceSurvey& face, const Limits& limits) {
    const Edges<Mm>& present = face.place.placement.bleed_present;
    const Mm least = std::min({present.top, present.right, present.bottom, present.left});
    if (limits.bleed.value <= 0.0 || least + rounding >= limits.bleed) {
        return std::nullopt;
    }
    const bool none = least.value <= 0.0;
    return Finding{
        .rule = Rule::bleed_missing,
        .severity = Severity::warning,
        .face = face.name,
        .box_px = std::nullopt,
        .measured = std::max(0.0, least.value),
        .limit = limits.bleed.value,
        .unit = "mm",
        .message = std::string(none ? "the art stops at the trim" : "the art reaches only ") +
                   (none ? "" : millimeters(least) + " past the trim") + "; " +
                   millimeters(limits.bleed) +
                   " are wanted, what is missing is added to the proof by continuing the edge"};
}

std::optional<Finding> art_coarse(const survey::FaceSurvey& face, const Limits& limits) {
    const double ppi = face.place.placement.ppi.value;
    // Half a pixel per inch is rounding of the size.
    if (ppi + 0.5 >= limits.min_ppi) {
        return std::nullopt;
    }
    return Finding{.rule = Rule::art_coarse,
                   .severity = Severity::warning,
                   .face = face.name,
                   .box_px = std::nullopt,
                   .measured = ppi,
                   .limit = limits.min_ppi,
                   .unit = "ppi",
                   .message = "the art has " + fixed(ppi, 0) +
                              " pixels per inch at printed size, at least " +
                              fixed(limits.min_ppi, 0) + " are wanted; export it at 300"};
}

std::optional<Finding> size_off(const survey::FaceSurvey& face) {
    const double off = face.place.shape_off;
    if (off <= 0.0) {
        return std::nullopt;
    }
    const TrimPlacement& place = face.place.placement;
    const Mm across = from_pixels(place.trim_px.width - face.image.width, place.ppi);
    const Mm down = from_pixels(place.trim_px.height - face.image.height, place.ppi);
    const bool in_width = across > down;
    return Finding{
        .rule = Rule::size_off,
        .severity = off > grave_misfit ? Severity::error : Severity::warning,
        .face = face.name,
        .box_px = std::nullopt,
        .measured = (in_width ? across : down).value,
        .limit = 0.0,
        .unit = "mm",
        .message = "the picture (" + std::to_string(face.image.width) + " x " +
                   std::to_string(face.image.height) + " px) has not the shape of the card, " +
                   size_text(place.trim) + ": " + millimeters(in_width ? across : down) +
                   " are missing in " + (in_width ? "width" : "height") +
                   "; it was kept whole and its edges continued; export it in the card's shape"};
}

}  // namespace

std::vector<Finding> findings(const survey::FaceSurvey& face, const Limits& limits) {
    std::vector<Finding> result = text_findings(face.name, face.text, face.place.placement,
                                                limits.text, limits.best_paper_contrast);
    for (auto finding : {ink_heavy(face, limits), bleed_missing(face, limits),
                         art_coarse(face, limits), size_off(face)}) {
        if (finding) {
            result.push_back(std::move(*finding));
        }
    }
    return result;
}

std::optional<Finding> budget_finding(const std::string& face, double coverage, double budget,
                                      double text) {
    if (coverage <= budget + budget_tolerance) {
        return std::nullopt;
    }
    return Finding{.rule = Rule::budget_missed,
                   .severity = Severity::error,
                   .face = face,
                   .box_px = std::nullopt,
                   .measured = coverage,
                   .limit = budget,
                   .unit = "share",
                   .message = "the proof takes " + percent(coverage) + " ink, the budget is " +
                              percent(budget) + "; its text takes " + percent(text) +
                              " where it can just be read: set the budget to " +
                              percent(coverage + 0.0005) + " or more"};
}

void tell_repaired(std::vector<Finding>& findings, std::span<const TextLine> text,
                   const TextLimits& limits) {
    for (Finding& finding : findings) {
        if (finding.rule != Rule::text_faint) continue;
        for (const TextLine& line : text) {
            if (finding.box_px == line.box_px && line.kept.value_or(false) &&
                line.proof_contrast.value_or(1.0) >= limits.min_contrast) {
                finding.message +=
                    "; repaired in the proof: " + fixed(*line.proof_contrast, 1) + " : 1";
            }
        }
    }
}

Finding unreadable(const std::string& face, const std::string& reason) {
    return Finding{.rule = Rule::face_unreadable,
                   .severity = Severity::error,
                   .face = face,
                   .box_px = std::nullopt,
                   .measured = 0.0,
                   .limit = 0.0,
                   .unit = "",
                   .message = reason};
}

}  // namespace paleproof::plan
