// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Which of a file's statements about color counts, and that the room hands the right one over. The
// conversions themselves are tested where they live (tests/unit/color).
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <string>
#include <vector>

#include "codec/read_face.h"
#include "color/source_profile.h"
#include "support/pictures.h"
#include "unit/codec/jpeg_maker.h"
#include "unit/codec/png_maker.h"
#include "unit/codec/scratch.h"

using namespace paleproof;
using test::Bytes;

namespace {

// Debian package icc-profiles-free.
const std::string profiles = "/usr/share/color/icc/";

Bytes adobe_like() {
    Bytes icc = test::file_content(profiles + "compatibleWithAdobeRGB1998.icc");
    REQUIRE(icc.size() > 128);
    return icc;
}

Bytes iccp(const Bytes& icc) {
    return test::joined({'w', 'i', 'd', 'e', 0, 0}, test::deflated(icc));
}

const Bytes linear_gamma = test::numbers({100000});
const Bytes srgb_gamma = test::numbers({45455});
const Bytes srgb_primaries = test::numbers({31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000});

/// One pixel of (200, 100, 50) with `add`ed chunks, read.
template <class Add>
codec::ReadFace pixel(const Add& add) {
    return codec::read_face(test::one_pixel(2, {200, 100, 50}, add), "pixel");
}

Bytes values(const codec::ReadFace& got) {
    return {got.face.image.bytes().begin(), got.face.image.bytes().end()};
}

const Bytes untouched{200, 100, 50};

Bytes converted(const color::ToSrgb& conversion, Bytes pixels) {
    conversion.convert(pixels.data(), pixels.data(), pixels.size() / 3);
    return pixels;
}

/// IEC 61966-2-1:1999, 5.2: the sRGB code of linear light.
int srgb_code(double linear) {
    const double encoded =
        linear <= 0.0031308 ? 12.92 * linear : 1.055 * std::pow(linear, 1.0 / 2.4) - 0.055;
    return static_cast<int>(std::lround(255.0 * encoded));
}

}  // namespace

TEST_CASE("without any statement, and with sRGB chunks, numbers stay as they are") {
    CHECK(values(pixel([](test::PngMaker&) {})) == untouched);
    const auto full = pixel([](test::PngMaker& m) {
        m.chunk("sRGB", {0}).chunk("gAMA", srgb_gamma).chunk("cHRM", srgb_primaries);
    });
    CHECK(values(full) == untouched);
    CHECK_FALSE(full.facts.had_profile);
    CHECK(values(pixel([](test::PngMaker& m) { m.chunk("gAMA", srgb_gamma); })) == untouched);
}

TEST_CASE("cICP comes before iCCP, iCCP before sRGB, sRGB before gAMA") {
    // PNG specification, third edition, 4.3: the chunk of the highest rank that is understood.
    const Bytes wide =
        converted(color::ToSrgb::from_icc(adobe_like(), color::SourceSpace::rgb), untouched);
    REQUIRE(wide != untouched);
    const Bytes srgb_codes{1, 13, 0, 1};  // ITU-T H.273: BT.709 primaries, sRGB transfer
    CHECK(values(pixel([&](test::PngMaker& m) {
              m.chunk("cICP", srgb_codes)
                  .chunk("iCCP", iccp(adobe_like()))
                  .chunk("gAMA", linear_gamma);
          })) == untouched);
    CHECK(values(pixel([&](test::PngMaker& m) {
              m.chunk("iCCP", iccp(adobe_like())).chunk("sRGB", {0}).chunk("gAMA", linear_gamma);
          })) == wide);
    CHECK(values(pixel([&](test::PngMaker& m) {
              m.chunk("sRGB", {0}).chunk("gAMA", linear_gamma);
          })) == untouched);
    CHECK(values(pixel([&](test::PngMaker& m) { m.chunk("gAMA", linear_gamma); })) != untouched);
}

