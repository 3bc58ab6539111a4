// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/stroke_font.h"

#include <algorithm>
#include <charconv>
#include <cmath>
#include <optional>

#include "core/utf8.h"
#include "sheet/stroke_glyphs.h"

namespace paleproof::sheet {
namespace {

constexpr double letter_gap = 4.0;
constexpr double space_advance = 6.5;
/// Digits share one advance, so that numbers do not jump from sheet to sheet.
constexpr double digit_width = 8.5;
constexpr char32_t replacement = U'\ufffd';

std::vector<double> numbers(std::string_view text) {
    std::vector<double> values;
    const char* at = text.data();
    const char* const end = at + text.size();
    while (at < end) {
        double value = 0.0;
        const auto [next, fault] = std::from_chars(at, end, value);
        if (fault != std::errc{}) {
            ++at;
        } else {
            values.push_back(value);
            at = next;
        }
    }
    return values;
}

std::vector<Stroke> strokes_of(std::string_view drawing) {
    std::vector<Stroke> strokes;
    while (!drawing.empty()) {
        const std::string_view one = drawing.substr(0, drawing.find(';'));
        drawing.remove_prefix(std::min(one.size() + 1, drawing.size()));
        std::vector<double> values = numbers(one.substr(1));
        if (one.front() == 'A') {
            strokes.push_back(
                {{}, values[0], values[1], values[2], values[3], values[4], values[5]});
        } else {
            strokes.push_back({std::move(values)});
        }
    }
    return strokes;
}

struct Box {
    double right = 0.0;
    double top = 0.0;
};

/// Reach of the strokes to the right and up; an arc by samples of five degrees.
Box box_of(const std::vector<Stroke>& strokes) {
    Box box;
    for (const Stroke& stroke : strokes) {
        for (std::size_t i = 0; i + 1 < stroke.points.size(); i += 2) {
            box.right = std::max(box.right, stroke.points[i]);
            box.top = std::max(box.top, stroke.points[i + 1]);
        }
        if (stroke.points.empty()) {
            const int steps = std::max(1, static_cast<int>(std::abs(stroke.to - stroke.from) / 5));
            for (int i = 0; i <= steps; ++i) {
                const double angle =
                    (stroke.from + (stroke.to - stroke.from) * i / steps) * std::acos(-1.0) / 180;
                box.right = std::max(box.right, stroke.cx + stroke.rx * std::cos(angle));
                box.top = std::max(box.top, stroke.cy + stroke.ry * std::sin(angle));
            }
        }
    }
    return box;
}

void move(std::vector<Stroke>& strokes, double dx, double dy) {
    for (Stroke& stroke : strokes) {
        for (std::size_t i = 0; i + 1 < stroke.points.size(); i += 2) {
            stroke.points[i] += dx;
            stroke.points[i + 1] += dy;
        }
        stroke.cx += dx;
        stroke.cy += dy;
    }
}

std::optional<Glyph> plain_glyph(char32_t character) {
    if (character == U' ' || character == U'\u00a0') return Glyph{{}, space_advance, 0.0};
    for (const GlyphDrawing& drawing : glyph_drawings) {
        if (drawing.character != character) continue;
        Glyph result{strokes_of(drawing.strokes), 0.0, 0.0};
        const Box box = box_of(result.strokes);
        const bool digit = character >= U'0' && character <= U'9';
        result.advance = (digit ? digit_width : box.right) + letter_gap;
        result.top = box.top;
        return result;
    }
    return std::nullopt;
}

std::optional<Glyph> drawn_glyph(char32_t character) {
    if (auto plain = plain_glyph(character)) return plain;
    for (const AccentDrawing& accent : accent_drawings) {
        const std::size_t at = accent.accented.find(character);
        if (at == std::u32string_view::npos) continue;
        Glyph result = *plain_glyph(accent.plain[at]);
        std::vector<Stroke> mark = strokes_of(accent.strokes);
        const double middle = (result.advance - letter_gap) / 2.0;
        move(mark, middle, accent.below ? 0.0 : std::min(result.top, font_cap_height));
        if (middle < 1.0) {
            // An accent wider than its letter must not run into the letter before.
            move(mark, 1.5, 0.0);
            move(result.strokes, 1.5, 0.0);
            result.advance += 3.0;
        }
        result.advance = std::max(result.advance, box_of(mark).right + letter_gap / 2.0);
        result.strokes.insert(result.strokes.end(), mark.begin(), mark.end());
        return result;
    }
    return std::nullopt;
}

}  // namespace

bool has_glyph(char32_t character) { return drawn_glyph(character).has_value(); }

Glyph glyph(char32_t character) {
    if (auto drawn = drawn_glyph(character)) return *drawn;
    return {{{{0.0, 0.0, 7.0, 0.0, 7.0, 14.0, 0.0, 14.0, 0.0, 0.0}}}, 7.0 + letter_gap, 14.0};
}

std::u32string characters(std::string_view utf8) {
    std::u32string result;
    while (!utf8.empty()) {
        const auto [value, length] = first_character(utf8);
        if (length == 0) {
            result += replacement;
            utf8.remove_prefix(1);
            continue;
        }
        result += is_control(value) ? U' ' : value;
        utf8.remove_prefix(length);
    }
    return result;
}

std::string utf8(std::u32string_view text) {
    std::string result;
    for (const char32_t c : text) {
        if (c < 0x80) {
            result += static_cast<char>(c);
        } else if (c < 0x800) {
            result += static_cast<char>(0xc0U | (c >> 6U));
            result += static_cast<char>(0x80U | (c & 0x3fU));
        } else if (c < 0x10000) {
            result += static_cast<char>(0xe0U | (c >> 12U));
            result += static_cast<char>(0x80U | ((c >> 6U) & 0x3fU));
            result += static_cast<char>(0x80U | (c & 0x3fU));
        } else {
            result += static_cast<char>(0xf0U | (c >> 18U));
            result += static_cast<char>(0x80U | ((c >> 12U) & 0x3fU));
            result += static_cast<char>(0x80U | ((c >> 6U) & 0x3fU));
            result += static_cast<char>(0x80U | (c & 0x3fU));
        }
    }
    return result;
}

Mm text_width(std::string_view text, Mm cap_height) {
    double width = 0.0;
    for (const char32_t c : characters(text)) width += glyph(c).advance;
    return cap_height * (width / font_cap_height);
}

std::string shortened(const std::string& text, Mm cap_height, Mm width) {
    const double room = width / cap_height * font_cap_height;
    const double ellipsis = glyph(U'\u2026').advance;
    const std::u32string all = characters(text);
    double used = 0.0;
    std::size_t fitting = 0;  // letters that leave room for the ellipsis
    for (std::size_t i = 0; i < all.size(); ++i) {
        used += glyph(all[i]).advance;
        if (used + ellipsis <= room) fitting = i + 1;
        if (used > room) {
            std::u32string head = all.substr(0, fitting);
            while (!head.empty() && head.back() == U' ') head.pop_back();
            return head.empty() ? std::string() : utf8(head + U"\u2026");
        }
    }
    return text;
}

}  // namespace paleproof::sheet
