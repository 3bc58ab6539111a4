// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/pack.h"

#include <doctest/doctest.h>
#include <png.h>

#include <algorithm>
#include <string>
#include <string_view>
#include <vector>

#include "codec/read_face.h"
#include "core/error.h"
#include "support/pictures.h"
#include "unit/codec/png_maker.h"
#include "unit/codec/scratch.h"

using namespace paleproof;
using test::Bytes;

namespace {

/// Gray or RGB of libpng's simplified API.
Bytes by_libpng(const Bytes& file, int channels) {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    REQUIRE(png_image_begin_read_from_memory(&image, file.data(), file.size()) != 0);
    image.format = channels == 3 ? PNG_FORMAT_RGB : PNG_FORMAT_GRAY;
    Bytes pixels(PNG_IMAGE_SIZE(image));
    REQUIRE(png_image_finish_read(&image, nullptr, pixels.data(), 0, nullptr) != 0);
    return pixels;
}

struct Chunk {
    std::string type;
    Bytes whole;  ///< length, type, data, checksum
};

std::vector<Chunk> chunks_of(const Bytes& file) {
    std::vector<Chunk> chunks;
    for (std::size_t at = 8; at + 12 <= file.size();) {
        std::size_t length = 0;
        for (std::size_t i = 0; i < 4; ++i) {
            length = length << 8U | file[at + i];
        }
        const auto begin = file.begin() + static_cast<std::ptrdiff_t>(at);
        REQUIRE(length + 12 <= file.size() - at);
        chunks.push_back({std::string(begin + 4, begin + 8),
                          Bytes(begin, begin + static_cast<std::ptrdiff_t>(length) + 12)});
        at += length + 12;
    }
    return chunks;
}

std::vector<std::string> types_of(const Bytes& file) {
    std::vector<std::string> types;
    for (const Chunk& chunk : chunks_of(file)) {
        types.push_back(chunk.type);
    }
    return types;
}

Bytes chunk_named(const Bytes& file, const std::string& type) {
    for (const Chunk& chunk : chunks_of(file)) {
        if (chunk.type == type) {
            return chunk.whole;
        }
    }
    return {};
}

Bytes file_at(double ppi, Encoding encoding = Encoding::gray) {
    return codec::encoded_png(codec::packed(Image(2, 2, encoding, Ppi{ppi})));
}

std::string refusal(const Bytes& file) {
    try {
        (void)codec::packed_from_png(file, "faces/a.png");
    } catch (const Error& error) {
        CHECK(error.kind() == ErrorKind::format);
        CHECK(error.subject() == "faces/a.png");
        return error.detail();
    }
    return "";
}

}  // namespace

TEST_CASE("what is packed comes out of libpng and of our own reader as it went in") {
    for (const Encoding encoding : {Encoding::gray, Encoding::srgb, Encoding::bilevel}) {
        for (const auto level : {codec::PackLevel::fast, codec::PackLevel::small}) {
            for (const auto& [a_w, a_h] : {std::pair{1, 1},
                                           {2, 5},
                                           {7, 3},
                                           {8, 8},
                                           {9, 2},
                                           {15, 4},
                                           {16, 1},
                                           {31, 9},
                                           {33, 33},
                                           {200, 120}}) {
                const int w = a_w;  // clang 14 captures no bindings
                const int h = a_h;
                for (const bool soft : {false, true}) {
                    CAPTURE(w);
                    CAPTURE(h);
                    const Image image = soft && encoding != Encoding::bilevel
                                            ? test::soft_card(w, h, encoding)
                                            : test::noise(w, h, encoding, 7);
                    const Bytes want(image.bytes().begin(), image.bytes().end());
                    const PackedImage packed = codec::packed(image, level);
                    const Bytes file = codec::encoded_png(packed);
                    CHECK(by_libpng(file, image.channels()) == want);
                    const codec::ReadFace back = codec::read_face(file, "f");
                    CHECK(Bytes(back.face.image.bytes().begin(), back.face.image.bytes().end()) ==
                          want);
                    CHECK(back.notes.empty());
                    CHECK(back.facts.bits == packed.bits);
                }
            }
        }
    }
}

