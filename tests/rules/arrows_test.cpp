// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The arrows between the rooms are drawn in docs/architecture.md; this test reads the include
// lines and fails on any other arrow.
#include <doctest/doctest.h>

#include <map>
#include <regex>
#include <set>
#include <string>

#include "rules/source_tree.h"

using paleproof::test::files_below;
using paleproof::test::includes_of;
using paleproof::test::SourceFile;

namespace {

const std::set<std::string> result_rooms{"codec", "survey", "plan", "filters", "sheet", "report"};

/// Rooms that each room may include besides itself.
const std::map<std::string, std::set<std::string>> allowed{
    {"core", {}},
    {"color", {"core"}},
    {"codec", {"core", "color"}},
    {"survey", {"core", "color"}},
    {"plan", {"core", "color", "survey"}},
    {"filters", {"core", "color"}},
    {"sheet", {"core", "color"}},
    {"report", {"core", "color"}},
    {"app", {"core", "color", "codec", "survey", "plan", "filters", "sheet", "report"}},
    {"cli", {"app", "core"}},
};

/// Libraries that one room alone may see.
const std::map<std::string, std::string> owner_of_header{
    {"png.h", "codec"},   {"jpeglib.h", "codec"}, {"turbojpeg.h", "codec"},
    {"lcms2.h", "color"}, {"qpdf/", "sheet"},     {"CLI/", "cli"},
};

std::string room_of(const std::string& path) {
    static const std::regex pattern(R"(^(?:src/)?([a-z]+)/)");
    std::smatch match;
    return std::regex_search(path, match, pattern) ? match[1].str() : std::string();
}

std::string fault_of(const std::string& room, const std::string& included) {
    const std::string target = included.substr(0, included.find('/'));
    if (included.find('/') != std::string::npos && allowed.contains(target) && target != room &&
        !allowed.at(room).contains(target)) {
        return "the arrow " + room + " -> " + target + " is not drawn";
    }
    for (const auto& [header, owner] : owner_of_header) {
        if (included.starts_with(header) && room != owner) {
            return included + " belongs to " + owner + " alone";
        }
    }
    return "";
}

}  // namespace

TEST_CASE("every include follows an arrow of the architecture") {
    int seen = 0;
    for (const SourceFile& file : files_below({"src", "filters"}, {".h", ".cpp"})) {
        const std::string room = room_of(file.path);
        REQUIRE_MESSAGE(allowed.contains(room), file.path, " lies in no room");
        for (const std::string& included : includes_of(file)) {
            const std::string fault = fault_of(room, included);
            CHECK_MESSAGE(fault.empty(), file.path, ": ", fault);
            ++seen;
        }
    }
    CHECK(seen > 100);
}

TEST_CASE("the check of arrows does find a wrong one") {
    CHECK_FALSE(fault_of("survey", "plan/face_plan.h").empty());
    CHECK_FALSE(fault_of("core", "color/srgb.h").empty());
    CHECK_FALSE(fault_of("cli", "codec/pack.h").empty());
    CHECK_FALSE(fault_of("app", "png.h").empty());
    CHECK_FALSE(fault_of("report", "qpdf/QPDF.hh").empty());
    CHECK(fault_of("plan", "survey/edges.h").empty());
    CHECK(fault_of("codec", "png.h").empty());
    CHECK(fault_of("core", "vector").empty());
}

TEST_CASE("headers of a room do not show a library that the room wraps") {
    for (const SourceFile& file : files_below({"src", "filters"}, {".h"})) {
        for (const std::string& included : includes_of(file)) {
            for (const std::string library : {"opencv2/", "png.h", "jpeglib.h", "lcms2.h", "qpdf/",
                                              "nlohmann/", "toml++/", "zlib.h"}) {
                // A header that only the room's own sources include is no public header.
                const bool inner = file.path.find("/internal/") != std::string::npos ||
                                   file.path.find("lcms.h") != std::string::npos ||
                                   file.path.find("sheet/qpdf.h") != std::string::npos;
                CHECK_MESSAGE((inner || !included.starts_with(library)), file.path, " shows ",
                              included);
            }
        }
    }
}
