// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Time, memory and size of the sheets' PDFs.
#include <doctest/doctest.h>
#include <sys/resource.h>
#include <unistd.h>

#include <ctime>
#include <filesystem>
#include <fstream>
#include <random>
#include <string>
#include <vector>

#include "sheet/imposition.h"
#include "sheet/pdf.h"
#include "synthetic_face.h"

using namespace paleproof;
using namespace paleproof::sheet;
using namespace paleproof::test;

namespace {

/// Resident memory now, in MiB.
double resident_mib() {
    std::ifstream stat("/proc/self/statm");
    double total = 0.0;
    double resident = 0.0;
    stat >> total >> resident;
    return resident * static_cast<double>(sysconf(_SC_PAGESIZE)) / (1024.0 * 1024.0);
}

/// Pixels that hardly pack, as art does: 350 KB a face, more than a gray proof has.
PackedImage noise_face(std::size_t seed) {
    std::mt19937 random(static_cast<unsigned>(seed) + 1);
    const SyntheticFace face =
        synthetic_face("face", poker, Mm{3.0}, 1, 8,
                       [&](double, double, int) { return static_cast<int>(random() & 0x1FU) * 8; });
    return face.image;
}

}  // namespace

TEST_CASE("54 faces are imposed on two papers within half a second of processor time") {
    const PackedImage picture = noise_face(0);
    const FacePage page{
        "face", {picture.width, picture.height}, 1, 8, {poker, {{3.0}, {3.0}, {3.0}, {3.0}}}};
    const std::vector<FacePage> pages(54, page);
    const std::vector<FaceShape> shapes(54, page.shape);
    std::vector<Card> cards;
    for (std::size_t i = 0; i < 54; ++i) cards.push_back({i, 53, 1});
    std::uintmax_t faces = 54 * picture.zlib.size();
    const std::clock_t begin = std::clock();
    for (const char* paper : {"letter", "a4"}) {
        const auto result =
            imposition(parse_paper(paper, "papers"), shapes, cards, {}, "Night Orchard");
        write_sheets_pdf(scratch("speed.pdf"), result, pages, [&](std::size_t) { return picture; },
                         {.title = "Night Orchard"});
        // Pictures are stored once: guides, bars and lettering are all that comes on top.
        CHECK(static_cast<double>(std::filesystem::file_size(scratch("speed.pdf"))) <=
              1.1 * static_cast<double>(faces));
    }
    const double seconds = static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC;
    MESSAGE("54 faces x 2 papers: " << seconds << " s of processor time, "
                                    << static_cast<double>(faces) / 1e6 << " MB of pictures");
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)
    CHECK(seconds <= 0.5);
#endif
}

TEST_CASE("a deck of 5,000 faces is streamed: memory stays far below its pictures") {
    const PackedImage picture = noise_face(0);
    constexpr std::size_t count = 5000;
    const FacePage page{
        "face", {picture.width, picture.height}, 1, 8, {poker, {{3.0}, {3.0}, {3.0}, {3.0}}}};
    const std::vector<FacePage> pages(count, page);
    const std::vector<FaceShape> shapes(count, page.shape);
    std::vector<Card> cards;
    for (std::size_t i = 0; i < count; ++i) cards.push_back({i, {}, 1});
    const auto file = scratch("deck-of-5000.pdf");
    const double before = resident_mib();
    double most = 0.0;
    std::size_t fetched = 0;
    const FaceSource source = [&](std::size_t) {
        // A small stand-in keeps the file small; what is held would still be 5,000 pictures.
        if (fetched++ % 100 == 0) most = std::max(most, resident_mib());
        return picture;
    };
    const auto result = imposition(parse_paper("a4", "papers"), shapes, cards, {}, "Night Orchard");
    CHECK(result.sheets == 556);  // ceil(5000 / 9)
    write_sheets_pdf(file, result, pages, source, {.title = "Night Orchard"});
    most = std::max(most, resident_mib());
    CHECK(fetched == count);
    const double pictures = static_cast<double>(picture.zlib.size()) * count / (1024.0 * 1024.0);
    MESSAGE("5,000 faces: " << pictures << " MiB of pictures, " << most - before
                            << " MiB of memory on top");
    CHECK(pictures > 1000.0);
#if !defined(__SANITIZE_ADDRESS__) && !defined(__SANITIZE_THREAD__)  // they need memory of their own
    CHECK(most - before < 150.0);
#endif
    std::filesystem::remove(file);
}
