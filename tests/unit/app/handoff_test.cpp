// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/handoff.h"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>
#include <string>

using namespace paleproof;

TEST_CASE("hand-off: pages count readable faces, boxes lie from the top left, texts are quoted") {
    app::EditionRecord record;
    record.title = "Night Orchard";
    record.edition = "gray 3f9a2c";
    app::RecordedFace moth;
    moth.name = "Moth, \"pale\"";
    moth.proof = "faces/moth.png";
    moth.proof_hash = "cd";
    moth.copies = 3;
    moth.back = 2;
    moth.trim = {{63.5}, {88.9}};
    moth.bleed = {{3.048}, {3.048}, {2.032}, {3.048}};
    moth.proof_px = {822, 1110};
    app::RecordedFace broken;
    broken.name = "broken";
    app::RecordedFace back = moth;
    back.name = "back";
    back.copies = 0;
    back.back.reset();
    back.trim = {{88.9}, {63.5}};
    back.bleed = {};
    back.proof_px = {1050, 750};
    back.bits = 1;
    record.faces = {moth, broken, back};

    const auto json = nlohmann::json::parse(app::handoff_json(record));
    REQUIRE(json["faces"].size() == 2);
    const auto& first = json["faces"][0];
    CHECK(first["back"] == "back");
    CHECK(first["back_page"] == 2);
    CHECK(first["trim_box_mm"] == nlohmann::json{3.048, 3.048, 63.5, 88.9});
    CHECK(first["bleed_box_mm"] == nlohmann::json{0, 0, 69.596, 93.98});
    CHECK(first["trim_box_px"] == nlohmann::json{36, 36, 750, 1050});
    CHECK(first["bleed_box_px"] == nlohmann::json{0, 0, 822, 1110});
    CHECK(json["faces"][1]["rotation_deg"] == 90);
    CHECK(json["faces"][1]["color"] == "bilevel");
    CHECK(json["faces"][1]["back"].is_null());

    const std::string csv = app::handoff_csv(record);
    CHECK(csv.find("1,\"Moth, \"\"pale\"\"\",faces/moth.png,3,back,2,69.596,93.980,3.048,3.048,"
                   "63.500,88.900,3.048,3.048,2.032,3.048,822,1110,36,36,750,1050,0,gray,cd\r\n") !=
          std::string::npos);
}
