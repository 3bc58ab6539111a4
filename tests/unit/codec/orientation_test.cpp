// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// EXIF 2.32, tag 0x0112. The stored rows RGB / YCM and the upright rows of each value: worked out
// with Pillow's ImageOps.exif_transpose.
#include "codec/orientation.h"

#include <doctest/doctest.h>

#include <cstdlib>
#include <string>
#include <vector>

#include "codec/read_face.h"
#include "support/pictures.h"
#include "unit/codec/jpeg_maker.h"
#include "unit/codec/png_maker.h"
#include "unit/codec/tiff_maker.h"

using namespace paleproof;
using test::Bytes;

namespace {

struct Upright {
    int orientation;
    std::vector<std::string> rows;
};

const std::vector<Upright> table{
    {1, {"RGB", "YCM"}},     {2, {"BGR", "MCY"}},     {3, {"MCY", "BGR"}},
    {4, {"YCM", "RGB"}},     {5, {"RY", "GC", "BM"}}, {6, {"YR", "CG", "MB"}},
    {7, {"MB", "CG", "YR"}}, {8, {"BM", "GC", "RY"}},
};

Bytes color(char letter) {
    switch (letter) {
        case 'R':
            return {255, 0, 0};
        case 'G':
            return {0, 255, 0};
        case 'B':
            return {0, 0, 255};
        case 'Y':
            return {255, 255, 0};
        case 'C':
            return {0, 255, 255};
        default:
            return {255, 0, 255};
    }
}

/// Reads the color at the middle of each cell of `cell` pixels; '?' for none of the six.
std::vector<std::string> rows_of(const Image& image, int cell) {
    std::vector<std::string> rows;
    for (int y = 0; y < image.height() / cell; ++y) {
        std::string row;
        for (int x = 0; x < image.width() / cell; ++x) {
            const std::uint8_t* at = image.row(y * cell + cell / 2) + 3 * (x * cell + cell / 2);
            char found = '?';
            for (const char letter : std::string("RGBYCM")) {
                const Bytes want = color(letter);
                bool same = true;
                for (std::size_t c = 0; c < 3; ++c) {
                    same = same && std::abs(at[c] - want[c]) <= 6;  // JPEG rounds
                }
                found = same ? letter : found;
            }
            row += found;
        }
        rows.push_back(row);
    }
    return rows;
}

}  // namespace

TEST_CASE("PNG with eXIf is turned upright, before or after its pixels") {
    for (const Upright& want : table) {
        for (const bool early : {true, false}) {
            for (const bool little : {true, false}) {
                CAPTURE(want.orientation);
                const Bytes block =
                    test::tiff_block({.little = little, .orientation = want.orientation});
                Bytes rows;
                for (const char* row : {"RGB", "YCM"}) {
                    rows.push_back(0);
                    for (const char letter : std::string(row)) {
                        const Bytes rgb = color(letter);
                        rows.insert(rows.end(), rgb.begin(), rgb.end());
                    }
                }
                test::PngMaker maker(3, 2, 8, 2);
                if (early) {
                    maker.chunk("eXIf", block);
                }
                maker.pixels(rows);
                if (!early) {
                    maker.chunk("eXIf", block);
                }
                const codec::ReadFace got = codec::read_face(maker.bytes(), "f");
                CHECK(got.facts.orientation == want.orientation);
                CHECK(rows_of(got.face.image, 1) == want.rows);
            }
        }
    }
}

TEST_CASE("JPEG with EXIF is turned upright") {
    constexpr int cell = 16;
    Bytes samples;
    for (const char* row : {"RGB", "YCM"}) {
        for (int y = 0; y < cell; ++y) {
            for (const char letter : std::string(row)) {
                for (int x = 0; x < cell; ++x) {
                    const Bytes rgb = color(letter);
                    samples.insert(samples.end(), rgb.begin(), rgb.end());
                }
            }
        }
    }
    for (const Upright& want : table) {
        CAPTURE(want.orientation);
        const Bytes file = test::jpeg_file(
            3 * cell, 2 * cell, samples, JCS_RGB, {}, [&](jpeg_compress_struct& info) {
                test::write_segment(info, 1, test::exif_segment({.orientation = want.orientation}));
            });
        const Face face = codec::read_face(file, "f").face;
        CHECK(rows_of(face.image, cell) == want.rows);
    }
}

TEST_CASE("the smallest EXIF block for value 6 is understood") {
    // EXIF 2.32, 4.5.2 and 4.6.2: header, one entry, no next directory.
    const Bytes segment =
        test::from_hex("45786966 0000 4d4d002a00000008 0001 0112 0003 00000001 0006 0000 00000000");
    const Bytes file = test::flat_jpeg(
        16, 8, 200, {}, [&](jpeg_compress_struct& info) { test::write_segment(info, 1, segment); });
    const codec::ReadFace got = codec::read_face(file, "f");
    CHECK(got.facts.orientation == 6);
    CHECK(got.face.image.size() == SizePx{8, 16});
}

TEST_CASE("the mask is turned with the picture") {
    const Bytes file = test::PngMaker(2, 1, 8, 4)
                           .chunk("eXIf", test::tiff_block({.orientation = 6}))
                           .pixels({0, 10, 255, 20, 0})
                           .bytes();
    const Face face = codec::read_face(file, "f").face;
    REQUIRE(face.mask.has_value());
    CHECK(face.image.size() == SizePx{1, 2});
    CHECK(face.image.row(0)[0] == 10);
    CHECK(face.image.row(1)[0] == 255);
    CHECK(face.mask->row(0)[0] == 255);
    CHECK(face.mask->row(1)[0] == 0);
}

TEST_CASE("turning moves every pixel of odd sizes to its place") {
    for (const Encoding encoding : {Encoding::gray, Encoding::srgb}) {
        const Image stored = test::noise(67, 45, encoding, 5);
        const int channels = stored.channels();
        for (int orientation = 1; orientation <= 8; ++orientation) {
            const Image turned = codec::upright(stored, orientation);
            REQUIRE(turned.size() == codec::upright(stored.size(), orientation));
            bool same = true;
            for (int y = 0; y < stored.height(); ++y) {
                for (int x = 0; x < stored.width(); ++x) {
                    const int right = stored.width() - 1 - x;
                    const int below = stored.height() - 1 - y;
                    const int to_x[] = {x, right, right, x, y, below, below, y};
                    const int to_y[] = {y, y, below, below, x, x, right, right};
                    for (int c = 0; c < channels; ++c) {
                        same = same &&
                               turned.row(
                                   to_y[orientation - 1])[to_x[orientation - 1] * channels + c] ==
                                   stored.row(y)[x * channels + c];
                    }
                }
            }
            CHECK(same);
        }
    }
}
