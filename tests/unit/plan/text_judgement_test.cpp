// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/text_judgement.h"

#include <doctest/doctest.h>

#include <algorithm>

using namespace paleproof;
using plan::TextLimits;

namespace {

/// A line that no rule minds: 10 pt, black on white, in the middle of a poker card at 300 ppi.
TextLine good_line() {
    TextLine line;
    line.box_px = {200, 500, 300, 40};
    line.confidence = 0.95;
    line.x_height = Mm{1.7};
    line.cap_height = Mm{2.4};
    line.x_height_px = 20;
    line.stroke_px = 3.5;
    line.point_size = 10;
    line.point_size_low = 8.8;
    line.point_size_high = 12;
    line.contrast = 21;
    line.paper_contrast = 7.8;
    return line;
}

TrimPlacement poker() {
    return {.trim = {Mm{63.5}, Mm{88.9}},
            .ppi = Ppi{300},
            .trim_px = {0, 0, 750, 1050},
            .bleed_present = {}};
}

std::vector<Finding> judged(const TextLine& line, const TextLimits& limits = {}) {
    return plan::text_findings("f", {&line, 1}, poker(), limits, 7.8);
}

bool has(const std::vector<Finding>& findings, Rule rule) {
    return std::any_of(findings.begin(), findings.end(),
                       [&](const Finding& f) { return f.rule == rule; });
}

}  // namespace

TEST_CASE("a line of usual size, contrast and place gives no finding") {
    CHECK(judged(good_line()).empty());
}

TEST_CASE("an x-height under 0.9 mm is small") {
    // Regulation (EU) 1169/2011, art. 13(3): 0.9 mm where the largest surface is under 80 cm2.
    TextLine line = good_line();
    line.x_height = Mm{0.89};
    const auto findings = judged(line);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].rule == Rule::text_small);
    CHECK(findings[0].measured == doctest::Approx(0.89));
    CHECK(findings[0].limit == doctest::Approx(0.9));
    CHECK(findings[0].unit == "mm");
    line.x_height = Mm{0.9};
    CHECK(judged(line).empty());
}

TEST_CASE("reversed text needs 1.1 mm") {  // common practice, no source
    TextLine line = good_line();
    line.x_height = Mm{1.0};
    CHECK(judged(line).empty());
    line.reversed = true;
    CHECK(has(judged(line), Rule::text_small));
}

TEST_CASE("a size that some font may reach is a note, one that none reaches a warning") {
    TextLine line = good_line();
    line.point_size = 5.5;
    line.point_size_high = 6.3;
    REQUIRE(judged(line).size() == 1);
    CHECK(judged(line)[0].severity == Severity::note);
    line.point_size_high = 5.9;
    CHECK(judged(line)[0].severity == Severity::warning);
    CHECK(judged(line)[0].unit == "pt");
}

TEST_CASE("capitals are judged by their own height") {
    TextLine line = good_line();
    line.capitals_only = true;
    line.cap_height = Mm{1.0};
    line.x_height = Mm{0.72};
    CHECK(judged(line).empty());
    line.cap_height = Mm{0.85};
    CHECK(has(judged(line), Rule::text_small));
}

TEST_CASE("named limits are stricter") {
    // 1.2 mm: the same regulation, art. 13(2). 12 pt clear print, 18 pt large print: guidance of
    // organisations of the blind.
    TextLine line = good_line();
    line.x_height = Mm{1.1};
    CHECK(has(judged(line, *plan::named_text_limits("food-label")), Rule::text_small));
    line = good_line();
    line.point_size_high = 11.9;
    CHECK(has(judged(line, *plan::named_text_limits("clear-print")), Rule::text_small));
    line.point_size = line.point_size_high = 17;
    CHECK(has(judged(line, *plan::named_text_limits("large-print")), Rule::text_small));
    CHECK_FALSE(has(judged(line, *plan::named_text_limits("clear-print")), Rule::text_small));
    CHECK_FALSE(plan::named_text_limits("tiny"));
}

TEST_CASE("contrast is held against 4.5, large and bold text against 3") {
    // WCAG 2.2, 1.4.3: #777777 on white has 4.4781 and fails, #767676 has 4.5422 and passes;
    // large text from 18 pt, or 14 pt bold, needs 3.
    TextLine line = good_line();
    line.contrast = 4.4781;
    CHECK(has(judged(line), Rule::text_faint));
    line.contrast = 4.5422;
    CHECK(judged(line).empty());
    line.contrast = 3.0335;  // #949494 on white
    line.point_size = line.point_size_high = 18;
    CHECK(judged(line).empty());
    line.contrast = 2.9953;  // #959595
    CHECK(has(judged(line), Rule::text_faint));
    line.contrast = 3.0335;
    line.point_size = 14;
    CHECK(has(judged(line), Rule::text_faint));
    line.stroke_px = 0.3 * line.x_height_px;
    CHECK(judged(line).empty());
}

