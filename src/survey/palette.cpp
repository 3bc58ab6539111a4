// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/palette.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <utility>

#include "core/error.h"
#include "survey/flat_areas.h"

namespace paleproof::survey {
namespace {

constexpr Mm least_side{1.2};  // an area of less than this squared is no sign for a player
constexpr double panel_share = 0.125;
constexpr double touch_share = 0.15;  // of the shorter edge
constexpr std::size_t most_text_areas = 32;
constexpr int least_core = 3;  // pixels of the small view: in less, every color is a mixture

color::Rgb8 rgb(const std::array<std::uint8_t, 3>& c) { return {c[0], c[1], c[2]}; }

AreaKind kind_of(const FlatArea& area, const SmallView& view) {
    const double fill = static_cast<double>(area.pixels) / (static_cast<double>(area.box.width) *
                                                            static_cast<double>(area.box.height));
    const bool around = area.box.width > 0.8 * view.width && area.box.height > 0.8 * view.height;
    if (around && fill < 0.5) return AreaKind::border;
    const double whole = static_cast<double>(view.width) * static_cast<double>(view.height);
    if (area.pixels > panel_share * whole) return AreaKind::panel;
    const int longer = std::max(area.box.width, area.box.height);
    // Ten times as long as wide: the mean width of a bent line too is its area over its length.
    return 10.0 * area.pixels < static_cast<double>(longer) * longer ? AreaKind::rule
                                                                     : AreaKind::symbol;
}

/// Pixels in the box that are nearer to the letters' color than to the ground's.
double letter_pixels(const SmallView& view, const TextLine& line) {
    const auto distance = [](const std::uint8_t* p, const RgbCode& c) {
        return std::abs(p[0] - c[0]) + std::abs(p[1] - c[1]) + std::abs(p[2] - c[2]);
    };
    const RectPx box{
        (line.box_px.x - view.trimmed.x) / view.step, (line.box_px.y - view.trimmed.y) / view.step,
        std::max(1, line.box_px.width / view.step), std::max(1, line.box_px.height / view.step)};
    const RectPx seen = intersection(box, {0, 0, view.width, view.height});
    double count = 0.0;
    for (int y = seen.y; y < seen.bottom(); ++y) {
        for (int x = seen.x; x < seen.right(); ++x) {
            const std::uint8_t* p = view.at(x, y);
            if (distance(p, line.text_color) < distance(p, line.ground_color)) count += 1.0;
        }
    }
    return count;
}

/// The holes of letters and what lies between them: no areas of their own.
bool among_letters(const RectPx& box, std::span<const TextLine> text) {
    return std::ranges::any_of(text, [&](const TextLine& line) {
        const RectPx shared = intersection(box, line.box_px);
        return line.confidence >= 0.5 && box.height <= line.box_px.height + 4 &&
               2.0 * shared.width * shared.height > 1.0 * box.width * box.height;
    });
}

std::uint32_t mixed(std::uint32_t x) {
    x ^= x >> 16U;
    x *= 0x7feb352dU;
    x ^= x >> 15U;
    x *= 0x846ca68bU;
    return x ^ (x >> 16U);
}

/// One place in each cell of a grid, at a fixed but irregular point, so that no regular pattern of
/// the art is met always or never. Bands of the face with text are left out: words are guarded in
/// another way, and new ones are not to move the gray of the deck.
std::vector<Neighbors> neighbors_of(const Image& face, RectPx trimmed,
                                    std::span<const TextLine> text) {
    std::vector<Neighbors> result;
    if (face.channels() != 3) return result;
    constexpr int cells = 64;
    constexpr int bands = 16;
    std::array<bool, bands> words{};
    for (const TextLine& line : text) {
        const auto band_at = [&](int y) {
            const std::int64_t below = std::int64_t{y - trimmed.y} * bands / trimmed.height;
            return static_cast<int>(std::clamp<std::int64_t>(below, 0, bands - 1));
        };
        for (int b = band_at(line.box_px.y); b <= band_at(line.box_px.bottom() - 1); ++b) {
            words[static_cast<std::size_t>(b)] = true;
        }
    }
    for (int cy = 0; cy < cells; ++cy) {
        if (words[static_cast<std::size_t>(cy * bands / cells)]) continue;
        for (int cx = 0; cx < cells; ++cx) {
            const std::uint32_t noise = mixed(static_cast<std::uint32_t>(cy * cells + cx + 1));
            const auto place = [](int cell, int length, std::uint32_t part) {
                const int begin = static_cast<int>(std::int64_t{cell} * length / cells);
                const int end = static_cast<int>(std::int64_t{cell + 1} * length / cells);
                return begin + static_cast<int>(
                                   part % static_cast<std::uint32_t>(std::max(1, end - begin)));
            };
            const int x = place(cx, trimmed.width, noise & 0xffffU);
            const int y = place(cy, trimmed.height, noise >> 16U);
            const bool right = ((noise >> 8U) & 1U) != 0;
            if (x + (right ? 1 : 0) >= trimmed.width || y + (right ? 0 : 1) >= trimmed.height) {
                continue;
            }
            const std::uint8_t* p = face.row(trimmed.y + y) + 3 * (trimmed.x + x);
            const std::uint8_t* q = right ? p + 3 : p + face.stride();
            if (p[0] == q[0] && p[1] == q[1] && p[2] == q[2]) continue;
            result.push_back({{p[0], p[1], p[2]}, {q[0], q[1], q[2]}});
        }
    }
    return result;
}

}  // namespace

std::string_view name(AreaKind kind) {
    switch (kind) {
        case AreaKind::border:
            return "border";
        case AreaKind::panel:
            return "panel";
        case AreaKind::symbol:
            return "symbol";
        case AreaKind::rule:
            return "rule";
        case AreaKind::text:
            break;
    }
    return "text";
}

Palette palette(const Image& face, RectPx trimmed, Ppi ppi, std::span<const TextLine> text) {
    if (trimmed.empty() || intersection(trimmed, face.bounds()) != trimmed) {
        throw Error(ErrorKind::internal, "palette", "expected a trimmed area inside of the face");
    }
    return palette(face, small_view(face, trimmed, ppi), ppi, text);
}

Palette palette(const Image& face, const SmallView& view, Ppi ppi, std::span<const TextLine> text) {
    const RectPx trimmed = view.trimmed;
    const double side = pixels(least_side, ppi.value > 0.0 ? ppi : Ppi{300.0}) / view.step;
    const int least = std::max(4, static_cast<int>(side * side));
    const FlatAreas found = flat_areas(view, least, 2 * most_areas);

    Palette result;
    std::vector<std::size_t> kept;
    const double whole = static_cast<double>(trimmed.width) * static_cast<double>(trimmed.height);
    const double square = static_cast<double>(view.step) * static_cast<double>(view.step);
    for (std::size_t i = 0; i < found.areas.size(); ++i) {
        const FlatArea& area = found.areas[i];
        if (area.core.width < least_core || among_letters(view.on_face(area.box), text)) continue;
        if (kept.size() == most_areas - most_text_areas) break;
        kept.push_back(i);
        const double covered = area.pixels * square;
        result.areas.push_back({.color = rgb(area.color),
                                .kind = kind_of(area, view),
                                .box_px = view.on_face(area.box),
                                .core_px = view.on_face(area.core),
                                .area = covered,
                                .share = covered / whole});
    }
    const std::size_t count = kept.size();
    for (std::size_t a = 0; a < count; ++a) {
        for (std::size_t b = a + 1; b < count; ++b) {
            const auto [i, j] = std::pair(kept[a], kept[b]);
            const int shorter = std::min(found.areas[i].edge, found.areas[j].edge);
            if (found.touching[i * found.areas.size() + j] > std::max(4.0, touch_share * shorter)) {
                result.touches.push_back({a, b});
            }
        }
    }
    for (const TextLine& line : text) {
        if (result.areas.size() >= count + most_text_areas) break;
        if (line.kind != TextLine::Kind::line || line.confidence < 0.5) continue;
        const double covered = letter_pixels(view, line) * square;
        result.areas.push_back({.color = rgb(line.text_color),
                                .kind = AreaKind::text,
                                .box_px = line.box_px,
                                .core_px = line.box_px,
                                .area = covered,
                                .share = covered / whole});
    }
    result.neighbors = neighbors_of(face, trimmed, text);
    return result;
}

}  // namespace paleproof::survey
