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

/// A box of the source in a picture that lies over it at `extent`.
RectPx moved(RectPx box, RectPx extent) {
    return {box.x - extent.x, box.y - extent.y, box.width, box.height};
}

/// The same; where the box reaches the edge of the face it goes on to the edge of the picture.
RectPx into_bleed(RectPx box, RectPx face, RectPx extent) {
    constexpr int near = 4;  // pixels
    const int left = box.x <= face.x + near ? 0 : box.x - extent.x;
    const int top = box.y <= face.y + near ? 0 : box.y - extent.y;
    const int right = box.right() >= face.right() - near ? extent.width : box.right() - extent.x;
    const int bottom =
        box.bottom() >= face.bottom() - near ? extent.height : box.bottom() - extent.y;
    return {left, top, right - left, bottom - top};
}

/// What a picture shows of the source, laid over it at its place; paper where it shows nothing.
Image laid_over(const Image& gray, SizePx source, RectPx place) {
    Image result(source.width, source.height, gray.encoding(), gray.ppi());
    const RectPx shown = intersection(result.bounds(), place);
    for (int y = shown.y; y < shown.bottom(); ++y) {
        std::copy_n(gray.row(y - place.y) + shown.x - place.x, shown.width,
                    result.row(y) + shown.x);
    }
    return result;
}

filters::Bleed bleed_of(const plan::FacePlan& plan) {
    const auto step = [](const survey::RepeatStep& repeat) {
        return filters::Repeat{repeat.along, repeat.inward};
    };
    return {.amount = plan.bleed_px,
            .method = plan.bleed_method,
            .keep = plan.art_px,
            .border = plan.border_px,
            .repeat = {step(plan.repeat.top), step(plan.repeat.right), step(plan.repeat.bottom),
                       step(plan.repeat.left)},
            .text = plan.text_px};
}

/// Where a picture with its bleed lies over the source.
RectPx extent_of(const plan::FacePlan& plan, SizePx size) {
    return {plan.art_px.x - plan.bleed_px.left, plan.art_px.y - plan.bleed_px.top, size.width,
            size.height};
}

FinishedProof drawn_proof(const FaceWork& work, const Image& source, const Job& job,
                          const color::Separation& inks, std::span<const Guard> guard) {
    const plan::FacePlan& plan = work.plan;
    const Image wide = filters::bleed(source, bleed_of(plan));
    const RectPx extent = extent_of(plan, wide.size());
    std::vector<TextLine> text = work.result.text;
    for (TextLine& line : text) {
        line.box_px = moved(line.box_px, extent);
    }
    std::vector<RectPx> symbols;
    for (const survey::ColorArea& area : work.survey->palette.areas) {
        if (area.kind == survey::AreaKind::symbol) symbols.push_back(moved(area.box_px, extent));
    }
    std::vector<plan::FacePattern> patterns = work.patterns;
    for (plan::FacePattern& pattern : patterns) {
        for (RectPx& place : pattern.places) place = into_bleed(place, plan.art_px, extent);
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
    proof.extent = extent;
    const double scale = static_cast<double>(proof.picture.width()) / wide.width();
    proof.trim_px = intersection(scaled(plan.proof_trim_px, scale), proof.picture.bounds());
    proof.on_face = laid_over(filters::rescale(proof.picture, wide.size()), source.size(), extent);
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
    proof.picture = filters::bleed(proof.on_face, bleed_of(plan));
    proof.extent = extent_of(plan, proof.picture.size());
    proof.trim_px = plan.proof_trim_px;
    return proof;
}

}  // namespace paleproof::app
