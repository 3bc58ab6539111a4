// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/text_finder.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <functional>
#include <random>
#include <thread>
#include <vector>

#include "core/error.h"
#include "core/image.h"
#include "typeset.h"

using namespace paleproof;
using survey::TextFinder;
using survey::TextSurvey;
using test::draw;
using test::plain;

namespace {

const TextFinder& finder() {
    static const TextFinder one;
    return one;
}

TextSurvey found(const Image& image) { return finder().find(image, image.ppi()); }

Image paragraph() {
    Image face = plain(750, 400, {250, 246, 230});
    const char* text[] = {"When you reveal this, choose", "another keeper. That player",
                          "moves one moth to the path", "and pays two lamps for it."};
    for (int i = 0; i < 4; ++i) {
        draw(face, {.font = "liberation2/LiberationSerif-Regular.ttf",
                    .text = text[i],
                    .px = 38,
                    .x = 60,
                    .y = 90.0 + 46 * i});
    }
    return face;
}

/// Pictures without text that once looked like it to someone.
Image drawn(int width, int height, const std::function<int(int, int)>& tone) {
    Image image(width, height, Encoding::srgb, Ppi{300});
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            std::fill_n(image.row(y) + 3 * x, 3,
                        static_cast<std::uint8_t>(std::clamp(tone(x, y), 0, 255)));
        }
    }
    return image;
}

bool same(const TextSurvey& a, const TextSurvey& b) {
    return a.cut == b.cut &&
           std::equal(a.lines.begin(), a.lines.end(), b.lines.begin(), b.lines.end(),
                      [](const TextLine& p, const TextLine& q) {
                          return p.box_px == q.box_px && p.confidence == q.confidence &&
                                 p.x_height_px == q.x_height_px && p.contrast == q.contrast;
                      });
}

}  // namespace

TEST_CASE("each line of a paragraph is one line") {
    const TextSurvey survey = found(paragraph());
    REQUIRE(survey.lines.size() == 4);
    CHECK_FALSE(survey.cut);
    for (std::size_t i = 0; i < 4; ++i) {
        const TextLine& line = survey.lines[i];
        const double base = 90.0 + 46 * static_cast<double>(i);
        CHECK(line.kind == TextLine::Kind::line);
        CHECK(line.confidence > 0.8);
        CHECK(line.box_px.x == doctest::Approx(60).epsilon(0.1));
        CHECK(line.box_px.y < base - 20);
        CHECK(line.box_px.bottom() >= base - 2);
        CHECK(line.box_px.bottom() < base + 14);
        CHECK(line.quarter_turns == 0);
    }
}

TEST_CASE("turned text is found and its turn is told") {
    const Image face = paragraph();
    for (const int turns : {1, 2, 3}) {
        CAPTURE(turns);
        const TextSurvey survey = found(test::turned(face, turns));
        CHECK(survey.lines.size() == 4);
        // A face turned counterclockwise by n needs 4 - n more to stand upright. The lines tell up
        // from down by what rises above their small letters.
        int right = 0;
        for (const TextLine& line : survey.lines) {
            CHECK((line.quarter_turns & 1) == (turns & 1));
            right += line.quarter_turns == (4 - turns) % 4;
        }
        CHECK(right >= 3);
    }
}

TEST_CASE("columns stay apart, words do not") {
    Image face = plain(750, 200, {255, 255, 255});
    draw(face, {.text = "Old Graft", .px = 36, .x = 40, .y = 110});
    draw(face, {.text = "24 seeds", .px = 36, .x = 520, .y = 110});
    CHECK(found(face).lines.size() == 2);
    draw(face, {.text = "from the garden", .px = 36, .x = 226, .y = 110});
    CHECK(found(face).lines.size() == 1);
}

TEST_CASE("faint lines are found down to 1.6 : 1") {
    // #CBCBCB on white has 1.63 : 1.
    Image face = plain(750, 200, {255, 255, 255});
    draw(face,
         {.text = "nobody sees this line", .px = 40, .x = 60, .y = 110, .ink = {0xcb, 0xcb, 0xcb}});
    const TextSurvey survey = found(face);
    REQUIRE(survey.lines.size() == 1);
    CHECK(survey.lines[0].contrast == doctest::Approx(1.63).epsilon(0.05));
}

TEST_CASE("a number in a corner is a mark") {
    Image face = plain(750, 1050, {240, 236, 220});
    draw(face, {.font = "dejavu/DejaVuSerif-Bold.ttf", .text = "7", .px = 90, .x = 640, .y = 130});
    const TextSurvey survey = found(face);
    REQUIRE(survey.lines.size() == 1);
    CHECK(survey.lines[0].kind == TextLine::Kind::mark);
}

