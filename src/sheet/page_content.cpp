// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/page_content.h"

#include <algorithm>
#include <cmath>
#include <initializer_list>

#include "core/format.h"
#include "sheet/page_layout.h"
#include "sheet/stroke_font.h"
#include "sheet/swatches.h"

namespace paleproof::sheet {
namespace {

constexpr double mark_weight_pt = 0.25;
constexpr double strong_weight_pt = 0.7;
/// On each side of a cut line, where the bleed gives way to the guide.
constexpr Mm notch{0.3};
constexpr double degree = 3.14159265358979323846 / 180.0;

void add(std::string& content, std::initializer_list<std::string> operands, const char* name) {
    for (const std::string& operand : operands) {
        content += operand;
        content += ' ';
    }
    content += name;
    content += '\n';
}

/// Writes in millimeters from the top left of a page what a PDF counts from its bottom left.
class PageWriter {
  public:
    explicit PageWriter(SizeMm page) : page_(page) {}

    [[nodiscard]] std::string x(Mm value) const { return pdf_points(value); }
    [[nodiscard]] std::string y(Mm value) const { return pdf_points(page_.height - value); }

    void op(std::initializer_list<std::string> operands, const char* name) {
        add(content, operands, name);
    }
    void rectangle(Mm left, Mm top, Mm right, Mm bottom) {
        op({x(left), y(bottom), pdf_points(right - left), pdf_points(bottom - top)}, "re");
    }
    void line(const Line& line) {
        op({x(line.x0), y(line.y0)}, "m");
        op({x(line.x1), y(line.y1)}, "l");
    }

    std::string content;

