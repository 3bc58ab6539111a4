// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/imposition.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <map>
#include <random>
#include <string>
#include <vector>

#include "core/error.h"
#include "page_boxes.h"

using namespace paleproof;
using namespace paleproof::sheet;

namespace {

constexpr Mm bleed{3.0};

/// The same as the rectangles that are drawn: a corner only where the bleed goes round it.
std::vector<RectMm> shown_parts(const Place& place) {
    const RectMm& t = place.trim;
    const RectMm all = shown(place);
    std::vector<RectMm> parts{{all.x, t.y, all.width, t.height}, {t.x, all.y, t.width, all.height}};
    if (place.corner.top_left) parts.push_back({all.x, all.y, t.x - all.x, t.y - all.y});
    if (place.corner.top_right) {
        parts.push_back({t.right(), all.y, all.right() - t.right(), t.y - all.y});
    }
    if (place.corner.bottom_right) {
        parts.push_back(
            {t.right(), t.bottom(), all.right() - t.right(), all.bottom() - t.bottom()});
    }
    if (place.corner.bottom_left) {
        parts.push_back({all.x, t.bottom(), t.x - all.x, all.bottom() - t.bottom()});
    }
    return parts;
}

ErrorKind kind_of_fault(const std::vector<FaceShape>& faces, const std::vector<Card>& cards,
                        const SheetOptions& options = {}) {
    try {
        (void)imposed("a4", faces, cards, options);
    } catch (const Error& error) {
        CHECK(error.detail().find("expected") == 0);
        CHECK(std::string(error.what()).find('\n') == std::string::npos);
        return error.kind();
    }
    FAIL("accepted");
    return ErrorKind::internal;
}

}  // namespace

TEST_CASE("copies are expanded in deck order, and the places left over are counted") {
    const std::vector<FaceShape> faces(3, shape(poker));
    const Imposition result = imposed("letter", faces, {{0, {}, 4}, {1, {}, 0}, {2, {}, 7}});
    CHECK(result.cards == 11);
    CHECK(result.sheets == 2);
    CHECK(result.unused == 7);
    CHECK(result.pages.size() == 2);
    REQUIRE(result.groups.size() == 1);
    std::vector<std::size_t> order;
    for (const SheetPage& page : result.pages) {
        for (const Place& place : page.places) order.push_back(place.face);
    }
    CHECK(order == std::vector<std::size_t>{0, 0, 0, 0, 2, 2, 2, 2, 2, 2, 2});
    CHECK(imposed("letter", faces, {{0, {}, 0}}).pages.empty());
    CHECK(imposed("letter", faces, {}).pages.empty());
}

TEST_CASE("trims of neighbors share their cut, and only the outer edges show bleed") {
    const std::vector<FaceShape> faces(1, shape(poker));
    const Imposition result = imposed("letter", faces, {{0, {}, 9}});
    REQUIRE(result.pages.size() == 1);
    const auto& places = result.pages[0].places;
    REQUIRE(places.size() == 9);
    // 3 x 63.5 = 190.5 and 3 x 88.9 = 266.7 on 215.9 x 279.4, centered.
    CHECK(places[0].trim.x.value == doctest::Approx(12.7));
    CHECK(places[0].trim.y.value == doctest::Approx(6.35));
    CHECK(places[1].trim.x.value == doctest::Approx(places[0].trim.right().value));
    CHECK(places[3].trim.y.value == doctest::Approx(places[0].trim.bottom().value));
    CHECK(places[0].bleed.left.value == 3.0);
    CHECK(places[0].bleed.top.value == 3.0);
    CHECK(places[0].shared == Edges<bool>{false, true, true, false});
    CHECK(places[4].shared == Edges<bool>{true, true, true, true});
    // What lies past a shared edge is under the neighbor, which is drawn later.
    CHECK(places[4].bleed.top.value == 0.0);
    CHECK(places[4].bleed.left.value == 0.0);
    CHECK(places[4].bleed.right.value <= 0.3);
}

TEST_CASE("between cards in a gutter each shows its bleed as far as the middle") {
    const std::vector<FaceShape> faces(1, shape({{63.0}, {88.0}}));
    for (const double gutter : {2.0, 6.0, 10.0}) {
        CAPTURE(gutter);
        SheetOptions options;
        options.gutter = {gutter};
        const Imposition result = imposed("a3", faces, {{0, {}, 50}}, options);
        const SheetPage& page = result.pages[0];
        for (std::size_t a = 0; a < page.places.size(); ++a) {
            for (std::size_t b = a + 1; b < page.places.size(); ++b) {
                CHECK_FALSE(meet(shown(page.places[a]), shown(page.places[b])));
            }
        }
        CHECK(result.pages[0].places[0].bleed.right.value ==
              doctest::Approx(std::min(3.0, gutter / 2.0)));
    }
}

