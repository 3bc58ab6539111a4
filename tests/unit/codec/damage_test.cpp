// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Files broken at random, hundreds of ways: each is to give an Error or a picture, never a crash,
// a hang or a read outside its bytes. Run with the sanitizers, this is where they earn their keep.
#include <doctest/doctest.h>

#include <cstdint>
#include <vector>

#include "codec/read_face.h"
#include "core/error.h"
#include "support/pictures.h"
#include "unit/codec/jpeg_maker.h"
#include "unit/codec/png_maker.h"
#include "unit/codec/scratch.h"
#include "unit/codec/tiff_maker.h"

using namespace paleproof;
using test::Bytes;

namespace {

struct Outcome {
    int pictures = 0;
    int errors = 0;
};

void read_either_way(const Bytes& file, Outcome& outcome) {
    codec::ReadLimits limits;
    limits.max_pixels = 100'000;  // broken headers ask for all sizes: keep the test short
    try {
        const codec::ReadFace got = codec::read_face(file, "broken", limits);
        REQUIRE_FALSE(got.face.image.empty());
        REQUIRE((!got.face.mask || got.face.mask->size() == got.face.image.size()));
        REQUIRE(got.face.image.ppi() == got.facts.ppi);
        ++outcome.pictures;
    } catch (const Error& error) {
        REQUIRE(error.kind() != ErrorKind::internal);
        REQUIRE(error.subject() == "broken");
        REQUIRE_FALSE(error.detail().empty());
        ++outcome.errors;
    }
}

void set_u32(Bytes& bytes, std::size_t at, std::uint32_t value) {
    for (std::size_t i = 0; i < 4; ++i) {
        bytes[at + i] = static_cast<std::uint8_t>(value >> (24 - 8 * i));
    }
}

/// Makes the checksums of a PNG right again, so that damage gets past them.
void mend_checksums(Bytes& file) {
    for (std::size_t at = 8; at + 12 <= file.size();) {
        std::size_t length = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            length = length << 8U | file[at + i];
        }
        if (length > file.size() - at - 12) {
            return;
        }
        const auto sum = crc32(0, file.data() + at + 4, static_cast<uInt>(length + 4));
        set_u32(file, at + 8 + length, static_cast<std::uint32_t>(sum));
        at += length + 12;
    }
}

Bytes noise_rows(std::size_t stride, std::size_t height, unsigned filters) {
    test::Dice dice(17);
    Bytes rows;
    for (std::size_t y = 0; y < height; ++y) {
        rows.push_back(static_cast<std::uint8_t>(y % filters));
        for (std::size_t x = 0; x < stride; ++x) {
            rows.push_back(static_cast<std::uint8_t>(dice.between(0, 40)));
        }
    }
    return rows;
}

std::vector<Bytes> whole_pngs() {
    const Bytes icc = test::file_content("/usr/share/color/icc/compatibleWithAdobeRGB1998.icc");
    const Bytes iccp = test::joined({'p', 0, 0}, test::deflated(icc));
    Bytes density = test::numbers({11811, 11811});
    density.push_back(1);
    return {
        test::PngMaker(20, 16, 8, 2)
            .chunk("iCCP", iccp)
            .chunk("pHYs", density)
            .chunk("eXIf", test::tiff_block({.orientation = 6, .x = 300, .y = 300, .unit = 2}))
            .pixels(noise_rows(60, 16, 5))
            .bytes(),
        test::PngMaker(20, 16, 8, 6).pixels(noise_rows(80, 16, 5)).bytes(),
        test::PngMaker(20, 16, 4, 3)
            .chunk("PLTE", Bytes(48, 77))
            .chunk("tRNS", {0, 128, 255})
            .pixels(noise_rows(10, 16, 1))
            .bytes(),
        // Adam7 of 8 x 8 pixels, 16 bits gray + alpha: 15 rows in seven passes.
        test::PngMaker(8, 8, 16, 4, 1)
            .chunk("cHRM", test::numbers({31270, 32900, 64000, 33000, 30000, 60000, 15000, 6000}))
            .chunk("gAMA", test::numbers({45455}))
            .chunk("cICP", {1, 13, 0, 1})
            .pixels(Bytes(8 * 8 * 4 + 15))
            .bytes(),
    };
}

