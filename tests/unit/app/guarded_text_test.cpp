// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/guarded_text.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <vector>

#include "app/mark_symbols.h"
#include "filters/gray.h"
#include "support/fill.h"

using namespace paleproof;
using test::fill;

namespace {

constexpr RectPx pennant{20, 20, 120, 160};
constexpr RectPx mark{60, 80, 40, 40};

/// A pennant of one color on paper, with a white mark on it.
Image face_with(color::Rgb8 field) {
    Image face(200, 300, Encoding::srgb, Ppi{300});
    for (int y = pennant.y; y < pennant.bottom(); ++y) {
        for (int x = pennant.x; x < pennant.right(); ++x) {
            const bool white = x >= mark.x && x < mark.right() && y >= mark.y && y < mark.bottom();
            std::uint8_t* p = face.row(y) + 3 * x;
            p[0] = white ? 255 : field.r;
            p[1] = white ? 255 : field.g;
            p[2] = white ? 255 : field.b;
        }
    }
    return face;
}

bool set_strongly(color::Rgb8 field, bool coded) {
    const Image face = face_with(field);
    const Image gray = filters::gray(face);
    const std::array symbols{Symbol{.box_px = mark,
                                    .ground_color = {field.r, field.g, field.b},
                                    .figure_color = {255, 255, 255},
                                    .contrast = 5.0}};
    const std::array codes{app::CodeArea{pennant, field}};
    app::StyleInput input{.source = face, .trimmed = face.bounds(), .symbols = symbols};
    input.gray = &gray;
    if (coded) input.codes = codes;
    const auto letters = app::guarded_letters(input);
    REQUIRE(letters.size() == 1);
    return letters[0].strong;
}

}  // namespace

TEST_CASE("a symbol on a field that stays dark gets the wide halo at once") {
    // Black on gray 90 has 3.0 : 1 (WCAG 2.2: (0.102 + 0.05) / 0.05), ink that is not quite solid
    // less; black on gray 150 has 7.1 : 1.
    CHECK(set_strongly({90, 90, 90}, true));
    CHECK_FALSE(set_strongly({150, 150, 150}, true));
    CHECK_FALSE(set_strongly({90, 90, 90}, false));  // a field that is lightened
}

namespace {

constexpr RgbCode ground{30, 40, 110};
constexpr RgbCode ink{250, 250, 245};
constexpr RectPx line_box{40, 30, 220, 20};

TextLine bar_line() {
    TextLine result;
    result.box_px = line_box;
    result.confidence = 0.9;
    result.x_height_px = 20.0;
    result.stroke_px = 4.0;
    result.text_color = ink;
    result.ground_color = ground;
    result.reversed = true;
    result.contrast = 12.0;
    return result;
}

/// Bars of 4 px, and a drop of 18 px at the end of the line.
Image line_face() {
    Image result(320, 80, Encoding::srgb, Ppi{300});
    fill(result, result.bounds(), ground);
    for (int x = line_box.x; x < 200; x += 12) fill(result, {x, line_box.y, 4, 20}, ink);
    fill(result, {230, 31, 18, 18}, ink);
    return result;
}

Symbol symbol(RectPx box) { return {.box_px = box, .ground_color = ground, .figure_color = ink}; }

}  // namespace

TEST_CASE("a word that counts as a symbol too is set once, an icon in the line is set as symbol") {
    const Image picture = line_face();
    const std::vector<TextLine> text{bar_line()};
    const app::StyleInput plain{.source = picture, .trimmed = picture.bounds(), .text = text};
    const auto alone = app::guarded_letters(plain);
    REQUIRE(alone.size() == 1);
    const std::vector<Symbol> symbols{symbol({64, 30, 64, 20}), symbol({230, 31, 18, 18})};
    const app::StyleInput both{
        .source = picture, .trimmed = picture.bounds(), .text = text, .symbols = symbols};
    const auto cut = app::guarded_letters(both);
    REQUIRE(cut.size() == 2);
    CHECK(cut[0].strength == alone[0].strength);
    CHECK(cut[1].part.x > 220);
    CHECK(!cut[1].field.empty());
}

namespace {

/// Squares of the ink's color as symbols, of that many pixels on each side, on a row.
struct Squares {
    Image picture{400, 100, Encoding::srgb, Ppi{300}};
    std::vector<Symbol> symbols;

    explicit Squares(std::initializer_list<int> sides) {
        fill(picture, picture.bounds(), ground);
        int x = 10;
        for (const int side : sides) {
            fill(picture, {x, 20, side, side}, ink);
            symbols.push_back(symbol({x, 20, side, side}));
            x += side + 20;
        }
    }
    [[nodiscard]] std::size_t set(double budget, const std::vector<TextLine>& text = {}) const {
        return app::guarded_letters({.source = picture,
                                     .trimmed = picture.bounds(),
                                     .ink_budget = budget,
                                     .text = text,
                                     .symbols = symbols})
            .size();
    }
};

}  // namespace

