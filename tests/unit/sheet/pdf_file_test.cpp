// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// PDFs as files: their bytes, their ID, what is fetched for them, what goes wrong.
#include "sheet/pdf.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <regex>
#include <string>
#include <vector>

#include "core/error.h"
#include "support/run_command.h"
#include "support/scratch.h"
#include "synthetic_face.h"

using namespace paleproof;
using namespace paleproof::sheet;
using namespace paleproof::test;

namespace fs = std::filesystem;

TEST_CASE("the same sheets are the same bytes") {
    const auto faces = mixed_faces();
    std::string first;
    for (int run = 0; run < 2; ++run) {
        const fs::path sheets = scratch("same-sheets.pdf");
        const fs::path pages = scratch("same-pages.pdf");
        write_sheets_pdf(sheets, some_sheets(faces, "letter"), pages_of(faces), source_of(faces),
                         {"Night Orchard", "p", {}});
        write_pages_pdf(pages, pages_of(faces), source_of(faces), {"Night Orchard", "p", {}});
        const std::string bytes = read_text(sheets) + read_text(pages);
        CHECK(bytes.size() > 1000);
        if (run == 0) {
            first = bytes;
        } else {
            CHECK(bytes == first);
        }
    }
}

// ISO 32000-1, 14.4: two byte strings; in a file that is new they are the same, and other contents
// have another one.
TEST_CASE("the ID of a file is that of its contents") {
    const auto faces = mixed_faces();
    const auto id_of = [&](const std::string& title) {
        const fs::path pages = scratch("id.pdf");
        write_pages_pdf(pages, pages_of(faces), source_of(faces), {title, "p", {}});
        std::smatch halves;
        const std::string bytes = read_text(pages);
        static const std::regex id("/ID \\[<([0-9a-f]{32})><([0-9a-f]{32})>\\]");
        REQUIRE(std::regex_search(bytes, halves, id));
        CHECK(halves[1] == halves[2]);
        CHECK(!std::regex_search(halves.suffix().first, halves.suffix().second, id));
        CHECK(run_command("qpdf --check " + quoted(pages.string())).status == 0);
        return halves[1].str();
    };
    const std::string first = id_of("Night Orchard");
    CHECK(first == id_of("Night Orchard"));
    CHECK(first != id_of("Night Orchards"));
    CHECK(first != "31415926535897932384626433832795");  // what qpdf puts there
}

TEST_CASE("a face is fetched once a file, and only when it is used") {
    const auto faces = mixed_faces();
    std::vector<int> fetched(faces.size(), 0);
    const FaceSource counting = [&](std::size_t i) {
        ++fetched.at(i);
        return faces[i].image;
    };
    write_sheets_pdf(scratch("fetched.pdf"),
                     imposition(parse_paper("letter", "papers"), shapes_of(faces),
                                std::vector<Card>{{0, {}, 30}, {2, {}, 1}}, {}, ""),
                     pages_of(faces), counting, {});
    CHECK(fetched == std::vector<int>{1, 0, 1, 0});
}

TEST_CASE("faults come through as they were thrown") {
    const auto faces = mixed_faces();
    const auto kind = [&](const fs::path& file, const FaceSource& source) {
        try {
            write_pages_pdf(file, pages_of(faces), source, {});
        } catch (const Error& error) {
            CHECK(std::string(error.what()).find('\n') == std::string::npos);
            return error.kind();
        }
        FAIL("accepted");
        return ErrorKind::usage;
    };
    CHECK(kind(scratch("fault.pdf"), [](std::size_t) -> PackedImage {
              throw Error(ErrorKind::format, "moth.png", "expected a PNG, got a pear");
          }) == ErrorKind::format);
    CHECK(kind(scratch("fault.pdf"), [&](std::size_t i) { return faces[i == 1 ? 0 : i].image; }) ==
          ErrorKind::internal);
    CHECK(kind(scratch("no-such-folder") / "x" / "y.pdf", source_of(faces)) == ErrorKind::file);
    CHECK_THROWS_AS(write_pages_pdf(scratch("none.pdf"), {}, source_of(faces), {}), Error);
}