TEST_CASE("cICP that is not handled leaves the word to the next chunk, with a note") {
    const Bytes pq{9, 16, 0, 1};  // ITU-T H.273: BT.2020, SMPTE ST 2084 (high dynamic range)
    const auto got =
        pixel([&](test::PngMaker& m) { m.chunk("cICP", pq).chunk("iCCP", iccp(adobe_like())); });
    CHECK(values(got) ==
          converted(color::ToSrgb::from_icc(adobe_like(), color::SourceSpace::rgb), untouched));
    REQUIRE(got.notes.size() == 1);
    CHECK(got.notes[0] == "color chunk cICP passed over: primaries 9, transfer 16 are not handled");
}

TEST_CASE("linear gray becomes gray of the sRGB curve in one channel") {
    Bytes row{0};
    for (int v = 0; v < 256; ++v) {
        row.push_back(static_cast<std::uint8_t>(v));
    }
    const Bytes file = test::PngMaker(256, 1, 8, 0).chunk("gAMA", linear_gamma).pixels(row).bytes();
    const Face face = codec::read_face(file, "ramp").face;
    REQUIRE(face.image.encoding() == Encoding::gray);
    for (int v = 0; v < 256; ++v) {
        CAPTURE(v);
        CHECK(std::abs(face.image.row(0)[v] - srgb_code(v / 255.0)) <= 1);
    }
}

TEST_CASE("16-bit samples are converted before they are cut to 8 bits") {
    // In linear light the first 8-bit step is 13 codes wide: only 16 bits can fill it.
    Bytes row{0};
    std::vector<int> want;
    for (int v = 0; v < 2000; ++v) {
        row.push_back(static_cast<std::uint8_t>(v >> 8));
        row.push_back(static_cast<std::uint8_t>(v & 255));
        want.push_back(srgb_code(v / 65535.0));
    }
    const Bytes file =
        test::PngMaker(2000, 1, 16, 0).chunk("gAMA", linear_gamma).pixels(row).bytes();
    const Face face = codec::read_face(file, "ramp").face;
    for (int v = 0; v < 2000; ++v) {
        REQUIRE(std::abs(face.image.row(0)[v] - want[static_cast<std::size_t>(v)]) <= 1);
    }
}

TEST_CASE("color is converted before transparent parts are put on white") {
    const Bytes file = test::PngMaker(1, 1, 8, 6)
                           .chunk("iCCP", iccp(adobe_like()))
                           .pixels({0, 200, 100, 50, 128})
                           .bytes();
    const codec::ReadFace got = codec::read_face(file, "f");
    const Bytes wide =
        converted(color::ToSrgb::from_icc(adobe_like(), color::SourceSpace::rgb), untouched);
    for (std::size_t c = 0; c < 3; ++c) {
        const int want = static_cast<int>((wide[c] * 128 + 255 * 127) / 255.0 + 0.5);
        CHECK(got.face.image.bytes()[c] == want);
    }
    CHECK(got.facts.had_profile);
    CHECK(got.facts.profile_name == "wide");
}

TEST_CASE("an AdobeRGB-like PNG is converted as ImageMagick converts it") {
    // Both go through the profile's own numbers; relative colorimetric, limit two codes for
    // the different roundings of two programs.
    test::Scratch scratch("icc");
    Bytes rows;
    constexpr int width = 64;
    constexpr int height = 64;
    test::Dice dice(9);
    for (int y = 0; y < height; ++y) {
        rows.push_back(0);
        for (int x = 0; x < 3 * width; ++x) {
            rows.push_back(static_cast<std::uint8_t>(dice.between(0, 255)));
        }
    }
    const auto path = scratch.put(
        "wide.png",
        test::PngMaker(width, height, 8, 2).chunk("iCCP", iccp(adobe_like())).pixels(rows).bytes());
    const auto out = scratch.file("srgb.rgb");
    test::must_run("convert " + test::quoted(path.string()) + " -intent relative -profile " +
                   profiles + "sRGB.icc -depth 8 " + test::quoted("rgb:" + out.string()));
    const Bytes want = test::file_content(out);
    const codec::ReadFace got = codec::read_face(path);
    REQUIRE(want.size() == got.face.image.bytes().size());
    int worst = 0;
    int changed = 0;
    for (std::size_t i = 0; i < want.size(); ++i) {
        worst = std::max(worst, std::abs(want[i] - got.face.image.bytes()[i]));
        changed += want[i] != rows[i + 1 + i / (3 * width)] ? 1 : 0;
    }
    CHECK(worst <= 2);
    CHECK(changed > width * height);
}