TEST_CASE("symbols take half of what the text leaves, the largest are left out, numbers never") {
    // Six squares of 16 px are 1536 of 40,000 pixels, 3.8 %.
    const Squares few({16, 16, 16, 16, 16, 16});
    CHECK(few.set(0.08) == 6);
    CHECK(few.set(0.07) == 0);
    // One of 40 px takes 4 % more.
    const Squares more({16, 16, 16, 16, 16, 16, 40});
    CHECK(more.set(0.08) == 6);
    CHECK(more.set(0.17) == 7);
    // As a number it is text: it is set, and the others have half of what it leaves.
    TextLine number;
    number.kind = TextLine::Kind::mark;
    number.box_px = more.symbols.back().box_px;
    number.confidence = 0.9;
    CHECK(more.set(0.08, {number}) == 1);
    CHECK(more.set(0.12, {number}) == 7);
}

TEST_CASE("figures on fields are left out after solid signs of their size") {
    // A figure of 4 x 20 px on a disc's box of 40 px, beside two solid squares of 40 px.
    Squares three({40, 40, 40});
    const RectPx box = three.symbols[2].box_px;
    fill(three.picture, {box.x + 18, box.y + 10, 4, 20}, ground);
    three.symbols[2].on_field = true;
    three.symbols[2].field_color = ink;
    three.symbols[2].figure_color = ground;
    CHECK(three.set(0.25) == 3);
    CHECK(three.set(0.08) == 1);
    CHECK(three.set(0.01) == 0);
}

namespace {

/// -2 as bars: the sign is too small for a symbol, the figure is one.
struct MinusTwo {
    static constexpr RectPx sign{40, 40, 12, 4};
    static constexpr RectPx figure{60, 28, 5, 28};
    Image picture{120, 90, Encoding::srgb, Ppi{300}};
    TextLine mark = bar_line();
    std::vector<Symbol> symbols{symbol(figure)};

    MinusTwo() {
        fill(picture, picture.bounds(), ground);
        fill(picture, sign, ink);
        fill(picture, figure, ink);
        mark.kind = TextLine::Kind::mark;
        mark.box_px = {40, 28, 25, 28};
    }
    [[nodiscard]] bool is_set(RectPx part) const {
        const std::array text{mark};
        const auto cut = app::guarded_letters(
            {.source = picture, .trimmed = picture.bounds(), .text = text, .symbols = symbols});
        const int x = part.x + part.width / 2;
        const int y = part.y + part.height / 2;
        return std::ranges::any_of(cut, [&](const filters::Letters& letters) {
            const RectPx& p = letters.part;
            return x >= p.x && x < p.right() && y >= p.y && y < p.bottom() &&
                   letters.strength.row(y - p.y)[x - p.x] >= 128;
        });
    }
};

}  // namespace

TEST_CASE("a mark of which only a part is a symbol is set whole") {
    const MinusTwo minus_two;
    CHECK(minus_two.is_set(MinusTwo::figure));
    CHECK(minus_two.is_set(MinusTwo::sign));
    CHECK_FALSE(app::made_of_symbols(minus_two.mark, minus_two.symbols));
}

TEST_CASE("a mark is made of symbols when they reach from one end of it to the other") {
    TextLine mark;
    mark.kind = TextLine::Kind::mark;
    mark.box_px = {40, 28, 40, 20};
    const std::vector<Symbol> one{symbol({40, 28, 18, 20})};
    const std::vector<Symbol> both{symbol({40, 28, 18, 20}), symbol({61, 28, 19, 20})};
    CHECK(app::made_of_symbols(mark, both));
    CHECK_FALSE(app::made_of_symbols(mark, one));
    CHECK_FALSE(app::made_of_symbols(mark, {}));
    TextLine turned = mark;
    turned.quarter_turns = 1;
    turned.box_px = {40, 28, 20, 40};
    CHECK_FALSE(app::made_of_symbols(turned, std::vector{symbol({40, 28, 20, 18})}));
    CHECK(app::made_of_symbols(turned,
                               std::vector{symbol({40, 28, 20, 18}), symbol({40, 50, 20, 18})}));
    TextLine line = mark;
    line.kind = TextLine::Kind::line;
    CHECK_FALSE(app::made_of_symbols(line, both));
    // The disc that a figure stands on is more than the mark.
    CHECK_FALSE(app::holds(mark, symbol({20, 0, 80, 80})));
}
