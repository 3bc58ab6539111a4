// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/finished_proof.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "filters/bleed.h"
#include "filters/gray.h"
#include "filters/rescale.h"
#include "filters/tone.h"

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

}  // namespace

ProofMaker::ProofMaker(const FaceWork& work, const Image& source, const Job& job,
                       const color::Separation& inks)
    : work_(work), source_(source), job_(job), inks_(inks) {
    if (job.style != Style::color) gray_ = filters::gray(source);
    if (job.style == Style::gray && work.gray_map.table)
        tone_ = filters::tone(source, *work.gray_map.table);
    if (is_drawn(job.style)) wide_ = filters::bleed(source, bleed_of(work.plan));
}

FinishedProof ProofMaker::drawn_proof(const Guards& guards) const {
    const plan::FacePlan& plan = work_.plan;
    const RectPx extent = extent_of(plan, wide_.size());
    std::vector<TextLine> text = work_.result.text;
    for (TextLine& line : text) {
        line.box_px = moved(line.box_px, extent);
    }
    std::vector<Symbol> symbols = work_.result.symbols;
    for (Symbol& symbol : symbols) symbol.box_px = moved(symbol.box_px, extent);
    std::vector<RectPx> first;
    for (const survey::ColorArea& area : work_.survey->palette.areas) {
        if (area.kind == survey::AreaKind::symbol) first.push_back(moved(area.box_px, extent));
    }
    std::vector<plan::FacePattern> patterns = work_.patterns;
    for (plan::FacePattern& pattern : patterns) {
        for (RectPx& place : pattern.places) place = into_bleed(place, plan.art_px, extent);
    }
    FinishedProof proof;
    proof.picture = styled_proof({.source = wide_,
                                  .trimmed = plan.proof_trim_px,
                                  .ink_budget = plan.ink_budget,
                                  .text = text,
                                  .symbols = symbols,
                                  .first = first,
                                  .patterns = patterns,
                                  .guard = guards.text,
                                  .symbol_guard = guards.symbols,
                                  .inks = &inks_},
                                 job_.style);
    proof.extent = extent;
    const double scale = static_cast<double>(proof.picture.width()) / wide_.width();
    proof.trim_px = intersection(scaled(plan.proof_trim_px, scale), proof.picture.bounds());
    proof.on_face =
        laid_over(filters::rescale(proof.picture, wide_.size()), source_.size(), extent);
    return proof;
}

FinishedProof ProofMaker::proof(const Guards& guards) const {
    if (is_drawn(job_.style)) return drawn_proof(guards);
    std::vector<CodeArea> codes;
    for (const TwinCore& core : work_.cores) codes.push_back({core.box_px, core.color});
    FinishedProof proof;
    proof.on_face =
        styled_proof({.source = source_,
                      .trimmed = intersection(work_.result.placement.trim_px, source_.bounds()),
                      .ink_budget = work_.plan.ink_budget,
                      .text = work_.result.text,
                      .symbols = work_.result.symbols,
                      .guard = guards.text,
                      .symbol_guard = guards.symbols,
                      .inks = &inks_,
                      .codes = codes,
                      .gray = !tone_.empty()  ? &tone_
                              : gray_.empty() ? nullptr
                                              : &gray_},
                     job_.style);
    return proof;
}

void ProofMaker::finish(FinishedProof& proof) const {
    if (is_drawn(job_.style)) return;
    const plan::FacePlan& plan = work_.plan;
    proof.picture = filters::bleed(proof.on_face, bleed_of(plan));
    proof.extent = extent_of(plan, proof.picture.size());
    proof.trim_px = plan.proof_trim_px;
}

}  // namespace paleproof::app
