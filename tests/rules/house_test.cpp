// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Rules of the house that a command can see.
#include <doctest/doctest.h>

#include <algorithm>
#include <filesystem>
#include <fstream>
#include <regex>
#include <sstream>
#include <string>

#include "rules/source_tree.h"

using paleproof::test::files_below;
using paleproof::test::SourceFile;

namespace {

namespace fs = std::filesystem;

std::string text_of(const std::string& path) {
    std::ifstream stream(fs::path(PALEPROOF_ROOT) / path, std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    return content.str();
}

bool contains_word(const std::string& line, const std::string& pattern) {
    return std::regex_search(line, std::regex(pattern, std::regex::icase));
}

}  // namespace

TEST_CASE("every source file begins with copyright and licence") {
    for (const SourceFile& file : files_below({"src", "filters", "tests", "fixtures"},
                                              {".h", ".cpp", ".cmake", ".sh", ".py"})) {
        REQUIRE_MESSAGE(file.lines.size() >= 2, file.path);
        const std::size_t first = file.lines[0].starts_with("#!") ? 1 : 0;
        CHECK_MESSAGE(
            file.lines[first].find("Copyright the paleproof authors") != std::string::npos,
            file.path);
        CHECK_MESSAGE(
            file.lines[first + 1].find("SPDX-License-Identifier: MIT") != std::string::npos,
            file.path);
    }
}

TEST_CASE("no source file of the tool grows past 450 lines") {
    for (const SourceFile& file : files_below({"src", "filters"}, {".h", ".cpp"})) {
        CHECK_MESSAGE(file.lines.size() <= 450, file.path, " has ", file.lines.size(), " lines");
    }
}

TEST_CASE("the top level is the house plan's, and holds nothing else") {
    const std::vector<std::string> rooms{
        "CMakeLists.txt", "CMakePresets.json", "DEVELOPERS.md", "LICENSE", "README.md", "build",
        "docs",           "filters",           "fixtures",      "src",     "tests"};
    for (const auto& entry : fs::directory_iterator(PALEPROOF_ROOT)) {
        const std::string name = entry.path().filename().string();
        const bool planned = std::find(rooms.begin(), rooms.end(), name) != rooms.end();
        CHECK_MESSAGE((planned || name.starts_with('.')), name);
    }
}

TEST_CASE("code spells gray and color") {
    for (const SourceFile& file : files_below({"src", "filters"}, {".h", ".cpp"})) {
        for (const std::string& line : file.lines) {
            CHECK_MESSAGE(!contains_word(line, "grey|colour"), file.path, ": ", line);
        }
    }
}

TEST_CASE("no machine path stands in what is shipped") {
    const std::string pattern = std::string("(^|[^A-Za-z.])/(wo") + "rk|ro" + "ot|ho" + "me)/";
    for (const SourceFile& file :
         files_below({"src", "filters", "tests", "fixtures", "docs"},
                     {".h", ".cpp", ".sh", ".py", ".md", ".json", ".txt", ".toml", ".csv"})) {
        for (const std::string& line : file.lines) {
            CHECK_MESSAGE(!std::regex_search(line, std::regex(pattern)), file.path, ": ", line);
        }
    }
}

TEST_CASE("every filter has a header, a test and a paragraph in docs/filters.md") {
    const std::string docs = text_of("docs/filters.md");
    const std::string tests = text_of("tests/unit/filters/CMakeLists.txt");
    int filters = 0;
    for (const SourceFile& file : files_below({"filters"}, {".cpp"})) {
        const std::string stem = fs::path(file.path).stem().string();
        ++filters;
        CHECK_MESSAGE(fs::exists(fs::path(PALEPROOF_ROOT) / "filters" / (stem + ".h")), stem);
        CHECK_MESSAGE(tests.find(stem + "_test.cpp") != std::string::npos, stem, " has no test");
        CHECK_MESSAGE(docs.find("## " + stem) != std::string::npos, stem, " has no paragraph");
    }
    CHECK(filters >= 3);
}

TEST_CASE(
    "every filter has a benchmark, those of the styles goldens and a picture before and after") {
    // Bleed has goldens of another kind: what it invents is compared with the true margin.
    const std::vector<std::string> of_bleed{"bleed", "carry", "corners", "cover",
                                            "fit",   "flow",  "pattern"};
    // Steps of line_art, whose results are numbers along lines and no pictures, and of letters.
    const std::vector<std::string> steps{"letter_shape", "letter_tone", "line_choice", "line_rank",
                                         "stroke_flow"};
    // Its table is made from a whole deck; what that does to colors is measured on decks.
    const std::vector<std::string> of_deck{"tone"};
    const auto named = [](const std::vector<std::string>& list, const std::string& stem) {
        return std::find(list.begin(), list.end(), stem) != list.end();
    };
    const std::string docs = text_of("docs/filters.md");
    const std::string bench = text_of("tests/bench/filters_bench.cpp");
    const fs::path root(PALEPROOF_ROOT);
    int filters = 0;
    for (const SourceFile& file : files_below({"filters"}, {".cpp"})) {
        const std::string stem = fs::path(file.path).stem().string();
        ++filters;
        // Timed by benchmarks of their own: a pattern with the bleed that it makes, tone in
        // color_bench.
        if (stem == "pattern" || named(of_deck, stem)) continue;
        CHECK_MESSAGE(bench.find("filters/" + stem + ".h") != std::string::npos, stem,
                      " is not in tests/bench/filters_bench.cpp");
        if (named(of_bleed, stem) || named(steps, stem) || named(of_deck, stem)) continue;
        CHECK_MESSAGE(fs::exists(root / "fixtures" / "expected" / stem), stem, " has no golden");
        CHECK_MESSAGE(docs.find("pictures/filters/" + stem + ".") != std::string::npos, stem,
                      " has no picture in docs/filters.md");
    }
    CHECK(filters >= 15);
    std::uintmax_t bytes = 0;
    for (const auto& entry : fs::recursive_directory_iterator(root / "fixtures" / "expected")) {
        if (!entry.is_regular_file()) continue;
        CHECK_MESSAGE(entry.file_size() <= 40 * 1024, entry.path().string(), " is over 40 KB");
        bytes += entry.file_size();
    }
    CHECK(bytes <= 5 * 1024 * 1024);
}

TEST_CASE("every fixture is listed in fixtures/README.md") {
    const std::string readme = text_of("fixtures/README.md");
    for (const SourceFile& file : files_below({"fixtures"}, {})) {
        const fs::path path = file.path;
        // A folder listed as a whole ("demo/svg/") covers what lies in it.
        bool listed = path == "fixtures/README.md";
        for (fs::path at = fs::relative(path, "fixtures"); !at.empty() && !listed;
             at = at.parent_path()) {
            listed = readme.find(at.generic_string()) != std::string::npos;
        }
        CHECK_MESSAGE(listed, file.path, " is not in fixtures/README.md");
    }
}

TEST_CASE("every rule is explained in docs/findings.md") {
    const std::string docs = text_of("docs/findings.md");
    for (const std::string rule :
         {"text-small", "text-faint", "text-at-edge", "text-lost", "gray-twins", "vision-twins",
          "ink-heavy", "budget-missed", "bleed-missing", "art-coarse", "size-off", "frame-at-trim",
          "border-uneven", "face-unreadable"}) {
        CHECK_MESSAGE(docs.find("## " + rule) != std::string::npos, rule);
    }
}
