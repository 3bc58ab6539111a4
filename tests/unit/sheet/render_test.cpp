// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Where things lie on paper, measured on renderings of poppler, Ghostscript and MuPDF at 600 ppi
// (a pixel is 0.042 mm).
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <map>
#include <numbers>
#include <string>
#include <vector>

#include "page_picture.h"
#include "sheet/imposition.h"
#include "sheet/pdf.h"
#include "synthetic_face.h"

using namespace paleproof;
using namespace paleproof::sheet;
using namespace paleproof::test;

namespace {

using Engine = PagePicture::Engine;

constexpr double position_limit_mm = 0.05;
constexpr double turned_limit_mm = 0.02;
constexpr Mm bleed{3.0};
constexpr Mm inset{8.0};      // of a marker's center from the two edges of its corner
constexpr Mm half_side{2.0};  // of a marker: its radius
constexpr double marker_ppi = 287.0;

/// White, with black discs at three corners; the one at the top left is smaller, so that a turned
/// or mirrored face is told. The bleed is gray. Fronts have a white center, backs a black one.
/// Discs at a resolution that is no even part of the rendering's: their edges cross pixels at all
/// phases, so that their centers are measured to far less than a pixel.
SyntheticFace marked_face(SizeMm trim, int center) {
    const auto draw = [=](double x, double y, int) {
        const double w = trim.width.value;
        const double h = trim.height.value;
        if (x < 0 || y < 0 || x > w || y > h) return 150;
        const auto near = [&](double cx, double cy, double radius) {
            return std::hypot(x - cx, y - cy) < radius;
        };
        const double i = inset.value;
        if (near(i, i, half_side.value / 2)) return 0;
        if (near(w - i, i, half_side.value) || near(i, h - i, half_side.value)) return 0;
        if (near(w / 2, h / 2, 3.0)) return center;
        return 255;
    };
    return synthetic_face("face", trim, bleed, 1, 8, draw, marker_ppi);
}

/// A corner's marker on the sheet: corner of the face 0 top left, 1 top right, 2 bottom right, 3
/// bottom left; turned with the face.
std::pair<Mm, Mm> marker_place(const Place& place, int corner) {
    const int on_sheet = (corner + place.turn) % 4;
    const RectMm& t = place.trim;
    const bool right = on_sheet == 1 || on_sheet == 2;
    const bool bottom = on_sheet == 2 || on_sheet == 3;
    return {right ? t.right() - inset : t.x + inset, bottom ? t.bottom() - inset : t.y + inset};
}

struct Measured {
    double worst = 0.0;     ///< mm, of any marker from its computed place
    double center_x = 0.0;  ///< of the trim, between the two large markers
    double center_y = 0.0;
};

Measured measure(const PagePicture& picture, const Place& place) {
    Measured result;
    for (const int corner : {0, 1, 3}) {
        const auto [x, y] = marker_place(place, corner);
        const PagePicture::Spot spot = picture.dark_spot(x, y, Mm{3.0});
        const double radius = corner == 0 ? half_side.value / 2 : half_side.value;
        // The right marker, by its area.
        CHECK(spot.area == doctest::Approx(std::numbers::pi * radius * radius).epsilon(0.06));
        result.worst =
            std::max({result.worst, std::abs(spot.x - x.value), std::abs(spot.y - y.value)});
        if (corner != 0) {
            result.center_x += spot.x / 2;
            result.center_y += spot.y / 2;
        }
    }
    const auto [x, y] = marker_place(place, 2);
    CHECK(picture.dark_spot(x, y, Mm{3.0}).area < 0.01);
    return result;
}

struct Combination {
    const char* paper;
    SizeMm card;
    Layout layout;
    Duplex duplex;
    double gutter;
};

std::vector<Combination> combinations() {
    const SizeMm cards[] = {
        {{63.5}, {88.9}}, {{63.0}, {88.0}}, {{57.15}, {88.9}}, {{70.0}, {120.0}}};
    std::vector<Combination> all;
    int n = 0;
    for (const char* paper : {"letter", "a4", "legal", "tabloid", "a3", "190x260mm"}) {
        // Large papers take long to render: one size will do there, two on the odd paper.
        const std::string name = paper;
        const std::size_t sizes = name == "tabloid" || name == "a3" ? 1
                                  : name == "190x260mm"             ? 2
                                                                    : 4;
        for (std::size_t i = 0; i < sizes; ++i) {
            const SizeMm card = cards[i];
            for (const Duplex duplex : {Duplex::none, Duplex::long_edge, Duplex::short_edge}) {
                all.push_back({paper, card, Layout::grid, duplex, n++ % 2 == 0 ? 0.0 : 4.0});
            }
            all.push_back({paper, card, Layout::fold, Duplex::none, n % 3 == 0 ? 3.0 : 0.0});
        }
    }
    return all;
}

/// Imposes 3 cards more than a sheet holds and measures the last, incomplete sheet.
void check_combination(const Combination& c, Engine engine, double& worst, double& worst_turned) {
    constexpr double ppi = 600.0;
    const std::vector<SyntheticFace> faces{marked_face(c.card, 255), marked_face(c.card, 0)};
    SheetOptions options;
    options.layout = c.layout;
    options.duplex = c.duplex;
    options.gutter = {c.gutter};
    const Paper paper = parse_paper(c.paper, "papers");
    const int per_sheet =
        best_grid(paper.size, c.card, options.margin, options.gutter, c.layout).cards(c.layout);
    const int copies = per_sheet + std::min(3, std::max(1, per_sheet - 1));
    const Imposition result = imposition(paper, shapes_of(faces), std::vector<Card>{{0, 1, copies}},
                                         options, "Night Orchard");
    const auto file = scratch("combination.pdf");
    write_sheets_pdf(file, result, pages_of(faces), source_of(faces), {});

    std::map<std::size_t, std::array<Measured, 2>> sides;
    SizeMm size;
    for (std::size_t p = 0; p < result.pages.size(); ++p) {
        const SheetPage& page = result.pages[p];
        if (page.places.empty() || page.places.front().card < static_cast<std::size_t>(per_sheet)) {
            continue;
        }
        const PagePicture picture(file, static_cast<int>(p) + 1, ppi, engine, page.size.height);
        CHECK(std::abs(picture.width() - page.size.width.value / mm_per_inch * ppi) <= 1.0);
        CHECK(std::abs(picture.height() - page.size.height.value / mm_per_inch * ppi) <= 1.0);
        size = page.size;
        for (const Place& place : page.places) {
            const Measured measured = measure(picture, place);
            CHECK(measured.worst <= position_limit_mm);
            worst = std::max(worst, measured.worst);
            sides[place.card][place.face] = measured;
            // The right face is there, by its center.
            const int center = picture.at_mm(place.trim.x + place.trim.width / 2.0,
                                             place.trim.y + place.trim.height / 2.0);
            CHECK(center == (place.face == 0 ? 255 : 0));
        }
    }
    CHECK(sides.size() == static_cast<std::size_t>(copies - per_sheet));

    // Turned over, the back's center comes to lie on the front's.
    const bool lying = size.width > size.height;
    const bool sideways = c.layout == Layout::fold || (c.duplex == Duplex::short_edge) == lying;
    for (const auto& [card, side] : sides) {
        const double dx = sideways ? size.width.value - side[1].center_x - side[0].center_x
                                   : side[1].center_x - side[0].center_x;
        const double dy = sideways ? side[1].center_y - side[0].center_y
                                   : size.height.value - side[1].center_y - side[0].center_y;
        worst_turned = std::max({worst_turned, std::abs(dx), std::abs(dy)});
    }
}

/// Measures all combinations of papers, layouts, duplex and sizes: half a minute of a processor.
void check_matrix(int at_least) {
    double worst = 0.0;
    double worst_turned = 0.0;
    int count = 0;
    for (const Combination& combination : combinations()) {
        CAPTURE(std::string(combination.paper));
        CAPTURE(combination.card.width.value);
        CAPTURE(static_cast<int>(combination.layout));
        CAPTURE(static_cast<int>(combination.duplex));
        CAPTURE(combination.gutter);
        check_combination(combination, Engine::ghostscript, worst, worst_turned);
        ++count;
    }
    MESSAGE(count << " combinations, worst corner " << worst << " mm, front to back "
                  << worst_turned << " mm");
    CHECK(count >= at_least);
    CHECK(worst_turned <= turned_limit_mm);
}

}  // namespace

