// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Limits: common practice, no source (docs/findings.md); the arithmetic is plane geometry.
#include "plan/edge_judgement.h"

#include <doctest/doctest.h>

#include <string>

#include "plain_face.h"

using namespace paleproof;

namespace {

/// A card of 63.5 x 88.9 mm at 254 ppi, ten pixels a millimeter, that no rule minds.
survey::FaceSurvey good_face() { return test::plain_face(Ppi{254}); }

survey::Border border(double width_px) {
    survey::Border result;
    result.width_px = width_px;
    return result;
}

const Finding* found(const std::vector<Finding>& findings, Rule rule) {
    for (const Finding& finding : findings) {
        if (finding.rule == rule) return &finding;
    }
    return nullptr;
}

bool says(const Finding& finding, const char* words) {
    return finding.message.find(words) != std::string::npos;
}

}  // namespace

TEST_CASE("a face of the card's shape without borders gives no finding") {
    CHECK(plan::edge_findings(good_face(), {}).empty());
}

TEST_CASE("a border under three times the wander of the cut is narrow, one of 3 mm is not") {
    // (w + d) / (w - d) = 2 at w = 3 d.
    survey::FaceSurvey face = good_face();
    face.borders = {border(30), border(30), border(30), border(30)};
    CHECK(plan::edge_findings(face, {}).empty());
    plan::Limits wide;
    wide.cut_wander = Mm{1.5};
    CHECK(found(plan::edge_findings(face, wide), Rule::border_uneven));
    face.borders.bottom = border(18);
    const auto findings = plan::edge_findings(face, {});
    const Finding* finding = found(findings, Rule::border_uneven);
    REQUIRE(finding);
    CHECK(finding->measured == doctest::Approx(1.8));
    CHECK(finding->limit == doctest::Approx(3.0));
    CHECK(says(*finding, "bottom"));
}

TEST_CASE("a plain ground is no border, and an edge without one is not compared") {
    survey::FaceSurvey face = good_face();
    face.borders.left = border(12);
    face.borders.left.open = true;
    CHECK(plan::edge_findings(face, {}).empty());
    face.borders.left = border(45);
    CHECK(plan::edge_findings(face, {}).empty());
}

TEST_CASE("borders that differ by more than 0.3 mm from left to right are uneven") {
    survey::FaceSurvey face = good_face();
    face.borders.left = border(40);
    face.borders.right = border(42.5);
    CHECK(plan::edge_findings(face, {}).empty());
    face.borders.right = border(45);
    const auto findings = plan::edge_findings(face, {});
    const Finding* finding = found(findings, Rule::border_uneven);
    REQUIRE(finding);
    CHECK(finding->measured == doctest::Approx(0.5));
    CHECK(says(*finding, "4 mm wide on the left and 4.5 mm on the right"));
}

TEST_CASE("a thin line 2 mm from the trim is told, with its edge; one at 3 mm is not") {
    survey::FaceSurvey face = good_face();
    face.borders.right.frame = survey::FrameLine{30.0, 2.0};
    CHECK(plan::edge_findings(face, {}).empty());
    face.borders.top.frame = survey::FrameLine{20.0, 2.0};
    const auto findings = plan::edge_findings(face, {});
    const Finding* finding = found(findings, Rule::frame_at_trim);
    REQUIRE(finding);
    CHECK(finding->measured == doctest::Approx(2.0));
    CHECK(says(*finding, "top"));
}

TEST_CASE("art-coarse: 199 ppi; line art under 300; art that was enlarged by its soft edges") {
    survey::FaceSurvey face = good_face();
    face.place.placement.ppi = Ppi{199};
    CHECK(found(plan::edge_findings(face, {}), Rule::art_coarse));
    face.place.placement.ppi = Ppi{254};
    CHECK_FALSE(found(plan::edge_findings(face, {}), Rule::art_coarse));
    face.sharpness.line_art = true;
    {
        const auto findings = plan::edge_findings(face, {});
        REQUIRE(found(findings, Rule::art_coarse));
        CHECK(found(findings, Rule::art_coarse)->limit == 300.0);
    }
    face.place.placement.ppi = Ppi{300};
    CHECK_FALSE(found(plan::edge_findings(face, {}), Rule::art_coarse));
    face.sharpness = {.edge_px = 4.0, .line_art = false};
    const auto findings = plan::edge_findings(face, {});
    const Finding* finding = found(findings, Rule::art_coarse);
    REQUIRE(finding);
    CHECK(finding->measured == doctest::Approx(75.0));
    CHECK(says(*finding, "enlarged"));
}

TEST_CASE("size-off says what was done: kept, cut, stretched, or printed a little out of shape") {
    survey::FaceSurvey face = good_face();
    face.image = {625, 889};
    face.place.shape_off = 0.0157;
    {
        const auto findings = plan::edge_findings(face, {});
        REQUIRE(found(findings, Rule::size_off));
        CHECK(found(findings, Rule::size_off)->measured == doctest::Approx(1.0));
        CHECK(says(*found(findings, Rule::size_off), "1 mm are missing in width; it was kept"));
        CHECK(found(findings, Rule::size_off)->severity == Severity::warning);
    }
    face.image = {500, 889};
    CHECK(found(plan::edge_findings(face, {}), Rule::size_off)->severity == Severity::error);
    face.fit = FitMethod::crop;
    face.image = {645, 889};
    {
        const auto findings = plan::edge_findings(face, {});
        REQUIRE(found(findings, Rule::size_off));
        CHECK(says(*found(findings, Rule::size_off), "1 mm too much in width; it was cut evenly"));
    }
    face.fit = FitMethod::scale;
    face.scaled_from = SizePx{625, 889};
    face.image = {635, 889};
    face.place.shape_off = 0.0;
    CHECK(says(*found(plan::edge_findings(face, {}), Rule::size_off), "625 x 889 px"));
    CHECK(says(*found(plan::edge_findings(face, {}), Rule::size_off), "stretched to fit"));
    face.scaled_from.reset();
    face.place.stretch = 0.002;
    CHECK_FALSE(found(plan::edge_findings(face, {}), Rule::size_off));
    face.place.stretch = -0.0045;
    const auto findings = plan::edge_findings(face, {});
    REQUIRE(found(findings, Rule::size_off));
    CHECK(found(findings, Rule::size_off)->severity == Severity::note);
    CHECK(says(*found(findings, Rule::size_off), "stretches the width by 0.29 mm"));
}
