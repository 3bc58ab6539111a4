// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/pattern.h"
#include "survey/text/mat_view.h"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <opencv2/imgproc.hpp>

namespace paleproof::survey {
namespace {

constexpr double alike = 0.8;      // of the ink of two shapes that coincides
constexpr double wide_gap = 0.27;  // heights; figures of one number stand closer
// Broad shapes of one size stand in a row more often as icons than as letters; these need not be
// that alike: rings of two widths, drawings whose details fall on other pixels.
constexpr double broad = 0.85;  // width over height
constexpr double broad_alike = 0.55;
constexpr double broad_gap = 0.17;
constexpr double narrow = 0.5;            // width over height
constexpr double least_pitch = 0.55;      // band heights; figures and I follow each other closer
constexpr double least_times = 2.7;       // of the pitch, in the length of the row
constexpr double long_pitch = 1.9;        // band heights: more than two letters
constexpr double least_times_long = 4.5;  // the same for a long pitch
constexpr float profile_off = 0.15F;      // of the columns' sums
// Of the ink of the row that coincides with itself; a few signs must be more alike than many, as
// small round letters are alike too.
constexpr double row_alike = 0.75, few_alike = 0.9;
constexpr double few_times = 3.6;
constexpr double widest_glyph = 1.7;  // heights
constexpr double copy = 0.88;         // correlation of a motif with its copies
constexpr int copies = 2;             // in each direction, besides itself
// Icons stand at a pitch of about their height; letters stand closer, words that come twice
// farther.
constexpr double least_icon_pitch = 1.0, most_icon_pitch = 2.0;  // of the row's height
constexpr double least_share_of_row = 0.25, most_share_of_row = 0.58;
constexpr double share_of_three = 0.4, most_pitch_of_two = 1.6;
constexpr float icons_alike = 0.92F;  // correlation of the row with itself
constexpr int rows_of_pattern = 3;
constexpr double wide_row = 0.9;  // of the face's side
constexpr double longest = 0.4;   // of the face's side; a longer box leaves no room for copies

bool coincide(const Strokes& s, const Piece& a, const Piece& b, double least) {
    const int part = least < alike ? 6 : 8;
    const int rim = least < alike ? 2 : 1;
    if (std::abs(a.width - b.width) > std::max(rim, a.width / part) ||
        std::abs(a.height - b.height) > std::max(rim, a.height / part)) {
        return false;
    }
    int both = 0, either = 0;
    for (int v = 0; v < std::max(a.height, b.height); ++v) {
        for (int u = 0; u < std::max(a.width, b.width); ++u) {
            const auto ink = [&](const Piece& p) {
                const int x = p.x + u, y = p.y + v;
                return u < p.width && v < p.height && s.labels.at(x, y) == p.label;
            };
            const bool in_a = ink(a), in_b = ink(b);
            both += in_a && in_b;
            either += in_a || in_b;
        }
    }
    return both > least * either;
}

/// Places along `area` where the motif stands again, apart from each other by at least `apart`.
int count(const cv::Mat& area, const cv::Mat& motif, bool across, int own, int apart) {
    cv::Mat score;
    cv::matchTemplate(area, motif, score, cv::TM_CCOEFF_NORMED);
    cv::Mat best;
    cv::reduce(score, best, across ? 0 : 1, cv::REDUCE_MAX);
    best = best.reshape(1, 1);
    int found = 0, last = -apart;
    for (int i = 0; i < best.cols; ++i) {
        if (best.at<float>(i) > copy && i - last >= apart && std::abs(i - own) >= apart) {
            ++found;
            last = i;
        }
    }
    return found;
}

cv::Rect scaled(RectPx box, double scale) {
    return {static_cast<int>(std::floor(box.x * scale)),
            static_cast<int>(std::floor(box.y * scale)),
            static_cast<int>(std::ceil(box.width * scale)) + 1,
            static_cast<int>(std::ceil(box.height * scale)) + 1};
}

}  // namespace

bool same_shapes(const Strokes& strokes, std::span<const Piece> pieces) {
    std::vector<Piece> full;
    std::copy_if(pieces.begin(), pieces.end(), std::back_inserter(full),
                 [](const Piece& p) { return p.full; });
    // What the end of the strip cuts cannot be compared.
    if (full.size() > 3) {
        std::erase_if(full,
                      [&](const Piece& p) { return p.x <= 0 || p.right() >= strokes.tone.width; });
    }
    if (full.size() < 2 || full[0].width < narrow * full[0].height) {
        return false;
    }
    double gap = 1e9;
    for (std::size_t i = 1; i < full.size(); ++i) {
        gap = std::min(gap, static_cast<double>(full[i].x - full[i - 1].right()));
    }
    const bool apart = full[0].width > broad * full[0].height && gap > broad_gap * full[0].height;
    for (std::size_t i = 1; i < full.size(); ++i) {
        if (!coincide(strokes, full[0], full[i], apart ? broad_alike : alike)) {
            return false;
        }
    }
    return full.size() >= 3 || gap > (apart ? broad_gap : wide_gap) * full[0].height;
}

namespace {

/// Capitals of one width follow each other at an even pitch, too, and much of their ink coincides:
/// KEEPER. But some two of them have hardly a half in common, where copies of a motif have more.
bool different_letters(const Strokes& s, std::span<const Piece> pieces, double pitches) {
    constexpr std::size_t fewest = 4;
    constexpr double unlike = 0.5;  // of the ink of both, at the best place
    std::vector<Piece> full;
    std::ranges::copy_if(pieces, std::back_inserter(full), &Piece::full);
    const auto count = static_cast<double>(full.size());
    if (full.size() < fewest || std::abs(count - pitches) > 0.75) {
        return false;  // not one shape a pitch
    }
    const auto common = [&s](const Piece& a, const Piece& b, int right, int down) {
        int both = 0, either = 0;
        for (int v = -1; v <= std::max(a.height, b.height); ++v) {
            for (int u = -1; u <= std::max(a.width, b.width); ++u) {
                const auto ink = [&s](const Piece& p, int x, int y) {
                    return x >= 0 && y >= 0 && x < p.width && y < p.height &&
                           s.labels.at(p.x + x, p.y + y) == p.label;
                };
                const bool in_a = ink(a, u, v), in_b = ink(b, u + right, v + down);
                both += in_a && in_b;
                either += in_a || in_b;
            }
        }
        return static_cast<double>(both) / std::max(1, either);
    };
    for (std::size_t i = 0; i < full.size(); ++i) {
        for (std::size_t j = i + 1; j < full.size(); ++j) {
            double most = 0.0;
            for (int down = -1; down <= 1; ++down) {
                for (int right = -1; right <= 1; ++right)
                    most = std::max(most, common(full[i], full[j], right, down));
            }
            if (most < unlike) return true;
        }
    }
    return false;
}

}  // namespace

bool repeats_along(const Strokes& strokes, std::span<const Piece> pieces) {
    const double height = strokes.base - strokes.top;
    int x0 = strokes.tone.width, x1 = 0;
    for (const Piece& p : pieces) {
        if (!p.full) continue;
        x0 = std::min(x0, p.x);
        x1 = std::max(x1, p.right());
    }
    // Between the lines of the small letters: rows above and below need not have the same pitch.
    const int y0 = std::max(0, static_cast<int>(strokes.top - 0.1 * height));
    const int y1 = std::min(strokes.tone.height, static_cast<int>(strokes.base + 0.1 * height) + 1);
    const int width = x1 - x0;
    const int least = static_cast<int>(std::ceil(least_pitch * height));
    if (width < least_times * least) {
        return false;
    }
    std::vector<float> profile(static_cast<std::size_t>(width), 0.0F);
    for (int v = y0; v < y1; ++v) {
        const int* label = strokes.labels.row(v) + x0;
        for (int u = 0; u < width; ++u)
            profile[static_cast<std::size_t>(u)] += label[u] != 0 ? 1.0F : 0.0F;
    }
    // Ink that meets ink one pitch on, give or take a pixel, as pitches need not be whole; beyond
    // what bold letters meet by chance.
    const auto coincides = [&](int lag) {
        const double wanted = lag * few_times > width ? few_alike : row_alike;
        int here = 0, there = 0, here_met = 0, there_met = 0, near_here = 0, near_there = 0,
            all = 0;
        for (int v = y0; v < y1; ++v) {
            const int* a = strokes.labels.row(v) + x0;
            const int* b = a + lag;
            for (int u = 1; u + lag + 1 < width; ++u) {
                const bool in_a = a[u] != 0, in_b = b[u] != 0;
                const bool by_a = (a[u - 1] | a[u] | a[u + 1]) != 0;
                const bool by_b = (b[u - 1] | b[u] | b[u + 1]) != 0;
                here += in_a;
                there += in_b;
                here_met += in_a && by_b;
                there_met += in_b && by_a;
                near_here += by_a;
                near_there += by_b;
                ++all;
            }
        }
        const auto met = [&](int hits, int of, int chance) {
            return static_cast<double>(hits) * all > of * (chance + wanted * (all - chance));
        };
        return met(here_met, here, near_there) && met(there_met, there, near_here);
    };
    for (int lag = least; lag * least_times <= width; ++lag) {
        if (lag > long_pitch * height && lag * least_times_long > width) {
            break;
        }
        // The sums of the columns first: they cost little and differ for almost all words.
        float off = 0.0F, sum = 0.0F;
        for (int u = 0; u + lag < width; ++u) {
            const float a = profile[static_cast<std::size_t>(u)];
            const float b = profile[static_cast<std::size_t>(u + lag)];
            off += std::abs(a - b);
            sum += a + b;
        }
        if (off < profile_off * sum && coincides(lag)) {
            return !different_letters(strokes, pieces, static_cast<double>(width) / lag);
        }
    }
    return false;
}

bool mostly_line(const Strokes& strokes, const Piece& piece) {
    if (piece.width < widest_glyph * piece.height) {
        return false;  // 4 and 7 are lines, too
    }
    int tall = 0;
    for (int u = piece.x; u < piece.right(); ++u) {
        int first = -1, last = -1;
        for (int v = piece.y; v < piece.bottom(); ++v) {
            if (strokes.labels.at(u, v) == piece.label) {
                first = first < 0 ? v : first;
                last = v;
            }
        }
        tall += 2 * (last - first + 1) >= piece.height;
    }
    return 2 * tall < piece.width;
}

bool in_lattice(const Plane8& plane, double scale, RectPx box) {
    const cv::Mat whole = mat(plane);
    const cv::Rect part = scaled(box, scale) & cv::Rect(0, 0, whole.cols, whole.rows);
    if (part.width < 4 || part.height < 4 || part.width > longest * whole.cols ||
        part.height > longest * whole.rows) {
        return false;
    }
    const cv::Mat motif = whole(part);
    constexpr int jitter = 1;
    const cv::Rect face(0, 0, whole.cols, whole.rows);
    const cv::Rect row = cv::Rect(0, part.y - jitter, whole.cols, part.height + 2 * jitter) & face;
    if (count(whole(row), motif, true, part.x, part.width / 2) < copies) {
        return false;
    }
    const cv::Rect column =
        cv::Rect(part.x - jitter, 0, part.width + 2 * jitter, whole.rows) & face;
    return count(whole(column), motif, false, part.y, part.height / 2) >= copies;
}

bool row_of_icons(const Plane8& plane, double scale, RectPx box) {
    const cv::Mat whole = mat(plane);
    const cv::Rect part = scaled(box, scale) & cv::Rect(0, 0, whole.cols, whole.rows);
    if (part.width < 4 || part.height < 4) {
        return false;
    }
    cv::Mat row = whole(part);
    if (row.rows > row.cols) {
        row = row.t();
    }
    const int least = std::max(static_cast<int>(least_icon_pitch * row.rows),
                               static_cast<int>(least_share_of_row * row.cols));
    const int most = std::min(static_cast<int>(most_icon_pitch * row.rows),
                              static_cast<int>(most_share_of_row * row.cols));
    for (int pitch = least; pitch <= most; ++pitch) {
        const bool two = pitch > share_of_three * row.cols;
        if (two && pitch > most_pitch_of_two * row.rows) {
            return false;  // a word that comes twice
        }
        const int width = row.cols - pitch;
        cv::Mat score;
        cv::matchTemplate(row(cv::Rect(0, 0, width, row.rows)),
                          row(cv::Rect(pitch, 0, width, row.rows)), score, cv::TM_CCOEFF_NORMED);
        if (score.at<float>(0, 0) > icons_alike) {
            return true;
        }
    }
    return false;
}

bool stands_again(const Plane8& plane, double scale, RectPx box) {
    const cv::Mat whole = mat(plane);
    const cv::Rect face(0, 0, whole.cols, whole.rows);
    const cv::Rect part = scaled(box, scale) & face;
    if (part.width < 4 || part.height < 4) {
        return false;
    }
    const bool level = part.width >= part.height;
    if (level ? part.width < wide_row * whole.cols : part.height < wide_row * whole.rows) {
        return false;  // a table may name the same thing in several rows
    }
    const cv::Rect along = level ? cv::Rect(part.x - 1, 0, part.width + 2, whole.rows)
                                 : cv::Rect(0, part.y - 1, whole.cols, part.height + 2);
    return count(whole(along & face), whole(part), !level, level ? part.y : part.x,
                 (level ? part.height : part.width) / 2) >= rows_of_pattern;
}

}  // namespace paleproof::survey