TEST_CASE("the matrix lies within 0.05 mm, front and back centers coincide within 0.02 mm") {
    check_matrix(60);
}

TEST_CASE("poppler and MuPDF find the corners where Ghostscript does") {
    const struct {
        Engine engine;
        Combination combination;
    } table[] = {
        {Engine::poppler, {"letter", {{63.5}, {88.9}}, Layout::grid, Duplex::long_edge, 0.0}},
        {Engine::poppler, {"a4", {{63.0}, {88.0}}, Layout::fold, Duplex::none, 3.0}},
        {Engine::mupdf, {"a4", {{63.0}, {88.0}}, Layout::grid, Duplex::short_edge, 3.0}},
        {Engine::mupdf, {"letter", {{63.5}, {88.9}}, Layout::fold, Duplex::none, 0.0}}};
    for (const auto& row : table) {
        double worst = 0.0;
        double worst_turned = 0.0;
        check_combination(row.combination, row.engine, worst, worst_turned);
        // Both engines move the edges of pictures to whole pixels of 0.042 mm, on either side.
        CHECK(worst_turned <= 2 * 0.0424);
    }
}

TEST_CASE("poppler and MuPDF draw the same sheet") {
    const std::vector<SyntheticFace> faces{marked_face({{63.5}, {88.9}}, 255),
                                           marked_face({{63.5}, {88.9}}, 0)};
    const Imposition result =
        imposition(parse_paper("letter", "papers"), shapes_of(faces), std::vector<Card>{{0, 1, 5}},
                   {.gutter = {4.0}}, "Night Orchard");
    const auto file = scratch("engines.pdf");
    write_sheets_pdf(file, result, pages_of(faces), source_of(faces), {});
    for (int number = 1; number <= 2; ++number) {
        const PagePicture a(file, number, 150.0, Engine::poppler);
        const PagePicture b(file, number, 150.0, Engine::mupdf);
        REQUIRE(std::abs(a.width() - b.width()) <= 1);
        REQUIRE(std::abs(a.height() - b.height()) <= 1);
        // Means of cells of 8 x 8 pixels, 1.35 mm: edges may fall to either pixel beside them.
        double worst = 0.0;
        double sum = 0.0;
        int cells = 0;
        for (int y = 0; y + 8 <= std::min(a.height(), b.height()); y += 8) {
            for (int x = 0; x + 8 <= std::min(a.width(), b.width()); x += 8) {
                double difference = 0.0;
                for (int i = 0; i < 64; ++i) {
                    difference += a.at(x + i % 8, y + i / 8) - b.at(x + i % 8, y + i / 8);
                }
                worst = std::max(worst, std::abs(difference) / 64.0);
                sum += std::abs(difference) / 64.0;
                ++cells;
            }
        }
        MESSAGE("page " << number << ", worst cell differs by " << worst
                        << ", a cell in the mean by " << sum / cells << " of 255");
        // A row and a column of pixels of a marker, black on white, are 15 of a cell's 64.
        CHECK(worst <= 255.0 * 15 / 64);
        CHECK(sum / cells <= 1.5);
    }
}

