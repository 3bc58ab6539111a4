// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Physical size. The arithmetic is that of the PNG specification, third edition, 11.3.4.3 (pHYs,
// pixels per metre), JFIF 1.02 (density units 1 and 2) and EXIF 2.32, 4.6.4 (XResolution).
#include <doctest/doctest.h>

#include "codec/exif.h"
#include "codec/read_face.h"
#include "support/pictures.h"
#include "unit/codec/jpeg_maker.h"
#include "unit/codec/png_maker.h"
#include "unit/codec/tiff_maker.h"

using namespace paleproof;
using test::Bytes;

namespace {

codec::FaceHeader png_of(std::uint32_t x, std::uint32_t y, std::uint8_t unit) {
    const Bytes file = test::one_pixel(0, {0}, [&](test::PngMaker& maker) {
        Bytes density = test::numbers({x, y});
        density.push_back(unit);
        maker.chunk("pHYs", density);
    });
    return codec::read_face_header(file, "png");
}

codec::FaceHeader jpeg_of(int x, int y, int unit) {
    const Bytes file = test::flat_jpeg(8, 8, 0, [&](jpeg_compress_struct& info) {
        info.density_unit = static_cast<UINT8>(unit);
        info.X_density = static_cast<UINT16>(x);
        info.Y_density = static_cast<UINT16>(y);
    });
    return codec::read_face_header(file, "jpeg");
}

codec::FaceHeader exif_jpeg(const test::ExifWish& wish) {
    const Bytes file = test::flat_jpeg(
        8, 8, 0, [](jpeg_compress_struct& info) { info.write_JFIF_header = FALSE; },
        [&](jpeg_compress_struct& info) {
            test::write_segment(info, 1, test::exif_segment(wish));
        });
    return codec::read_face_header(file, "exif");
}

}  // namespace

TEST_CASE("pHYs is pixels per metre") {
    // 72, 96, 150, 300, 600 and 1200 ppi as writers round them.
    CHECK(png_of(2835, 2835, 1).ppi.value == doctest::Approx(72.009));
    CHECK(png_of(3780, 3780, 1).ppi.value == doctest::Approx(96.012));
    CHECK(png_of(5906, 5906, 1).ppi.value == doctest::Approx(150.0124));
    CHECK(png_of(11811, 11811, 1).ppi.value == doctest::Approx(299.9994));
    CHECK(png_of(23622, 23622, 1).ppi.value == doctest::Approx(599.9988));
    CHECK(png_of(47244, 47244, 1).ppi.value == doctest::Approx(1199.9976));
}

TEST_CASE("pHYs without a unit says nothing about size") {
    CHECK(png_of(1, 1, 0).ppi.value == 0.0);
    CHECK(png_of(300, 300, 0).ppi.value == 0.0);
    CHECK(png_of(300, 300, 0).notes.empty());
}

TEST_CASE("the published pHYs chunk of 300 ppi is read") {
    // PNG specification, third edition; bytes worked out by hand with CRC-32: a whole file of one
    // red pixel, sRGB, 300 ppi.
    const Bytes file = test::from_hex(
        "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de000000017352474200aece1c"
        "e9000000097048597300002e2300002e230178a53f760000000c4944415478da63f8cfc0000003010100f70341"
        "430000000049454e44ae426082");
    const codec::ReadFace got = codec::read_face(file, "red");
    CHECK(got.face.image.ppi().value == doctest::Approx(299.9994));
    CHECK(got.face.image.encoding() == Encoding::srgb);
    CHECK(got.face.image.row(0)[0] == 255);
    CHECK(got.face.image.row(0)[1] == 0);
    CHECK(got.face.image.row(0)[2] == 0);
    CHECK(got.notes.empty());
}

TEST_CASE("JFIF density is per inch or per centimeter") {
    CHECK(jpeg_of(300, 300, 1).ppi.value == 300.0);
    CHECK(jpeg_of(72, 72, 1).ppi.value == 72.0);
    CHECK(jpeg_of(96, 96, 1).ppi.value == 96.0);
    CHECK(jpeg_of(118, 118, 2).ppi.value == doctest::Approx(299.72));
    CHECK(jpeg_of(1, 1, 0).ppi.value == 0.0);
    CHECK(jpeg_of(300, 300, 0).ppi.value == 0.0);
}

