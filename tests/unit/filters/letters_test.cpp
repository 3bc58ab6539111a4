// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letters.h"

#include <doctest/doctest.h>

#include "support/fill.h"
#include "support/pictures.h"

using namespace paleproof;
using filters::letters;
using test::fill;

namespace {

constexpr RectPx box{40, 30, 120, 20};

/// White bars of 4 px on a blue of the same gray as the orange of a disc beside them.
Image colored_face() {
    Image face(200, 80, Encoding::srgb, Ppi{300});
    fill(face, face.bounds(), {30, 40, 110});
    for (int x = box.x; x < 100; x += 12) fill(face, {x, box.y, 4, box.height}, {250, 250, 245});
    return face;
}

TextLine line_on(const Image&) {
    TextLine line;
    line.box_px = box;
    line.confidence = 0.9;
    line.x_height_px = 20.0;
    line.stroke_px = 4.0;
    line.text_color = {250, 250, 245};
    line.ground_color = {30, 40, 110};
    line.reversed = true;
    line.contrast = 12.0;
    return line;
}

int strength_at(const filters::Letters& found, int x, int y) {
    return found.strength.row(y - found.part.y)[x - found.part.x];
}

}  // namespace

TEST_CASE("letters are cut out by their color: core 255, ground 0") {
    const Image face = colored_face();
    const TextLine line = line_on(face);
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], box.x + 1, 40) == 255);
    CHECK(strength_at(found[0], box.x + 7, 40) == 0);
}

TEST_CASE("a disc between the words is no letter") {
    Image face = colored_face();
    fill(face, {120, 31, 18, 18}, {245, 240, 230});
    const TextLine line = line_on(face);
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], 128, 40) == 0);
    CHECK(strength_at(found[0], box.x + 13, 40) == 255);
}

TEST_CASE("a thin mark in a color off the way from ground to text counts for less") {
    Image face = colored_face();
    fill(face, {124, 32, 4, 16}, {255, 60, 0});
    const TextLine line = line_on(face);
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], 126, 40) < 128);
}

TEST_CASE("the lower half of an emblem that reaches into the line is no letter") {
    Image face = colored_face();
    fill(face, {120, 0, 16, 38}, {250, 250, 245});
    const TextLine line = line_on(face);
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], 128, 34) == 0);
}

TEST_CASE("an outline in the ground's place leaves one clean letter") {
    // White letters with a black outline on a middle gray: the survey takes the outline, which lies
    // directly around the letters, for their ground.
    Image face(200, 80, Encoding::gray, Ppi{300});
    for (auto& byte : face.bytes()) byte = 120;
    for (int x = box.x; x < 160; x += 24) {
        fill(face, {x - 3, box.y - 3, 10, box.height + 6}, {0, 0, 0});
        fill(face, {x, box.y, 4, box.height}, {255, 255, 255});
    }
    TextLine line = line_on(face);
    line.text_color = {255, 255, 255};
    line.ground_color = {0, 0, 0};
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], box.x + 2, 40) == 255);
    CHECK(strength_at(found[0], box.x - 2, 40) == 0);
}

TEST_CASE("a letter that touches a dark leaf is cut free of it") {
    Image face = colored_face();
    // White art below and right of the fourth bar, wider than any stroke, running out of the line.
    fill(face, {box.x + 36, box.y + 12, 24, 30}, {250, 250, 245});
    const TextLine line = line_on(face);
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], box.x + 37, box.y + 4) == 255);
    CHECK(strength_at(found[0], box.x + 50, box.y + 18) == 0);
}

TEST_CASE("letters on ground as dark as they are come back with the whole cut, a blot does not") {
    Image face = colored_face();
    // From the middle on the ground is nearly as light as the letters: by the line's colors all
    // ink.
    fill(face, {76, 0, 64, 80}, {190, 195, 200});
    for (int x = box.x + 36; x < 112; x += 12)
        fill(face, {x, box.y, 4, box.height}, {250, 250, 245});
    const TextLine line = line_on(face);
    const auto sure = letters(face, {&line, 1});
    const auto whole = letters(face, {&line, 1}, filters::LetterCut::whole);
    REQUIRE(whole.size() == 1);
    CHECK(strength_at(whole[0], box.x + 49, box.y + 10) == 255);
    CHECK(strength_at(whole[0], box.x + 55, box.y + 10) == 0);
    CHECK((sure.empty() || strength_at(sure[0], box.x + 49, box.y + 10) == 0));
}

TEST_CASE("strokes that meet, as in a k, are no blot, though they are thick there") {
    Image face = colored_face();
    // Arms of 4 px that meet the third bar in a joint of 12 x 12 px.
    const int x = box.x + 24;
    fill(face, {x, box.y, 12, 12}, {250, 250, 245});
    fill(face, {x + 4, box.y, 4, 4}, {30, 40, 110});
    fill(face, {x, box.y + 12, 4, 8}, {250, 250, 245});
    fill(face, {x + 12, box.y + 8, 14, 4}, {250, 250, 245});
    fill(face, {x + 12, box.y, 14, 4}, {250, 250, 245});
    const TextLine line = line_on(face);
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], x + 1, box.y + 2) == 255);
    CHECK(strength_at(found[0], x + 6, box.y + 8) == 255);
    CHECK(strength_at(found[0], x + 20, box.y + 9) == 255);
}

