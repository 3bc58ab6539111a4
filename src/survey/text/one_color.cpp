// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/one_color.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <utility>
#include <vector>

#include "survey/rgb_codes.h"
#include "survey/text/median_color.h"
#include "survey/text/surroundings.h"

namespace paleproof::survey {
namespace {

constexpr double least_height = 14.0;  // pixels of the face: strokes show their color unmixed
constexpr double uneven = 0.22;  // of the depth, between the middle half of the inner pixels' tones
constexpr int levels = 16;       // of each channel
constexpr double least_share = 0.025;  // of the band, that one color fills
constexpr std::size_t most_colors = 4;
constexpr double least_fit = 0.6;
constexpr double least_covered = 0.45;           // of the band
constexpr double end_gap = 0.8, most_gap = 1.6;  // band heights
constexpr int fewest = 3;                        // letters
constexpr double within = 0.85;                  // of their pixels, that the strokes had
constexpr double art = 1.3;                      // what these had besides: a shadow is less
constexpr double beyond_end = 1.5;               // band heights
constexpr double widest = 3.2;                   // the same: more is a plank
constexpr double spoiled = 0.75;                 // fit of what may be of the wrong side
constexpr double fit_of_others = 0.85;

int row(const Strip& strip, double v) {
    return std::clamp(static_cast<int>(v), 0, strip.rgb.height);
}
int column(const Strip& strip, double u) {
    return std::clamp(static_cast<int>(u), 0, strip.rgb.width);
}

/// The inner pixels of the strokes: those whose neighbors belong to the same piece.
template <class Take>
void each_inner(const Strokes& s, const Take& take) {
    for (const Piece& p : s.pieces) {
        for (int v = std::max(1, p.y); v < std::min(s.labels.height - 1, p.bottom()); ++v) {
            const int* label = s.labels.row(v);
            const int* above = s.labels.row(v - 1);
            const int* below = s.labels.row(v + 1);
            for (int u = std::max(1, p.x); u < std::min(s.labels.width - 1, p.right()); ++u) {
                if (label[u] == p.label && label[u - 1] == p.label && label[u + 1] == p.label &&
                    above[u] == p.label && below[u] == p.label)
                    take(u, v);
            }
        }
    }
}

bool is_uneven(const Strokes& s) {
    std::array<int, 256> tones{};
    int total = 0;
    each_inner(s, [&](int u, int v) {
        ++tones[s.tone.at(u, v)];
        ++total;
    });
    if (total < 40) return false;
    int low = 0;
    int high = 255;
    for (int below = 0; low < 255 && 4 * (below += tones[static_cast<std::size_t>(low)]) < total;)
        ++low;
    for (int above = 0; high > 0 && 4 * (above += tones[static_cast<std::size_t>(high)]) < total;)
        --high;
    return high - low > uneven * s.depth;
}

/// The colors that most of some pixels have, which `each` hands to what it is given.
template <class Each>
std::vector<RgbCode> main_colors(const Strip& strip, const Strokes& s, const Each& each) {
    const auto cell = [&](int u, int v) {
        const std::uint8_t* p = strip.rgb.row(v) + static_cast<std::ptrdiff_t>(3) * u;
        const auto level = [](int code) { return code * levels / 256; };
        return static_cast<std::size_t>((level(p[0]) * levels + level(p[1])) * levels +
                                        level(p[2]));
    };
    std::vector<int> count(static_cast<std::size_t>(levels * levels * levels), 0);
    each([&](int u, int v) { ++count[cell(u, v)]; });
    const double least = least_share * (s.base - s.top) * (strip.right - strip.left);
    std::vector<std::pair<int, std::size_t>> most;  // pixels, less than none, and cell
    for (std::size_t i = 0; i < count.size(); ++i) {
        if (count[i] >= least) most.emplace_back(-count[i], i);
    }
    std::ranges::sort(most);
    if (most.size() > most_colors) most.resize(most_colors);
    std::vector<RgbCode> result;
    for (const auto& [pixels, wanted] : most) {
        MedianColor color;
        each([&, wanted = wanted](int u, int v) {
            if (cell(u, v) == wanted)
                color.add(strip.rgb.row(v) + static_cast<std::ptrdiff_t>(3) * u);
        });
        result.push_back(color.value());
    }
    return result;
}

/// The strip as a drawing in black of what has a color: white is as far from it as most of the
/// other pixels in the band are, so that the middle between the two lies at the letters' edges.
Strip drawn_from(const Strip& strip, const RgbCode& color) {
    constexpr int near = 48, least_far = 96;  // codes
    std::array<int, 256> offs{};
    int others = 0;
    for (int v = row(strip, strip.top); v < row(strip, strip.base); ++v) {
        const std::uint8_t* rgb = strip.rgb.row(v);
        for (int u = 0; u < strip.rgb.width; ++u, rgb += 3) {
            int off = 0;
            for (std::size_t c = 0; c < 3; ++c) off = std::max(off, std::abs(rgb[c] - color[c]));
            if (off <= near) continue;
            ++offs[static_cast<std::size_t>(off)];
            ++others;
        }
    }
    int far = 0;
    for (int below = 0; far < 255 && 2 * (below += offs[static_cast<std::size_t>(far)]) < others;)
        ++far;
    far = std::max(far, least_far);
    Strip result = strip;
    for (int v = 0; v < strip.luminance.height; ++v) {
        const std::uint8_t* rgb = strip.rgb.row(v);
        std::uint8_t* to = result.luminance.row(v);
        for (int u = 0; u < strip.luminance.width; ++u, rgb += 3) {
            int off = 0;
            for (std::size_t c = 0; c < 3; ++c) off = std::max(off, std::abs(rgb[c] - color[c]));
            to[u] = static_cast<std::uint8_t>(std::min(255, off * 255 / far));
        }
    }
    return result;
}

/// Whether letters stand all along the band, and nothing else.
bool is_line(const Strip& strip, const Strokes& s) {
    const double height = s.base - s.top;
    double right = strip.left - (most_gap - end_gap) * height;
    int letters = 0;
    for (const Piece& piece : s.pieces) {
        if (!piece.full) continue;
        if (piece.width > widest * height || piece.x - right > most_gap * height ||
            piece.x < strip.left - beyond_end * height ||
            piece.right() > strip.right + beyond_end * height)
            return false;
        right = std::max(right, static_cast<double>(piece.right()));
        ++letters;
    }
    return letters >= fewest && strip.right - right <= end_gap * height && s.fit >= least_fit &&
           s.covered >= least_covered;
}

/// That some color can be seen as letters makes art no text.
std::optional<Strokes> no_surer(std::optional<Strokes> letters, const Strokes& found) {
    if (letters) letters->fit = std::min(letters->fit, found.fit);
    return letters;
}

/// Whether a color is lighter than most of the band.
bool is_lighter(const Strip& strip, const RgbCode& color) {
    std::array<int, 256> tones{};
    int total = 0;
    for (int v = row(strip, strip.top); v < row(strip, strip.base); ++v) {
        for (int u = column(strip, strip.left); u < column(strip, strip.right); ++u) {
            ++tones[strip.luminance.at(u, v)];
            ++total;
        }
    }
    return gray_of(color) > code_at(tones, total);
}

double area(const Strokes& s) {
    double sum = 0.0;
    for (const Piece& p : s.pieces) sum += p.area;
    return sum;
}

/// Share of the pixels of some strokes that others have, too.
double shared(const Strokes& s, const Strokes& with) {
    int all = 0;
    int both = 0;
    for (const Piece& p : s.pieces) {
        for (int v = p.y; v < p.bottom(); ++v) {
            const int* own = s.labels.row(v);
            const int* other = with.labels.row(v);
            for (int u = p.x; u < p.right(); ++u) {
                if (own[u] != p.label) continue;
                ++all;
                both += other[u] != 0 ? 1 : 0;
            }
        }
    }
    return all > 0 ? static_cast<double>(both) / all : 0.0;
}

}  // namespace

std::optional<Strokes> strokes_of_one_color(const Strip& strip, const Strokes& found) {
    if (found.plain || (found.base - found.top) / strip.scale_v < least_height || !is_uneven(found))
        return std::nullopt;
    std::optional<Strokes> best;
    const auto look_at = [&](const RgbCode& color, double least, const auto& fits) {
        std::optional<Strokes> s = dark_strokes_of(drawn_from(strip, color));
        if (!s || !is_line(strip, *s) || s->fit < least || (best && s->fit <= best->fit) ||
            !fits(*s))
            return;
        s->light = is_lighter(strip, color);
        best = std::move(s);
    };
    for (const RgbCode& color :
         main_colors(strip, found, [&](const auto& take) { each_inner(found, take); })) {
        look_at(color, least_fit, [&](const Strokes& s) {
            return (found.fit < spoiled || area(found) >= art * area(s)) &&
                   shared(s, found) >= within;
        });
    }
    if (best || found.fit >= spoiled) return no_surer(std::move(best), found);
    // Nor are the strokes of the right side.
    for (const RgbCode& color : main_colors(strip, found, [&](const auto& take) {
             for (int v = row(strip, found.top); v < row(strip, found.base); ++v) {
                 for (int u = column(strip, strip.left); u < column(strip, strip.right); ++u)
                     take(u, v);
             }
         })) {
        look_at(color, fit_of_others,
                [&](const Strokes& s) { return shared(s, found) <= 1.0 - within; });
    }
    return no_surer(std::move(best), found);
}

}  // namespace paleproof::survey
