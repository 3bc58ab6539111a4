// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Reading and writing one face of 825 x 1125 pixels (poker size with 1/8 in bleed at 300 ppi)
// against the floor: libpng's own decoding and its encoding at level 1.
#include <benchmark/benchmark.h>
#include <png.h>

#include <cmath>
#include <cstdint>
#include <cstring>
#include <vector>

#include "codec/pack.h"
#include "codec/read_face.h"
#include "codec/thumbnail.h"
#include "core/image.h"
#include "support/pictures.h"

namespace paleproof {
namespace {

constexpr int width = 825;
constexpr int height = 1125;

/// Soft shapes with grain: compresses to about 45 %, as paintings do.
Image painting(Encoding encoding) {
    test::Dice dice(7);
    Image image(width, height, encoding, Ppi{300});
    const int channels = image.channels();
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            for (int c = 0; c < channels; ++c) {
                const double soft = 128.0 + 60.0 * std::sin(x * 0.011 + c) * std::cos(y * 0.007) +
                                    30.0 * std::sin((x + 2 * y) * 0.031 + 2 * c);
                image.row(y)[x * channels + c] =
                    static_cast<std::uint8_t>(soft + dice.between(-3, 3));
            }
        }
    }
    return image;
}

/// Most of the card is paper, the rest light tones with grain, and bars for letters.
Image light_proof() {
    test::Dice dice(8);
    Image image(width, height, Encoding::gray, Ppi{300});
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            const double soft = 240.0 + 40.0 * std::sin(x * 0.011) * std::cos(y * 0.007);
            const bool letter = y > 800 && (y / 20) % 2 == 0 && (x / 4) % 3 == 0;
            const double code = letter ? 0.0 : soft + dice.between(-1, 1);
            image.row(y)[x] = static_cast<std::uint8_t>(std::min(code, 255.0));
        }
    }
    return image;
}

Image line_art() {
    Image image(2 * width, 2 * height, Encoding::bilevel, Ppi{600});
    for (int y = 0; y < image.height(); ++y) {
        for (int x = 0; x < image.width(); ++x) {
            const double wave = std::sin(x * 0.05 + 3.0 * std::sin(y * 0.01)) * std::cos(y * 0.03);
            image.row(y)[x] = std::abs(wave) < 0.08 ? 0 : 255;
        }
    }
    return image;
}

