// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/strokes.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <opencv2/imgproc.hpp>
#include <utility>

namespace paleproof::survey {
namespace {

constexpr int least_depth = 9;      // codes; 1.6 : 1 in thin small letters
constexpr double ink_share = 0.93;  // of the band's pixels, by depth: where cores of strokes are
constexpr double reach_ends = 0.9;  // x-heights between a word and the next

cv::Mat mat(const Plane8& plane) {
    return {plane.height, plane.width, CV_8UC1, const_cast<std::uint8_t*>(plane.data.data())};
}

struct Rows {
    int first, last;  // [first, last)
};

Rows band_rows(const Strokes& s) {
    const int h = s.tone.height;
    const int first = std::clamp(static_cast<int>(std::lround(s.top)), 0, h - 1);
    return {first, std::clamp(static_cast<int>(std::lround(s.base)), first + 1, h)};
}

/// Tone and ground, typical ink and depth. False when there is no ink to speak of.
bool separated(const Strip& strip, Strokes& s) {
    const double height = s.base - s.top;
    s.tone = strip.luminance;
    if (s.light) {
        for (std::uint8_t& value : s.tone.data) {
            value = static_cast<std::uint8_t>(255 - value);
        }
    }
    // A closing fills what is narrower than the window: the strokes. Its result is the ground.
    const int side = 2 * std::max(2, static_cast<int>(std::lround(height * 0.52))) + 1;
    s.ground = Plane8(s.tone.width, s.tone.height);
    cv::Mat ground = mat(s.ground);
    cv::morphologyEx(mat(s.tone), ground, cv::MORPH_CLOSE,
                     cv::getStructuringElement(cv::MORPH_RECT, {side, side}), {-1, -1}, 1,
                     cv::BORDER_REPLICATE);
    const Rows rows = band_rows(s);
    const int left = std::clamp(static_cast<int>(strip.left), 0, s.tone.width - 1);
    const int right = std::clamp(static_cast<int>(strip.right) + 1, left + 1, s.tone.width);
    std::array<int, 256> depths{};
    for (int v = rows.first; v < rows.last; ++v) {
        const std::uint8_t* tone = s.tone.row(v);
        const std::uint8_t* under = s.ground.row(v);
        for (int u = left; u < right; ++u) {
            ++depths[static_cast<std::size_t>(under[u] - tone[u])];
        }
    }
    const int total = (rows.last - rows.first) * (right - left);
    int below = 0, depth = 0;
    while (depth < 255 && below + depths[static_cast<std::size_t>(depth)] < ink_share * total) {
        below += depths[static_cast<std::size_t>(depth++)];
    }
    if (depth < least_depth) {
        return false;
    }
    std::array<int, 256> tones{};
    int inked = 0;
    for (int v = rows.first; v < rows.last; ++v) {
        const std::uint8_t* tone = s.tone.row(v);
        const std::uint8_t* under = s.ground.row(v);
        for (int u = left; u < right; ++u) {
            if ((under[u] - tone[u]) * 10 >= depth * 7) {
                ++tones[tone[u]];
                ++inked;
            }
        }
    }
    int seen = 0;
    s.ink = 0;
    while (s.ink < 255 && (seen += tones[static_cast<std::size_t>(s.ink)]) * 2 < inked) {
        ++s.ink;
    }
    s.depth = depth;
    return true;
}

cv::Mat mask_of(const Strokes& s) {
    cv::Mat mask(s.tone.height, s.tone.width, CV_8UC1);
    const int least = std::max(5, s.depth * 2 / 5);
    for (int v = 0; v < s.tone.height; ++v) {
        const std::uint8_t* tone = s.tone.row(v);
        const std::uint8_t* under = s.ground.row(v);
        std::uint8_t* to = mask.ptr(v);
        for (int u = 0; u < s.tone.width; ++u) {
            const bool ink = 2 * tone[u] < under[u] + s.ink && under[u] - tone[u] >= least;
            to[u] = ink ? 255 : 0;
        }
    }
    return mask;
}

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

double median_of(std::vector<double> values) {
    const auto mid = values.begin() + static_cast<std::ptrdiff_t>(values.size() / 2);
    std::nth_element(values.begin(), mid, values.end());
    return *mid;
}

struct Slope {
    double slope = 0.0;
    double residual = 1e9;  ///< median distance of the points from the line
};

/// Line through most of the points: the median of the slopes between points half the line apart
/// (after Theil, 1950); what reaches past it does not pull it.
Slope slope_of(const std::vector<std::pair<double, double>>& points, double height) {
    Slope result;
    if (points.size() < 4 || points.back().first - points.front().first < 5 * height) {
        return result;
    }
    std::vector<double> slopes;
    const std::size_t half = points.size() / 2;
    for (std::size_t i = 0; i + half < points.size(); ++i) {
        const double dx = points[i + half].first - points[i].first;
        if (dx > height) {
            slopes.push_back((points[i + half].second - points[i].second) / dx);
        }
    }
    if (slopes.empty()) {
        return result;
    }
    result.slope = median_of(slopes);
    std::vector<double> offsets;
    for (const auto& [x, y] : points) {
        offsets.push_back(y - result.slope * x);
    }
    const double middle = median_of(offsets);
    for (double& offset : offsets) {
        offset = std::abs(offset - middle);
    }
    result.residual = median_of(offsets);
    return result;
}

/// The slope of the line by the feet or by the heads of the letters, whichever lie better on a
/// line.
void level(Strokes& s, const std::vector<Piece>& full) {
    const double height = s.base - s.top;
    std::vector<std::pair<double, double>> feet, heads;
    for (const Piece& piece : full) {
        const double x = piece.x + piece.width / 2.0;
        const double sag = s.slope * (x - s.middle);
        if (std::abs(piece.bottom() - s.base - sag) < 0.35 * height) {
            feet.emplace_back(x, piece.bottom());
        }
        if (std::abs(piece.y - s.top - sag) < 0.35 * height) {
            heads.emplace_back(x, piece.y);
        }
    }
    const Slope by_feet = slope_of(feet, height), by_heads = slope_of(heads, height);
    const Slope& better = by_heads.residual < by_feet.residual ? by_heads : by_feet;
    if (better.residual < 0.2 * height && std::abs(better.slope) < 0.12) {
        s.slope = better.slope;
    }
}

/// Moves the rows of x-height and base line to where the ink itself begins and ends.
void settle(Strokes& s, const std::vector<Piece>& full, int left, int right) {
    const double height = s.base - s.top;
    std::vector<double> rows(static_cast<std::size_t>(s.tone.height) + 1, 0.0);
    for (const Piece& piece : full) {
        const int u0 = std::max(piece.x, left), u1 = std::min(piece.right(), right);
        for (int v = piece.y; v < piece.bottom(); ++v) {
            const int* label = s.labels.row(v);
            for (int u = u0; u < u1; ++u) {
                if (label[u] == piece.label) {
                    const int flat = static_cast<int>(std::lround(v - s.slope * (u - s.middle)));
                    if (flat >= 0 && flat < s.tone.height) {
                        rows[static_cast<std::size_t>(flat)] += 1.0;
                    }
                }
            }
        }
    }
    const auto edge = [&](double near, bool rising) {
        const int first = std::max(1, static_cast<int>(std::lround(near - 0.45 * height)));
        const int last =
            std::min(s.tone.height - 1, static_cast<int>(std::lround(near + 0.45 * height)));
        double best = 0.0;
        int at = -1;
        for (int v = first; v <= last; ++v) {
            const auto i = static_cast<std::size_t>(v);
            double change = rows[i] - rows[i - 1];
            if (i + 1 < rows.size() && i >= 2) {
                change += 0.5 * (rows[i + 1] - rows[i] + rows[i - 1] - rows[i - 2]);
            }
            change = (rising ? change : -change) *
                     (1.0 - 0.7 * std::abs(v - near) / (0.45 * height + 1));
            if (change > best) {
                best = change;
                at = v;
            }
        }
        return at < 0 ? near : static_cast<double>(at);
    };
    const double top = edge(s.top, true), base = edge(s.base, false);
    if (base - top > 0.5 * height && base - top < 1.7 * height) {
        s.top = top;
        s.base = base;
    }
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

/// The pieces from the band outward to both ends, as long as the next one is near.
std::vector<Piece> chained(const Sorted& parts, const Strokes& s, double& left, double& right) {
    const double reach = reach_ends * (s.base - s.top);
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

/// Share of the outline of the pieces beyond which the ink's tone goes on although the local ground
/// says otherwise.
double leaking(const Strokes& s, const cv::Mat& mask) {
    const int limit = (s.typical + s.ink) / 2;
    int outline = 0, open = 0;
    for (const Piece& piece : s.pieces) {
        if (!piece.full) {
            continue;
        }
        for (int u = piece.x; u < piece.right(); ++u) {
            for (int v = piece.y - 1; v < piece.bottom(); ++v) {
                if (v < 2 || v + 3 >= s.tone.height) {
                    continue;
                }
                const bool here = s.labels.at(u, v) == piece.label;
                const bool next = s.labels.at(u, v + 1) == piece.label;
                if (here == next) {
                    continue;
                }
                const int beyond = here ? v + 3 : v - 2;
                ++outline;
                open += mask.at<std::uint8_t>(beyond, u) == 0 && s.tone.at(u, beyond) < limit;
            }
        }
    }
    return outline == 0 ? 1.0 : static_cast<double>(open) / outline;
}

int middle(const std::array<int, 256>& codes, int total, double share = 0.5) {
    int code = 0;
    for (int seen = 0; code < 255; ++code) {
        seen += codes[static_cast<std::size_t>(code)];
        if (seen >= share * total) {
            break;
        }
    }
    return code;
}

int typical_ground(const Strokes& s) {
    std::array<int, 256> grounds{};
    int count = 0;
    for (const Piece& p : s.pieces) {
        for (int v = p.y; v < p.bottom(); ++v) {
            const int* label = s.labels.row(v);
            const std::uint8_t* under = s.ground.row(v);
            for (int u = p.x; u < p.right(); ++u) {
                if (label[u] == p.label) {
                    ++grounds[under[u]];
                    ++count;
                }
            }
        }
    }
    return middle(grounds, count);
}

/// Looks at the tone around the run of pieces. The gaps between letters have the tone of what lies
/// around them; letters do not. Where the tone around is even and nothing in the band lies beyond
/// it, there is one ink on one ground, and the other polarity shows gaps only.
void look_around(Strokes& s, const cv::Mat& mask) {
    int x0 = s.tone.width, y0 = s.tone.height, x1 = 0, y1 = 0;
    for (const Piece& p : s.pieces) {
        x0 = std::min(x0, p.x);
        y0 = std::min(y0, p.y);
        x1 = std::max(x1, p.right());
        y1 = std::max(y1, p.bottom());
    }
    const int near = std::max(2, static_cast<int>(0.15 * (s.base - s.top)));
    const int far = std::max(4, static_cast<int>(0.7 * (s.base - s.top)));
    std::array<int, 256> around{}, within{};
    int total = 0, all = 0;
    for (int v = std::max(0, y0 - far); v < std::min(s.tone.height, y1 + far); ++v) {
        const std::uint8_t* tone = s.tone.row(v);
        const std::uint8_t* ink = mask.ptr(v);
        const auto count = [&](int from, int to) {
            for (int u = std::max(0, from); u < std::min(s.tone.width, to); ++u) {
                if (ink[u] == 0) {
                    ++around[tone[u]];
                    ++total;
                }
            }
        };
        if (v < y0 - near || v >= y1 + near) {
            count(x0 - far, x1 + far);
            continue;
        }
        count(x0 - far, x0 - near);
        count(x1 + near, x1 + far);
        if (v >= y0 && v < y1) {
            for (int u = x0; u < x1; ++u) {
                ++within[tone[u]];
            }
            all += x1 - x0;
        }
    }
    if (total < 20 || s.typical <= s.ink) {
        return;
    }
    const int tone = middle(around, total);
    s.apart = std::clamp(static_cast<double>(tone - s.ink) / (s.typical - s.ink), 0.0, 1.5);
    const int spread = middle(around, total, 0.9) - middle(around, total, 0.1);
    const int beyond = middle(within, all, 0.98) - tone;
    s.plain = std::abs(s.apart - 1.0) < 0.12 && spread <= std::max(6, s.depth / 6) &&
              beyond <= std::max(8, s.depth / 4) && s.leak < 0.1;
}

std::optional<Strokes> of_polarity(const Strip& strip, bool light, cv::Mat& mask) {
    Strokes s;
    s.light = light;
    s.top = strip.top;
    s.base = strip.base;
    s.middle = (strip.left + strip.right) / 2;
    if (!separated(strip, s)) {
        return std::nullopt;
    }
    mask = mask_of(s);
    s.labels = Plane<int>(s.tone.width, s.tone.height);
    cv::Mat labels(s.tone.height, s.tone.width, CV_32S, s.labels.data.data());
    cv::Mat stats, centers;
    const int count = cv::connectedComponentsWithStats(mask, labels, stats, centers, 8, CV_32S);
    std::vector<Piece> all;
    for (int i = 1; i < count; ++i) {
        const int* at = stats.ptr<int>(i);
        if (at[cv::CC_STAT_AREA] >= 3) {
            all.push_back({at[cv::CC_STAT_LEFT], at[cv::CC_STAT_TOP], at[cv::CC_STAT_WIDTH],
                           at[cv::CC_STAT_HEIGHT], at[cv::CC_STAT_AREA], i, false});
        }
    }
    std::sort(all.begin(), all.end(), [](const Piece& a, const Piece& b) {
        return std::pair(a.x, a.label) < std::pair(b.x, b.label);
    });
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
    s.pieces = chained(parts, s, left, right);
    const double height = s.base - s.top;
    s.covered =
        length_under(s.pieces, strip.left, strip.right) / std::max(1.0, strip.right - strip.left);
    double good = 0, bad = 0;
    for (const Piece& piece : s.pieces) {
        good += piece.area;
    }
    for (const Piece& piece : parts.other) {
        if (piece.right() <= strip.left || piece.x >= strip.right) {
            continue;
        }
        const double rows =
            std::min<double>(piece.bottom(), s.base) - std::max<double>(piece.y, s.top);
        const double columns =
            std::min<double>(piece.right(), strip.right) - std::max<double>(piece.x, strip.left);
        bad += std::max(0.0, rows) * std::max(0.0, columns) * piece.area /
               (static_cast<double>(piece.width) * piece.height);
    }
    s.pure = good > 0 ? good / (good + bad) : 0.0;
    if (height < 3 || s.pieces.empty()) {
        return std::nullopt;
    }
    s.typical = typical_ground(s);
    s.leak = leaking(s, mask);
    look_around(s, mask);
    s.fit = std::min(1.0, s.covered / 0.55) * s.pure * std::clamp(1.25 - 2.5 * s.leak, 0.0, 1.0) *
            std::clamp(0.35 + 1.3 * s.apart, 0.35, 1.0);
    return s;
}

/// Share of the outline of the pieces, two pixels out, that lies in the other mask.
double enclosed(const Strokes& s, const cv::Mat& other) {
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
    return total == 0 ? 0.0 : static_cast<double>(cv::countNonZero(rim & other)) / total;
}

}  // namespace

double Strokes::coverage(int u, int v) const {
    const int under = ground.at(u, v), here = tone.at(u, v);
    if (under <= ink) {
        return 0.0;
    }
    return std::clamp(static_cast<double>(under - here) / (under - ink), 0.0, 1.0);
}

std::optional<Strokes> strokes_of(const Strip& strip) {
    // The side on which the strip reaches further from its middle is looked at first.
    std::array<int, 256> tones{};
    for (const std::uint8_t tone : strip.luminance.data) {
        ++tones[tone];
    }
    const int total = static_cast<int>(strip.luminance.data.size());
    const int mid = middle(tones, total);
    const bool light_first = middle(tones, total, 0.95) - mid > mid - middle(tones, total, 0.05);
    cv::Mat masks[2];
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
