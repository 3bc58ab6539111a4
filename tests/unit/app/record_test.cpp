// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include "app/content_hash.h"
#include "app/edition_record.h"
#include "core/error.h"
#include "support/scratch.h"

using namespace paleproof;
using test::Scratch;

TEST_CASE("edition.json reads back as it was written") {
    const Scratch scratch("record");
    app::EditionRecord record;
    record.title = "Night \"Orchard\" \xC3\xBC";
    record.settings = {{"look.style", "\"gray\"", ""}};
    record.faces.push_back({"moth",
                            "moth.png",
                            "ab",
                            "faces/moth.png",
                            "cd",
                            3,
                            1,
                            {{63.5}, {88.9}},
                            {{3.048}, {3.048}, {3.048}, {3.048}},
                            {822, 1122},
                            1,
                            8});
    record.faces.push_back(
        {"back", "back.png", "ef", "", "", 0, std::nullopt, {{63.5}, {88.9}}, {}, {}, 1, 8});
    record.faces[0].ink = 0.125;
    record.legend = {{"rust", {1.0, {{45.0, {0.8}, {0.1}}}, PatternDots{{1.2}, {0.4}}}},
                     {"bone", {0.9, {}, {}}}};
    record.gray_map = color::GrayTable();
    record.files = {"edition.json", "faces/moth.png"};
    const std::string text = app::record_json(record);
    scratch.write("edition.json", text);
    const app::EditionRecord again = app::read_record(scratch.path());
    CHECK(app::record_json(again) == text);
    CHECK(again.faces[0].back == 1U);
    CHECK(again.faces[0].bleed.left.value == 3.048);
    CHECK(again.faces[0].ink == 0.125);
    CHECK(again.legend == record.legend);
    CHECK(again.gray_map == record.gray_map);
}

TEST_CASE("a damaged or foreign edition.json is refused in one line") {
    const Scratch scratch("damaged");
    CHECK_THROWS_AS((void)app::read_record(scratch.path()), Error);
    for (
        const char* text :
        {"", "{", "[]", "{\"format\": 1}", "{\"format\": 99}", "{\"format\": \"x\"}",
         R"({"format":1,"title":"t","settings":{},"files":[],"faces":[{"name":"a"}]})",
         R"({"format":1,"title":"t","settings":{},"files":[],"faces":[{"name":"a","source":"","source_hash":"","proof":"../a.png","proof_hash":"","copies":1,"back":null,"trim_um":[1,1],"bleed_um":[0,0,0,0],"proof_px":[1,1],"channels":1,"bits":8}]})",
         R"({"format":1,"title":"t","settings":{},"files":[],"faces":[{"name":"a","source":"","source_hash":"","proof":"","proof_hash":"","copies":1,"back":7,"trim_um":[1,1],"bleed_um":[0,0,0,0],"proof_px":[1,1],"channels":1,"bits":8}]})",
         R"({"format":1,"title":"t","settings":{},"files":[],"faces":[],"gray_map":{}})",
         R"({"format":1,"title":"t","settings":{},"files":[],"faces":[],"gray_map":{"nodes":33,"units_per_code":64,"grays":"AAAA"}})",
         R"({"format":1,"title":"t","settings":{},"files":[],"faces":[],"gray_map":{"nodes":33,"units_per_code":64,"grays":"?"}})",
         R"({"format":1,"title":"t","settings":{},"files":[],"faces":[],"gray_map":{"nodes":"33","units_per_code":64,"grays":""}})"}) {
        CAPTURE(text);
        scratch.write("edition.json", text);
        try {
            (void)app::read_record(scratch.path());
            FAIL("it was taken");
        } catch (const Error& error) {
            CHECK(std::string(error.what()).find('\n') == std::string::npos);
        }
    }
}

TEST_CASE("content hashes are XXH3-128 of the bytes, from memory and from a file") {
    // XXH3_128bits of no bytes: 99aa06d3014798d86001c324468d497f (reference implementation, xxHash
    // 0.8).
    CHECK(app::content_hash(std::string_view()) == "99aa06d3014798d86001c324468d497f");
    const Scratch scratch("hash");
    const std::string text(200'000, 'x');
    CHECK(app::content_hash_of_file(scratch.write("a", text)) == app::content_hash(text));
    CHECK_THROWS_AS((void)app::content_hash_of_file(scratch / "nothing"), Error);
}
