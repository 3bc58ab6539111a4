// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The PNG test suite (Willem van Schaik's PngSuite) and odd JPEGs, as Debian's golang-1.19-src
// carries them: pixels are compared with libpng's and libjpeg-turbo's own reading. Passed over when
// the package is not there.
#include <doctest/doctest.h>
#include <png.h>

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <set>
#include <string>
#include <vector>

// After <cstdio>: it uses FILE and size_t without saying so.
#include <jpeglib.h>

#include "codec/read_face.h"
#include "core/error.h"

using namespace paleproof;
namespace fs = std::filesystem;

namespace {

const fs::path images = "/usr/share/go-1.19/src/image";

std::vector<fs::path> files(const fs::path& folder, const std::string& extension) {
    std::vector<fs::path> result;
    std::error_code none;
    for (const auto& entry : fs::directory_iterator(folder, none)) {
        if (entry.path().extension() == extension) result.push_back(entry.path());
    }
    std::ranges::sort(result);
    return result;
}

struct Reading {
    int width = 0, height = 0;
    std::vector<std::uint8_t> rgba;  ///< sRGB, not composited
};

/// libpng's simplified reading, which applies gAMA as the file asks.
Reading by_libpng(const fs::path& file) {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    REQUIRE(png_image_begin_read_from_file(&image, file.c_str()) != 0);
    image.format = PNG_FORMAT_RGBA;
    Reading result{static_cast<int>(image.width), static_cast<int>(image.height), {}};
    result.rgba.resize(PNG_IMAGE_SIZE(image));
    REQUIRE(png_image_finish_read(&image, nullptr, result.rgba.data(), 0, nullptr) != 0);
    return result;
}

/// gAMA of the file as libpng gives it, 0 when it has none; the samples as stored in `result`.
double stored_by_libpng(const fs::path& file, Reading& result) {
    FILE* in = std::fopen(file.c_str(), "rb");
    REQUIRE(in != nullptr);
    png_structp png = png_create_read_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
    png_infop info = png_create_info_struct(png);
    png_init_io(png, in);
    png_set_add_alpha(png, 0xFFFF, PNG_FILLER_AFTER);
    png_read_png(png, info,
                 PNG_TRANSFORM_EXPAND | PNG_TRANSFORM_GRAY_TO_RGB | PNG_TRANSFORM_SCALE_16,
                 nullptr);
    double gamma = 0.0;
    png_get_gAMA(png, info, &gamma);
    result = {static_cast<int>(png_get_image_width(png, info)),
              static_cast<int>(png_get_image_height(png, info)),
              {}};
    png_bytepp rows = png_get_rows(png, info);
    for (int y = 0; y < result.height; ++y) {
        result.rgba.insert(result.rgba.end(), rows[y],
                           rows[y] + static_cast<std::ptrdiff_t>(result.width) * 4);
    }
    png_destroy_read_struct(&png, &info, nullptr);
    std::fclose(in);
    return gamma;
}

/// Largest difference, the transparent parts laid on white as the tool does it: on encoded values.
int difference(const Image& ours, const Reading& theirs) {
    int most = 0;
    for (int y = 0; y < ours.height(); ++y) {
        for (int x = 0; x < ours.width(); ++x) {
            const std::uint8_t* b =
                theirs.rgba.data() +
                (static_cast<std::size_t>(y) * static_cast<std::size_t>(theirs.width) +
                 static_cast<std::size_t>(x)) *
                    4;
            for (int c = 0; c < 3; ++c) {
                const int on_white = (b[c] * b[3] + 255 * (255 - b[3]) + 127) / 255;
                const int own = ours.channels() == 1 ? ours.row(y)[x] : ours.row(y)[3 * x + c];
                most = std::max(most, std::abs(own - on_white));
            }
        }
    }
    return most;
}

/// libjpeg-turbo's RGB or gray; nothing for CMYK, which it does not convert.
Reading by_libjpeg(const fs::path& file) {
    jpeg_decompress_struct jpeg{};
    jpeg_error_mgr errors{};
    jpeg.err = jpeg_std_error(&errors);
    errors.output_message = [](j_common_ptr) {};
    jpeg_create_decompress(&jpeg);
    FILE* in = std::fopen(file.c_str(), "rb");
    REQUIRE(in != nullptr);
    jpeg_stdio_src(&jpeg, in);
    jpeg_read_header(&jpeg, TRUE);
    Reading result{static_cast<int>(jpeg.image_width), static_cast<int>(jpeg.image_height), {}};
    if (jpeg.num_components != 4) {
        jpeg.out_color_space = JCS_RGB;
        jpeg_start_decompress(&jpeg);
        std::vector<std::uint8_t> row(static_cast<std::size_t>(jpeg.output_width) * 3);
        while (jpeg.output_scanline < jpeg.output_height) {
            JSAMPROW rows[] = {row.data()};
            jpeg_read_scanlines(&jpeg, rows, 1);
            for (std::size_t i = 0; i < row.size(); i += 3) {
                result.rgba.insert(result.rgba.end(), {row[i], row[i + 1], row[i + 2], 255});
            }
        }
    }
    jpeg_destroy_decompress(&jpeg);
    std::fclose(in);
    return result;
}

}  // namespace

