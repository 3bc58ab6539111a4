// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/face_plan.h"

#include <doctest/doctest.h>

#include "plain_face.h"

using namespace paleproof;
using plan::FacePlan;

namespace {

/// A poker card at 300 ppi that stops at the trim: border above, pattern to the right, art below
/// and to the left.
survey::FaceSurvey mixed_face() {
    survey::FaceSurvey face = test::plain_face(Ppi{300});
    face.borders.top.width_px = 40.0;
    face.repeats.right = {0, 24, 0.99};
    return face;
}

FacePlan plan_of(const survey::FaceSurvey& face, const plan::Wishes& wishes) {
    return plan::face_plans({&face, 1}, wishes).front();
}

}  // namespace

TEST_CASE("each edge gets the method that its survey suggests") {
    const FacePlan plan = plan_of(mixed_face(), {});
    CHECK(plan.bleed_method.top == BleedMethod::flat);
    CHECK(plan.bleed_method.right == BleedMethod::pattern);
    CHECK(plan.bleed_method.bottom == BleedMethod::carry);
    CHECK(plan.border_px.top == 40);
    CHECK(plan.repeat.right.inward == 24);
    // 3 mm at 300 ppi = 35.4 px.
    CHECK(plan.bleed_px == Edges<int>{36, 36, 36, 36});
    CHECK(plan.proof_px == SizePx{822, 1122});
}

TEST_CASE("a method that was asked for wins, edge by edge; none leaves the edge at the trim") {
    const plan::Wishes wishes{.bleed_method = {BleedMethod::mirror, std::nullopt, BleedMethod::none,
                                               BleedMethod::stretch}};
    const FacePlan plan = plan_of(mixed_face(), wishes);
    CHECK(plan.bleed_method.top == BleedMethod::mirror);
    CHECK(plan.bleed_method.right == BleedMethod::pattern);
    CHECK(plan.bleed_method.bottom == BleedMethod::none);
    CHECK(plan.bleed_method.left == BleedMethod::stretch);
    CHECK(plan.bleed_px == Edges<int>{36, 36, 0, 36});
    CHECK(plan.bleed_mm.bottom.value == 0.0);
    CHECK(plan.proof_px == SizePx{822, 1086});
    CHECK(plan.proof_trim_px == RectPx{36, 36, 750, 1050});
}

TEST_CASE("bleed that is there is used and cut to what is wanted, whatever method is asked for") {
    survey::FaceSurvey face = mixed_face();
    face.image = {850, 1150};
    face.place.placement.trim_px = {50, 50, 750, 1050};
    face.place.art_px = {0, 0, 850, 1150};
    const FacePlan plan = plan_of(face, {.bleed_method = {BleedMethod::mirror}});
    CHECK(plan.bleed_method.top == BleedMethod::present);
    CHECK(plan.bleed_px == Edges<int>{-14, -14, -14, -14});
}

TEST_CASE("a picture that ends inside the trim is continued up to it even without bleed") {
    survey::FaceSurvey face = mixed_face();
    face.image = {740, 1050};
    face.place.placement.trim_px = {-5, 0, 750, 1050};
    face.place.art_px = {0, 0, 740, 1050};
    const auto none = BleedMethod::none;
    const FacePlan plan = plan_of(face, {.bleed_method = {none, none, none, none}});
    CHECK(plan.bleed_px == Edges<int>{0, 5, 0, 5});
    CHECK(plan.bleed_method.left == BleedMethod::carry);
    CHECK(plan.proof_px == SizePx{750, 1050});
}

TEST_CASE("only art inside the crop marks is kept, and lines of text near an edge are named") {
    survey::FaceSurvey face = mixed_face();
    face.image = {1050, 1350};
    face.place.placement.trim_px = {150, 150, 750, 1050};
    face.place.art_px = {140, 140, 770, 1070};
    TextLine inner;
    inner.box_px = {400, 600, 200, 40};
    TextLine outer;
    outer.box_px = {400, 155, 200, 40};
    face.text = {inner, outer};
    const FacePlan plan = plan_of(face, {});
    CHECK(plan.art_px == RectPx{140, 140, 770, 1070});
    CHECK(plan.bleed_px.top == 26);
    REQUIRE(plan.text_px.size() == 1);
    CHECK(intersection(plan.text_px[0], outer.box_px) == outer.box_px);
}