TEST_CASE("a face with less bleed than asked shows what it has") {
    std::vector<FaceShape> faces{{poker, {{0.0}, {1.0}, {2.0}, {3.0}}}};
    const Imposition upright = imposed("a4", faces, {{0, {}, 1}});
    CHECK(upright.pages[0].places[0].bleed == faces[0].bleed);
    // Lying faces are turned clockwise: their top is then on the right.
    faces[0].trim = {poker.height, poker.width};
    const Imposition turned = imposed("a4", faces, {{0, {}, 1}});
    const Place& place = turned.pages[0].places[0];
    CHECK(place.turn == 1);
    CHECK(place.trim.width == poker.width);
    CHECK(place.bleed == Edges<Mm>{{3.0}, {0.0}, {1.0}, {2.0}});
}

TEST_CASE("backs meet their fronts when the paper is turned about the edge that was named") {
    // Long edge of an upright sheet: column n-1-c, same row, upright; short edge: same column, row
    // m-1-r, on its head (worked out from the geometry of turning a sheet).
    const std::vector<FaceShape> faces(2, shape(poker));
    for (const Duplex duplex : {Duplex::none, Duplex::long_edge, Duplex::short_edge}) {
        SheetOptions options;
        options.duplex = duplex;
        const Imposition result = imposed("letter", faces, {{0, 1, 13}}, options);
        REQUIRE(result.pages.size() == 4);
        CHECK(result.sheets == (duplex == Duplex::none ? 4 : 2));
        const bool interleaved = duplex != Duplex::none;
        for (std::size_t sheet = 0; sheet < 2; ++sheet) {
            const SheetPage& front = result.pages[interleaved ? 2 * sheet : sheet];
            const SheetPage& back = result.pages[interleaved ? 2 * sheet + 1 : 2 + sheet];
            CHECK(front.side == Side::front);
            CHECK(back.side == Side::back);
            REQUIRE(front.places.size() == back.places.size());
            std::map<std::size_t, Place> by_card;
            for (const Place& place : back.places) by_card[place.card] = place;
            for (const Place& place : front.places) {
                REQUIRE(by_card.contains(place.card));
                const Place& behind = by_card[place.card];
                CHECK(behind.face == 1);
                if (duplex == Duplex::short_edge) {
                    CHECK(behind.trim.x.value == doctest::Approx(place.trim.x.value));
                    CHECK(behind.trim.bottom().value ==
                          doctest::Approx(front.size.height.value - place.trim.y.value));
                    CHECK(behind.turn == 2);
                } else {
                    CHECK(behind.trim.y.value == doctest::Approx(place.trim.y.value));
                    CHECK(behind.trim.right().value ==
                          doctest::Approx(front.size.width.value - place.trim.x.value));
                    CHECK(behind.turn == 0);
                }
            }
        }
    }
}

TEST_CASE("on a lying sheet the long edge is the one at the head") {
    const std::vector<FaceShape> faces(2, shape({{57.15}, {88.9}}));
    SheetOptions options;
    options.duplex = Duplex::long_edge;
    const Imposition result = imposed("a4", faces, {{0, 1, 1}}, options);
    REQUIRE(result.pages[0].size.width > result.pages[0].size.height);
    const Place& front = result.pages[0].places[0];
    const Place& back = result.pages[1].places[0];
    CHECK(back.trim.x.value == doctest::Approx(front.trim.x.value));
    CHECK(back.trim.bottom().value ==
          doctest::Approx(result.pages[0].size.height.value - front.trim.y.value));
    CHECK(back.turn == 2);
}

