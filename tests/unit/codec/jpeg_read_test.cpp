// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// JPEG against libjpeg-turbo's own program djpeg (accurate integer DCT, smooth upsampling) and, for
// CMYK, ImageMagick.
#include <doctest/doctest.h>

#include <algorithm>
#include <functional>
#include <string>
#include <vector>

#include "codec/read_face.h"
#include "color/source_profile.h"
#include "core/error.h"
#include "support/pictures.h"
#include "unit/codec/jpeg_maker.h"
#include "unit/codec/scratch.h"

using namespace paleproof;
using Bytes = std::vector<std::uint8_t>;
using Adjust = std::function<void(jpeg_compress_struct&)>;

namespace {

struct Kind {
    std::string name;
    J_COLOR_SPACE space;
    Adjust adjust;
};

Adjust sampling(int luma_h, int luma_v, int chroma_h = 1, int chroma_v = 1) {
    return [=](jpeg_compress_struct& info) {
        for (int i = 0; i < info.num_components; ++i) {
            info.comp_info[i].h_samp_factor = i == 0 ? luma_h : chroma_h;
            info.comp_info[i].v_samp_factor = i == 0 ? luma_v : chroma_v;
        }
    };
}

Adjust both(const Adjust& first, const Adjust& second) {
    return [=](jpeg_compress_struct& info) {
        first(info);
        second(info);
    };
}

void progressive(jpeg_compress_struct& info) { jpeg_simple_progression(&info); }

void arithmetic(jpeg_compress_struct& info) { info.arith_code = TRUE; }

void restarts(jpeg_compress_struct& info) { info.restart_interval = 3; }

/// One scan for each component, not progressive.
void three_scans(jpeg_compress_struct& info) {
    static const jpeg_scan_info scans[] = {
        {1, {0}, 0, 63, 0, 0}, {1, {1}, 0, 63, 0, 0}, {1, {2}, 0, 63, 0, 0}};
    info.scan_info = scans;
    info.num_scans = 3;
}

std::vector<Kind> every_kind() {
    std::vector<Kind> kinds{
        {"gray", JCS_GRAYSCALE, {}},
        {"gray, progressive", JCS_GRAYSCALE, progressive},
        {"gray, restart markers", JCS_GRAYSCALE, restarts},
        {"RGB without conversion", JCS_RGB,
         [](jpeg_compress_struct& info) { jpeg_set_colorspace(&info, JCS_RGB); }},
        {"arithmetic coding", JCS_RGB, arithmetic},
        {"arithmetic coding, progressive", JCS_RGB, both(arithmetic, progressive)},
        {"three scans", JCS_RGB, three_scans},
        {"chroma finer than luma", JCS_RGB, sampling(1, 1, 2, 2)},
    };
    for (const auto& [h, v] :
         {std::pair{1, 1}, {2, 1}, {1, 2}, {2, 2}, {4, 1}, {1, 4}, {4, 2}, {3, 1}, {2, 4}}) {
        const std::string name = "sampling " + std::to_string(h) + "x" + std::to_string(v);
        kinds.push_back({name, JCS_RGB, sampling(h, v)});
        kinds.push_back({name + ", progressive", JCS_RGB, both(sampling(h, v), progressive)});
        kinds.push_back({name + ", restart markers", JCS_RGB, both(sampling(h, v), restarts)});
    }
    return kinds;
}

/// Soft shapes and hard edges.
Bytes art(int width, int height, int channels) {
    Bytes samples;
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            for (int c = 0; c < channels; ++c) {
                const int ramp = (3 * x + 2 * y * (c + 1) + 40 * c) % 256;
                samples.push_back(
                    static_cast<std::uint8_t>((x / 9 + y / 7) % 3 == 0 ? 255 - ramp : ramp));
            }
        }
    }
    return samples;
}

/// Pixels of a PPM or PGM file as djpeg writes it: "P6\nW H\n255\n".
Bytes netpbm_pixels(const Bytes& file) {
    std::size_t at = 0;
    for (int lines = 0; lines < 3; ++lines) {
        while (file.at(at++) != '\n') {
        }
    }
    return {file.begin() + static_cast<std::ptrdiff_t>(at), file.end()};
}

