// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/test_page.h"

#include <doctest/doctest.h>

#include <algorithm>

#include "page_boxes.h"

using namespace paleproof;
using namespace paleproof::sheet;

TEST_CASE("the numbers of the test page are what back_shift must be set to") {
    // A back printed 2 mm too far right and 3 mm too low on its page needs back_shift -2mm, -3mm.
    // Seen from the front, its cross lies where turning the sheet puts it.
    const struct {
        const char* paper;
        bool lying;
        Duplex duplex;
    } table[] = {{"letter", false, Duplex::long_edge},
                 {"letter", false, Duplex::short_edge},
                 {"a4", true, Duplex::long_edge},
                 {"a4", true, Duplex::short_edge},
                 {"a4", false, Duplex::none}};
    for (const auto& row : table) {
        const Paper paper = parse_paper(row.paper, "papers");
        const SizeMm size = row.lying ? SizeMm{paper.size.height, paper.size.width} : paper.size;
        const auto result = test_page(paper, size, {.duplex = row.duplex});
        REQUIRE(result.pages.size() == 2);
        const SheetPage& front = result.pages[0];
        // Turned about a vertical line, right becomes left; about a level one, down becomes up.
        const bool sideways = (row.duplex == Duplex::short_edge) == row.lying;
        const double seen_x = sideways ? -2.0 : 2.0;
        const double seen_y = sideways ? 3.0 : -3.0;
        // The labels +10 and -10 tell which way a scale grows.
        const double cx = size.width.value / 2.0;
        const double cy = size.height.value / 2.0;
        double grows_right = 0.0;
        double grows_down = 0.0;
        for (const Text& text : front.texts) {
            const double x = text.x.value - cx;
            const double y = text.y.value - cy;
            if (text.utf8 != "+10") continue;
            // The level scale lies below the middle, the upright one left of it.
            if (y > 14.0) grows_right = x > 0 ? 1.0 : -1.0;
            if (x < -14.0) grows_down = y > 0 ? 1.0 : -1.0;
        }
        CHECK(seen_x * grows_right == -2.0);
        CHECK(seen_y * grows_down == -3.0);
        CHECK(text_with(front, "back_shift") != nullptr);
        CHECK(text_with(front, "100 mm across") != nullptr);
    }
}

TEST_CASE("the test page's scales are millimeters, and all of it lies within the margin") {
    for (const char* name : {"letter", "a4", "a3", "100x150mm"}) {
        const Paper paper = parse_paper(name, "papers");
        const auto result = test_page(paper, paper.size, {});
        for (const SheetPage& page : result.pages) {
            for (const Line& line : page.marks) {
                for (const Mm x : {line.x0, line.x1}) {
                    CHECK(x.value >= 5.0 - 1e-9);
                    CHECK(x.value <= page.size.width.value - 5.0 + 1e-9);
                }
                for (const Mm y : {line.y0, line.y1}) {
                    CHECK(y.value >= 5.0 - 1e-9);
                    CHECK(y.value <= page.size.height.value - 5.0 + 1e-9);
                }
            }
        }
        const SheetPage& front = result.pages[0];
        const Mm base = front.size.height / 2.0 + Mm{14.0};
        int ticks = 0;
        for (const Line& line : front.marks) {
            if (line.x0 == line.x1 && line.y0 == base && line.y1 > base && line.y1 < base + Mm{4.0})
                ++ticks;
        }
        CHECK(ticks == 41);  // each half millimeter from -10 to 10
        // The cross of the back meets both scales, however far the back lies off within them.
        const SheetPage& back = result.pages[1];
        for (const Line& line : back.marks) {
            CHECK(line.strong);
            CHECK(std::max(line.x1 - line.x0, line.y1 - line.y0) >= Mm{2.0 * (14.0 + 10.0)});
        }
        // The steps end above the scales, and no text lies on another.
        for (const Text& text : front.texts) {
            CHECK(text.cap_height.value >= 1.0);
            for (const Text& other : front.texts) {
                if (&other != &text) CHECK_FALSE(meet(box_of(text), box_of(other)));
            }
        }
    }
}
