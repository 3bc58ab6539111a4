// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Group 4 pictures as other decoders read them: MuPDF and Ghostscript. Poppler, which moves pictures
// to whole pixels of its own, is asked for the stored pixels in tests/cli/handoff_test.cpp.
#include <doctest/doctest.h>

#include <filesystem>
#include <random>
#include <vector>

#include "codec/group4.h"
#include "page_picture.h"
#include "sheet/pdf.h"

using namespace paleproof;
using namespace paleproof::sheet;
using namespace paleproof::test;

namespace {

/// Runs of ink and paper of random lengths, some of them far longer than a make-up code; rows that
/// are like the one above but for a few shifts, as in drawings.
Image random_drawing(int width, int height, unsigned seed) {
    std::mt19937 random(seed);
    Image image(width, height, Encoding::bilevel);
    for (int y = 0; y < height; ++y) {
        std::uint8_t* row = image.row(y);
        if (y > 0 && random() % 3 != 0) {
            const int shift = static_cast<int>(random() % 9) - 4;
            for (int x = 0; x < width; ++x) {
                const int from = x + shift;
                row[x] = from >= 0 && from < width ? image.row(y - 1)[from] : 255;
            }
            if (random() % 2 == 0) row[random() % static_cast<unsigned>(width)] ^= 0xFF;
            continue;
        }
        std::uint8_t code = random() % 2 == 0 ? 255 : 0;
        for (int x = 0; x < width;) {
            const unsigned most = 1U << (random() % 13);
            int run = static_cast<int>(random() % most) + 1;
            for (; run > 0 && x < width; --run) row[x++] = code;
            code ^= 0xFF;
        }
    }
    return image;
}

}  // namespace

TEST_CASE("two engines draw a Group 4 page pixel by pixel as it was packed") {
    // A page of as many points as the picture has pixels, drawn at 72 ppi: a pixel is a pixel.
    using Engine = PagePicture::Engine;
    const auto file = std::filesystem::path(PALEPROOF_SCRATCH) / "group4.pdf";
    std::filesystem::create_directories(PALEPROOF_SCRATCH);
    unsigned seed = 1;
    for (const int width : {1, 2, 8, 31, 32, 33, 65, 640, 1793, 6000}) {
        CAPTURE(width);
        const int height = width < 100 ? 40 : 60;
        const Image image = random_drawing(width, height, seed++);
        PackedImage packed{.width = width,
                           .height = height,
                           .channels = 1,
                           .bits = 1,
                           .ppi = {},
                           .zlib = codec::group4(image),
                           .group4 = true};
        const FacePage page{
            "face", {width, height}, 1, 1, {{from_points(width), from_points(height)}, {}}, true};
        write_pages_pdf(file, std::vector<FacePage>{page}, [&](std::size_t) { return packed; },
                        {.title = "Night Orchard"});
        for (const Engine engine : {Engine::mupdf, Engine::ghostscript}) {
            // A page of one point is less than Ghostscript takes.
            if (width < 8 && engine == Engine::ghostscript) continue;
            CAPTURE(static_cast<int>(engine));
            const PagePicture picture(file, 1, 72.0, engine);
            REQUIRE(picture.width() == width);
            REQUIRE(picture.height() == height);
            long wrong = 0;
            for (int y = 0; y < height; ++y) {
                for (int x = 0; x < width; ++x) {
                    wrong += (picture.at(x, y) < 128) != (image.row(y)[x] == 0);
                }
            }
            CHECK(wrong == 0);
        }
    }
}