TEST_CASE("the zlib stream holds filtered rows of exactly the picture's size") {
    // What a PDF reader expects behind FlateDecode with Predictor 15 (ISO 32000-2, 7.4.4.4).
    const auto check = [](const Image& image, std::size_t row_bytes) {
        const PackedImage packed = codec::packed(image);
        const std::size_t want = (row_bytes + 1) * static_cast<std::size_t>(image.height());
        Bytes rows(want + 100);
        auto size = static_cast<uLongf>(rows.size());
        REQUIRE(uncompress(rows.data(), &size, packed.zlib.data(),
                           static_cast<uLong>(packed.zlib.size())) == Z_OK);
        CHECK(size == want);
        for (std::size_t y = 0; y < want; y += row_bytes + 1) {
            CHECK(rows[y] <= 4);
        }
    };
    check(test::soft_card(61, 40, Encoding::srgb), 183);
    check(test::soft_card(61, 40, Encoding::gray), 61);
    check(test::noise(61, 40, Encoding::bilevel, 1), 8);
}

TEST_CASE("line art is one bit a pixel, one for paper") {
    Image image(10, 1, Encoding::bilevel);
    image.row(0)[0] = 0;
    image.row(0)[9] = 0;
    const PackedImage packed = codec::packed(image);
    CHECK(packed.bits == 1);
    CHECK(packed.channels == 1);
    Bytes rows(3);
    uLongf size = 3;
    REQUIRE(uncompress(rows.data(), &size, packed.zlib.data(),
                       static_cast<uLong>(packed.zlib.size())) == Z_OK);
    CHECK(rows[0] == 0);
    CHECK(rows[1] == 0x7F);
    CHECK((rows[2] & 0xC0) == 0x80);
}

TEST_CASE("chunks are the published bytes, in the order of the PNG specification") {
    // PNG specification, third edition, 5.6 (order), 11.3.2.5 (what goes with sRGB), 11.3.4.3
    // (pHYs). Bytes worked out by hand with CRC-32.
    const auto hex = [](std::string_view text) { return test::from_hex(text); };
    CHECK(chunk_named(file_at(300), "pHYs") ==
          hex("00000009 70485973 00002e23 00002e23 01 78a53f76"));
    CHECK(chunk_named(file_at(600), "pHYs") ==
          hex("00000009 70485973 00005c46 00005c46 01 14944341"));
    CHECK(chunk_named(file_at(72), "pHYs") ==
          hex("00000009 70485973 00000b13 00000b13 01 009a9c18"));
    CHECK(chunk_named(file_at(96), "pHYs") ==
          hex("00000009 70485973 00000ec4 00000ec4 01 952b0e1b"));
    CHECK(chunk_named(file_at(1200), "pHYs") ==
          hex("00000009 70485973 0000b88c 0000b88c 01 ccf6bb2f"));
    CHECK(chunk_named(file_at(300), "sRGB") == hex("00000001 73524742 00 aece1ce9"));
    CHECK(chunk_named(file_at(300), "gAMA") == hex("00000004 67414d41 0000b18f 0bfc6105"));
    CHECK(chunk_named(file_at(300, Encoding::srgb), "cHRM") ==
          hex("00000020 6348524d 00007a26 00008084 0000fa00 000080e8 00007530 0000ea60 00003a98 "
              "00001770 9cba513c"));
    CHECK(types_of(file_at(300)) ==
          std::vector<std::string>{"IHDR", "sRGB", "gAMA", "pHYs", "IDAT", "IEND"});
    CHECK(types_of(file_at(300, Encoding::srgb)) ==
          std::vector<std::string>{"IHDR", "sRGB", "gAMA", "cHRM", "pHYs", "IDAT", "IEND"});
    CHECK(types_of(file_at(0)) == std::vector<std::string>{"IHDR", "sRGB", "gAMA", "IDAT", "IEND"});
}

TEST_CASE("pngcheck finds nothing wrong with our files") {
    test::Scratch scratch("pngcheck");
    for (const Encoding encoding : {Encoding::gray, Encoding::srgb, Encoding::bilevel}) {
        const auto file = scratch.file("x.png");
        codec::write_png(file, codec::packed(test::noise(61, 47, encoding, 3)));
        test::must_run("pngcheck -q " + test::quoted(file.string()));
    }
}

