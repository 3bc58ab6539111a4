// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/strokes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "core/patches.h"
#include "survey/text/ink.h"
#include "survey/text/leveling.h"
#include "survey/text/mat_view.h"
#include "survey/text/surroundings.h"

namespace paleproof::survey {
namespace {

constexpr double reach_ends = 0.9;  // x-heights between a word and the next
// Of a number or a single glyph, in x-heights: figures stand nearer to each other than words, and
// are as tall.
constexpr double reach_figures = 0.5, figures_uneven = 0.35;
constexpr double least_within = 0.1;    // of a piece's ink that lies in the band
constexpr double few_glyphs = 3.0;      // x-heights: a count such as x3 or 3/4
constexpr double half_covered = 0.6;    // of the band, that its glyphs cover
constexpr double figures_even = 0.055;  // as tall as this may be set wider

enum class Role { full, small, other };

Role role(const Piece& piece, const Strokes& s) {
    const double height = s.base - s.top;
    const double sag = s.slope * (piece.x + piece.width / 2.0 - s.middle);
    const double top = s.top + sag, base = s.base + sag;
    const double y0 = piece.y, y1 = piece.bottom();
    if (piece.y <= 0 || piece.bottom() >= s.tone.height) {
        return Role::other;
    }
    const double inside = std::min(y1, base) - std::max(y0, top);
    if (inside >= 0.68 * height && y0 >= top - 1.2 * height && y1 <= base + 0.9 * height &&
        piece.width <= 16 * height) {
        return Role::full;
    }
    if (piece.height < 0.75 * height && piece.width < 1.6 * height && y0 >= top - 1.0 * height &&
        y1 <= base + 0.6 * height) {
        return Role::small;
    }
    return Role::other;
}

struct Sorted {
    std::vector<Piece> full, small, other;
};

Sorted sorted(const std::vector<Piece>& all, const Strokes& s) {
    Sorted result;
    for (Piece piece : all) {
        switch (role(piece, s)) {
            case Role::full:
                piece.full = true;
                result.full.push_back(piece);
                break;
            case Role::small:
                result.small.push_back(piece);
                break;
            case Role::other:
                result.other.push_back(piece);
        }
    }
    return result;
}

/// Thin letters in few pixels fall apart. Fragments that lie above each other, beside no whole
/// letter, and together are as tall as one become one piece: its label is that of the first. A
/// glyph that would stand alone is left: the letters of a turned line lie above each other too.
void mend(std::vector<Piece>& all, Strokes& s) {
    const Sorted parts = sorted(all, s);
    const auto above = [](const Piece& a, const Piece& b) {
        const int both = std::min(a.right(), b.right()) - std::max(a.x, b.x);
        return 2 * both >= std::min(a.width, b.width);
    };
    std::vector<Piece> loose;
    for (const Piece& piece : parts.small) {
        if (std::none_of(parts.full.begin(), parts.full.end(),
                         [&](const Piece& full) { return above(piece, full); })) {
            loose.push_back(piece);
        }
    }
    struct Fragment {
        Piece piece;
        int whole;  ///< label of the letter that it is part of
    };
    std::vector<Piece> joined;
    std::vector<Fragment> fragments;
    for (std::size_t i = 0; i < loose.size();) {
        Piece whole = loose[i];
        std::size_t next = i + 1;
        while (next < loose.size() && above(whole, loose[next])) {
            const Piece& part = loose[next++];
            const int right = std::max(whole.right(), part.right());
            const int bottom = std::max(whole.bottom(), part.bottom());
            whole.x = std::min(whole.x, part.x);
            whole.y = std::min(whole.y, part.y);
            whole.width = right - whole.x;
            whole.height = bottom - whole.y;
            whole.area += part.area;
        }
        const double height = s.base - s.top;
        if (next - i > 1 && next - i <= 4 && role(whole, s) == Role::full &&
            whole.width < 1.3 * height && whole.height < 1.8 * height) {
            for (std::size_t k = i; k < next; ++k) fragments.push_back({loose[k], whole.label});
            joined.push_back(whole);
        }
        i = next;
    }
    if (joined.size() + parts.full.size() < 2) {
        return;
    }
    for (const auto& [part, whole] : fragments) {
        for (int v = part.y; v < part.bottom(); ++v) {
            int* label = s.labels.row(v);
            std::replace(label + part.x, label + part.right(), part.label, whole);
        }
    }
    std::erase_if(all, [&](const Piece& p) {
        return std::any_of(fragments.begin(), fragments.end(),
                           [&](const Fragment& f) { return f.piece.label == p.label; });
    });
    all.insert(all.end(), joined.begin(), joined.end());
    std::sort(all.begin(), all.end(), [](const Piece& a, const Piece& b) {
        return std::pair(a.x, a.label) < std::pair(b.x, b.label);
    });
}

/// A part of a strip's rows and columns.
struct Field {
    int left = 0, right = 0, top = 0, bottom = 0;
};

Field band_of(const Strokes& s, double left, double right) {
    const auto within = [](double at, int end) {
        return std::clamp(static_cast<int>(std::lround(at)), 0, end);
    };
    return {within(left, s.tone.width), within(right, s.tone.width), within(s.top, s.tone.height),
            within(s.base, s.tone.height)};
}

/// How many pixels of a piece lie in a field.
int pixels_in(const Strokes& s, const Piece& piece, const Field& field) {
    const int left = std::max(piece.x, field.left), right = std::min(piece.right(), field.right);
    const int bottom = std::min(piece.bottom(), field.bottom);
    int sum = 0;
    for (int v = std::max(piece.y, field.top); left < right && v < bottom; ++v) {
        const int* label = s.labels.row(v);
        sum += static_cast<int>(std::count(label + left, label + right, piece.label));
    }
    return sum;
}

/// Takes away what lies beside or around a compact band and is not as tall as what lies in it, the
/// less the farther off: the ground or the ring around a badge that a figure stands on comes as
/// near to it as another figure.
void leave_alike(std::vector<Piece>& full, const Strokes& s, double left, double right) {
    const double height = s.base - s.top;
    const Field band = band_of(s, left, right);
    const auto within = [&](const Piece& p) {
        return p.right() > left && p.x < right && pixels_in(s, p, band) > least_within * p.area;
    };
    Ends ends{1 << 30, 1 << 30, 0, 0};
    for (const Piece& p : full) {
        if (!within(p)) continue;
        ends = {std::min(ends.x0, p.x), std::min(ends.y0, p.y), std::max(ends.x1, p.right()),
                std::max(ends.y1, p.bottom())};
    }
    if (ends.y1 == 0) return;
    std::erase_if(full, [&](const Piece& p) {
        const double off = std::max(std::abs(p.y - ends.y0), std::abs(p.bottom() - ends.y1));
        const double gap = std::max(p.x - ends.x1, ends.x0 - p.right());
        return off > (gap < reach_figures * height ? figures_uneven : figures_even) * height &&
               !within(p);
    });
}

/// The pieces from the band outward to both ends, as long as the next one is near. What is no part
/// of the band and goes on past the strip is not seen whole: a panel, a badge, more often than a
/// letter.
std::vector<Piece> chained(const Sorted& all, const Strokes& s, bool compact, double& left,
                           double& right) {
    const double reach = reach_ends * (s.base - s.top);
    Sorted parts = all;
    if (compact) leave_alike(parts.full, s, left, right);
    for (auto* list : {&parts.full, &parts.small}) {
        std::erase_if(*list, [&](const Piece& piece) {
            return (piece.x <= 0 && piece.right() <= left) ||
                   (piece.right() >= s.labels.width && piece.x >= right);
        });
    }
    for (bool grown = true; grown;) {
        grown = false;
        for (const Piece& piece : parts.full) {
            const bool near = piece.x < right + reach && piece.right() > left - reach;
            if (near && (piece.x < left || piece.right() > right)) {
                left = std::min(left, static_cast<double>(piece.x));
                right = std::max(right, static_cast<double>(piece.right()));
                grown = true;
            }
        }
    }
    std::vector<Piece> result;
    for (const auto* list : {&parts.full, &parts.small}) {
        for (const Piece& piece : *list) {
            if (piece.x < right + 0.4 * reach && piece.right() > left - 0.4 * reach) {
                result.push_back(piece);
            }
        }
    }
    std::sort(result.begin(), result.end(), [](const Piece& a, const Piece& b) {
        return std::pair(a.x, a.label) < std::pair(b.x, b.label);
    });
    return result;
}

double length_under(const std::vector<Piece>& pieces, double left, double right) {
    double sum = 0, at = left;
    for (const Piece& piece : pieces) {
        if (piece.full) {
            const double from = std::max(at, static_cast<double>(piece.x));
            const double to = std::min(right, static_cast<double>(piece.right()));
            sum += std::max(0.0, to - from);
            at = std::max(at, to);
        }
    }
    return sum;
}

/// The pixels of some pieces that lie in the band; of each no more than its share if it were spread
/// evenly over its box. The box of what goes around a badge covers the figure on it; what crosses a
/// line of letters lies in the band with more than its share.
double ink_in_band(const Strokes& s, const Strip& strip, const std::vector<Piece>& pieces) {
    const Field band = band_of(s, strip.left, strip.right);
    double sum = 0;
    for (const Piece& piece : pieces) {
        const double rows =
            std::min<double>(piece.bottom(), s.base) - std::max<double>(piece.y, s.top);
        const double columns =
            std::min<double>(piece.right(), strip.right) - std::max<double>(piece.x, strip.left);
        if (rows <= 0 || columns <= 0) continue;
        const double even =
            rows * columns * piece.area / (static_cast<double>(piece.width) * piece.height);
        sum += std::min<double>(even, pixels_in(s, piece, band));
    }
    return sum;
}

/// Finds the pieces of a mask and those that belong to the line. False when there are none.
bool find_pieces(Strokes& s, const Strip& strip, const Plane8& mask) {
    s.labels = Plane<int>(s.tone.width, s.tone.height);
    const Patches found = patches_of(mask.data.data(), s.tone.width, s.tone.height);
    for (const Patches::Run& run : found.runs) {
        std::fill_n(s.labels.row(run.y) + run.begin, run.end - run.begin, run.patch + 1);
    }
    std::vector<Piece> all;
    int label = 0;
    for (const Patches::Patch& at : found.patches) {
        ++label;
        if (at.area >= 3) {
            all.push_back({at.left, at.top, at.width(), at.height(), at.area, label, false});
        }
    }
    std::sort(all.begin(), all.end(), [](const Piece& a, const Piece& b) {
        return std::pair(a.x, a.label) < std::pair(b.x, b.label);
    });
    mend(all, s);
    Sorted parts;
    for (int round = 0; round < 2; ++round) {
        parts = sorted(all, s);
        if (parts.full.empty()) {
            break;
        }
        level(s, parts.full);
        settle(s, parts.full, static_cast<int>(strip.left), static_cast<int>(strip.right) + 1);
    }
    parts = sorted(all, s);
    double left = strip.left, right = strip.right;
    s.pieces = chained(parts, s, strip.compact, left, right);
    s.covered =
        length_under(s.pieces, strip.left, strip.right) / std::max(1.0, strip.right - strip.left);
    double good = 0;
    for (const Piece& piece : s.pieces) {
        good += piece.area;
    }
    const double bad = ink_in_band(s, strip, parts.other);
    s.pure = good > 0 ? good / (good + bad) : 0.0;
    return s.base - s.top >= 3 && !s.pieces.empty();
}

std::optional<Strokes> of_polarity(const Strip& strip, bool light, Plane8& mask) {
    Strokes s;
    s.light = light;
    s.top = strip.top;
    s.base = strip.base;
    s.middle = (strip.left + strip.right) / 2;
    if (!separated(strip, s)) {
        return std::nullopt;
    }
    mask = ink_mask(s);
    if (!find_pieces(s, strip, mask)) {
        return std::nullopt;
    }
    // Of a count such as x3 one glyph stands free and the other touches a frame.
    const double height = s.base - s.top;
    if (s.covered < half_covered && s.covered > 0.0 &&
        strip.right - strip.left <= few_glyphs * height && cut_rules(mask, height) &&
        !find_pieces(s, strip, mask)) {
        return std::nullopt;
    }
    look_around(s, mask);
    s.fit = std::min(1.0, s.covered / 0.55) * s.pure * std::clamp(1.25 - 2.5 * s.leak, 0.0, 1.0) *
            std::clamp(0.35 + 1.3 * s.apart, 0.35, 1.0);
    return s;
}

/// Share of the outline of the pieces, two pixels out, that lies in the other mask.
double enclosed(const Strokes& s, const Plane8& other) {
    cv::Mat own(s.tone.height, s.tone.width, CV_8UC1, cv::Scalar(0));
    for (const Piece& piece : s.pieces) {
        for (int v = piece.y; v < piece.bottom(); ++v) {
            const int* label = s.labels.row(v);
            std::uint8_t* to = own.ptr(v);
            for (int u = piece.x; u < piece.right(); ++u) {
                if (label[u] == piece.label) {
                    to[u] = 255;
                }
            }
        }
    }
    const auto disc = [](int r) {
        return cv::getStructuringElement(cv::MORPH_RECT, {2 * r + 1, 2 * r + 1});
    };
    cv::Mat near, far;
    cv::dilate(own, near, disc(1));
    cv::dilate(own, far, disc(2));
    const cv::Mat rim = far & ~near;
    const int total = cv::countNonZero(rim);
    return total == 0 ? 0.0 : static_cast<double>(cv::countNonZero(rim & mat(other))) / total;
}

}  // namespace

Ends ends_of(const Strokes& strokes, std::span<const Piece> pieces) {
    Ends ends{strokes.tone.width, strokes.tone.height, 0, 0};
    for (const Piece& p : pieces) {
        ends.x0 = std::min(ends.x0, p.x);
        ends.y0 = std::min(ends.y0, p.y);
        ends.x1 = std::max(ends.x1, p.right());
        ends.y1 = std::max(ends.y1, p.bottom());
    }
    return ends;
}

double Strokes::coverage(int u, int v) const {
    const int under = ground.at(u, v), here = tone.at(u, v);
    if (under <= ink) {
        return 0.0;
    }
    return std::clamp(static_cast<double>(under - here) / (under - ink), 0.0, 1.0);
}

std::optional<Strokes> dark_strokes_of(const Strip& strip) {
    Plane8 mask;
    return of_polarity(strip, false, mask);
}

std::optional<Strokes> strokes_of(const Strip& strip) {
    // The side on which the strip reaches further from its middle is looked at first.
    std::array<int, 256> tones{};
    for (const std::uint8_t tone : strip.luminance.data) {
        ++tones[tone];
    }
    const int total = static_cast<int>(strip.luminance.data.size());
    const int mid = code_at(tones, total);
    const bool light_first = code_at(tones, total, 0.95) - mid > mid - code_at(tones, total, 0.05);
    Plane8 masks[2];
    std::optional<Strokes> found[2];
    for (const bool is_light : {light_first, !light_first}) {
        found[is_light] = of_polarity(strip, is_light, masks[is_light]);
        if (found[is_light] && found[is_light]->plain && found[is_light]->fit > 0.6) {
            return std::move(found[is_light]);
        }
    }
    auto& [dark, light] = found;
    const auto& [dark_mask, light_mask] = masks;
    if (!dark || !light) {
        return dark ? std::move(dark) : std::move(light);
    }
    // Letters with an outline fit in both polarities: the outline goes around the letters, hence
    // the letters lie in it and it does not lie in them. The same tells a shadow, if less clearly.
    if (dark->fit > 0.3 && light->fit > 0.3) {
        dark->inside = enclosed(*dark, light_mask);
        light->inside = enclosed(*light, dark_mask);
        const double more = dark->inside - light->inside;
        dark->fit *= std::clamp(1.0 + 1.2 * more, 0.3, 1.0);
        light->fit *= std::clamp(1.0 - 1.2 * more, 0.3, 1.0);
    }
    const double d = dark->fit * std::sqrt(dark->depth), l = light->fit * std::sqrt(light->depth);
    return d >= l ? std::move(dark) : std::move(light);
}

}  // namespace paleproof::survey
