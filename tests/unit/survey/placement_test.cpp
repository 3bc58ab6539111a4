// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Sizes of the trade and their pixels at 300 ppi are common practice, no source, save the
// arithmetic: pixels = mm / 25.4 * ppi (international inch).
#include "survey/placement.h"

#include <doctest/doctest.h>

using namespace paleproof;
using survey::placement;
using survey::PlacementQuestion;

TEST_CASE("a face of the asked size has no bleed and its trim is the whole picture") {
    const auto answer =
        placement({.image = {750, 1050}, .declared = {300}, .size = SizeMm{{63.5}, {88.9}}});
    CHECK(answer.placement.trim_px == RectPx{0, 0, 750, 1050});
    CHECK(answer.placement.ppi.value == doctest::Approx(300.0));
    CHECK(answer.placement.bleed_present.top.value == 0.0);
    CHECK(answer.shape_off == 0.0);
}

TEST_CASE("an eighth of an inch of bleed is recognised from the resolution and from the shape") {
    for (const double declared : {300.0, 0.0, 72.0}) {
        CAPTURE(declared);
        const auto answer = placement(
            {.image = {825, 1125}, .declared = {declared}, .size = SizeMm{{63.5}, {88.9}}});
        CHECK(answer.placement.bleed_present.left.value == doctest::Approx(3.175).epsilon(0.01));
        CHECK(answer.placement.trim_px.width == doctest::Approx(750).epsilon(0.002));
        CHECK(answer.placement.ppi.value == doctest::Approx(300.0).epsilon(0.003));
    }
}

TEST_CASE("without a size the file's own resolution decides, with and without bleed") {
    struct Case {
        SizePx image;
        double ppi;
        double width;
        double bleed;
    };
    for (const Case& c : {Case{{750, 1050}, 300, 63.5, 0}, Case{{744, 1039}, 300, 63.0, 0},
                          Case{{375, 525}, 150, 63.5, 0}, Case{{825, 1125}, 300, 63.5, 3.175},
                          Case{{815, 1110}, 300, 63.0, 3.0}, Case{{827, 1417}, 300, 70.0, 0}}) {
        CAPTURE(c.image.width);
        const auto answer = placement({.image = c.image, .declared = {c.ppi}});
        CHECK(answer.placement.trim.width.value == c.width);
        CHECK(answer.placement.bleed_present.right.value == doctest::Approx(c.bleed).epsilon(0.03));
        CHECK(answer.note.find("resolution") != std::string::npos);
    }
}

TEST_CASE("without size and resolution the usual size of the same shape is taken and named") {
    const auto answer = placement({.image = {1500, 2100}});
    CHECK(answer.placement.trim.width.value == 63.5);
    CHECK(answer.placement.ppi.value == doctest::Approx(600.0));
    CHECK(answer.note.find("poker") != std::string::npos);
}

TEST_CASE("a lying picture gets a lying card") {
    const auto answer = placement({.image = {1050, 750}, .size = SizeMm{{63.5}, {88.9}}});
    CHECK(answer.placement.trim.width.value == 88.9);
    CHECK(answer.placement.trim_px == RectPx{0, 0, 1050, 750});
}

TEST_CASE("a picture of another shape keeps its aspect and is set inside the trim") {
    // 62 x 88 for 63 x 88: 1 mm is missing in width, half of it on each side.
    const auto answer =
        placement({.image = {732, 1039}, .declared = {300}, .size = SizeMm{{63}, {88}}});
    CHECK(answer.shape_off == doctest::Approx(1.0 / 63.0).epsilon(0.05).scale(0.0));
    CHECK(answer.placement.trim_px.height == 1039);
    CHECK(answer.placement.trim_px.width == 744);
    CHECK(answer.placement.trim_px.x == -6);
    CHECK(answer.placement.bleed_present.left.value == doctest::Approx(-0.508).epsilon(0.02));
    CHECK(answer.placement.bleed_present.top.value == 0.0);
}

TEST_CASE("every picture gets an answer that holds together") {
    for (const int w : {1, 2, 17, 300, 1050, 9999}) {
        for (const int h : {1, 3, 400, 750, 10000}) {
            for (const double ppi : {0.0, 1.0, 72.0, 300.0, 2400.0}) {
                CAPTURE(w);
                CAPTURE(h);
                CAPTURE(ppi);
                const auto answer = placement({.image = {w, h}, .declared = {ppi}});
                const auto& place = answer.placement;
                CHECK(place.ppi.value > 0.0);
                CHECK(place.trim_px.width >= 1);
                CHECK(place.trim_px.height >= 1);
                CHECK_FALSE(answer.note.empty());
                CHECK(answer.shape_off >= 0.0);
                CHECK(answer.shape_off < 1.0);
            }
        }
    }
}

TEST_CASE("fit = crop lets a picture of another shape cover the card, cut evenly") {
    const PlacementQuestion wide{.image = {790, 1050},
                                 .declared = {300},
                                 .size = SizeMm{{63.5}, {88.9}},
                                 .fit = FitMethod::crop};
    const auto answer = placement(wide);
    CHECK(answer.placement.trim_px == RectPx{20, 0, 750, 1050});
    CHECK(answer.placement.bleed_present.left.value == doctest::Approx(20.0 / 300.0 * 25.4));
    CHECK(answer.placement.bleed_present.top.value == 0.0);
    CHECK(answer.shape_off > 0.0);
    // 62 x 88 for 63 x 88 at ten pixels a millimeter: 88 * 62 / 63 = 86.6.
    const auto high = placement({.image = {620, 880},
                                 .declared = {254},
                                 .size = SizeMm{{63}, {88}},
                                 .fit = FitMethod::crop});
    CHECK(high.placement.trim_px == RectPx{0, 7, 620, 866});
}

TEST_CASE("a shape that is 0.4 % off fills the card and is said; asked to crop, it is cut") {
    PlacementQuestion question{
        .image = {747, 1050}, .declared = {}, .size = SizeMm{{63.5}, {88.9}}};
    const auto kept = placement(question);
    CHECK(kept.placement.trim_px == RectPx{0, 0, 747, 1050});
    CHECK(kept.shape_off == 0.0);
    CHECK(kept.stretch == doctest::Approx(-0.004));
    question.fit = FitMethod::crop;
    CHECK(placement(question).placement.trim_px == RectPx{0, 2, 747, 1046});
    // Rounding to whole pixels is no other shape.
    question = {.image = {744, 1039}, .declared = {}, .size = SizeMm{{63}, {88}}};
    question.fit = FitMethod::crop;
    CHECK(placement(question).placement.trim_px == RectPx{0, 0, 744, 1039});
}

TEST_CASE("crop marks rule: the trim lies between them, art past it is bleed") {
    const auto answer =
        placement({.image = {1000, 1300},
                   .declared = {300},
                   .size = SizeMm{{63.5}, {88.9}},
                   .marks = survey::CropMarks{{125, 125, 750, 1050}, {95, 125, 780, 1050}}});
    CHECK(answer.placement.trim_px == RectPx{125, 125, 750, 1050});
    CHECK(answer.art_px == RectPx{95, 125, 780, 1050});
    CHECK(answer.placement.ppi.value == doctest::Approx(300.0));
    CHECK(answer.placement.bleed_present.left.value == doctest::Approx(2.54));
    CHECK(answer.placement.bleed_present.right.value == 0.0);
}