/// libpng as it comes, filters and all, at zlib's level 1: the floor of encoding.
std::vector<std::uint8_t> encoded_by_libpng(const Image& image, int color_type, int channels) {
    std::vector<std::uint8_t> bytes;
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
    png_infop info = png_create_info_struct(png);
    png_set_write_fn(
        png, &bytes,
        [](png_structp p, png_bytep data, std::size_t count) {
            auto* out = static_cast<std::vector<std::uint8_t>*>(png_get_io_ptr(p));
            out->insert(out->end(), data, data + count);
        },
        nullptr);
    png_set_IHDR(png, info, static_cast<png_uint_32>(image.width()),
                 static_cast<png_uint_32>(image.height()), 8, color_type, PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_set_compression_level(png, 1);
    png_write_info(png, info);
    std::vector<std::uint8_t> row(static_cast<std::size_t>(image.width() * channels), 255);
    for (int y = 0; y < image.height(); ++y) {
        const int from = image.channels();
        for (int x = 0; x < image.width(); ++x) {
            std::memcpy(row.data() + x * channels, image.row(y) + x * from,
                        static_cast<std::size_t>(from));
        }
        png_write_row(png, row.data());
    }
    png_write_end(png, info);
    png_destroy_write_struct(&png, &info);
    return bytes;
}

/// Plain libpng into a buffer of the file's own channels: the floor of decoding.
std::vector<std::uint8_t> decoded_by_libpng(const std::vector<std::uint8_t>& file) {
    struct Source {
        const std::uint8_t* next;
    } source{file.data()};
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
    png_infop info = png_create_info_struct(png);
    png_set_read_fn(png, &source, [](png_structp p, png_bytep out, std::size_t count) {
        auto* from = static_cast<Source*>(png_get_io_ptr(p));
        std::memcpy(out, from->next, count);
        from->next += count;
    });
    png_read_info(png, info);
    const std::size_t stride = png_get_rowbytes(png, info);
    const std::size_t rows = png_get_image_height(png, info);
    std::vector<std::uint8_t> pixels(stride * rows);
    for (std::size_t y = 0; y < rows; ++y) {
        png_read_row(png, pixels.data() + y * stride, nullptr);
    }
    png_read_end(png, nullptr);
    png_destroy_read_struct(&png, &info, nullptr);
    return pixels;
}

std::vector<std::uint8_t> file_of(int color_type) {
    const bool gray = color_type == PNG_COLOR_TYPE_GRAY;
    const int channels = gray ? 1 : color_type == PNG_COLOR_TYPE_RGB ? 3 : 4;
    return encoded_by_libpng(painting(gray ? Encoding::gray : Encoding::srgb), color_type,
                             channels);
}

void decode_floor(benchmark::State& state) {
    const auto file = file_of(static_cast<int>(state.range(0)));
    for (auto _ : state) {
        benchmark::DoNotOptimize(decoded_by_libpng(file));
    }
}

void decode(benchmark::State& state) {
    const auto file = file_of(static_cast<int>(state.range(0)));
    for (auto _ : state) {
        benchmark::DoNotOptimize(codec::read_face(file, "bench"));
    }
}

void color_types(benchmark::internal::Benchmark* bench) {
    bench->ArgName("color_type")
        ->Arg(PNG_COLOR_TYPE_RGB)
        ->Arg(PNG_COLOR_TYPE_RGB_ALPHA)
        ->Arg(PNG_COLOR_TYPE_GRAY)
        ->Unit(benchmark::kMillisecond);
}
BENCHMARK(decode_floor)->Apply(color_types);
BENCHMARK(decode)->Apply(color_types);

void decode_header(benchmark::State& state) {
    const auto file = file_of(PNG_COLOR_TYPE_RGB);
    for (auto _ : state) {
        benchmark::DoNotOptimize(codec::read_face_header(file, "bench"));
    }
}
BENCHMARK(decode_header)->Unit(benchmark::kMicrosecond);

enum Picture { rgb_painting, gray_painting, gray_proof, bilevel_lines };

Image picture(std::int64_t which) {
    switch (which) {
        case rgb_painting:
            return painting(Encoding::srgb);
        case gray_painting:
            return painting(Encoding::gray);
        case gray_proof:
            return light_proof();
        default:
            return line_art();
    }
}

void encode_floor(benchmark::State& state) {
    const Image image = picture(state.range(0));
    std::size_t size = 0;
    for (auto _ : state) {
        size = encoded_by_libpng(image,
                                 image.channels() == 3 ? PNG_COLOR_TYPE_RGB : PNG_COLOR_TYPE_GRAY,
                                 image.channels())
                   .size();
    }
    state.counters["bytes"] = static_cast<double>(size);
}
BENCHMARK(encode_floor)
    ->Arg(rgb_painting)
    ->Arg(gray_painting)
    ->Arg(gray_proof)
    ->Unit(benchmark::kMillisecond);

void pack(benchmark::State& state) {
    const Image image = picture(state.range(0));
    const auto level = state.range(1) == 0 ? codec::PackLevel::fast : codec::PackLevel::small;
    std::size_t size = 0;
    for (auto _ : state) {
        size = codec::packed(image, level).zlib.size();
    }
    state.counters["bytes"] = static_cast<double>(size);
}
BENCHMARK(pack)
    ->ArgNames({"picture", "small"})
    ->ArgsProduct({{rgb_painting, gray_painting, gray_proof, bilevel_lines}, {0, 1}})
    ->Unit(benchmark::kMillisecond);

void thumbnail(benchmark::State& state) {
    const Image image = picture(state.range(0));
    for (auto _ : state) {
        benchmark::DoNotOptimize(codec::thumbnail(image, 360));
    }
}
BENCHMARK(thumbnail)
    ->Arg(rgb_painting)
    ->Arg(gray_proof)
    ->Arg(bilevel_lines)
    ->Unit(benchmark::kMillisecond);

}  // namespace
}  // namespace paleproof