Bytes pixels(const Image& image) { return {image.bytes().begin(), image.bytes().end()}; }

void with_adobe_marker(jpeg_compress_struct& info) { info.write_Adobe_marker = TRUE; }

void as_ycck(jpeg_compress_struct& info) {
    jpeg_set_colorspace(&info, JCS_YCCK);
    info.write_Adobe_marker = TRUE;
}

void without_adobe_marker(jpeg_compress_struct& info) {
    jpeg_set_colorspace(&info, JCS_CMYK);
    info.write_Adobe_marker = FALSE;
}

}  // namespace

TEST_CASE("JPEG of every kind is read as libjpeg-turbo's own program reads it") {
    test::Scratch scratch("jpeg");
    for (const Kind& kind : every_kind()) {
        for (const auto& [a_w, h] : {std::pair{61, 47}, {16, 16}, {1, 1}}) {
            const auto& w = a_w;  // clang 14 captures no bindings
            CAPTURE(kind.name);
            CAPTURE(w);
            const int channels = kind.space == JCS_RGB ? 3 : 1;
            const Bytes file = test::jpeg_file(w, h, art(w, h, channels), kind.space, kind.adjust);
            const auto path = scratch.put("x.jpg", file);
            const auto out = scratch.file("x.pnm");
            test::must_run("djpeg -dct int -pnm -outfile " + test::quoted(out.string()) + " " +
                           test::quoted(path.string()));
            const codec::ReadFace got = codec::read_face(path);
            CHECK(got.face.image.size() == SizePx{w, h});
            CHECK(got.face.image.channels() == channels);
            CHECK(pixels(got.face.image) == netpbm_pixels(test::file_content(out)));
            CHECK(got.notes.empty());
            CHECK(got.facts.format == "JPEG");
            CHECK(got.facts.channels == channels);
            CHECK_FALSE(got.face.mask.has_value());
        }
    }
}

TEST_CASE("CMYK and YCCK with the Adobe marker hold the inks that ImageMagick finds") {
    test::Scratch scratch("cmyk");
    const color::ToSrgb coated = color::ToSrgb::default_cmyk();
    for (const Adjust& adjust : {Adjust(with_adobe_marker), Adjust(as_ycck),
                                 both(as_ycck, progressive), both(as_ycck, sampling(2, 2))}) {
        constexpr int width = 40;
        constexpr int height = 24;
        const Bytes file = test::jpeg_file(width, height, art(width, height, 4), JCS_CMYK, adjust);
        const auto path = scratch.put("x.jpg", file);
        const auto out = scratch.file("x.cmyk");
        // djpeg cannot write CMYK. Both programs use the same library: the inks are equal.
        test::must_run("convert " + test::quoted(path.string()) + " -depth 8 " +
                       test::quoted("cmyk:" + out.string()));
        const Bytes inks = test::file_content(out);
        REQUIRE(inks.size() == std::size_t{4} * width * height);
        Bytes want(std::size_t{3} * width * height);
        coated.convert(inks.data(), want.data(), std::size_t{width} * height);
        const codec::ReadFace got = codec::read_face(path);
        CHECK(pixels(got.face.image) == want);
        CHECK(got.facts.channels == 4);
        CHECK(got.face.image.encoding() == Encoding::srgb);
    }
}

