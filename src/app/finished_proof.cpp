// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/finished_proof.h"

#include <algorithm>
#include <cmath>
#include <utility>
#include <vector>

#include "filters/bleed.h"
#include "filters/rescale.h"

namespace paleproof::app {
namespace {

RectPx scaled(RectPx box, double scale) {
    const auto at = [scale](int length) { return static_cast<int>(std::lround(length * scale)); };
    return {at(box.x), at(box.y), at(box.width), at(box.height)};
}

/// A box of the face on the face with its bleed.
RectPx moved(RectPx box, const Edges<int>& bleed) {
    return {box.x + bleed.left, box.y + bleed.top, box.width, box.height};
}

/// The same; where the box reaches the edge of the face it goes on to the edge of the bleed.
RectPx into_bleed(RectPx box, RectPx face, const Edges<int>& bleed) {
    constexpr int near = 4;  // pixels
    const int left = box.x <= face.x + near ? 0 : box.x + bleed.left;
    const int top = box.y <= face.y + near ? 0 : box.y + bleed.top;
    const int right = box.right() + bleed.left +
                      (box.right() >= face.right() - near ? std::max(0, bleed.right) + near : 0);
    const int bottom =
        box.bottom() + bleed.top +
        (box.bottom() >= face.bottom() - near ? std::max(0, bleed.bottom) + near : 0);
    return {left, top, right - left, bottom - top};
}

/// What a picture shows of the source, laid over it; paper where it shows nothing.
Image laid_over(const Image& gray, SizePx source, Edges<int> bleed) {
    Image result(source.width, source.height, gray.encoding(), gray.ppi());
    const RectPx shown =
        intersection(result.bounds(), {-bleed.left, -bleed.top, gray.width(), gray.height()});
    for (int y = shown.y; y < shown.bottom(); ++y) {
        std::copy_n(gray.row(y + bleed.top) + shown.x + bleed.left, shown.width,
                    result.row(y) + shown.x);
    }
    return result;
}

FinishedProof drawn_proof(const FaceWork& work, const Image& source, const Job& job,
                          const color::Separation& inks, std::span<const Guard> guard) {
    const plan::FacePlan& plan = work.plan;
    const Image wide = filters::bleed(source, {plan.bleed_px, plan.bleed_method});
    std::vector<TextLine> text = work.result.text;
    for (TextLine& line : text) {
        line.box_px = moved(line.box_px, plan.bleed_px);
    }
    std::vector<RectPx> symbols;
    for (const survey::ColorArea& area : work.survey->palette.areas) {
        if (area.kind == survey::AreaKind::symbol)
            symbols.push_back(moved(area.box_px, plan.bleed_px));
    }
    std::vector<plan::FacePattern> patterns = work.patterns;
    for (plan::FacePattern& pattern : patterns) {
        for (RectPx& place : pattern.places)
            place = into_bleed(place, source.bounds(), plan.bleed_px);
    }
    FinishedProof proof;
    proof.picture = styled_proof({.source = wide,
                                  .trimmed = plan.proof_trim_px,
                                  .ink_budget = plan.ink_budget,
                                  .text = text,
                                  .symbols = symbols,
                                  .patterns = patterns,
                                  .guard = guard,
                                  .inks = &inks},
                                 job.style);
    proof.extent = wide.size();
    const double scale = static_cast<double>(proof.picture.width()) / wide.width();
    proof.trim_px = intersection(scaled(plan.proof_trim_px, scale), proof.picture.bounds());
    proof.on_face =
        laid_over(filters::rescale(proof.picture, wide.size()), source.size(), plan.bleed_px);
    return proof;
}

}  // namespace

FinishedProof finished_proof(const FaceWork& work, const Image& source, const Job& job,
                             const color::Separation& inks, std::span<const Guard> guard) {
    if (is_drawn(job.style)) return drawn_proof(work, source, job, inks, guard);
    const plan::FacePlan& plan = work.plan;
    FinishedProof proof;
    proof.on_face =
        styled_proof({.source = source,
                      .trimmed = intersection(work.result.placement.trim_px, source.bounds()),
                      .ink_budget = plan.ink_budget,
                      .text = work.result.text,
                      .guard = guard,
                      .inks = &inks},
                     job.style);
    proof.picture = filters::bleed(proof.on_face, {plan.bleed_px, plan.bleed_method});
    proof.extent = proof.picture.size();
    proof.trim_px = plan.proof_trim_px;
    return proof;
}

}  // namespace paleproof::app