TEST_CASE("JPEG's profile is joined from its parts in the order of their numbers") {
    // ICC.1:2022, annex B.4.
    const Bytes icc = adobe_like();
    const std::size_t third = icc.size() / 3;
    const auto part = [&](std::size_t number, std::size_t of) {
        Bytes data{'I', 'C', 'C', '_', 'P', 'R', 'O', 'F', 'I', 'L', 'E', 0};
        data.push_back(static_cast<std::uint8_t>(number));
        data.push_back(static_cast<std::uint8_t>(of));
        const std::size_t end = number == 3 ? icc.size() : number * third;
        data.insert(data.end(), icc.begin() + static_cast<std::ptrdiff_t>((number - 1) * third),
                    icc.begin() + static_cast<std::ptrdiff_t>(end));
        return data;
    };
    const auto file_with = [&](const std::vector<Bytes>& parts) {
        Bytes samples;
        for (int i = 0; i < 256; ++i) {
            samples.insert(samples.end(), {200, 100, 50});
        }
        return test::jpeg_file(16, 16, samples, JCS_RGB, {}, [&](jpeg_compress_struct& info) {
            for (const Bytes& data : parts) {
                test::write_segment(info, 2, data);
            }
        });
    };
    const Bytes plain = values(codec::read_face(file_with({}), "plain"));
    const Bytes wide = converted(color::ToSrgb::from_icc(icc, color::SourceSpace::rgb), plain);
    const auto shuffled = codec::read_face(file_with({part(2, 3), part(3, 3), part(1, 3)}), "f");
    CHECK(values(shuffled) == wide);
    CHECK(shuffled.notes.empty());
    CHECK(shuffled.facts.had_profile);
    const std::vector<std::vector<Bytes>> broken{{part(1, 3), part(3, 3)},
                                                 {part(1, 3), part(2, 3), part(2, 3)},
                                                 {part(1, 3), part(2, 4), part(3, 3)}};
    for (const auto& parts : broken) {
        const auto got = codec::read_face(file_with(parts), "f");
        CHECK(values(got) == plain);
        CHECK(got.facts.had_profile);
        CHECK(got.notes.size() == 1);
    }
}

TEST_CASE("a profile that cannot be used is passed over with a note") {
    const Bytes icc = adobe_like();
    Bytes garbage = icc;
    std::fill(garbage.begin() + 36, garbage.end(), std::uint8_t{0xAA});
    const Bytes gray = test::file_content(profiles + "Gray.icc");
    REQUIRE_FALSE(gray.empty());
    Bytes damaged = iccp(icc);
    damaged[20] ^= 0xFFU;
    const std::vector<Bytes> chunks{iccp(garbage),        iccp(gray),     damaged, {},
                                    {'n', 'a', 'm', 'e'}, iccp(Bytes(50))};
    for (const Bytes& chunk : chunks) {
        const auto got = pixel([&](test::PngMaker& m) { m.chunk("iCCP", chunk); });
        CHECK(values(got) == untouched);
        REQUIRE(got.notes.size() == 1);
        CHECK(got.notes[0].rfind("color profile passed over: ", 0) == 0);
        CHECK(got.facts.had_profile);
    }
}

TEST_CASE("a profile that unpacks to more than allowed is passed over") {
    const auto got =
        pixel([&](test::PngMaker& m) { m.chunk("iCCP", iccp(Bytes(std::size_t{40} << 20U))); });
    CHECK(values(got) == untouched);
    REQUIRE(got.notes.size() == 1);
    CHECK(got.notes[0] == "color profile passed over: expected at most 16384 KiB, found more");
}

TEST_CASE("gAMA and cHRM that describe no color space are passed over with a note") {
    const auto got = pixel([](test::PngMaker& m) { m.chunk("gAMA", test::numbers({0})); });
    CHECK(values(got) == untouched);
    CHECK(got.notes.size() == 1);
}