TEST_CASE("no guide lies over art, and nothing but art lies outside the printer's margin") {
    // White faces: any dark pixel within their trim or bleed would be a guide, a bar or a letter.
    const struct {
        const char* paper;
        SizeMm card;
        SheetOptions options;
    } table[] = {{"letter", {{63.5}, {88.9}}, {}},
                 {"letter", {{44.0}, {67.0}}, {}},
                 {"a4", {{63.0}, {88.0}}, {.gutter = {8.0}}},
                 {"a4", {{63.0}, {88.0}}, {.gutter = {8.0}, .guides = Guides::ticks}},
                 {"a4", {{63.0}, {88.0}}, {.gutter = {8.0}, .guides = Guides::full}},
                 {"a4", {{63.0}, {88.0}}, {.layout = Layout::fold}}};
    for (const auto& row : table) {
        CAPTURE(std::string(row.paper));
        CAPTURE(row.options.gutter.value);
        std::vector<SyntheticFace> faces;
        faces.push_back(synthetic_face("white", row.card, bleed, 1, 1,
                                       [](double, double, int) { return 255; }));
        const Imposition result =
            imposition(parse_paper(row.paper, "papers"), shapes_of(faces),
                       std::vector<Card>{{0, 0, 20}}, row.options, "Night Orchard");
        const auto file = scratch("white.pdf");
        write_sheets_pdf(file, result, pages_of(faces), source_of(faces), {});
        for (const int number : {1, static_cast<int>(result.pages.size())}) {
            const SheetPage& page = result.pages[static_cast<std::size_t>(number) - 1];
            const PagePicture picture(file, number, 300.0, Engine::ghostscript);
            long over_art = 0;
            for (const Place& place : page.places) {
                // A pixel is left out all around: the picture's edges fall within pixels.
                const auto inner = [&](Mm x0, Mm y0, Mm x1, Mm y1) {
                    for (int y = picture.px(y0) + 1; y < picture.px(y1); ++y) {
                        for (int x = picture.px(x0) + 1; x < picture.px(x1); ++x) {
                            over_art += picture.at(x, y) < 250;
                        }
                    }
                };
                const RectMm& t = place.trim;
                inner(t.x - place.whole.left, t.y, t.right() + place.whole.right, t.bottom());
                inner(t.x, t.y - place.whole.top, t.right(), t.bottom() + place.whole.bottom);
            }
            CHECK(over_art == 0);
            long outside = 0;
            const int left = picture.px(row.options.margin) - 1;
            for (int y = 0; y < picture.height(); ++y) {
                for (int x = 0; x < picture.width(); ++x) {
                    const bool margin = x < left || y < left || x >= picture.width() - left ||
                                        y >= picture.height() - left;
                    outside += margin && picture.at(x, y) < 250;
                }
            }
            CHECK(outside == 0);

            // And yet every straight cut shows its guide at both ends.
            if (row.options.guides != Guides::lines) continue;
            const auto seen = [&](bool vertical, Mm at, Mm from, Mm to) {
                const int a = picture.px(at);
                for (int i = picture.px(from); i <= picture.px(to); ++i) {
                    for (int k = a - 1; k <= a + 1; ++k) {
                        if ((vertical ? picture.at(k, i) : picture.at(i, k)) < 128) return true;
                    }
                }
                return false;
            };
            const RectMm& area = result.groups[0].grid.area;
            for (const Line& line : page.guides) {
                if (line.x0 == line.x1) {
                    CHECK(seen(true, line.x0, row.options.margin, area.y));
                    CHECK(
                        seen(true, line.x0, area.bottom(), page.size.height - row.options.margin));
                } else {
                    CHECK(seen(false, line.y0, row.options.margin, area.x));
                    CHECK(seen(false, line.y0, area.right(), page.size.width - row.options.margin));
                }
            }
        }
    }
}