TEST_CASE("PngSuite and the other valid PNGs have libpng's pixels") {
    int read = 0;
    for (const char* folder : {"png/testdata/pngsuite", "png/testdata", "testdata"}) {
        for (const fs::path& file : files(images / folder, ".png")) {
            if (file.filename().string().starts_with("invalid-")) continue;
            CAPTURE(file.string());
            const codec::ReadFace got = codec::read_face(file);
            Reading wanted;
            const double gamma = stored_by_libpng(file, wanted);
            // What the tool takes for sRGB is compared as it is stored; 16 bits are rounded after
            // they were laid on white. Other curves: libpng's own conversion, which rounds its
            // tables, and lays on white in linear light.
            const bool plain = gamma == 0.0 || std::abs(gamma - 0.45455) < 1e-4;
            if (!plain) wanted = by_libpng(file);
            REQUIRE(got.face.image.width() == wanted.width);
            REQUIRE(got.face.image.height() == wanted.height);
            CHECK(difference(got.face.image, wanted) <= (plain ? 1 : 8));
            ++read;
        }
    }
    if (fs::exists(images)) CHECK(read >= 45);
}

TEST_CASE("the odd JPEGs have libjpeg-turbo's pixels, exactly") {
    int read = 0;
    for (const fs::path& file : files(images / "testdata", ".jpeg")) {
        CAPTURE(file.string());
        const codec::ReadFace got = codec::read_face(file);
        const Reading wanted = by_libjpeg(file);
        CHECK(got.face.image.width() == wanted.width);
        CHECK(got.face.image.height() == wanted.height);
        const bool cut_short = file.string().find("truncated") != std::string::npos;
        CHECK(got.notes.empty() != cut_short);
        if (!wanted.rgba.empty()) CHECK(difference(got.face.image, wanted) == 0);
        ++read;
    }
    if (fs::exists(images)) CHECK(read >= 20);
}

TEST_CASE("the broken PNGs are refused, each in one line that says what is wrong") {
    std::set<std::string> refused;
    for (const fs::path& file : files(images / "png/testdata", ".png")) {
        if (!file.filename().string().starts_with("invalid-")) continue;
        CAPTURE(file.string());
        try {
            const codec::ReadFace got = codec::read_face(file);
            FAIL_CHECK("was read");
        } catch (const Error& error) {
            CHECK(error.kind() != ErrorKind::internal);
            CHECK(std::string(error.what()).find('\n') == std::string::npos);
            CHECK(error.detail().find("expected") != std::string::npos);
            refused.insert(file.filename().string());
        }
    }
    if (fs::exists(images)) CHECK(refused.size() == 5);
}
