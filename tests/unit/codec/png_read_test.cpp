// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>
#include <png.h>

#include <cstdlib>
#include <cstring>
#include <string>
#include <vector>

#include "codec/read_face.h"
#include "core/error.h"
#include "support/pictures.h"
#include "unit/codec/png_maker.h"

using namespace paleproof;
using test::Bytes;

namespace {

struct Kind {
    int color = 0;
    int bits = 8;
    bool interlaced = false;
    bool transparent = false;  ///< with tRNS
};

std::string name(const Kind& kind) {
    return "color type " + std::to_string(kind.color) + ", " + std::to_string(kind.bits) + " bits" +
           (kind.interlaced ? ", interlaced" : "") + (kind.transparent ? ", tRNS" : "");
}

int channels_of(int color) {
    return color == PNG_COLOR_TYPE_RGB          ? 3
           : color == PNG_COLOR_TYPE_RGB_ALPHA  ? 4
           : color == PNG_COLOR_TYPE_GRAY_ALPHA ? 2
                                                : 1;
}

/// Random samples written by libpng, marked as sRGB so that no reader of it bends the tones.
Bytes written_by_libpng(const Kind& kind, png_uint_32 width, png_uint_32 height) {
    Bytes file;
    test::Dice dice(static_cast<std::uint32_t>(kind.color * 100 + kind.bits));
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
    png_infop info = png_create_info_struct(png);
    png_set_write_fn(
        png, &file,
        [](png_structp p, png_bytep data, std::size_t count) {
            auto* out = static_cast<Bytes*>(png_get_io_ptr(p));
            out->insert(out->end(), data, data + count);
        },
        nullptr);
    png_set_IHDR(png, info, width, height, kind.bits, kind.color,
                 kind.interlaced ? PNG_INTERLACE_ADAM7 : PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_set_sRGB(png, info, PNG_sRGB_INTENT_PERCEPTUAL);
    png_set_filter(png, PNG_FILTER_TYPE_BASE, PNG_ALL_FILTERS);
    const int colors = kind.color == PNG_COLOR_TYPE_PALETTE ? 1 << kind.bits : 0;
    std::vector<png_color> palette(static_cast<std::size_t>(colors));
    for (png_color& entry : palette) {
        entry = {static_cast<png_byte>(dice.between(0, 255)),
                 static_cast<png_byte>(dice.between(0, 255)),
                 static_cast<png_byte>(dice.between(0, 255))};
    }
    if (colors > 0) {
        png_set_PLTE(png, info, palette.data(), colors);
    }
    png_color_16 key{};
    const auto low = static_cast<png_uint_16>(kind.bits == 16 ? 0x1234 : (1 << kind.bits) / 2);
    key.red = key.green = key.blue = key.gray = low;
    const std::vector<png_byte> alphas{0, 40, 128, 254, 255};
    if (kind.transparent) {
        const int count = std::min<int>(colors, static_cast<int>(alphas.size()));
        png_set_tRNS(png, info, alphas.data(), count, &key);
    }
    png_write_info(png, info);
    const std::size_t stride = png_get_rowbytes(png, info);
    std::vector<Bytes> rows(height, Bytes(stride));
    std::vector<png_bytep> pointers;
    for (Bytes& row : rows) {
        // Runs of equal bytes make the writer choose different filters; some pixels hit the key.
        std::uint8_t value = 0;
        for (std::uint8_t& byte : row) {
            if (dice.between(0, 2) == 0) {
                value = static_cast<std::uint8_t>(dice.between(0, 255));
            }
            byte = value;
        }
        const auto samples = static_cast<std::size_t>(channels_of(kind.color));
        const auto bytes = static_cast<std::size_t>(kind.bits / 8);
        for (std::size_t c = 0; bytes > 0 && c < samples; ++c) {
            row[c * bytes + bytes - 1] = static_cast<std::uint8_t>(low);
            row[c * bytes] = static_cast<std::uint8_t>(bytes == 2 ? low >> 8U : low);
        }
        pointers.push_back(row.data());
    }
    png_write_image(png, pointers.data());
    png_write_end(png, info);
    png_destroy_write_struct(&png, &info);
    return file;
}

/// RGBA of libpng's simplified API (png.h, "Simplified API"), 8 bits.
Bytes simplified(const Bytes& file, png_uint_32& width, png_uint_32& height) {
    png_image image{};
    image.version = PNG_IMAGE_VERSION;
    REQUIRE(png_image_begin_read_from_memory(&image, file.data(), file.size()) != 0);
    image.format = PNG_FORMAT_RGBA;
    width = image.width;
    height = image.height;
    Bytes pixels(PNG_IMAGE_SIZE(image));
    REQUIRE(png_image_finish_read(&image, nullptr, pixels.data(), 0, nullptr) != 0);
    return pixels;
}

/// Composited on white by the formula of read_face.h, in floating point.
int on_white(int color, int alpha) {
    return static_cast<int>((color * alpha + 255.0 * (255 - alpha)) / 255.0 + 0.5);
}

/// The greatest difference of `face` from the reference picture, in codes; -1 for another size.
int worst_step(const Face& face, const Bytes& rgba, png_uint_32 width, png_uint_32 height) {
    const Image& image = face.image;
    if (image.width() != static_cast<int>(width) || image.height() != static_cast<int>(height)) {
        return -1;
    }
    int worst = 0;
    bool opaque = true;
    for (int y = 0; y < image.height(); ++y) {
        for (int x = 0; x < image.width(); ++x) {
            const std::uint8_t* want = rgba.data() + 4 * (y * image.width() + x);
            for (int c = 0; c < 3; ++c) {
                const int got =
                    image.row(y)[x * image.channels() + (image.channels() == 3 ? c : 0)];
                worst = std::max(worst, std::abs(got - on_white(want[c], want[3])));
            }
            opaque = opaque && want[3] == 255;
            const int mask = face.mask ? face.mask->row(y)[x] : 255;
            worst = std::max(worst, std::abs(mask - want[3]));
        }
    }
    CHECK(face.mask.has_value() == !opaque);
    return worst;
}

std::vector<Kind> every_kind() {
    std::vector<Kind> kinds;
    const auto add = [&](int color, std::initializer_list<int> depths, bool may_be_transparent) {
        for (const int bits : depths) {
            for (const bool interlaced : {false, true}) {
                kinds.push_back({color, bits, interlaced, false});
                if (may_be_transparent) {
                    kinds.push_back({color, bits, interlaced, true});
                }
            }
        }
    };
    add(PNG_COLOR_TYPE_GRAY, {1, 2, 4, 8, 16}, true);
    add(PNG_COLOR_TYPE_RGB, {8, 16}, true);
    add(PNG_COLOR_TYPE_PALETTE, {1, 2, 4, 8}, true);
    add(PNG_COLOR_TYPE_GRAY_ALPHA, {8, 16}, false);
    add(PNG_COLOR_TYPE_RGB_ALPHA, {8, 16}, false);
    return kinds;
}

}  // namespace

TEST_CASE(
    "PNG of every color type, depth, interlace and tRNS is read as libpng's own API reads it") {
    // All kinds of PNG specification, third edition, table 11.1. 16-bit colors under partial alpha
    // are rounded once here and twice in the reference: one step.
    const std::vector<Kind> kinds = every_kind();
    CHECK(kinds.size() == 52);
    const std::pair<png_uint_32, png_uint_32> sizes[] = {{1, 1},   {2, 3},   {7, 5},  {8, 8},
                                                         {15, 16}, {33, 31}, {64, 9}, {5, 100}};
    for (const Kind& kind : kinds) {
        for (const auto& [width_of_size, height_of_size] : sizes) {
            const png_uint_32 w = width_of_size;  // doctest captures variables, no bindings
            const png_uint_32 h = height_of_size;
            const std::string what = name(kind);
            CAPTURE(what);
            CAPTURE(w);
            CAPTURE(h);
            const Bytes file = written_by_libpng(kind, w, h);
            png_uint_32 width = 0;
            png_uint_32 height = 0;
            // The simplified API of libpng 1.6.39 as Debian 12 has it mixes up the rows of
            // interlaced files with 16 bits: it gets the same pixels without interlace.
            Kind plain = kind;
            plain.interlaced = kind.interlaced && kind.bits < 16;
            const Bytes want = simplified(written_by_libpng(plain, w, h), width, height);
            const codec::ReadFace got = codec::read_face(file, what);
            const int step = worst_step(got.face, want, width, height);
            CHECK(step >= 0);
            CHECK(step <= (kind.bits == 16 ? 1 : 0));
            CHECK(got.notes.empty());
            CHECK(got.facts.format == "PNG");
            CHECK(got.facts.bits == kind.bits);
            CHECK(got.facts.channels == channels_of(kind.color));
            const bool gray =
                kind.color == PNG_COLOR_TYPE_GRAY || kind.color == PNG_COLOR_TYPE_GRAY_ALPHA;
            CHECK(got.face.image.encoding() == (gray ? Encoding::gray : Encoding::srgb));
        }
    }
}

TEST_CASE("16-bit samples are rounded to the nearest 8-bit one") {
    // PNG specification, third edition, 13.12: round(v * 255 / 65535).
    Bytes row{0};
    std::vector<int> want;
    for (std::uint32_t v = 0; v < 65536; v += 13) {
        row.push_back(static_cast<std::uint8_t>(v >> 8U));
        row.push_back(static_cast<std::uint8_t>(v));
        want.push_back(static_cast<int>(v / 257.0 + 0.5));
    }
    const auto width = static_cast<std::uint32_t>(want.size());
    const Bytes file = test::PngMaker(width, 1, 16, 0).pixels(row).bytes();
    const codec::ReadFace got = codec::read_face(file, "ramp");
    for (std::size_t x = 0; x < want.size(); ++x) {
        REQUIRE(got.face.image.row(0)[x] == want[x]);
    }
}

TEST_CASE("alpha is composited on white with one rounding, and kept as it is") {
    Bytes rows;
    for (int alpha = 0; alpha < 256; ++alpha) {
        rows.push_back(0);
        for (int color = 0; color < 256; ++color) {
            rows.push_back(static_cast<std::uint8_t>(color));
            rows.push_back(static_cast<std::uint8_t>(alpha));
        }
    }
    const Bytes file = test::PngMaker(256, 256, 8, 4).pixels(rows).bytes();
    const Face face = codec::read_face(file, "all alphas").face;
    REQUIRE(face.mask.has_value());
    for (int alpha = 0; alpha < 256; ++alpha) {
        for (int color = 0; color < 256; ++color) {
            REQUIRE(face.image.row(alpha)[color] == on_white(color, alpha));
            REQUIRE(face.mask->row(alpha)[color] == alpha);
        }
    }
}

TEST_CASE("a file that is opaque all over has no mask, whatever channels it has") {
    const Bytes rows{0, 10, 20, 30, 255, 40, 50, 60, 255, 0, 70, 80, 90, 255, 11, 12, 13, 255};
    const Face face = codec::read_face(test::PngMaker(2, 2, 8, 6).pixels(rows).bytes(), "f").face;
    CHECK_FALSE(face.mask.has_value());
    CHECK(face.image.row(1)[5] == 13);
}

TEST_CASE("pixels may be spread over many chunks, empty ones among them") {
    const Bytes rows{0, 1, 2, 3, 4, 5, 6};
    const Bytes stream = test::deflated(rows);
    test::PngMaker maker(2, 1, 8, 2);
    for (const std::uint8_t byte : stream) {
        maker.chunk("IDAT", {byte}).chunk("IDAT", {});
    }
    const Face face = codec::read_face(maker.bytes(), "crumbs").face;
    CHECK(Bytes(face.image.bytes().begin(), face.image.bytes().end()) == Bytes{1, 2, 3, 4, 5, 6});
}

TEST_CASE("the first bytes decide, not the name, and names do not matter") {
    const Bytes file = test::one_pixel(0, {77}, [](test::PngMaker&) {});
    for (const char* name : {"x.jpg", "x.JPEG", "no ending", "line\nbreak.png", "\xC3\xA4.png"}) {
        const codec::ReadFace got = codec::read_face(file, name);
        CHECK(got.facts.format == "PNG");
        CHECK(got.face.name == name);
        CHECK(got.face.image.row(0)[0] == 77);
    }
}

TEST_CASE("a damaged ancillary chunk is passed over with a note") {
    Bytes file = test::one_pixel(0, {77}, [](test::PngMaker& m) {
        m.chunk("pHYs", test::numbers({11811, 11811}));
    });
    file[8 + 25 + 8] ^= 1U;  // signature, IHDR, head of pHYs
    const codec::ReadFace got = codec::read_face(file, "f");
    REQUIRE(got.notes.size() == 1);
    CHECK(got.notes[0] == "chunk pHYs passed over: its checksum is wrong");
    CHECK(got.facts.ppi.value == 0.0);
}

TEST_CASE("a PNG that lacks its end is refused, even where all pixels are there") {
    test::PngMaker maker(1, 1, 8, 0);
    const Bytes file = maker.pixels({0, 9}).unended();
    CHECK_THROWS_WITH_AS((void)codec::read_face(file, "f"),
                         "f: expected the closing chunk (IEND), found the end of the file: it is "
                         "cut short",
                         Error);
    CHECK_THROWS_AS((void)codec::read_face_header(file, "f"), Error);
}

TEST_CASE("a pixel that the palette does not have is refused") {
    // In every depth, by the short way (8 bits) and by libpng; PNG specification, third edition,
    // 11.2.2: an error.
    for (const std::uint8_t bits : {std::uint8_t{2}, std::uint8_t{4}, std::uint8_t{8}}) {
        const auto file = [&](std::uint8_t index) {
            const auto byte = static_cast<std::uint8_t>(index << (8 - bits));
            return test::PngMaker(1, 1, bits, 3)
                .chunk("PLTE", {1, 2, 3, 4, 5, 6, 7, 8, 9})
                .pixels({0, byte})
                .bytes();
        };
        CHECK(codec::read_face(file(2), "f").face.image.row(0)[2] == 9);
        CHECK_THROWS_WITH_AS((void)codec::read_face(file(3), "f"),
                             "f: expected pixels of the 3 colors in the palette, found others",
                             Error);
    }
}

TEST_CASE("transparency of a wrong size, place or number counts as libpng counts it") {
    // PNG specification, third edition, 11.3.1.1 and 5.6.
    const Bytes key{0, 9, 0, 8, 0, 7};
    const Bytes row{0, 9, 8, 7, 20, 30, 40};
    const Bytes palette{9, 8, 7, 20, 30, 40};
    const auto rgb = [&] { return test::PngMaker(2, 1, 8, 2); };
    const auto indexed = [] { return test::PngMaker(2, 1, 8, 3); };
    struct Case {
        Bytes file;
        std::string note;
    };
    const Case cases[] = {
        {rgb().chunk("tRNS", key).pixels(row).bytes(), ""},
        {rgb().chunk("tRNS", Bytes(78)).pixels(row).bytes(), "expected 6 bytes, found 78"},
        {rgb().chunk("tRNS", {0, 9}).pixels(row).bytes(), "expected 6 bytes, found 2"},
        {rgb().chunk("tRNS", {}).pixels(row).bytes(), "expected 6 bytes, found 0"},
        {rgb().chunk("tRNS", Bytes(6)).chunk("tRNS", key).pixels(row).bytes(),
         "expected one, found two"},
        {rgb().chunk("tRNS", key).chunk("PLTE", palette).pixels(row).bytes(),
         "expected it after the palette"},
        {test::PngMaker(2, 1, 8, 0).chunk("tRNS", key).pixels({0, 1, 2}).bytes(),
         "expected 2 bytes, found 6"},
        {test::PngMaker(1, 1, 8, 6).chunk("tRNS", key).pixels({0, 1, 2, 3, 255}).bytes(),
         "expected none beside stored alpha"},
        {indexed().chunk("PLTE", palette).chunk("tRNS", {0}).pixels({0, 0, 1}).bytes(), ""},
        {indexed().chunk("PLTE", palette).chunk("tRNS", Bytes(3)).pixels({0, 0, 1}).bytes(),
         "expected 1 to 2 bytes, found 3"},
        {indexed().chunk("tRNS", {0}).chunk("PLTE", palette).pixels({0, 0, 1}).bytes(),
         "expected it after the palette"},
    };
    for (const Case& one : cases) {
        const Bytes& file = one.file;
        const std::string& note = one.note;
        CAPTURE(note);
        png_uint_32 width = 0;
        png_uint_32 height = 0;
        const Bytes want = simplified(file, width, height);
        const codec::ReadFace got = codec::read_face(file, "f");
        CHECK(worst_step(got.face, want, width, height) == 0);
        REQUIRE(got.notes.size() == (note.empty() ? 0 : 1));
        if (!note.empty()) CHECK(got.notes[0] == "transparency (tRNS) passed over: " + note);
    }
    // Two palettes: an error, 5.6.
    const Bytes two =
        indexed().chunk("PLTE", palette).chunk("PLTE", palette).pixels({0, 0, 1}).bytes();
    CHECK_THROWS_AS((void)codec::read_face(two, "f"), Error);
    // What is left of it when all is in the wrong order is refused, never read past its rows.
    const Bytes muddle =
        rgb().chunk("tRNS", key).chunk("PLTE", palette).chunk("tRNS", key).pixels(row).bytes();
    CHECK_THROWS_AS((void)codec::read_face(muddle, "f"), Error);
}

TEST_CASE("a palette that is too long or no whole number of colors is refused") {
    for (const std::size_t size : {std::size_t{4}, std::size_t{771}}) {
        const Bytes file =
            test::PngMaker(1, 1, 8, 3).chunk("PLTE", Bytes(size)).pixels({0, 0}).bytes();
        CHECK_THROWS_AS((void)codec::read_face(file, "f"), Error);
    }
}

TEST_CASE("a chunk that a reader must understand and does not is refused") {
    const Bytes file = test::one_pixel(0, {77}, [](test::PngMaker& m) { m.chunk("ABCD", {1}); });
    CHECK_THROWS_AS((void)codec::read_face(file, "f"), Error);
}
