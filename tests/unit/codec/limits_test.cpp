// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What must be refused, quickly and in one line: lying, damaged and misnamed files, and things that
// are no files.
#include <doctest/doctest.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/un.h>
#include <unistd.h>

#include <chrono>
#include <cstring>
#include <filesystem>
#include <map>
#include <optional>
#include <string>

#include "codec/read_face.h"
#include "core/error.h"
#include "unit/codec/jpeg_maker.h"
#include "unit/codec/png_maker.h"
#include "unit/codec/scratch.h"

using namespace paleproof;
using test::Bytes;
namespace fs = std::filesystem;

namespace {

const fs::path damaged = fs::path(PALEPROOF_FIXTURES) / "damaged";

/// What a file of fixtures/damaged is to give: an error, or a picture with one note or none.
struct Wanted {
    std::optional<ErrorKind> error = std::nullopt;
    std::string text;  ///< the error's detail or the note
};

const std::map<std::string, Wanted> wanted{
    {"empty.png",
     {ErrorKind::format,
      "expected a PNG or JPEG file, found an empty file; save the picture again"}},
    {"text_called.png",
     {ErrorKind::format,
      "expected a PNG or JPEG file, found another kind of file; save the picture as PNG"}},
    {"gif_called.png",
     {ErrorKind::format, "expected a PNG or JPEG file, found a GIF file; save the picture as PNG"}},
    {"jpeg_called.png", {std::nullopt, ""}},
    {"png_signature_only.png",
     {ErrorKind::format, "expected a PNG header after the signature, found the end of the file"}},
    {"png_cut_short.png",
     {ErrorKind::format,
      "expected the closing chunk (IEND), found the end of the file: it is cut short"}},
    {"png_wrong_checksum.png",
     {ErrorKind::format, "expected 40 rows of PNG pixels, found damaged data: IDAT: CRC error"}},
    {"png_claims_50000_square.png",
     {ErrorKind::range,
      "expected at most 120 megapixels, found 50000 x 50000 pixels; make the picture smaller"}},
    {"png_claims_no_width.png",
     {ErrorKind::format, "expected at least 1 x 1 pixels, found 0 x 40 pixels"}},
    {"png_depth_3.png",
     {ErrorKind::format,
      "expected a depth and color type of PNG, found depth 3, color type 2, compression 0, filter "
      "0, interlace 0"}},
    {"png_without_palette.png",
     {ErrorKind::format, "expected a palette (PLTE) before the pixels, found none"}},
    {"png_without_pixels.png", {ErrorKind::format, "expected pixels (IDAT), found none"}},
    {"png_filter_type_9.png",
     {ErrorKind::format,
      "expected 40 rows of PNG pixels, found damaged data: bad adaptive filter value"}},
    {"png_too_few_rows.png",
     {ErrorKind::format,
      "expected 40 rows of PNG pixels, found damaged data: Not enough image data"}},
    {"png_profile_bomb.png",
     {std::nullopt, "color profile passed over: expected at most 16384 KiB, found more"}},
    {"png_profile_garbage.png",
     {std::nullopt,
      "color profile passed over: expected an ICC profile, found 256 bytes that are none"}},
    {"jpeg_cut_short.jpg",
     {ErrorKind::format, "expected JPEG pixels, found the end of the file: it is cut short"}},
    {"jpeg_progressive_cut_short.jpg",
     {ErrorKind::format, "expected JPEG pixels, found the end of the file: it is cut short"}},
    {"jpeg_flipped_bits.jpg",
     {std::nullopt,
      "the file has bytes that belong to none of its parts: look whether the picture is whole"}},
    {"jpeg_head_only.jpg",
     {ErrorKind::format,
      "expected a JPEG header, found damaged data: JPEG datastream contains no image"}},
    {"jpeg_claims_65500_square.jpg",
     {ErrorKind::range,
      "expected at most 120 megapixels, found 65500 x 65500 pixels; make the picture smaller"}},
    {"jpeg_12_bits.jpg",
     {ErrorKind::unsupported,
      "expected a baseline or progressive JPEG of 8 bits, found another "
      "kind (Unsupported JPEG data precision 12); save it again"}},
    {"jpeg_600_scans.jpg",
     {ErrorKind::range,
      "expected at most 500 passes over a progressive JPEG of this size, found "
      "more; save it again"}},
};

/// The error that reading gives, checked to be one line about `subject`.
template <class Read>
Error failure(const std::string& subject, const Read& read) {
    try {
        (void)read();
    } catch (const Error& error) {
        CHECK(error.subject() == subject);
        CHECK(error.detail().find('\n') == std::string::npos);
        return error;
    }
    FAIL("expected an Error for " << subject);
    return {ErrorKind::internal, "", ""};
}

std::string file_failure(const fs::path& file) {
    const Error error = failure(file.string(), [&] { return codec::read_face(file); });
    const Error same = failure(file.string(), [&] { return codec::read_face_header(file); });
    CHECK(error.kind() == ErrorKind::file);
    CHECK(same.detail() == error.detail());
    return error.detail();
}

}  // namespace

