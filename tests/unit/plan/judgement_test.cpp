// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/judgement.h"

#include <doctest/doctest.h>

#include <string>

#include "plain_face.h"

using namespace paleproof;

namespace {

/// A poker card at 300 ppi whose art stops at the trim, with a border below.
survey::FaceSurvey trimmed_face() {
    survey::FaceSurvey face = test::plain_face(Ppi{300});
    face.borders.bottom.width_px = 40.0;
    return face;
}

std::string bleed_message(const survey::FaceSurvey& face, const plan::Wishes& wishes) {
    plan::Limits limits;
    limits.bleed = wishes.bleed;
    std::vector<Finding> findings = plan::findings(face, limits);
    plan::tell_bleed(findings, plan::face_plans({&face, 1}, wishes).front());
    for (const Finding& finding : findings) {
        if (finding.rule == Rule::bleed_missing) return finding.message;
    }
    return "";
}

}  // namespace

TEST_CASE("missing bleed is told with what the proof has in its place, edge by edge") {
    const survey::FaceSurvey face = trimmed_face();
    CHECK(bleed_message(face, {}) ==
          "the art stops at the trim; 3 mm are wanted; added to the proof: art continued (top, "
          "right, left), border (bottom)");
    const std::optional<BleedMethod> none = BleedMethod::none;
    CHECK(bleed_message(face, {.bleed_method = {none, none, none, none}}) ==
          "the art stops at the trim; 3 mm are wanted; added to the proof: nothing");
    CHECK(bleed_message(face, {.bleed_method = {BleedMethod::mirror, none, BleedMethod::stretch,
                                                BleedMethod::pattern}}) ==
          "the art stops at the trim; 3 mm are wanted; added to the proof: mirrored art (top), "
          "nothing (right), edge drawn out (bottom), pattern in phase (left)");
    CHECK(bleed_message(face, {.bleed = Mm{0.0}}).empty());
}

TEST_CASE("edges that have their bleed are not among those to which it is added") {
    survey::FaceSurvey face = trimmed_face();
    face.image = {750, 1086};
    face.place.placement.trim_px = {0, 36, 750, 1050};
    face.place.placement.bleed_present.top = Mm{3.048};  // 36 px at 300 ppi
    face.place.art_px = {0, 0, 750, 1086};
    CHECK(bleed_message(face, {}) ==
          "the art stops at the trim; 3 mm are wanted; added to the proof: art continued (right, "
          "left), border (bottom)");
}

TEST_CASE("a missed budget names one that leaves the words readable") {
    CHECK_FALSE(plan::budget_finding("f", 0.1219, 0.12, 0.03));
    const auto art = plan::budget_finding("f", 0.0903, 0.05, 0.03);
    REQUIRE(art);
    CHECK(art->rule == Rule::budget_missed);
    CHECK(art->measured == 0.0903);
    CHECK(art->limit == 0.05);
    CHECK(art->message.find("set the budget to 9.1 % or more") != std::string::npos);
    // Less than its words take: some of them are lost.
    const auto words = plan::budget_finding("f", 0.0101, 0.0, 0.0128);
    REQUIRE(words);
    CHECK(words->message.find("set the budget to 1.3 % or more") != std::string::npos);
}
