// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/group4.h"

#include <doctest/doctest.h>

#include <string>

#include "codec/pack.h"
#include "codec/pdf_pixels.h"
#include "core/error.h"

using namespace paleproof;

namespace {

/// '#' is ink, '.' paper.
Image drawn(const std::vector<std::string>& rows) {
    Image image(static_cast<int>(rows[0].size()), static_cast<int>(rows.size()), Encoding::bilevel);
    for (std::size_t y = 0; y < rows.size(); ++y) {
        for (std::size_t x = 0; x < rows[y].size(); ++x) {
            if (rows[y][x] == '#') image.row(static_cast<int>(y))[x] = 0;
        }
    }
    return image;
}

std::string bits_of(const Image& image) {
    std::string bits;
    for (const std::uint8_t byte : codec::group4(image)) {
        for (unsigned i = 0; i < 8; ++i) bits += (byte >> (7U - i) & 1U) != 0 ? '1' : '0';
    }
    return bits;
}

/// Filled up with zeros to whole bytes, as the encoder does.
std::string padded(std::string bits) {
    bits += "000000000001000000000001";
    while (bits.size() % 8 != 0) bits += '0';
    return bits;
}

}  // namespace

TEST_CASE("rows are coded as ITU-T T.6 says, worked out by hand from its tables") {
    // An empty row is as the imaginary white one above it: V0.
    CHECK(bits_of(drawn({"........"})) == padded("1"));
    // No change above: horizontal mode 001, white run 2 (0111), black run 3 (10); then V0 at the
    // end of the row.
    CHECK(bits_of(drawn({"..###..."})) == padded("001"
                                                 "0111"
                                                 "10"
                                                 "1"));
    // The same row again: V0 three times.
    CHECK(bits_of(drawn({"..###...", "..###..."})) == padded("001"
                                                             "0111"
                                                             "10"
                                                             "1"
                                                             "1"
                                                             "1"
                                                             "1"));
    // One to the right at both ends: VR1 (011) twice.
    CHECK(bits_of(drawn({"..###...", "...###.."})) == padded("001"
                                                             "0111"
                                                             "10"
                                                             "1"
                                                             "011"
                                                             "011"
                                                             "1"));
    // Nothing below a run: pass mode 0001.
    CHECK(bits_of(drawn({"..###...", "........"})) == padded("001"
                                                             "0111"
                                                             "10"
                                                             "1"
                                                             "0001"
                                                             "1"));
    // Ink from the edge on: a white run of 0 (00110101).
    CHECK(bits_of(drawn({"######.."})) == padded("001"
                                                 "00110101"
                                                 "0010"
                                                 "1"));
}

TEST_CASE("long runs take make-up codes") {
    // White 64 + 5 (11011 1100), black 1792 + 0 (00000001000 0000110111).
    std::string row(69, '.');
    row += std::string(1792, '#');
    CHECK(bits_of(drawn({row})) == padded("001"
                                          "11011"
                                          "1100"
                                          "00000001000"
                                          "0000110111"));
    // 2561 = 2560 (000000011111) + 1 (000111 white).
    CHECK(bits_of(drawn({std::string(2561, '.') + "#......."})) == padded("001"
                                                                    "000000011111"
                                                                    "000111"
                                                                    "010"
                                                                    "1"));
}

TEST_CASE("a packed drawing is unpacked to the same pixels, gray and color too") {
    for (const Encoding encoding : {Encoding::bilevel, Encoding::gray, Encoding::srgb}) {
        for (const int width : {1, 7, 8, 9, 31, 64, 65}) {
            Image image(width, 11, encoding, Ppi{300.0});
            unsigned state = 7;
            for (std::uint8_t& code : image.bytes()) {
                state = state * 1664525U + 1013904223U;
                code = encoding == Encoding::bilevel ? ((state >> 24U) & 1U) != 0 ? 255 : 0
                                                     : static_cast<std::uint8_t>(state >> 24U);
            }
            for (const auto level : {codec::PackLevel::fast, codec::PackLevel::small}) {
                const PackedImage packed = codec::packed(image, level);
                CHECK(codec::unpacked(packed, "face").bytes().size() == image.bytes().size());
                CHECK(std::equal(image.bytes().begin(), image.bytes().end(),
                                 codec::unpacked(packed, "face").bytes().begin()));
            }
        }
    }
}

TEST_CASE("what is no drawing, and damaged pixels, are refused") {
    CHECK_THROWS_AS((void)codec::group4(Image(4, 4, Encoding::gray)), Error);
    PackedImage packed = codec::packed(drawn({"..#.", "####"}));
    packed.zlib.resize(packed.zlib.size() / 2);
    CHECK_THROWS_AS((void)codec::unpacked(packed, "face"), Error);
    CHECK_THROWS_AS((void)codec::packed_inks(std::vector<std::uint8_t>(15), {2, 2}, {}), Error);
}