TEST_CASE("each damaged file gives its one line, or its picture and a note") {
    std::size_t files = 0;
    for (const auto& entry : fs::directory_iterator(damaged)) {
        const std::string name = entry.path().filename().string();
        CAPTURE(name);
        REQUIRE(wanted.count(name) == 1);
        const Wanted& want = wanted.at(name);
        ++files;
        const auto begin = std::chrono::steady_clock::now();
        if (want.error) {
            const Error error =
                failure(entry.path().string(), [&] { return codec::read_face(entry.path()); });
            CHECK(error.kind() == *want.error);
            CHECK(error.detail() == want.text);
        } else {
            const codec::ReadFace got = codec::read_face(entry.path());
            CHECK_FALSE(got.face.image.empty());
            CHECK(got.notes.size() == (want.text.empty() ? 0 : 1));
            for (const std::string& note : got.notes) {
                CHECK(note.rfind(want.text, 0) == 0);
            }
        }
        // Generous: sanitizers and loaded machines are slow, an unpacked bomb would take minutes.
        CHECK(std::chrono::steady_clock::now() - begin < std::chrono::seconds(5));
    }
    CHECK(files == wanted.size());
}

TEST_CASE("limits are those that were asked for") {
    const Bytes png = test::PngMaker(30, 20, 8, 0).pixels(Bytes(31 * 20)).bytes();
    const Bytes jpeg = test::flat_jpeg(30, 20, 0);
    for (const Bytes& file : {png, jpeg}) {
        codec::ReadLimits limits;
        limits.max_pixels = 600;
        limits.max_side = 30;
        CHECK_FALSE(codec::read_face(file, "f", limits).face.image.empty());
        limits.max_pixels = 599;
        CHECK(failure("f", [&] { return codec::read_face(file, "f", limits); }).kind() ==
              ErrorKind::range);
        CHECK(failure("f", [&] { return codec::read_face_header(file, "f", limits); }).kind() ==
              ErrorKind::range);
        limits.max_pixels = 600;
        limits.max_side = 29;
        CHECK(failure("f", [&] { return codec::read_face(file, "f", limits); }).detail() ==
              "expected sides of at most 29 pixels, found 30 x 20 pixels");
    }
    // A JPEG cannot state more than 65535; libjpeg stops at 65500, and so do we for PNG.
    const Bytes wide = test::PngMaker(65501, 1, 1, 0).pixels(Bytes(8189)).bytes();
    CHECK(failure("f", [&] { return codec::read_face(wide, "f"); }).kind() == ErrorKind::range);
    const Bytes fits = test::PngMaker(65500, 1, 1, 0).pixels(Bytes(8189)).bytes();
    CHECK(codec::read_face(fits, "f").face.image.width() == 65500);
}

TEST_CASE("a file larger than allowed is refused unread") {
    test::Scratch scratch("large");
    const fs::path file = scratch.put("x.png", {});
    fs::resize_file(file, (std::uintmax_t{1} << 30U) + 1);  // a hole: takes no room on the disk
    CHECK(file_failure(file) == "expected at most 1024 MiB, found 1024 MiB");
}

TEST_CASE(
    "a folder, a pipe, a socket, a device and a missing file are told apart, without waiting") {
    test::Scratch scratch("kinds");
    fs::create_directory(scratch.file("folder.png"));
    CHECK(file_failure(scratch.file("folder.png")) == "expected an image file, found a folder");
    REQUIRE(::mkfifo(scratch.file("pipe.png").c_str(), 0600) == 0);
    CHECK(file_failure(scratch.file("pipe.png")) == "expected an image file, found a pipe");
    CHECK(file_failure("/dev/null") == "expected an image file, found a device");
    CHECK(file_failure(scratch.file("none.png")) == "cannot be opened: No such file or directory");
    fs::create_symlink(scratch.file("loop.png"), scratch.file("loop.png"));
    CHECK(file_failure(scratch.file("loop.png")) ==
          "cannot be opened: Too many levels of symbolic links");
    CHECK(file_failure(scratch.file("none.png") / "x") ==
          "cannot be opened: No such file or directory");
    if (::geteuid() != 0) {  // root may read anything
        const fs::path locked = scratch.put("locked.png", {1});
        fs::permissions(locked, fs::perms::none);
        CHECK(file_failure(locked) == "cannot be opened: Permission denied");
    }
    const fs::path socket_file =
        fs::temp_directory_path() / ("paleproof-" + std::to_string(::getpid()));
    const int fd = ::socket(AF_UNIX, SOCK_STREAM, 0);
    sockaddr_un address{};
    address.sun_family = AF_UNIX;
    std::strncpy(address.sun_path, socket_file.c_str(), sizeof address.sun_path - 1);
    REQUIRE(::bind(fd, reinterpret_cast<sockaddr*>(&address), sizeof address) == 0);
    CHECK(file_failure(socket_file) == "cannot be opened: No such device or address");
    ::close(fd);
    fs::remove(socket_file);
}

TEST_CASE("a link to a picture is the picture") {
    test::Scratch scratch("link");
    const fs::path file = scratch.put("real.png", test::one_pixel(0, {42}, [](test::PngMaker&) {}));
    fs::create_symlink(file, scratch.file("link.png"));
    CHECK(codec::read_face(scratch.file("link.png")).face.image.row(0)[0] == 42);
}