TEST_CASE("a large stream is spread over several chunks of a mebibyte") {
    const PackedImage packed = codec::packed(test::noise(1000, 900, Encoding::srgb, 3));
    REQUIRE(packed.zlib.size() > 2U << 20U);
    const Bytes file = codec::encoded_png(packed);
    const auto types = types_of(file);
    CHECK(std::count(types.begin(), types.end(), "IDAT") == 3);
    CHECK(codec::packed_from_png(file, "f").zlib == packed.zlib);
}

TEST_CASE("the same picture gives the same bytes") {
    const Image image = test::soft_card(120, 80, Encoding::srgb);
    CHECK(codec::encoded_png(codec::packed(image)) == codec::encoded_png(codec::packed(image)));
}

TEST_CASE("an empty picture is our own mistake") {
    CHECK_THROWS_AS((void)codec::packed(Image()), Error);
}

TEST_CASE("our own files are taken over without unpacking") {
    test::Scratch scratch("own");
    for (const Encoding encoding : {Encoding::gray, Encoding::srgb, Encoding::bilevel}) {
        const PackedImage packed = codec::packed(test::noise(61, 47, encoding, 3));
        codec::write_png(scratch.file("x.png"), packed);
        const PackedImage back = codec::packed_from_png(scratch.file("x.png"));
        CHECK(back.width == packed.width);
        CHECK(back.height == packed.height);
        CHECK(back.channels == packed.channels);
        CHECK(back.bits == packed.bits);
        CHECK(back.zlib == packed.zlib);
        CHECK(back.ppi.value == doctest::Approx(299.9994));
    }
}

TEST_CASE("other kinds of PNG are not taken for our own") {
    const Bytes srgb{0};
    const auto png = [&](std::uint8_t bits, std::uint8_t color, std::uint8_t interlace) {
        return test::PngMaker(1, 1, bits, color, interlace).chunk("sRGB", srgb);
    };
    const std::string other = "found another kind of PNG";
    CHECK(refusal(png(8, 6, 0).pixels(Bytes(5)).bytes()).find(other) != std::string::npos);
    CHECK(refusal(png(16, 0, 0).pixels(Bytes(3)).bytes()).find(other) != std::string::npos);
    CHECK(refusal(png(4, 0, 0).pixels(Bytes(2)).bytes()).find(other) != std::string::npos);
    CHECK(refusal(png(8, 0, 1).pixels(Bytes(2)).bytes()).find(other) != std::string::npos);
    CHECK(refusal(png(8, 3, 0).chunk("PLTE", {1, 2, 3}).pixels(Bytes(2)).bytes()).find(other) !=
          std::string::npos);
    CHECK(refusal(png(8, 0, 0).chunk("tRNS", {0, 1}).pixels(Bytes(2)).bytes()).find(other) !=
          std::string::npos);
    CHECK(refusal(png(8, 2, 0).chunk("iCCP", {'a', 0, 0}).pixels(Bytes(4)).bytes()).find(other) !=
          std::string::npos);
    CHECK(refusal(test::PngMaker(1, 1, 8, 0).pixels(Bytes(2)).bytes()).find(other) !=
          std::string::npos);
    CHECK(refusal({0xFF, 0xD8, 0xFF}).find("expected a PNG file") != std::string::npos);
}

TEST_CASE("a damaged file of ours is refused, whichever byte is hit or missing") {
    const Bytes file = codec::encoded_png(codec::packed(test::soft_card(9, 9, Encoding::gray)));
    CHECK(refusal(file).empty());
    for (std::size_t at = 0; at < file.size(); ++at) {
        CAPTURE(at);
        Bytes broken = file;
        broken[at] ^= 0x10U;
        CHECK_FALSE(refusal(broken).empty());
        const Bytes part(file.begin(), file.begin() + static_cast<std::ptrdiff_t>(at));
        CHECK_FALSE(refusal(part).empty());
    }
}