TEST_CASE("a line that only fails on paper says so, with the best that paper can give") {
    TextLine line = good_line();
    line.contrast = 5.0;
    line.paper_contrast = 2.9;
    const auto findings = judged(line);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].rule == Rule::text_faint);
    CHECK(findings[0].measured == doctest::Approx(2.9));
    CHECK(findings[0].limit == doctest::Approx(3.0));
    CHECK(findings[0].message.find("7.8 : 1") != std::string::npos);
}

TEST_CASE("text closer to the trim than the safe zone is at the edge") {
    // 3 mm at 300 ppi = 35.43 px; a tenth of a millimeter is let go.
    TextLine line = good_line();
    line.box_px = {35, 500, 300, 40};
    CHECK(judged(line).empty());
    line.box_px = {33, 500, 300, 40};
    auto findings = judged(line);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].rule == Rule::text_at_edge);
    CHECK(findings[0].measured == doctest::Approx(33 * 25.4 / 300));
    CHECK(findings[0].message.find("left") != std::string::npos);
    line.box_px = {300, 1040, 100, 20};
    findings = judged(line);
    REQUIRE(findings.size() == 1);
    CHECK(findings[0].measured == doctest::Approx(-10 * 25.4 / 300));
    CHECK(findings[0].message.find("past the bottom trim") != std::string::npos);
}

TEST_CASE("a line that is hardly sure is not judged") {
    TextLine line = good_line();
    line.confidence = 0.4;
    line.x_height = Mm{0.3};
    line.contrast = 1.2;
    CHECK(judged(line).empty());
}

TEST_CASE("findings come rule by rule") {
    TextLine line = good_line();
    line.x_height = Mm{0.5};
    line.contrast = 1.7;
    line.box_px = {1, 1, 100, 10};
    const auto findings = judged(line);
    REQUIRE(findings.size() == 3);
    CHECK(findings[0].rule == Rule::text_small);
    CHECK(findings[1].rule == Rule::text_faint);
    CHECK(findings[2].rule == Rule::text_at_edge);
}

TEST_CASE(
    "a line, a mark and a symbol that were lost are told; words that were not read again too") {
    TextLine line = good_line();
    // WCAG 2.2, large text: 3 : 1.
    plan::judge_kept(line, survey::LineInProof{.contrast = 2.0, .found = 1.0}, {});
    CHECK(line.kept == false);
    TextLine mark = good_line();
    mark.kind = TextLine::Kind::mark;
    plan::judge_kept(mark, survey::LineInProof{.contrast = 9.0, .found = 0.5}, {});
    CHECK(mark.kept == false);
    TextLine kept = good_line();
    plan::judge_kept(kept, survey::LineInProof{.contrast = 9.0, .found = 1.0}, {});
    CHECK(kept.kept == true);
    kept.lost_words = {"moth", "lamp"};
    TextLine unsure = mark;
    unsure.confidence = 0.4;
    const std::vector<TextLine> text{line, mark, kept, unsure};
    Symbol symbol{.box_px = {10, 10, 30, 30}, .contrast = 8.0};
    plan::judge_kept(symbol, survey::SymbolInProof{.contrast = 9.0, .found = 0.5, .clear = 1.0},
                     {});
    CHECK(symbol.kept == false);
    Symbol faint{.box_px = {50, 10, 30, 30}, .contrast = 2.2};
    plan::judge_kept(faint, survey::SymbolInProof{.contrast = 2.3, .found = 1.0, .clear = 1.0}, {});
    CHECK(faint.kept == true);
    const std::vector<Symbol> symbols{symbol, faint};
    const auto findings = plan::lost_findings("f", text, symbols, {});
    REQUIRE(findings.size() == 4);
    for (const Finding& finding : findings) CHECK(finding.rule == Rule::text_lost);
    CHECK(findings[0].severity == Severity::error);
    CHECK(findings[1].severity == Severity::error);
    CHECK(findings[1].message.find("single number or letter") != std::string::npos);
    CHECK(findings[2].severity == Severity::warning);
    CHECK(findings[2].message.find("\"moth\", \"lamp\"") != std::string::npos);
    CHECK(findings[3].severity == Severity::warning);
    CHECK(findings[3].box_px == symbol.box_px);
}