TEST_CASE("light backs cover the guides below them, which show in the margins alone") {
    const std::vector<SyntheticFace> faces{marked_face({{63.0}, {88.0}}, 255)};
    const Imposition result =
        imposition(parse_paper("a4", "papers"), shapes_of(faces), std::vector<Card>{{0, {}, 8}},
                   {.backs = Backs::light}, "Night Orchard");
    REQUIRE(result.pages.size() == 2);
    const auto file = scratch("light.pdf");
    write_sheets_pdf(file, result, pages_of(faces), source_of(faces), {});
    const PagePicture picture(file, 2, 300.0, Engine::poppler);
    long lattice = 0;
    long black = 0;
    for (const Place& place : result.pages[1].places) {
        const RectMm& t = place.trim;
        for (int y = picture.px(t.y); y <= picture.px(t.bottom()); ++y) {
            for (int x = picture.px(t.x); x <= picture.px(t.right()); ++x) {
                lattice += picture.at(x, y) < 250;
                // The lattice is half gray; a guide would be black.
                black += picture.at(x, y) < 80;
            }
        }
    }
    CHECK(lattice > 10000);
    CHECK(black == 0);
    const RectMm& area = result.groups[0].grid.area;
    int guides = 0;
    for (int x = 0; x < picture.width(); ++x) {
        guides += picture.at(x, picture.px(area.y - Mm{5.0})) < 128;
    }
    CHECK(guides >= 4);
}

TEST_CASE("the scale bars are 100 mm and 3 in long on paper") {
    const std::vector<SyntheticFace> faces{marked_face({{63.5}, {88.9}}, 255)};
    for (const char* paper : {"letter", "a4"}) {
        const Imposition result = imposition(parse_paper(paper, "papers"), shapes_of(faces),
                                             std::vector<Card>{{0, {}, 9}}, {}, "Night Orchard");
        const auto file = scratch("bars.pdf");
        write_sheets_pdf(file, result, pages_of(faces), source_of(faces), {});
        const PagePicture picture(file, 1, 600.0, Engine::ghostscript);
        int found = 0;
        for (const Line& line : result.pages[0].marks) {
            const bool upward = line.x0 == line.x1;
            const double length =
                upward ? std::abs((line.y0 - line.y1).value) : std::abs((line.x0 - line.x1).value);
            if (length < 50.0) continue;
            // A row of pixels across the end ticks, clear of the base line and of the short ticks'
            // tops.
            const Mm above{0.6};
            const Mm base = upward ? line.x0 - above : line.y0 - above;
            const Mm begin = upward ? std::min(line.y0, line.y1) : std::min(line.x0, line.x1);
            int first = -1;
            int last = -1;
            for (int i = picture.px(begin - Mm{1.0}); i <= picture.px(begin + Mm{length + 1.0});
                 ++i) {
                const int value =
                    upward ? picture.at(picture.px(base), i) : picture.at(i, picture.px(base));
                if (value >= 128) continue;
                if (first < 0) first = i;
                last = i;
            }
            // From outer edge to outer edge: one line weight, 0.25 pt, too long.
            const double measured =
                (last + 1 - first) / 600.0 * mm_per_inch - 0.25 / 72 * mm_per_inch;
            CHECK(std::abs(measured - length) <= position_limit_mm);
            CHECK((std::abs(length - 100.0) < 1e-9 || std::abs(length - 76.2) < 1e-9));
            ++found;
        }
        CHECK(found == 2);
    }
}
