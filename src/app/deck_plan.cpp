// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/deck_plan.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <memory>
#include <optional>
#include <utility>

#include "app/parallel.h"
#include "plan/gray_map.h"
#include "plan/judgement.h"
#include "plan/twin_report.h"

namespace paleproof::app {
namespace {

const plan::ColorCluster& cluster_of(const plan::DeckColors& colors, std::size_t twin, bool of_a) {
    const plan::TellingPair& pair = colors.palette.pairs[colors.gray_twins[twin].pair];
    return colors.palette.clusters[of_a ? pair.a : pair.b];
}

/// Hands the gray map to the faces, and says what it makes of the twins.
void take_map(std::vector<FaceWork>& faces, DeckPlan& deck) {
    const auto map = std::make_shared<const color::GrayTable>(deck.colors.gray);
    for (FaceWork& face : faces) face.gray_map.table = map;
    for (std::size_t i = 0; i < deck.colors.gray_twins.size(); ++i) {
        const auto printed = [&](bool of_a) {
            return color::lightness_of_gray((*map)(cluster_of(deck.colors, i, of_a).color));
        };
        deck.twins[i].map_difference = std::abs(printed(true) - printed(false));
    }
}

/// Where the proofs are to be measured: within all areas of the gray twins but letters, which are
/// too thin.
void set_cores(std::vector<FaceWork>& faces, const DeckPlan& deck) {
    std::vector<FaceWork*> surveyed;
    for (FaceWork& face : faces) {
        if (face.survey) surveyed.push_back(&face);
    }
    for (std::size_t i = 0; i < deck.colors.gray_twins.size(); ++i) {
        for (const bool of_a : {true, false}) {
            for (const plan::ColorPlace& place : cluster_of(deck.colors, i, of_a).places) {
                if (place.kind == survey::AreaKind::text) continue;
                surveyed[place.face]->cores.push_back({i, of_a, place.box_px, place.color});
            }
        }
    }
}

/// Notes the twins that get patterns which differ.
void mark_patterns(const plan::DeckPatterns& patterns, DeckPlan& deck) {
    const auto label = [&](color::Rgb8 color) {
        for (const auto& face : patterns.faces) {
            for (const plan::FacePattern& pattern : face) {
                if (pattern.pattern.color == std::array{color.r, color.g, color.b})
                    return pattern.pattern.label;
            }
        }
        return std::string();
    };
    for (std::size_t i = 0; i < deck.colors.gray_twins.size(); ++i) {
        const std::string a = label(cluster_of(deck.colors, i, true).color);
        const std::string b = label(cluster_of(deck.colors, i, false).color);
        deck.twins[i].patterns = !a.empty() && !b.empty() && a != b;
    }
}

/// The surveys of all faces side by side, taken out of them: a large deck has no room for two.
std::vector<survey::FaceSurvey> lent_surveys(std::vector<FaceWork>& faces) {
    std::vector<survey::FaceSurvey> surveys;
    for (FaceWork& face : faces) {
        if (face.survey) surveys.push_back(std::move(*face.survey));
    }
    return surveys;
}

void give_back(std::vector<survey::FaceSurvey> surveys, std::vector<FaceWork>& faces) {
    std::size_t next = 0;
    for (FaceWork& face : faces) {
        if (face.survey) *face.survey = std::move(surveys[next++]);
    }
}

/// The middle of the values; nothing where there are none.
std::optional<double> median(std::vector<double> values) {
    if (values.empty()) return std::nullopt;
    const auto middle = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), middle, values.end());
    return *middle;
}

}  // namespace

void judge_twins_again(DeckPlan& plan, const std::vector<FaceWork>& faces) {
    for (std::size_t i = 0; i < plan.colors.gray_twins.size(); ++i) {
        std::vector<double> a, b;
        for (const FaceWork& face : faces) {
            // The largest area of each color on a face, which comes first.
            for (const bool of_a : {true, false}) {
                const auto core = std::ranges::find_if(face.cores, [&](const TwinCore& c) {
                    return c.twin == i && c.of_a == of_a && c.code.has_value();
                });
                if (core == face.cores.end()) continue;
                const double light = color::linear_of(*core->code / 255.0);
                (of_a ? a : b).push_back(color::lightness(light));
            }
        }
        const auto of_a = median(std::move(a)), of_b = median(std::move(b));
        if (of_a && of_b) plan.twins[i].proof_difference = std::abs(*of_a - *of_b);
    }
}

DeckPlan plan_deck(std::vector<FaceWork>& faces, const Job& job, bool with_map,
                   const std::optional<color::GrayTable>& earlier) {
    std::vector<survey::FaceSurvey> surveys = lent_surveys(faces);
    const auto plans = plan::face_plans(surveys, {.bleed = job.bleed,
                                                  .bleed_method = job.bleed_method,
                                                  .ink_budget = effective_ink_budget(job)});
    std::size_t next = 0;
    for (FaceWork& face : faces) {
        if (!face.survey) continue;
        face.plan = plans[next++];
        plan::tell_bleed(face.result.findings, face.plan);
    }
    DeckPlan result;
    const bool mapped = with_map && job.style == Style::gray;
    plan::DeckPalette palette;
    std::optional<plan::GrayBase> grays;
    if (mapped && earlier) grays = *earlier;
    for_each_index(mapped && !earlier ? 2 : 1, job.threads, "plan", {}, [&](std::size_t i) {
        if (i == 0) {
            palette = plan::deck_palette(surveys);
        } else {
            grays = plan::art_tones(surveys);
        }
    });
    result.colors =
        plan::deck_colors(std::move(palette), grays ? &*grays : nullptr, job.twins, job.pins);
    result.twins = plan::told_twins(result.colors, surveys);
    const std::size_t surveyed = surveys.size();
    give_back(std::move(surveys), faces);
    if (mapped) take_map(faces, result);
    if (mapped || job.style == Style::line) set_cores(faces, result);
    if (job.style != Style::hatch) return result;
    plan::DeckPatterns patterns = plan::deck_patterns(result.colors.palette, surveyed);
    mark_patterns(patterns, result);
    next = 0;
    for (FaceWork& face : faces) {
        if (face.survey) face.patterns = std::move(patterns.faces[next++]);
    }
    result.legend = std::move(patterns.legend);
    return result;
}

}  // namespace paleproof::app