TEST_CASE("gray faces are measured like colored ones of the same gray") {
    const Image face = paragraph();
    Image gray(face.width(), face.height(), Encoding::gray, face.ppi());
    Image same_gray = face;
    for (int y = 0; y < face.height(); ++y) {
        for (int x = 0; x < face.width(); ++x) {
            gray.row(y)[x] = face.row(y)[3 * x];
            std::fill_n(same_gray.row(y) + 3 * x, 3, face.row(y)[3 * x]);
        }
    }
    CHECK(same(found(gray), found(same_gray)));
}

TEST_CASE("the same face gives the same answer, on many threads at once") {
    const Image face = paragraph();
    const TextSurvey once = found(face);
    std::vector<TextSurvey> answers(4);
    std::vector<std::thread> threads;
    for (TextSurvey& answer : answers) {
        threads.emplace_back([&] { answer = found(face); });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    for (const TextSurvey& answer : answers) {
        CHECK(same(answer, once));
    }
}

TEST_CASE("pictures without text give no lines, and soon") {
    std::mt19937 random(7);
    const std::vector<std::pair<const char*, Image>> pictures = {
        {"white", plain(750, 1050, {255, 255, 255})},
        {"noise", drawn(750, 1050, [&](int, int) { return static_cast<int>(random() % 256); })},
        {"checks of one pixel", drawn(750, 1050, [](int x, int y) { return (x + y) % 2 * 255; })},
        {"checks", drawn(750, 1050, [](int x, int y) { return (x / 9 + y / 9) % 2 * 255; })},
        {"halftone", drawn(750, 1050,
                           [](int x, int y) {
                               const double r = 1 + 2.5 * x / 750;
                               return std::hypot(x % 8 - 3.5, y % 8 - 3.5) < r ? 0 : 255;
                           })},
        {"rules", drawn(750, 1050, [](int, int y) { return y % 24 < 2 ? 0 : 255; })},
        {"hatching",
         drawn(750, 1050, [](int x, int y) { return (x + 2 * y) % 15 < 4 ? 40 : 230; })},
        {"ramp", drawn(750, 1050, [](int x, int y) { return (x + y) / 8; })}};
    for (const auto& [a_name, picture] : pictures) {
        const auto& name = a_name;  // clang 14 captures no bindings
        CAPTURE(name);
        const auto start = std::chrono::steady_clock::now();
        CHECK(found(picture).lines.empty());
        CHECK(std::chrono::steady_clock::now() - start < std::chrono::seconds(10));
    }
}

TEST_CASE("odd shapes are no trouble") {
    for (const auto& [a_width, a_height] : std::vector<std::pair<int, int>>{
             {1, 1}, {1, 400}, {400, 1}, {2, 3}, {17, 15}, {10000, 12}, {10000, 300}, {40, 9000}}) {
        const int width = a_width;  // clang 14 captures no bindings
        const int height = a_height;
        CAPTURE(width);
        CAPTURE(height);
        CHECK(found(drawn(width, height, [](int x, int y) {
                  return (x * 7 + y * 13) % 256;
              })).lines.size() <= TextFinder::most_lines);
        CHECK(found(plain(width, height, {255, 255, 255})).lines.empty());
    }
    CHECK(finder().find(Image{}, Ppi{300}).lines.empty());
    // A resolution that is not known counts as 300.
    const Image face = paragraph();
    CHECK(same(finder().find(face, Ppi{0}), found(face)));
}

TEST_CASE("a wide picture keeps its text") {
    Image face = plain(10000, 160, {255, 255, 255});
    draw(face, {.text = "far to the right", .px = 40, .x = 9500, .y = 90});
    const TextSurvey survey = found(face);
    REQUIRE(survey.lines.size() == 1);
    CHECK(survey.lines[0].box_px.x > 9480);
}

TEST_CASE("a tall picture is read in parts that do not show") {
    Image face = plain(300, 9000, {255, 255, 255});
    for (int i = 0; i < 88; ++i) {
        draw(face, {.text = "keep the lamp", .px = 34, .x = 20, .y = 80.0 + 100 * i + 7 * (i % 5)});
    }
    CHECK(found(face).lines.size() == 88);
}

TEST_CASE("more than 200 lines are cut to the strongest 200, and it says so") {
    Image face = plain(1600, 2400, {255, 255, 255});
    for (int row = 0; row < 60; ++row) {
        for (int column = 0; column < 4; ++column) {
            const auto shade = static_cast<std::uint8_t>(column * 40);
            draw(face, {.text = "some more text",
                        .px = 30,
                        .x = 30.0 + 400 * column,
                        .y = 40.0 + 39 * row,
                        .ink = {shade, shade, shade}});
        }
    }
    const TextSurvey survey = found(face);
    CHECK(survey.cut);
    CHECK(survey.lines.size() == TextFinder::most_lines);
}

TEST_CASE("bytes that are no net are refused") {
    const std::vector<std::uint8_t> bytes(100, 7);
    CHECK_THROWS_AS(TextFinder{bytes}, Error);
}