  private:
    SizeMm page_;
};

void draw_lines(PageWriter& page, const std::vector<Line>& lines, double weight, double gray) {
    if (lines.empty()) return;
    page.op({}, "q");
    page.op({pdf_number(gray)}, "G");
    for (const bool strong : {false, true}) {
        for (const bool dashed : {false, true}) {
            bool any = false;
            for (const Line& line : lines) {
                if (line.dashed != dashed || line.strong != strong) continue;
                if (!any) {
                    page.op({pdf_number(strong ? std::max(weight, strong_weight_pt) : weight)},
                            "w");
                    if (strong) page.op({"0"}, "G");
                    if (dashed) page.op({"[4 3]", "0"}, "d");
                }
                any = true;
                page.line(line);
            }
            if (!any) continue;
            page.op({}, "S");
            if (dashed) page.op({"[]", "0"}, "d");
        }
    }
    page.op({}, "Q");
}

void draw_texts(PageWriter& page, const std::vector<Text>& texts, Lettering& lettering) {
    if (texts.empty()) return;
    page.op({}, "BT");
    page.op({"0"}, "g");
    page.op({"0"}, "G");
    for (const Text& text : texts) {
        page.op({font_resource, pdf_points(text.cap_height)}, "Tf");
        page.op({text.upward ? "0 1 -1 0" : "1 0 0 1", page.x(text.x), page.y(text.y)}, "Tm");
        page.op({lettering.encoded(text.utf8)}, "Tj");
    }
    page.op({}, "ET");
}

/// The part of a face that shows: the trim, the whole bleed, and past that the bleed without the
/// strips beside the cut lines. All rectangles turn the same way and overlap, so that the clip
/// path is their union.
void clip(PageWriter& page, const Place& place) {
    const RectMm& trim = place.trim;
    const Edges<Mm>& b = place.bleed;
    const Edges<Mm>& w = place.whole;
    const Corners<bool>& corner = place.corner;
    const bool all_corners =
        corner.top_left && corner.top_right && corner.bottom_right && corner.bottom_left;
    if (b == w && all_corners) {
        page.rectangle(trim.x - b.left, trim.y - b.top, trim.right() + b.right,
                       trim.bottom() + b.bottom);
    } else {
        const Mm middle_x = trim.x + trim.width / 2.0;
        const Mm middle_y = trim.y + trim.height / 2.0;
        page.rectangle(trim.x - w.left, trim.y, trim.right() + w.right, trim.bottom());
        page.rectangle(trim.x, trim.y - w.top, trim.right(), trim.bottom() + w.bottom);
        if (b.top > w.top) {
            page.rectangle(trim.x + notch, trim.y - b.top, trim.right() - notch, middle_y);
        }
        if (b.right > w.right) {
            page.rectangle(middle_x, trim.y + notch, trim.right() + b.right, trim.bottom() - notch);
        }
        if (b.bottom > w.bottom) {
            page.rectangle(trim.x + notch, middle_y, trim.right() - notch,
                           trim.bottom() + b.bottom);
        }
        if (b.left > w.left) {
            page.rectangle(trim.x - b.left, trim.y + notch, middle_x, trim.bottom() - notch);
        }
        if (corner.top_left) page.rectangle(trim.x - w.left, trim.y - w.top, middle_x, middle_y);
        if (corner.top_right) {
            page.rectangle(middle_x, trim.y - w.top, trim.right() + w.right, middle_y);
        }
        if (corner.bottom_right) {
            page.rectangle(middle_x, middle_y, trim.right() + w.right, trim.bottom() + w.bottom);
        }
        if (corner.bottom_left) {
            page.rectangle(trim.x - w.left, middle_y, middle_x, trim.bottom() + w.bottom);
        }
    }
    page.op({"W"}, "n");
}

void draw_place(PageWriter& page, const Place& place, const FacePage& face, SizeMm size) {
    page.op({}, "q");
    clip(page, place);
    if (place.light) {
        page.content += light_content(place.trim, place.bleed, size);
        page.op({}, "Q");
        return;
    }
    // The picture covers trim + all its bleed, centered on the place should sizes differ a little.
    const bool lying = place.turn % 2 == 1;
    const FaceShape& shape = face.shape;
    const Edges<Mm> bleed = turned_edges(shape.bleed, place.turn);
    const Mm trim_width = lying ? shape.trim.height : shape.trim.width;
    const Mm trim_height = lying ? shape.trim.width : shape.trim.height;
    const Mm left = place.trim.x + (place.trim.width - trim_width) / 2.0 - bleed.left;
    const Mm top = place.trim.y + (place.trim.height - trim_height) / 2.0 - bleed.top;
    const Mm right = left + bleed.left + trim_width + bleed.right;
    const Mm bottom = top + bleed.top + trim_height + bleed.bottom;
    const std::string width = pdf_points(right - left);
    const std::string height = pdf_points(bottom - top);
    const std::string minus_width = pdf_points(left - right);
    const std::string minus_height = pdf_points(top - bottom);
    switch (place.turn) {
        case 1:
            page.op({"0", minus_height, width, "0", page.x(left), page.y(top)}, "cm");
            break;
        case 2:
            page.op({minus_width, "0 0", minus_height, page.x(right), page.y(top)}, "cm");
            break;
        case 3:
            page.op({"0", height, minus_width, "0", page.x(right), page.y(bottom)}, "cm");
            break;
        default:
            page.op({width, "0 0", height, page.x(left), page.y(bottom)}, "cm");
    }
    page.op({face_resource(place.face)}, "Do");
    page.op({}, "Q");
}

/// An arc as cubic curves of at most a quarter turn: control points at 4/3 tan(angle / 4) of the
/// radius, which is off by less than 0.03 %.
void add_arc(std::string& content, const Stroke& arc) {
    const double span = (arc.to - arc.from) * degree;
    const int pieces = std::max(1, static_cast<int>(std::ceil(std::abs(arc.to - arc.from) / 90.0)));
    const double step = span / pieces;
    const double k = 4.0 / 3.0 * std::tan(step / 4.0);
    const auto px = [&](double x) { return pdf_number(arc.cx + arc.rx * x); };
    const auto py = [&](double y) { return pdf_number(arc.cy + arc.ry * y); };
    double angle = arc.from * degree;
    add(content, {px(std::cos(angle)), py(std::sin(angle))}, "m");
    for (int i = 0; i < pieces; ++i) {
        const double c0 = std::cos(angle);
        const double s0 = std::sin(angle);
        angle += step;
        const double c1 = std::cos(angle);
        const double s1 = std::sin(angle);
        add(content,
            {px(c0 - k * s0), py(s0 + k * c0), px(c1 + k * s1), py(s1 - k * c1), px(c1), py(s1)},
            "c");
    }
}

}  // namespace

std::string pdf_number(double value) {
    std::string text = fixed(value, 4);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return text == "-0" ? "0" : text;
}

std::string pdf_points(Mm length) { return pdf_number(points(length)); }

std::string face_resource(std::size_t face) { return "/Face" + std::to_string(face); }

std::string Lettering::encoded(const std::string& utf8) {
    std::string text = "<";
    for (const char32_t c : paleproof::sheet::characters(utf8)) {
        unsigned code = 0;
        if (const auto known = codes_.find(c); known != codes_.end()) {
            code = known->second;
        } else if (characters_.size() < 256) {
            code = static_cast<unsigned>(characters_.size());
            codes_.emplace(c, code);
            characters_.push_back(c);
        }
        text += hex(code, 2);
    }
    return text + ">";
}

std::string Lettering::drawing(char32_t character) {
    const Glyph letter = glyph(character);
    std::string content;
    // d1: the shape alone, in the color of the text. Box: advance, and room for accents and tails.
    add(content, {pdf_number(letter.advance), "0 -3 -6", pdf_number(letter.advance + 3.0), "21"},
        "d1");
    if (letter.strokes.empty()) return content;
    add(content, {pdf_number(font_stroke_width)}, "w");
    add(content, {"1"}, "J");
    add(content, {"1"}, "j");
    for (const Stroke& stroke : letter.strokes) {
        if (stroke.points.empty()) {
            add_arc(content, stroke);
            continue;
        }
        for (std::size_t i = 0; i + 1 < stroke.points.size(); i += 2) {
            add(content, {pdf_number(stroke.points[i]), pdf_number(stroke.points[i + 1])},
                i == 0 ? "m" : "l");
        }
    }
    add(content, {}, "S");
    return content;
}

std::string sheet_content(const SheetPage& sheet, const SheetOptions& options,
                          std::span<const FacePage> faces, Lettering& lettering) {
    PageWriter page(sheet.size);
    draw_lines(page, sheet.guides, options.guide_weight_pt, options.guide_gray);
    draw_lines(page, sheet.marks, mark_weight_pt, 0.0);
    draw_texts(page, sheet.texts, lettering);
    for (const Swatch& swatch : sheet.swatches) page.content += swatch_content(swatch, sheet.size);
    for (const Place& place : sheet.places) {
        draw_place(page, place, faces[place.face], sheet.size);
    }
    return page.content;
}

std::string face_content(std::size_t face, SizeMm size) {
    PageWriter page(size);
    page.op({}, "q");
    page.op({pdf_points(size.width), "0 0", pdf_points(size.height), "0 0"}, "cm");
    page.op({face_resource(face)}, "Do");
    page.op({}, "Q");
    return page.content;
}

}  // namespace paleproof::sheet