TEST_CASE("EXIF resolution counts where JFIF and pHYs are silent") {
    CHECK(exif_jpeg({.x = 300, .y = 300, .unit = 2}).ppi.value == 300.0);
    CHECK(exif_jpeg({.x = 300, .y = 300}).ppi.value == 300.0);  // inches are the default
    CHECK(
        exif_jpeg({.little = true, .x = 3000, .y = 3000, .denominator = 10, .unit = 2}).ppi.value ==
        300.0);
    CHECK(exif_jpeg({.x = 11811, .y = 11811, .denominator = 100, .unit = 3}).ppi.value ==
          doctest::Approx(299.9994));
    CHECK(exif_jpeg({.x = 300, .y = 300, .unit = 1}).ppi.value == 0.0);
    CHECK(exif_jpeg({.x = 300, .y = 300, .denominator = 0, .unit = 2}).ppi.value == 0.0);
    CHECK(exif_jpeg({.x = 300, .unit = 2}).ppi.value == 0.0);
    const Bytes png = test::one_pixel(0, {0}, [](test::PngMaker& maker) {
        maker.chunk("eXIf", test::tiff_block({.x = 150, .y = 150, .unit = 2}));
    });
    CHECK(codec::read_face_header(png, "png").ppi.value == 150.0);
    const Bytes both = test::one_pixel(0, {0}, [](test::PngMaker& maker) {
        Bytes density = test::numbers({11811, 11811});
        density.push_back(1);
        maker.chunk("pHYs", density);
        maker.chunk("eXIf", test::tiff_block({.x = 150, .y = 150, .unit = 2}));
    });
    CHECK(codec::read_face_header(both, "png").ppi.value == doctest::Approx(299.9994));
}

TEST_CASE("pixels that are nearly square are averaged, others have no resolution") {
    CHECK(jpeg_of(300, 302, 1).ppi.value == 301.0);
    CHECK(jpeg_of(300, 302, 1).notes.empty());
    const codec::FaceHeader odd = jpeg_of(300, 150, 1);
    CHECK(odd.ppi.value == 0.0);
    REQUIRE(odd.notes.size() == 1);
    CHECK(odd.notes[0] ==
          "resolution passed over: expected square pixels, found 300.0 x 150.0 ppi");
}

TEST_CASE("a resolution that no card has counts as none") {
    CHECK(jpeg_of(1, 1, 1).ppi.value == 0.0);
    CHECK(jpeg_of(1, 1, 1).notes.size() == 1);
    CHECK(png_of(4294967295U, 4294967295U, 1).ppi.value == 0.0);
    CHECK(png_of(0, 0, 1).ppi.value == 0.0);
    CHECK(png_of(0, 11811, 1).ppi.value == 0.0);
}

TEST_CASE("the header alone tells size, turning and format") {
    const codec::FaceHeader header = exif_jpeg({.orientation = 6, .x = 300, .y = 300, .unit = 2});
    CHECK(header.size == SizePx{8, 8});
    CHECK(header.facts.orientation == 6);
    CHECK(header.facts.format == "JPEG");
    const Bytes wide = test::PngMaker(3, 2, 8, 0)
                           .chunk("eXIf", test::tiff_block({.orientation = 8}))
                           .pixels(Bytes(8))
                           .bytes();
    CHECK(codec::read_face_header(wide, "png").size == SizePx{2, 3});
    CHECK(codec::read_face_header(wide, "png").facts.stored == SizePx{3, 2});
}

TEST_CASE("damaged EXIF gives what could be read and never reads outside") {
    const Bytes whole = test::tiff_block({.orientation = 6, .x = 300, .y = 300, .unit = 2});
    CHECK(codec::exif(whole).orientation == 6);
    for (std::size_t cut = 0; cut < whole.size(); ++cut) {
        // A copy of its own size: the sanitizers see every byte read past it.
        const Bytes part(whole.begin(), whole.begin() + static_cast<std::ptrdiff_t>(cut));
        const codec::Exif got = codec::exif(part);
        CHECK((got.orientation == 1 || got.orientation == 6));
        CHECK((got.x_ppi == 0.0 || got.x_ppi == 300.0));
    }
    test::Dice dice(1);
    for (int i = 0; i < 2000; ++i) {
        Bytes broken = whole;
        for (int k = 0; k < 3; ++k) {
            const int at = dice.between(0, static_cast<int>(broken.size()) - 1);
            broken[static_cast<std::size_t>(at)] = static_cast<std::uint8_t>(dice.between(0, 255));
        }
        const codec::Exif got = codec::exif(broken);
        CHECK(got.orientation >= 1);
        CHECK(got.orientation <= 8);
    }
}
