// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Memory that files can make the room take. A program of its own: what other tests leave on the
// heap would blur the limits.
#include <doctest/doctest.h>
#include <malloc.h>
#include <sys/resource.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <new>

#include "codec/read_face.h"
#include "core/error.h"
#include "unit/codec/jpeg_maker.h"
#include "unit/codec/png_maker.h"

using namespace paleproof;
using test::Bytes;

namespace {

const std::filesystem::path damaged = std::filesystem::path(PALEPROOF_FIXTURES) / "damaged";

/// Large pieces are given back when they are freed, not kept for later: limits count all of them.
const bool large_pieces_are_returned = ::mallopt(M_MMAP_THRESHOLD, 128 * 1024) == 1;

/// This process may take no more than `mebibytes` on top of what it has: more is std::bad_alloc.
class MemoryLimit {
  public:
    explicit MemoryLimit(rlim_t mebibytes) {
        REQUIRE(large_pieces_are_returned);
        ::malloc_trim(0);
        getrlimit(RLIMIT_AS, &old_);
        std::ifstream statm("/proc/self/statm");
        rlim_t pages = 0;
        statm >> pages;
        const auto page = static_cast<rlim_t>(::sysconf(_SC_PAGESIZE));
        const rlimit limit{pages * page + (mebibytes << 20U), old_.rlim_max};
        REQUIRE(setrlimit(RLIMIT_AS, &limit) == 0);
    }
    MemoryLimit(const MemoryLimit&) = delete;
    MemoryLimit& operator=(const MemoryLimit&) = delete;
    ~MemoryLimit() { setrlimit(RLIMIT_AS, &old_); }

  private:
    rlimit old_{};
};

}  // namespace

TEST_CASE("a picture that claims to be huge is refused before memory is taken for it") {
    const MemoryLimit limit(16);
    CHECK_THROWS_AS((void)codec::read_face(damaged / "png_claims_50000_square.png"), Error);
    CHECK_THROWS_AS((void)codec::read_face(damaged / "jpeg_claims_65500_square.jpg"), Error);
}

TEST_CASE("a file may hold very many parts without costing memory for each") {
    constexpr std::size_t parts = 2'000'000;
    const auto repeated = [](const Bytes& head, const Bytes& part, const Bytes& tail) {
        Bytes file;
        file.reserve(head.size() + parts * part.size() + tail.size());
        file.insert(file.end(), head.begin(), head.end());
        for (std::size_t i = 0; i < parts; ++i) {
            file.insert(file.end(), part.begin(), part.end());
        }
        file.insert(file.end(), tail.begin(), tail.end());
        return file;
    };
    const Bytes head = test::PngMaker(1, 1, 8, 0).unended();
    const Bytes tail = test::PngMaker(1, 1, 8, 0).pixels({0, 5}).bytes();
    const Bytes after_head(tail.begin() + static_cast<std::ptrdiff_t>(head.size()), tail.end());
    const Bytes bad_chunk{0, 0, 0, 0, 't', 'e', 'X', 't', 1, 2, 3, 4};
    const Bytes png = repeated(head, bad_chunk, after_head);
    const Bytes flat = test::flat_jpeg(8, 8, 50);
    const Bytes jpeg = repeated({0xFF, 0xD8}, {0xFF, 0xE1, 0, 2}, {flat.begin() + 2, flat.end()});

    const MemoryLimit limit(16);
    const codec::ReadFace from_png = codec::read_face(png, "f");
    CHECK(from_png.face.image.row(0)[0] == 5);
    REQUIRE(from_png.notes.size() == 1);
    CHECK(from_png.notes[0] ==
          "2000000 chunks passed over: their checksums are wrong; the first is teXt");
    CHECK(codec::read_face(jpeg, "f").face.image.row(0)[0] == 50);
}

TEST_CASE("running out of memory is an exception, not the end") {
    // White packs well: small files whose pixels (PNG: 36 MB) or coefficients (JPEG: 32 MB beside
    // 16 MB of pixels) do not fit.
    const Bytes png =
        test::PngMaker(6000, 6000, 8, 0).pixels(Bytes(std::size_t{6001} * 6000)).bytes();
    const Bytes jpeg = test::flat_jpeg(
        4000, 4000, 255, [](jpeg_compress_struct& info) { jpeg_simple_progression(&info); });
    const MemoryLimit limit(32);
    CHECK_THROWS_AS((void)codec::read_face(png, "f"), std::bad_alloc);
    CHECK_THROWS_AS((void)codec::read_face(jpeg, "f"), std::bad_alloc);
}
