// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The color room on one poker face (750 x 1050 px, 2.5 x 3.5 in at 300 ppi), one core.
#include <benchmark/benchmark.h>

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <random>
#include <vector>

#include "color/separation.h"
#include "color/source_profile.h"
#include "color/srgb.h"
#include "core/image.h"

namespace {

using namespace paleproof;
using namespace paleproof::color;

constexpr int width = 750;
constexpr int height = 1050;
constexpr Ppi ppi_300{300.0};

/// Waves of color under grain: no two neighbors alike, as in a painting; from a fixed seed.
Image painting() {
    std::mt19937 random(11);
    Image image(width, height, Encoding::srgb, ppi_300);
    for (int y = 0; y < height; ++y) {
        std::uint8_t* row = image.row(y);
        for (int x = 0; x < width; ++x) {
            for (int channel = 0; channel < 3; ++channel) {
                const double wave =
                    120.0 + 80.0 * std::sin(x * 0.006 * (channel + 1) + y * 0.004 + channel);
                const double grain = static_cast<double>(random() % 31U) - 15.0;
                *row++ = static_cast<std::uint8_t>(std::clamp(wave + grain, 0.0, 255.0));
            }
        }
    }
    return image;
}

Image noise() {
    std::mt19937 random(12);
    Image image(width, height, Encoding::srgb, ppi_300);
    for (std::uint8_t& sample : image.bytes()) sample = static_cast<std::uint8_t>(random() >> 24U);
    return image;
}

void measure_ink(benchmark::State& state, const Separation& separation, const Image& image) {
    (void)separation.ink(image, image.bounds(), image.ppi());  // the table is made at the first use
    for (auto _ : state) {
        benchmark::DoNotOptimize(separation.ink(image, image.bounds(), image.ppi()));
    }
    state.SetItemsProcessed(state.iterations() * width * height);
}

void ink_of_painting(benchmark::State& state) {
    measure_ink(state, Separation::uncoated(), painting());
}

void ink_of_noise(benchmark::State& state) { measure_ink(state, Separation::uncoated(), noise()); }

void ink_of_flat_color(benchmark::State& state) {
    measure_ink(state, Separation::uncoated(), Image(width, height, Encoding::srgb, ppi_300));
}

void ink_of_gray(benchmark::State& state) {
    measure_ink(state, Separation::uncoated(), Image(width, height, Encoding::gray, ppi_300));
}

void ink_black_of_painting(benchmark::State& state) {
    measure_ink(state, Separation::black(), painting());
}

void gray_codes_of_painting(benchmark::State& state) {
    const Image image = painting();
    Image gray(width, height, Encoding::gray, ppi_300);
    const GrayCodes& codes = gray_codes();
    for (auto _ : state) {
        const std::uint8_t* rgb = image.bytes().data();
        for (std::uint8_t& code : gray.bytes()) {
            code = codes(rgb[0], rgb[1], rgb[2]);
            rgb += 3;
        }
        benchmark::DoNotOptimize(gray.bytes().data());
        benchmark::ClobberMemory();
    }
    state.SetItemsProcessed(state.iterations() * width * height);
}

void convert(benchmark::State& state, const ToSrgb& to_srgb) {
    const Image image = painting();
    const auto samples = static_cast<std::size_t>(width) * height *
                         static_cast<std::size_t>(to_srgb.input_channels());
    std::vector<std::uint8_t> in(samples), out(samples);
    for (std::size_t i = 0; i < samples; ++i) in[i] = image.bytes()[i % image.bytes().size()];
    for (auto _ : state) {
        to_srgb.convert(in.data(), out.data(), static_cast<std::size_t>(width) * height);
        benchmark::DoNotOptimize(out.data());
        benchmark::ClobberMemory();
    }
    state.SetItemsProcessed(state.iterations() * width * height);
}

void display_p3_to_srgb(benchmark::State& state) {
    convert(state, *ToSrgb::from_cicp({12, 13, 0, 1}, SourceSpace::rgb));
}

void cmyk_to_srgb(benchmark::State& state) { convert(state, ToSrgb::default_cmyk()); }

BENCHMARK(ink_of_painting)->Unit(benchmark::kMillisecond);
BENCHMARK(ink_of_noise)->Unit(benchmark::kMillisecond);
BENCHMARK(ink_of_flat_color)->Unit(benchmark::kMillisecond);
BENCHMARK(ink_of_gray)->Unit(benchmark::kMillisecond);
BENCHMARK(ink_black_of_painting)->Unit(benchmark::kMillisecond);
BENCHMARK(gray_codes_of_painting)->Unit(benchmark::kMillisecond);
BENCHMARK(display_p3_to_srgb)->Unit(benchmark::kMillisecond);
BENCHMARK(cmyk_to_srgb)->Unit(benchmark::kMillisecond);

}  // namespace