TEST_CASE("what is surely a line of text is cut however faint it is") {
    // 1.2 : 1, seven codes of gray: paper that a reader can just tell from its text.
    Image face(200, 80, Encoding::gray, Ppi{300});
    for (auto& byte : face.bytes()) byte = 97;
    for (int x = box.x; x < 160; x += 12) fill(face, {x, box.y, 4, box.height}, {104, 104, 104});
    TextLine line = line_on(face);
    line.text_color = {104, 104, 104};
    line.ground_color = {97, 97, 97};
    line.contrast = 1.2;
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    CHECK(strength_at(found[0], box.x + 2, 40) == 255);
    CHECK(strength_at(found[0], box.x + 8, 40) == 0);
}

TEST_CASE("the local cut has every stroke that stands out, beside outlined letters too") {
    // Most letters lie in black outlines on gray; the last two on bare gray, as dark as no outline.
    Image face(200, 80, Encoding::gray, Ppi{300});
    for (auto& byte : face.bytes()) byte = 175;
    for (int x = box.x; x < 160; x += 12) {
        if (x < 136) fill(face, {x - 4, box.y - 4, 12, box.height + 8}, {0, 0, 0});
        fill(face, {x, box.y, 4, box.height}, {255, 255, 255});
    }
    TextLine line = line_on(face);
    line.text_color = {255, 255, 255};
    line.ground_color = {0, 0, 0};
    const int last = box.x + 108;
    const auto whole = letters(face, {&line, 1}, filters::LetterCut::whole);
    REQUIRE(whole.size() == 1);
    CHECK(strength_at(whole[0], last + 2, 40) == 0);
    const auto local = letters(face, {&line, 1}, filters::LetterCut::local);
    REQUIRE(local.size() == 1);
    CHECK(strength_at(local[0], last + 2, 40) == 255);
    CHECK(strength_at(local[0], last + 8, 40) == 0);
}

TEST_CASE("lines that are unsure or faint give no letters; boxes past the picture are cut") {
    const Image face = colored_face();
    TextLine line = line_on(face);
    line.confidence = 0.3;
    CHECK(letters(face, {&line, 1}).empty());
    line = line_on(face);
    line.contrast = 1.05;
    CHECK(letters(face, {&line, 1}).empty());
    line.contrast = 1.2;
    line.kind = TextLine::Kind::mark;
    CHECK(letters(face, {&line, 1}).empty());
    line = line_on(face);
    line.box_px = {500, 20, 10, 10};
    CHECK(letters(face, {&line, 1}).empty());
    line.box_px = {150, 20, 500, 900};
    CHECK_NOTHROW((void)letters(face, {&line, 1}));
}

TEST_CASE("what is as likely art is cut only where it stands out") {
    const Image face = colored_face();
    TextLine line = line_on(face);
    line.confidence = 0.45;
    CHECK(letters(face, {&line, 1}).size() == 1);
    line.contrast = 1.8;
    CHECK(letters(face, {&line, 1}).empty());
    line.confidence = 0.55;
    CHECK(letters(face, {&line, 1}).size() == 1);
}

TEST_CASE("strokes of small letters that are thinner than a pixel stay with their letter") {
    Image face = colored_face();
    TextLine line = line_on(face);
    fill(face, face.bounds(), line.ground_color);
    const RgbCode half{118, 124, 164};  // 40 % of the way to the text
    for (int x = box.x; x < 130; x += 12) {
        fill(face, {x, 34, 2, 10}, line.text_color);  // a stem
        fill(face, {x + 2, 34, 6, 1}, half);          // and a hair stroke from it
    }
    line.x_height_px = 10.0;
    line.stroke_px = 1.5;
    const auto found = letters(face, {&line, 1});
    REQUIRE(found.size() == 1);
    for (int x = 2; x < 8; ++x) {
        CAPTURE(x);
        CHECK(strength_at(found[0], box.x + x, 34) > 80);
    }
    CHECK(strength_at(found[0], box.x + 5, 40) == 0);
}

TEST_CASE("what lies between outlines is no letter, in any cut") {
    // White bars in black outlines on a red that is half as light as they are.
    Image face(200, 80, Encoding::srgb, Ppi{300});
    fill(face, face.bounds(), {220, 60, 60});
    TextLine line = line_on(face);
    line.ground_color = {0, 0, 0};
    line.contrast = 18.0;
    for (int x = box.x; x < 150; x += 18) {
        fill(face, {x - 3, box.y - 3, 10, box.height + 6}, line.ground_color);
        fill(face, {x, box.y, 4, box.height}, line.text_color);
    }
    for (const auto cut :
         {filters::LetterCut::sure, filters::LetterCut::whole, filters::LetterCut::local}) {
        const auto found = letters(face, {&line, 1}, cut);
        REQUIRE(found.size() == 1);
        CHECK(strength_at(found[0], box.x + 19, 40) == 255);
        CHECK(strength_at(found[0], box.x + 11, 40) == 0);
        CHECK(strength_at(found[0], box.x + 29, 40) == 0);
    }
}
