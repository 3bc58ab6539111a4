// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/report_files.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <string>
#include <vector>

#include "report/html.h"
#include "support/scratch.h"

using namespace paleproof;
using test::read_text;
using test::Scratch;

namespace {

/// Faces whose four pictures take so many bytes together.
EditionResult edition_of(std::size_t faces, std::size_t bytes) {
    EditionResult edition;
    for (std::size_t i = 0; i < faces; ++i) {
        FaceResult face;
        face.name = "face " + std::to_string(i);
        face.size_px = {750, 1050};
        for (Thumbnail* picture :
             {&face.source_thumbnail, &face.source_heat, &face.proof_thumbnail, &face.proof_heat}) {
            picture->width = 320;
            picture->height = 448;
            picture->jpeg.assign(bytes / 4, static_cast<char>('a' + i % 26));
        }
        edition.faces.push_back(std::move(face));
    }
    return edition;
}

struct Written {
    std::string page;
    std::vector<std::string> names;
    std::size_t most_waiting = 0;  ///< bytes of pictures in memory after any face
};

Written written(EditionResult edition, bool backwards) {
    const Scratch scratch("report_files");
    app::OutputFolder out(scratch / "edition");
    app::ReportFiles files(out);
    Written result;
    std::size_t waiting = 0;
    for (std::size_t k = 0; k < edition.faces.size(); ++k) {
        const std::size_t i = backwards ? edition.faces.size() - 1 - k : k;
        FaceResult& face = edition.faces[i];
        files.keep(face, i);
        waiting += face.source_thumbnail.jpeg.size() + face.source_heat.jpeg.size() +
                   face.proof_thumbnail.jpeg.size() + face.proof_heat.jpeg.size();
        result.most_waiting = std::max(result.most_waiting, waiting);
    }
    files.write(edition);
    result.names = out.names();
    result.page = read_text(out.staged("report.html"));
    for (const std::string& name : result.names) {
        if (name != "report.html") CHECK(!read_text(out.staged(name)).empty());
    }
    return result;
}

}  // namespace

TEST_CASE("a small report holds its pictures; nothing lies beside it") {
    const Written report = written(edition_of(10, 40'000), false);
    CHECK(report.names == std::vector<std::string>{"report.html"});
    CHECK(report.page.find("data:image/jpeg;base64,") != std::string::npos);
}

TEST_CASE("pictures of a large deck do not wait in memory, and their order changes nothing") {
    const EditionResult edition = edition_of(300, 60'000);
    const Written forward = written(edition, false);
    const Written backward = written(edition, true);
    CHECK(forward.names.size() == 1201);
    CHECK(forward.names == backward.names);
    CHECK(forward.page == backward.page);
    CHECK(forward.page.find("base64") == std::string::npos);
    CHECK(forward.most_waiting <= report::most_picture_bytes);
}

TEST_CASE("pictures that just fit, but not with the words around them, lie beside the page") {
    EditionResult edition = edition_of(40, report::most_picture_bytes / 40);
    edition.title.assign(1000, 't');
    const Written report = written(edition, false);
    CHECK(report.names.size() == 161);
    CHECK(report.page.size() < report::most_page_bytes);
}
