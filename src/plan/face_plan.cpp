// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/face_plan.h"

#include <algorithm>
#include <cmath>

namespace paleproof::plan {
namespace {

constexpr int most_looked_at = 32;    // px that the bleed filter may look at beyond its amount
constexpr int least_halo = 2;         // px that a letter's antialiasing may reach past its box
constexpr double least_border = 1.5;  // px; less is the rim of a picture, not a border

/// Whole pixels that cover the bleed. A rounding error above a whole pixel is not a pixel more.
int bleed_pixels(Mm bleed, Ppi ppi) {
    return static_cast<int>(std::ceil(pixels(bleed, ppi) - 1e-6));
}

/// One edge of a face as the plan sees it.
struct Edge {
    int reach = 0;  ///< px of art past the trim, negative where the art ends inside it
    const survey::Border& border;
    const survey::RepeatStep& repeat;
};

BleedMethod method_for(const Edge& edge, int wanted, std::optional<BleedMethod> wished) {
    if (edge.reach >= wanted) return wanted > 0 ? BleedMethod::present : BleedMethod::none;
    if (wished) return *wished;
    // A plain ground with a sparse motif repeats before it is a border.
    if (edge.border.open && edge.repeat.inward > 0) return BleedMethod::pattern;
    if (edge.border.width_px >= least_border) return BleedMethod::flat;
    return edge.repeat.inward > 0 ? BleedMethod::pattern : BleedMethod::carry;
}

/// Bleed that the edge gets: all that is wanted, or what is there when nothing is to be added.
int granted(const Edge& edge, int wanted, BleedMethod method) {
    return method == BleedMethod::none ? std::clamp(edge.reach, 0, wanted) : wanted;
}

/// Lines of text from which bleed of `wanted` pixels could be made, with their halo.
std::vector<RectPx> text_near_edges(const survey::FaceSurvey& face, int wanted) {
    const RectPx art = face.place.art_px;
    const int reach = wanted + most_looked_at;
    const RectPx calm{art.x + reach, art.y + reach, art.width - 2 * reach, art.height - 2 * reach};
    std::vector<RectPx> boxes;
    for (const TextLine& line : face.text) {
        const RectPx box = line.box_px;
        if (intersection(box, calm) == box && !calm.empty()) continue;
        const int halo = 1 + least_halo + std::min(box.width, box.height) / 4;
        // What reaches the edge between it and the letters goes on past it: of that little, the
        // halo takes a third.
        const auto low = [halo](int at, int edge) {
            return at - (at <= edge ? halo : std::min(halo, least_halo + (at - edge) / 3));
        };
        const auto high = [halo](int at, int edge) {
            return at + (at >= edge ? halo : std::min(halo, least_halo + (edge - at) / 3));
        };
        const int x = low(box.x, art.x);
        const int y = low(box.y, art.y);
        boxes.push_back(
            {x, y, high(box.right(), art.right()) - x, high(box.bottom(), art.bottom()) - y});
    }
    return boxes;
}

FacePlan face_plan(const survey::FaceSurvey& face, const Wishes& wishes) {
    const TrimPlacement& place = face.place.placement;
    const RectPx trim = place.trim_px;
    const RectPx art = face.place.art_px;
    const int wanted = bleed_pixels(wishes.bleed, place.ppi);
    const Edges<Edge> edges{
        {trim.y - art.y, face.borders.top, face.repeats.top},
        {art.right() - trim.right(), face.borders.right, face.repeats.right},
        {art.bottom() - trim.bottom(), face.borders.bottom, face.repeats.bottom},
        {trim.x - art.x, face.borders.left, face.repeats.left}};
    FacePlan plan;
    plan.ink_budget = wishes.ink_budget;
    plan.art_px = art;
    const auto decide = [&](const Edge& edge, std::optional<BleedMethod> wished, int& added,
                            BleedMethod& method, Mm& reach, int& border,
                            survey::RepeatStep& repeat) {
        method = method_for(edge, wanted, wished);
        const int bleed = granted(edge, wanted, method);
        added = bleed - edge.reach;
        // A picture that ends inside the trim is continued up to it all the same.
        if (method == BleedMethod::none && added > 0) {
            method = method_for(edge, 1, std::nullopt);
        }
        reach = from_pixels(bleed, place.ppi);
        const auto& frame = edge.border.frame;
        border = static_cast<int>(method == BleedMethod::flat ? edge.border.width_px
                                  : frame                     ? frame->distance_px
                                                              : 0.0);
        repeat = edge.repeat;
        return bleed;
    };
    const int top =
        decide(edges.top, wishes.bleed_method.top, plan.bleed_px.top, plan.bleed_method.top,
               plan.bleed_mm.top, plan.border_px.top, plan.repeat.top);
    const int right =
        decide(edges.right, wishes.bleed_method.right, plan.bleed_px.right, plan.bleed_method.right,
               plan.bleed_mm.right, plan.border_px.right, plan.repeat.right);
    const int bottom = decide(edges.bottom, wishes.bleed_method.bottom, plan.bleed_px.bottom,
                              plan.bleed_method.bottom, plan.bleed_mm.bottom, plan.border_px.bottom,
                              plan.repeat.bottom);
    const int left =
        decide(edges.left, wishes.bleed_method.left, plan.bleed_px.left, plan.bleed_method.left,
               plan.bleed_mm.left, plan.border_px.left, plan.repeat.left);
    const RectPx trimmed = intersection(trim, {0, 0, face.image.width, face.image.height});
    const double most_radius = std::min(trimmed.width, trimmed.height) / 2.0;
    for (std::size_t i = 0; i < 4; ++i) {
        plan.corner_px[i] = std::min(face.corners[i].radius_px, most_radius);
    }
    plan.text_px = text_near_edges(face, wanted);
    plan.proof_trim_px = {left, top, trim.width, trim.height};
    plan.proof_px = {trim.width + left + right, trim.height + top + bottom};
    return plan;
}

}  // namespace

std::vector<FacePlan> face_plans(std::span<const survey::FaceSurvey> surveys,
                                 const Wishes& wishes) {
    std::vector<FacePlan> plans;
    plans.reserve(surveys.size());
    for (const survey::FaceSurvey& face : surveys) {
        plans.push_back(face_plan(face, wishes));
    }
    return plans;
}

}  // namespace paleproof::plan
