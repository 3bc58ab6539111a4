// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/judgement.h"

#include <algorithm>
#include <array>
#include <iterator>
#include <string>
#include <utility>

#include "core/format.h"
#include "plan/edge_judgement.h"

namespace paleproof::plan {
namespace {

constexpr double budget_tolerance = 0.002;
constexpr Mm rounding{0.1};  // a pixel or so; no cutter is that good

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
                   millimeters(limits.bleed) + " are wanted"};
}

/// "art continued (top, left), nothing (bottom)": what makes the missing bleed, on which edges.
std::string added_bleed(const FacePlan& plan) {
    const std::array<std::pair<BleedMethod, const char*>, 4> edges{
        {{plan.bleed_method.top, "top"},
         {plan.bleed_method.right, "right"},
         {plan.bleed_method.bottom, "bottom"},
         {plan.bleed_method.left, "left"}}};
    std::vector<std::pair<BleedMethod, std::string>> parts;
    for (const auto& [method, edge] : edges) {
        if (method == BleedMethod::present) continue;
        auto part = std::ranges::find(parts, method, &std::pair<BleedMethod, std::string>::first);
        if (part == parts.end()) part = parts.insert(parts.end(), {method, ""});
        part->second += (part->second.empty() ? "" : ", ") + std::string(edge);
    }
    std::string text;
    for (const auto& [method, where] : parts) {
        const bool none = method == BleedMethod::none;
        text += (text.empty() ? "" : ", ") + std::string(none ? "nothing" : added_by(method));
        if (parts.size() > 1) text += " (" + where + ")";
    }
    return text;
}

}  // namespace

std::vector<Finding> findings(const survey::FaceSurvey& face, const Limits& limits) {
    std::vector<Finding> result = text_findings(face.name, face.text, face.place.placement,
                                                limits.text, limits.best_paper_contrast);
    for (auto finding : {ink_heavy(face, limits), bleed_missing(face, limits)}) {
        if (finding) {
            result.push_back(std::move(*finding));
        }
    }
    std::ranges::move(edge_findings(face, limits), std::back_inserter(result));
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
                              percent(std::max(coverage, text) + 0.0005) + " or more"};
}

void tell_bleed(std::vector<Finding>& findings, const FacePlan& plan) {
    for (Finding& finding : findings) {
        if (finding.rule != Rule::bleed_missing) continue;
        finding.message += "; added to the proof: " + added_bleed(plan);
    }
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