TEST_CASE("a folded sheet brings the top of the back to the top of the front") {
    const std::vector<FaceShape> faces(2, shape({{63.0}, {88.0}}));
    SheetOptions options;
    options.layout = Layout::fold;
    const Imposition result = imposed("a4", faces, {{0, 1, 5}}, options);
    CHECK(result.sheets == 2);
    CHECK(result.unused == 3);
    for (const SheetPage& page : result.pages) {
        CHECK(page.side == Side::both);
        std::map<std::size_t, std::vector<Place>> by_card;
        for (const Place& place : page.places) by_card[place.card].push_back(place);
        for (const auto& [card, sides] : by_card) {
            REQUIRE(sides.size() == 2);
            const Place& front = sides[0].face == 0 ? sides[0] : sides[1];
            const Place& back = sides[0].face == 0 ? sides[1] : sides[0];
            CHECK(front.trim.right().value <= 105.0 + 1e-9);
            CHECK(front.trim.x.value + back.trim.right().value == doctest::Approx(210.0));
            CHECK(front.trim.y.value == doctest::Approx(back.trim.y.value));
            // Both tops point at the fold line.
            CHECK(front.turn == 1);
            CHECK(back.turn == 3);
        }
        const auto folds = std::count_if(page.guides.begin(), page.guides.end(),
                                         [](const Line& line) { return line.dashed; });
        CHECK(folds == 1);
        for (const Line& line : page.guides) {
            if (line.dashed) {
                CHECK(line.x0.value == doctest::Approx(105.0));
            } else {
                // The folded edge is not cut.
                CHECK(std::abs(line.x0.value - 105.0) + std::abs(line.x1.value - 105.0) > 1.0);
            }
        }
    }
}

TEST_CASE("cards without a back leave a hole, and no front goes on a back page") {
    const std::vector<FaceShape> faces(3, shape(poker));
    SheetOptions options;
    options.duplex = Duplex::long_edge;
    const Imposition result =
        imposed("letter", faces, {{0, {}, 10}, {1, 2, 1}, {0, {}, 5}}, options);
    REQUIRE(result.pages.size() == 4);
    CHECK(result.pages[1].places.empty());
    CHECK(result.pages[1].texts.empty());
    CHECK(result.pages[3].places.size() == 1);
    options.backs = Backs::none;
    CHECK(imposed("letter", faces, {{0, {}, 10}, {1, 2, 1}}, options).pages.size() == 2);
    options.backs = Backs::print;
    options.duplex = Duplex::none;
    // A sheet of backs is only made where some card of it has one.
    CHECK(imposed("letter", faces, {{0, {}, 10}, {1, 2, 1}}, options).pages.size() == 3);
}

TEST_CASE("back_shift moves the backs to the right and down, and nothing else") {
    const std::vector<FaceShape> faces(2, shape(poker));
    SheetOptions options;
    options.duplex = Duplex::long_edge;
    const Imposition still = imposed("letter", faces, {{0, 1, 9}}, options);
    options.back_shift_x = {0.7};
    options.back_shift_y = {-1.2};
    const Imposition moved = imposed("letter", faces, {{0, 1, 9}}, options);
    for (std::size_t i = 0; i < 9; ++i) {
        CHECK(moved.pages[0].places[i].trim == still.pages[0].places[i].trim);
        CHECK((moved.pages[1].places[i].trim.x - still.pages[1].places[i].trim.x).value ==
              doctest::Approx(0.7));
        CHECK((moved.pages[1].places[i].trim.y - still.pages[1].places[i].trim.y).value ==
              doctest::Approx(-1.2));
    }
}

TEST_CASE("mixed sizes are grouped, lying faces with upright ones of the same size") {
    const std::vector<FaceShape> faces{shape(poker), shape({{70.0}, {120.0}}),
                                       shape({poker.height, poker.width}),
                                       shape({{63.52}, {88.88}})};
    const Imposition result =
        imposed("letter", faces, {{0, {}, 2}, {1, {}, 5}, {2, {}, 3}, {3, {}, 1}});
    REQUIRE(result.groups.size() == 2);
    CHECK(result.groups[0].card == poker);
    CHECK(result.groups[0].cards == 6);
    CHECK(result.groups[1].cards == 5);
    CHECK(result.sheets == 3);
    CHECK(result.pages[0].places[2].face == 2);
    CHECK(result.pages[0].places[2].turn == 1);
    CHECK(result.pages[0].places[2].trim.width == poker.width);
}

