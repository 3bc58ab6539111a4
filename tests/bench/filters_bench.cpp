// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Each filter on one poker face (750 x 1050 px at 300 ppi), one core.
#include <benchmark/benchmark.h>

#include <vector>

#include "bench_face.h"
#include "core/patches.h"
#include "filters/bleed.h"
#include "filters/carry.h"
#include "filters/corners.h"
#include "filters/cover.h"
#include "filters/dark_field.h"
#include "filters/edge_keep.h"
#include "filters/fit.h"
#include "filters/flow.h"
#include "filters/gray.h"
#include "filters/hatch.h"
#include "filters/letter_shape.h"
#include "filters/letter_tone.h"
#include "filters/letters.h"
#include "filters/lighten.h"
#include "filters/line_art.h"
#include "filters/line_choice.h"
#include "filters/line_rank.h"
#include "filters/panel_flip.h"
#include "filters/rescale.h"
#include "filters/stroke_flow.h"
#include "filters/symbols.h"
#include "filters/text_clear.h"
#include "filters/text_guard.h"
#include "filters/tint.h"
#include "filters/xdog.h"

namespace {

using namespace paleproof;

const bench::BenchFace& face() {
    static const bench::BenchFace result = bench::bench_face();
    return result;
}

const Image& gray_face() {
    static const Image result = filters::gray(face().picture);
    return result;
}

const std::vector<filters::Letters>& letters_of_face() {
    static const auto result = filters::letters(face().picture, face().text);
    return result;
}

filters::Plane plane_of(const Image& gray) {
    filters::Plane plane(gray.width(), gray.height());
    std::copy(gray.bytes().begin(), gray.bytes().end(), plane.values.begin());
    return plane;
}

/// Times `work`, one face an item.
template <class Work>
void time_of(benchmark::State& state, const Work& work) {
    for (auto _ : state) benchmark::DoNotOptimize(work());
    const SizePx size = face().picture.size();
    state.SetItemsProcessed(state.iterations() * size.width * size.height);
}

void bleed(benchmark::State& state) {
    const auto method = static_cast<BleedMethod>(state.range(0));
    filters::Bleed p;
    p.amount = {36, 36, 36, 36};
    p.method = {method, method, method, method};
    time_of(state, [&] { return filters::bleed(gray_face(), p); });
}

filters::EdgeStrip top_strip() {
    filters::EdgeStrip strip;
    strip.length = gray_face().width();
    strip.channels = 1;
    strip.rows = 80;
    for (int y = 0; y < strip.rows; ++y) {
        const std::uint8_t* row = gray_face().row(y);
        strip.values.insert(strip.values.end(), row, row + strip.length);
    }
    return strip;
}

void carry(benchmark::State& state) {
    const filters::EdgeStrip strip = top_strip();
    time_of(state, [&] { return filters::carry(strip, 36); });
}

void flow(benchmark::State& state) {
    const filters::EdgeStrip strip = top_strip();
    time_of(state, [&] { return filters::flow(strip, 36); });
}

void corners(benchmark::State& state) {
    time_of(state, [] { return filters::corners(face().picture, {{}, {40, 40, 40, 40}}); });
}

void cover(benchmark::State& state) {
    const std::vector<RectPx> boxes{face().text[0].box_px, face().text[1].box_px};
    time_of(state, [&] { return filters::cover(face().picture, boxes); });
}

void dark_field(benchmark::State& state) {
    time_of(state, [] { return filters::dark_field(gray_face()); });
}

void edge_keep(benchmark::State& state) {
    const filters::Plane plane = plane_of(gray_face());
    time_of(state, [&] { return filters::edge_keep(plane, Ppi{300}); });
}

void fit(benchmark::State& state) {
    time_of(state, [] { return filters::fit(face().picture, {825, 1125}); });
}

void gray(benchmark::State& state) {
    time_of(state, [] { return filters::gray(face().picture); });
}

void hatch(benchmark::State& state) {
    std::vector<filters::HatchArea> areas(1);
    areas[0].pattern.color = {200, 40, 40};
    areas[0].places = {{60, 60, 90, 90}};
    time_of(state, [&] { return filters::hatch(face().picture, areas, Image()); });
}

void letter_tone(benchmark::State& state) {
    time_of(state, [] {
        return filters::letter_tone(face().picture, face().text.front().box_px,
                                    face().text.front());
    });
}

void letter_shape(benchmark::State& state) {
    const TextLine& line = face().text.front();
    const int around = filters::room_around(line);
    const RectPx& b = line.box_px;
    const Image tone = filters::letter_tone(
        face().picture,
        intersection({b.x - around, b.y - around, b.width + 2 * around, b.height + 2 * around},
                     face().picture.bounds()),
        line);
    time_of(state, [&] {
        Image strength = tone;
        filters::keep_letter_shapes(strength, line);
        return strength;
    });
}

void letters(benchmark::State& state) {
    time_of(state, [] { return filters::letters(face().picture, face().text); });
}

/// Twenty discs of 2.4 mm with a figure, as many as a face with icons in its text has.
void symbols(benchmark::State& state) {
    std::vector<Symbol> found;
    for (int i = 0; i < 20; ++i) {
        found.push_back({.box_px = {40 + 60 * (i % 10), 200 + 60 * (i / 10), 29, 29},
                         .ground_color = {238, 224, 190},
                         .figure_color = {24, 20, 48},
                         .on_field = true,
                         .field_color = {206, 70, 76}});
    }
    time_of(state, [&] { return filters::symbols(face().picture, found); });
}

/// 12 % asks for the drawing, 40 % for the card under it.
void lighten(benchmark::State& state) {
    const double budget = static_cast<double>(state.range(0)) / 100.0;
    time_of(state, [&] { return filters::lighten(gray_face(), {.ink_budget = budget}); });
}

void line_art(benchmark::State& state) {
    time_of(state, [] { return filters::line_art(face().picture, {}); });
}

void line_choice(benchmark::State& state) {
    const filters::Plane rank = plane_of(gray_face());
    const filters::StrokeFlow flow = filters::stroke_flow(rank, 4.0);
    time_of(state, [&] {
        return filters::line_choice(filters::line_order(rank, flow, {.apart = 10.0}), 1e5);
    });
}

void stroke_flow(benchmark::State& state) {
    const filters::Plane plane = plane_of(gray_face());
    time_of(state, [&] { return filters::stroke_flow(plane, 2.0); });
}

void line_rank(benchmark::State& state) {
    const filters::Plane tone = plane_of(gray_face());
    filters::Plane contrast(tone.width, tone.height);
    for (int y = 8; y < tone.height; y += 16) {
        std::fill(contrast.row(y) + 20, contrast.row(y) + 700, 30.0F);
    }
    time_of(state, [&] { return filters::line_rank({tone, contrast, Ppi{300}}, {}); });
}

void panel_flip(benchmark::State& state) {
    const Image cleared = filters::text_clear(gray_face(), letters_of_face());
    time_of(state, [&] { return filters::panel_flip(cleared, face().text); });
}

void patches(benchmark::State& state) {
    std::vector<std::uint8_t> mask(gray_face().bytes().begin(), gray_face().bytes().end());
    for (std::uint8_t& code : mask) code = code < 100 ? 255 : 0;
    time_of(state,
            [&] { return patches_of(mask.data(), gray_face().width(), gray_face().height()); });
}

void rescale(benchmark::State& state) {
    Image lines(1500, 2100, Encoding::bilevel, Ppi{600});
    time_of(state, [&] { return filters::rescale(lines, gray_face().size()); });
}

void text_clear(benchmark::State& state) {
    time_of(state, [] { return filters::text_clear(gray_face(), letters_of_face()); });
}

void text_guard(benchmark::State& state) {
    time_of(state, [] { return filters::text_guard(gray_face(), letters_of_face()); });
}

void tint(benchmark::State& state) {
    time_of(state, [] { return filters::tint(face().picture, gray_face()); });
}

void xdog(benchmark::State& state) {
    time_of(state, [] { return filters::xdog(gray_face()); });
}

BENCHMARK(bleed)
    ->ArgName("method")
    ->Arg(static_cast<int>(BleedMethod::stretch))
    ->Arg(static_cast<int>(BleedMethod::mirror))
    ->Arg(static_cast<int>(BleedMethod::carry))
    ->Unit(benchmark::kMillisecond);
BENCHMARK(carry)->Unit(benchmark::kMillisecond);
BENCHMARK(corners)->Unit(benchmark::kMillisecond);
BENCHMARK(cover)->Unit(benchmark::kMillisecond);
BENCHMARK(dark_field)->Unit(benchmark::kMillisecond);
BENCHMARK(edge_keep)->Unit(benchmark::kMillisecond);
BENCHMARK(fit)->Unit(benchmark::kMillisecond);
BENCHMARK(flow)->Unit(benchmark::kMillisecond);
BENCHMARK(gray)->Unit(benchmark::kMillisecond);
BENCHMARK(hatch)->Unit(benchmark::kMillisecond);
BENCHMARK(letter_shape)->Unit(benchmark::kMillisecond);
BENCHMARK(letter_tone)->Unit(benchmark::kMillisecond);
BENCHMARK(letters)->Unit(benchmark::kMillisecond);
BENCHMARK(lighten)->ArgName("percent")->Arg(12)->Arg(40)->Unit(benchmark::kMillisecond);
BENCHMARK(line_art)->Unit(benchmark::kMillisecond);
BENCHMARK(line_choice)->Unit(benchmark::kMillisecond);
BENCHMARK(line_rank)->Unit(benchmark::kMillisecond);
BENCHMARK(panel_flip)->Unit(benchmark::kMillisecond);
BENCHMARK(patches)->Unit(benchmark::kMillisecond);
BENCHMARK(rescale)->Unit(benchmark::kMillisecond);
BENCHMARK(stroke_flow)->Unit(benchmark::kMillisecond);
BENCHMARK(symbols)->Unit(benchmark::kMillisecond);
BENCHMARK(text_clear)->Unit(benchmark::kMillisecond);
BENCHMARK(text_guard)->Unit(benchmark::kMillisecond);
BENCHMARK(tint)->Unit(benchmark::kMillisecond);
BENCHMARK(xdog)->Unit(benchmark::kMillisecond);

}  // namespace