std::vector<Bytes> whole_jpegs() {
    const Bytes icc = test::file_content("/usr/share/color/icc/compatibleWithAdobeRGB1998.icc");
    const Bytes app2 =
        test::joined({'I', 'C', 'C', '_', 'P', 'R', 'O', 'F', 'I', 'L', 'E', 0, 1, 1}, icc);
    Bytes samples;
    test::Dice dice(18);
    for (int i = 0; i < 40 * 24 * 4; ++i) {
        samples.push_back(static_cast<std::uint8_t>(100 + i % 97 + dice.between(0, 20)));
    }
    const Bytes rgb(samples.begin(), samples.begin() + 40 * 24 * 3);
    const auto segments = [&](jpeg_compress_struct& info) {
        test::write_segment(info, 1,
                            test::exif_segment({.orientation = 8, .x = 72, .y = 72, .unit = 2}));
        test::write_segment(info, 2, app2);
    };
    return {
        test::jpeg_file(40, 24, rgb, JCS_RGB, {}, segments),
        test::jpeg_file(40, 24, rgb, JCS_RGB,
                        [](jpeg_compress_struct& info) { jpeg_simple_progression(&info); }),
        test::jpeg_file(40, 24, rgb, JCS_RGB,
                        [](jpeg_compress_struct& info) { info.arith_code = TRUE; }),
        test::jpeg_file(40, 24, rgb, JCS_RGB,
                        [](jpeg_compress_struct& info) { info.restart_interval = 2; }),
        test::jpeg_file(40, 24, samples, JCS_CMYK,
                        [](jpeg_compress_struct& info) {
                            jpeg_set_colorspace(&info, JCS_YCCK);
                            info.write_Adobe_marker = TRUE;
                        }),
    };
}

/// One to four bytes changed, a stretch lost, doubled or blanked, or the end cut off.
Bytes broken(const Bytes& whole, test::Dice& dice) {
    Bytes file = whole;
    const auto place = [&] {
        return static_cast<std::size_t>(dice.between(0, static_cast<int>(file.size()) - 1));
    };
    const auto at = [&](std::size_t i) { return file.begin() + static_cast<std::ptrdiff_t>(i); };
    const std::size_t from = place();
    const std::size_t to =
        std::min(file.size(), from + static_cast<std::size_t>(dice.between(1, 40)));
    switch (dice.between(0, 5)) {
        case 0:
            file.erase(at(from), at(to));
            break;
        case 1: {
            const Bytes twice(at(from), at(to));
            file.insert(at(from), twice.begin(), twice.end());
            break;
        }
        case 2:
            std::fill(at(from), at(to), static_cast<std::uint8_t>(dice.between(0, 1) * 255));
            break;
        case 3:
            file.resize(from);
            break;
        default:
            for (int i = dice.between(1, 4); i > 0; --i) {
                file[place()] = static_cast<std::uint8_t>(dice.between(0, 255));
            }
    }
    return file;
}

}  // namespace

TEST_CASE("the whole files of this test are read without a note") {
    for (const auto& files : {whole_pngs(), whole_jpegs()}) {
        for (const Bytes& file : files) {
            CHECK(codec::read_face(file, "whole").notes.empty());
        }
    }
}

TEST_CASE("files cut anywhere give an error or a picture") {
    Outcome outcome;
    for (const auto& files : {whole_pngs(), whole_jpegs()}) {
        for (const Bytes& file : files) {
            for (std::size_t size = 0; size < file.size(); ++size) {
                CAPTURE(size);
                // A vector of its own size: the sanitizers see every byte read past it.
                read_either_way(
                    Bytes(file.begin(), file.begin() + static_cast<std::ptrdiff_t>(size)), outcome);
            }
        }
    }
    CHECK(outcome.errors > 1000);
    CHECK(outcome.pictures < 100);  // those that lack no more than their end marks
}

TEST_CASE("PNG broken at random gives an error or a picture") {
    test::Dice dice(21);
    Outcome outcome;
    for (const Bytes& whole : whole_pngs()) {
        for (int i = 0; i < 600; ++i) {
            CAPTURE(i);
            Bytes file = broken(whole, dice);
            if (i % 3 != 0) {
                mend_checksums(file);
            }
            read_either_way(file, outcome);
        }
    }
    CHECK(outcome.errors > 200);
    CHECK(outcome.pictures > 100);
}

TEST_CASE("JPEG broken at random gives an error or a picture") {
    test::Dice dice(22);
    Outcome outcome;
    for (const Bytes& whole : whole_jpegs()) {
        for (int i = 0; i < 600; ++i) {
            CAPTURE(i);
            read_either_way(broken(whole, dice), outcome);
        }
    }
    CHECK(outcome.errors > 200);
    CHECK(outcome.pictures > 100);
}
