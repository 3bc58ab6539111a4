// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/letters_alone.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "color/srgb.h"
#include "survey/rgb_codes.h"
#include "survey/text/median_color.h"

namespace paleproof::survey {
namespace {

constexpr double around = 0.35;        // band heights beside the ink in which letters may lie
constexpr double half = 0.5;           // of the way: on the letters' side
constexpr double rim = 0.15;           // band heights
constexpr double rim_side = 0.3;       // cosine to the direction of the shadow
constexpr double mixed_from = 0.4;     // nearly on the letters' side of both middles
constexpr double least_clear = 0.05;   // of the letters
constexpr double least_letters = 0.3;  // of the ink
// Of the ink that is taken for the shadow: what shows of a shadow is less than its letters. A rim
// of light along the upper side of letters is less than half of them.
constexpr double least_beside = 0.7;
constexpr double least_fit = 0.3;
constexpr double least_covered = 0.7;  // of the length that letters and shadow covered

/// What a pixel is.
enum Kind : std::uint8_t { bare, shade, letter_ink };

CodeVector vector_of(const std::uint8_t* rgb) {
    return {static_cast<double>(rgb[0]), static_cast<double>(rgb[1]), static_cast<double>(rgb[2])};
}

/// The box of the pieces and a margin around it, and which of its pixels are theirs.
struct Field {
    int x = 0, y = 0;
    Plane8 own;
};

Field field_of(const Strokes& s, std::span<const Piece> pieces, int margin) {
    const auto [x0, y0, x1, y1] = ends_of(s, pieces);
    Field field;
    field.x = std::max(0, x0 - margin);
    field.y = std::max(0, y0 - margin);
    field.own = Plane8(std::min(s.tone.width, x1 + margin) - field.x,
                       std::min(s.tone.height, y1 + margin) - field.y);
    for (const Piece& p : pieces) {
        for (int v = p.y; v < p.bottom(); ++v) {
            const int* label = s.labels.row(v);
            std::uint8_t* to = field.own.row(v - field.y) - field.x;
            for (int u = p.x; u < p.right(); ++u) {
                if (label[u] == p.label) to[u] = 1;
            }
        }
    }
    return field;
}

/// Whether the shadow passes the letters' color on its way to the ground.
bool rims_look_like_letters(const CodeVector& letter, const CodeVector& shadow,
                            const CodeVector& ground) {
    const CodeVector to_letter = minus(letter, ground), from_shadow = minus(letter, shadow);
    for (double way = 0.05; way < 1.0; way += 0.05) {
        CodeVector mixed{};
        for (std::size_t c = 0; c < 3; ++c) mixed[c] = way * shadow[c] + (1.0 - way) * ground[c];
        if (dot(minus(mixed, ground), to_letter) >= mixed_from * dot(to_letter, to_letter) &&
            dot(minus(mixed, shadow), from_shadow) >= mixed_from * dot(from_shadow, from_shadow)) {
            return true;
        }
    }
    return false;
}

/// Where the shadow ends it has the letters' color for a pixel or two. Between ground and shadow
/// only what has its shadow on the shadow's side is a letter.
void strike_rims(Plane8& kinds, const DropShadow& shadow, int reach) {
    const int w = kinds.width, h = kinds.height;
    cv::Mat shaded(h, w, CV_32F), open(h, w, CV_32F);
    for (int y = 0; y < h; ++y) {
        for (int x = 0; x < w; ++x) {
            shaded.at<float>(y, x) = kinds.at(x, y) == shade ? 1.0F : 0.0F;
            open.at<float>(y, x) = kinds.at(x, y) == bare ? 1.0F : 0.0F;
        }
    }
    const cv::Size window(2 * reach + 1, 2 * reach + 1);
    cv::blur(shaded, shaded, window, {-1, -1}, cv::BORDER_REPLICATE);
    cv::blur(open, open, window, {-1, -1}, cv::BORDER_REPLICATE);
    constexpr float none = 1e-4F;
    for (int y = 0; y < h; ++y) {
        for (int x = 0; x < w; ++x) {
            if (kinds.at(x, y) != letter_ink || shaded.at<float>(y, x) <= none ||
                open.at<float>(y, x) <= none) {
                continue;
            }
            const auto balance = [&](int u, int v) {
                u = std::clamp(u, 0, w - 1);
                v = std::clamp(v, 0, h - 1);
                return static_cast<double>(shaded.at<float>(v, u) - open.at<float>(v, u));
            };
            const double gx = balance(x + 1, y) - balance(x - 1, y);
            const double gy = balance(x, y + 1) - balance(x, y - 1);
            if (gx * shadow.du + gy * shadow.dv <
                rim_side * std::numbers::sqrt2 * std::hypot(gx, gy)) {
                kinds.at(x, y) = shade;
            }
        }
    }
}

/// The three colors, and what the pixels of a field are by them.
struct Layers {
    CodeVector letter, shadow, ground;
    PlaneF inked;     ///< share of the way from ground to letters
    PlaneF lettered;  ///< share of the way from shadow to letters
    Plane8 kind;
};

bool tell_apart(Layers& layers, const Strip& strip, const Strokes& s, const Field& field) {
    const CodeVector to_letter = minus(layers.letter, layers.ground);
    const CodeVector from_shadow = minus(layers.letter, layers.shadow);
    const double a = dot(to_letter, to_letter), b = dot(from_shadow, from_shadow);
    if (a < 1.0 || b < 1.0) return false;
    for (int y = 0; y < field.own.height; ++y) {
        const std::uint8_t* rgb = strip.rgb.row(field.y + y) + 3 * field.x;
        const int* label = s.labels.row(field.y + y) + field.x;
        const std::uint8_t* own = field.own.row(y);
        for (int x = 0; x < field.own.width; ++x) {
            const CodeVector p = vector_of(rgb + 3 * x);
            const bool other = label[x] != 0 && own[x] == 0;
            const double ink =
                other ? 0.0 : std::clamp(dot(minus(p, layers.ground), to_letter) / a, 0.0, 1.0);
            const double pure =
                other ? 0.0 : std::clamp(dot(minus(p, layers.shadow), from_shadow) / b, 0.0, 1.0);
            layers.inked.at(x, y) = static_cast<float>(ink);
            layers.lettered.at(x, y) = static_cast<float>(pure);
            const bool within = !other && (own[x] != 0 || ink >= half);
            layers.kind.at(x, y) = !within ? bare : pure < half || ink < half ? shade : letter_ink;
        }
    }
    return true;
}

struct Colors {
    MedianColor letters, clear, shadow;  ///< clear: inside of the letters
};

Colors colors_of(const Strip& strip, const Plane8& kinds, const Field& field) {
    Colors colors;
    for (int y = 0; y < kinds.height; ++y) {
        const std::uint8_t* rgb = strip.rgb.row(field.y + y) + 3 * field.x;
        for (int x = 0; x < kinds.width; ++x) {
            if (kinds.at(x, y) == shade) colors.shadow.add(rgb + 3 * x);
            if (kinds.at(x, y) != letter_ink) continue;
            colors.letters.add(rgb + 3 * x);
            bool touches = false;
            for (int v = std::max(0, y - 1); v <= std::min(kinds.height - 1, y + 1); ++v) {
                for (int u = std::max(0, x - 1); u <= std::min(kinds.width - 1, x + 1); ++u) {
                    touches |= kinds.at(u, v) != letter_ink;
                }
            }
            if (!touches) colors.clear.add(rgb + 3 * x);
        }
    }
    return colors;
}

/// 255 less the letters' coverage. At an edge to the shadow the way from shadow to letters tells
/// how much of a pixel is letter, at an edge to the ground that from the ground.
void draw_letters(Plane8& tone, const Layers& layers, const Field& field,
                  const DropShadow& shadow) {
    const int w = field.own.width, h = field.own.height;
    std::fill(tone.data.begin(), tone.data.end(), std::uint8_t{255});
    for (int y = 0; y < h; ++y) {
        for (int x = 0; x < w; ++x) {
            const auto is = [&](int dx, int dy, Kind kind) {
                const int u = x + dx, v = y + dy;
                return u >= 0 && v >= 0 && u < w && v < h && layers.kind.at(u, v) == kind;
            };
            bool near_letter = false;
            for (int dy = -1; dy <= 1 && !near_letter; ++dy) {
                for (int dx = -1; dx <= 1 && !near_letter; ++dx) {
                    near_letter = is(dx, dy, letter_ink);
                }
            }
            if (!near_letter) continue;
            const bool to_shadow = is(0, 0, shade) || is(shadow.du, 0, shade) ||
                                   is(0, shadow.dv, shade) || is(shadow.du, shadow.dv, shade);
            const float ink = layers.inked.at(x, y), pure = layers.lettered.at(x, y);
            const float cover = !to_shadow ? ink : shadow.beside ? pure : std::min(ink, pure);
            tone.at(field.x + x, field.y + y) =
                static_cast<std::uint8_t>(std::lround(255.0F * (1.0F - cover)));
        }
    }
}

}  // namespace

std::optional<LettersAlone> without_shadow(const Strip& strip, const Strokes& s,
                                           std::span<const Piece> pieces,
                                           const DropShadow& shadow) {
    const double height = s.base - s.top;
    const Field field = field_of(s, pieces, std::max(2, static_cast<int>(around * height)));
    const int w = field.own.width, h = field.own.height;
    const int reach = std::max(2 * std::max(1, static_cast<int>(std::lround(strip.scale_u))),
                               static_cast<int>(std::lround(rim * height)));
    const auto inked = static_cast<double>(
        std::count(field.own.data.begin(), field.own.data.end(), std::uint8_t{1}));
    Layers layers{shadow.letter, shadow.shadow, shadow.ground,
                  PlaneF(w, h),  PlaneF(w, h),  Plane8(w, h)};
    LettersAlone result;
    // The second time with the colors of what the first has told apart.
    for (int round = 0; round < 2; ++round) {
        if (!tell_apart(layers, strip, s, field)) return std::nullopt;
        if (rims_look_like_letters(layers.letter, layers.shadow, layers.ground)) {
            strike_rims(layers.kind, shadow, reach);
        }
        const Colors colors = colors_of(strip, layers.kind, field);
        if (colors.letters.total() < inked * (shadow.beside ? least_beside : least_letters)) {
            return std::nullopt;
        }
        result.letter = colors.clear.total() >= least_clear * colors.letters.total()
                            ? colors.clear.value()
                            : colors.letters.value();
        const RgbCode middle = colors.shadow.value();
        layers.letter = vector_of(result.letter.data());
        layers.shadow = vector_of(middle.data());
    }
    Strip alone = strip;
    alone.top = s.top;
    alone.base = s.base;
    draw_letters(alone.luminance, layers, field, shadow);
    auto strokes = strokes_of(alone);
    if (!strokes || strokes->light || strokes->fit < least_fit ||
        (!shadow.beside && strokes->covered < least_covered * s.covered)) {
        return std::nullopt;
    }
    result.strokes = std::move(*strokes);
    const RgbCode under{static_cast<std::uint8_t>(shadow.ground[0]),
                        static_cast<std::uint8_t>(shadow.ground[1]),
                        static_cast<std::uint8_t>(shadow.ground[2])};
    result.strokes.light = luminance(result.letter) > luminance(under);
    result.around = result.strokes;
    for (int y = 0; y < h; ++y) {
        for (int x = 0; x < w; ++x) {
            int& label = result.around.labels.at(field.x + x, field.y + y);
            if (layers.kind.at(x, y) != bare && label == 0) label = -1;
        }
    }
    return result;
}

}  // namespace paleproof::survey
