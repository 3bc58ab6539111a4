// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What is measured on one poker face (750 x 1050 px at 300 ppi) besides its text, one core.
#include <benchmark/benchmark.h>

#include "bench_face.h"
#include "survey/border.h"
#include "survey/edges.h"
#include "survey/palette.h"
#include "survey/repeats.h"
#include "survey/sharpness.h"
#include "survey/similarity.h"

namespace {

using namespace paleproof;

const bench::BenchFace& face() {
    static const bench::BenchFace result = bench::bench_face();
    return result;
}

template <class Work>
void time_of(benchmark::State& state, const Work& work) {
    for (auto _ : state) benchmark::DoNotOptimize(work(face().picture, face().picture.bounds()));
    const SizePx size = face().picture.size();
    state.SetItemsProcessed(state.iterations() * size.width * size.height);
}

void edges_of_face(benchmark::State& state) {
    time_of(state,
            [](const Image& image, RectPx trim) { return survey::edges(image, trim, Ppi{300}); });
}

void borders_of_face(benchmark::State& state) {
    time_of(state,
            [](const Image& image, RectPx trim) { return survey::borders(image, trim, Ppi{300}); });
}

void repeats_of_face(benchmark::State& state) {
    time_of(state,
            [](const Image& image, RectPx trim) { return survey::repeats(image, trim, Ppi{300}); });
}

void sharpness_of_face(benchmark::State& state) {
    time_of(state, [](const Image& image, RectPx trim) {
        return survey::sharpness(image, trim, Ppi{300});
    });
}

void palette_of_face(benchmark::State& state) {
    time_of(state, [](const Image& image, RectPx trim) {
        return survey::palette(image, trim, Ppi{300}, face().text);
    });
}

void edge_similarity_of_two(benchmark::State& state) {
    const Image one = test::soft_card(750, 1050, Encoding::gray);
    const Image other = test::noise(750, 1050, Encoding::gray, 3);
    for (auto _ : state) benchmark::DoNotOptimize(survey::edge_similarity(one, other));
}

BENCHMARK(edges_of_face)->Unit(benchmark::kMillisecond);
BENCHMARK(borders_of_face)->Unit(benchmark::kMillisecond);
BENCHMARK(repeats_of_face)->Unit(benchmark::kMillisecond);
BENCHMARK(sharpness_of_face)->Unit(benchmark::kMillisecond);
BENCHMARK(palette_of_face)->Unit(benchmark::kMillisecond);
BENCHMARK(edge_similarity_of_two)->Unit(benchmark::kMillisecond);

}  // namespace