TEST_CASE("no bleed covers a neighbor's trim, however many places are empty") {
    std::mt19937 random(11);
    const std::vector<FaceShape> faces(2, shape({{41.0}, {63.0}}));
    for (int run = 0; run < 60; ++run) {
        CAPTURE(run);
        SheetOptions options;
        options.gutter = {run % 3 == 0 ? 0.0 : run % 3 * 1.5};
        options.duplex = run % 2 == 0 ? Duplex::long_edge : Duplex::short_edge;
        std::vector<Card> cards;
        for (int i = 0; i < 25; ++i) {
            cards.push_back({0, random() % 2 == 0 ? std::optional<std::size_t>{1} : std::nullopt});
        }
        for (const SheetPage& page : imposed("a4", faces, cards, options).pages) {
            for (std::size_t a = 0; a < page.places.size(); ++a) {
                for (std::size_t b = 0; b < page.places.size(); ++b) {
                    if (a == b) continue;
                    for (const RectMm& part : shown_parts(page.places[a])) {
                        if (!meet(part, page.places[b].trim)) continue;
                        // Tucked under a neighbor that is drawn later, by no more than 0.3 mm.
                        CHECK(a < b);
                        const Edges<bool>& shared = page.places[a].shared;
                        CHECK((shared.right || shared.bottom));
                        CHECK(page.places[a].bleed.right.value +
                                  page.places[a].bleed.bottom.value <=
                              3.3);
                    }
                }
            }
        }
    }
}

TEST_CASE("every cut has its guide at both ends, outside the bleed and within the margin") {
    const std::vector<FaceShape> faces(1, shape(poker));
    for (const char* paper : {"letter", "a4", "a3"}) {
        const Imposition result = imposed(paper, faces, {{0, {}, 9}});
        const SheetPage& page = result.pages[0];
        for (const Place& place : page.places) {
            for (const Mm x : {place.trim.x, place.trim.right()}) {
                // A guide may be broken where it crosses empty places.
                double top = 1e9;
                double bottom = -1e9;
                for (const Line& line : page.guides) {
                    if (line.x0 != line.x1 || std::abs((line.x0 - x).value) > 1e-9) continue;
                    top = std::min(top, box_of(line).y.value);
                    bottom = std::max(bottom, box_of(line).bottom().value);
                }
                CHECK(top < page.places.front().trim.y.value - 0.4);
                CHECK(bottom > page.places.back().trim.bottom().value + 0.4);
            }
            for (const Mm y : {place.trim.y, place.trim.bottom()}) {
                CHECK(std::any_of(page.guides.begin(), page.guides.end(), [&](const Line& line) {
                    return line.y0 == line.y1 && std::abs((line.y0 - y).value) < 1e-9;
                }));
            }
        }
    }
}

TEST_CASE("a narrow margin keeps room for its guides: the bleed steps back beside the cuts") {
    // Poker size on Letter leaves 6.35 mm at head and foot; the printer's margin takes 5 of them.
    const std::vector<FaceShape> faces(1, shape(poker));
    const Imposition result = imposed("letter", faces, {{0, {}, 9}});
    const Place& corner = result.pages[0].places[0];
    CHECK(corner.bleed.top.value == 3.0);
    CHECK(corner.whole.top.value == doctest::Approx(0.5));
    CHECK(corner.whole.left.value == 3.0);  // 12.7 mm are enough for both
}

TEST_CASE("what cannot be imposed is refused with what would do") {
    const std::vector<FaceShape> faces{shape(poker), shape({{70.0}, {120.0}}),
                                       shape({{250.0}, {250.0}})};
    CHECK(kind_of_fault(faces, {{0, {}, -1}}) == ErrorKind::range);
    CHECK(kind_of_fault(faces, {{0, {}, 10001}}) == ErrorKind::range);
    CHECK(kind_of_fault(faces, std::vector<Card>(11, {0, {}, 10000})) == ErrorKind::range);
    CHECK(kind_of_fault(faces, {{2, {}, 1}}) == ErrorKind::range);
    CHECK(kind_of_fault(faces, {{0, 1, 1}}) == ErrorKind::usage);
    CHECK(kind_of_fault(faces, {{7, {}, 1}}) == ErrorKind::internal);
    CHECK(kind_of_fault(faces, {{0, 7, 1}}) == ErrorKind::internal);
    SheetOptions options;
    options.margin = {110.0};
    CHECK(kind_of_fault(faces, {{0, {}, 1}}, options) == ErrorKind::range);
    options = {};
    options.gutter = {-1.0};
    CHECK(kind_of_fault(faces, {{0, {}, 1}}, options) == ErrorKind::range);
    options = {};
    options.layout = Layout::fold;
    options.duplex = Duplex::long_edge;
    CHECK(kind_of_fault(faces, {{0, {}, 1}}, options) == ErrorKind::usage);
}

TEST_CASE("ten thousand copies are a long job, not an error") {
    const std::vector<FaceShape> faces(1, shape(poker));
    const Imposition result = imposed("letter", faces, {{0, {}, 10000}});
    CHECK(result.sheets == 1112);
    CHECK(result.unused == 8);
}