TEST_CASE("full cyan is cyan, stored inverted with the Adobe marker or straight without it") {
    // Common practice, no standard: with the marker 0 is full ink (libjpeg-turbo, libjpeg.txt,
    // "Special color spaces"). A mistake turns cyan into dark red.
    const auto is_cyan = [](const Bytes& file) {
        const Face face = codec::read_face(file, "f").face;
        const std::uint8_t* at = face.image.row(4) + 3 * 4;
        return at[0] < 90 && at[1] > 120 && at[2] > 180;
    };
    const auto flat = [](const Bytes& inks, const Adjust& adjust) {
        Bytes samples;
        for (int i = 0; i < 64; ++i) {
            samples.insert(samples.end(), inks.begin(), inks.end());
        }
        return test::jpeg_file(8, 8, samples, JCS_CMYK, adjust);
    };
    CHECK(is_cyan(flat({0, 255, 255, 255}, with_adobe_marker)));
    CHECK(is_cyan(flat({0, 255, 255, 255}, as_ycck)));
    CHECK(is_cyan(flat({255, 0, 0, 0}, without_adobe_marker)));
    CHECK_FALSE(is_cyan(flat({255, 0, 0, 0}, with_adobe_marker)));
}

TEST_CASE("a JPEG called .png is read as what it is") {
    test::Scratch scratch("named");
    const auto path = scratch.put("card.png", test::flat_jpeg(8, 8, 99));
    const codec::ReadFace got = codec::read_face(path);
    CHECK(got.facts.format == "JPEG");
    CHECK(got.face.name == "card");
    CHECK(got.face.image.row(3)[3] == 99);
}

TEST_CASE("a JPEG that is cut short is refused wherever it is cut") {
    for (const Adjust& adjust : {Adjust(), Adjust(progressive), Adjust(three_scans),
                                 Adjust(arithmetic), Adjust(restarts)}) {
        const Bytes file = test::jpeg_file(61, 47, art(61, 47, 3), JCS_RGB, adjust);
        for (std::size_t size = 0; size + 2 < file.size(); ++size) {
            CAPTURE(size);
            CAPTURE(file.size());
            const Bytes part(file.begin(), file.begin() + static_cast<std::ptrdiff_t>(size));
            CHECK_THROWS_AS((void)codec::read_face(part, "cut"), Error);
        }
    }
}

TEST_CASE("a baseline JPEG that lacks nothing but its end marker is read, with a note") {
    const Bytes whole = test::jpeg_file(61, 47, art(61, 47, 3), JCS_RGB);
    const Bytes unended(whole.begin(), whole.end() - 2);
    const codec::ReadFace got = codec::read_face(unended, "f");
    CHECK(got.face.image == codec::read_face(whole, "whole").face.image);
    REQUIRE(got.notes.size() == 1);
    CHECK(got.notes[0] == "the file ends without its end marker (EOI)");
}

TEST_CASE("a progressive JPEG whose last passes are missing is read, with a note") {
    // Whole as a file, from SOI to EOI, but some coefficients never came.
    const Adjust first_passes = [](jpeg_compress_struct& info) {
        jpeg_simple_progression(&info);
        info.num_scans = 3;
    };
    const Bytes file = test::jpeg_file(61, 47, art(61, 47, 3), JCS_RGB, first_passes);
    const codec::ReadFace got = codec::read_face(file, "f");
    REQUIRE(got.notes.size() == 1);
    CHECK(got.notes[0] ==
          "the file holds a coarse version of the picture only: it may have been cut short");
}

TEST_CASE("JPEG that this version does not handle says so") {
    // Two channels: no color space of JFIF or Adobe has them.
    const Bytes two = test::jpeg_file(8, 8, Bytes(128, 9), JCS_UNKNOWN);
    // Luma 3 x 1 with chroma 2 x 1 has no whole-number ratio; libjpeg does not write it either, so
    // the frame header (ITU-T T.81, B.2.2) is changed by hand.
    Bytes ratio = test::jpeg_file(24, 8, art(24, 8, 3), JCS_RGB, sampling(1, 1));
    const Bytes frame{0xFF, 0xC0};
    const auto head = std::search(ratio.begin(), ratio.end(), frame.begin(), frame.end());
    REQUIRE(ratio.end() - head > 20);
    head[11] = 0x31;
    head[14] = 0x21;
    for (const Bytes& file : {two, ratio}) {
        try {
            (void)codec::read_face(file, "f");
            FAIL("expected an Error");
        } catch (const Error& error) {
            CHECK(error.kind() == ErrorKind::unsupported);
            CHECK(error.subject() == "f");
        }
    }
}
