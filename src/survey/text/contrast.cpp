// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/contrast.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "color/srgb.h"
#include "survey/rgb_codes.h"
#include "survey/text/median_color.h"
#include "survey/text/surroundings.h"

namespace paleproof::survey {
namespace {

constexpr double window = 0.8;      // band heights: about one letter
constexpr int most_clean_step = 1;  // codes from pixel to pixel of a ground as drawn
constexpr int unknown_noise = 2;    // the same, where too little ground shows
constexpr double outline_gain = 1.3;
constexpr double reached = 0.1;  // the share of the length that may have less contrast

struct Part {
    cv::Rect box;
    cv::Mat ink;  ///< 255 on the pieces
};

Part part_of(const Strokes& s, std::span<const Piece> pieces, int margin) {
    const auto [x0, y0, x1, y1] = ends_of(s, pieces);
    Part part;
    part.box = cv::Rect(x0 - margin, y0 - margin, x1 - x0 + 2 * margin, y1 - y0 + 2 * margin) &
               cv::Rect(0, 0, s.tone.width, s.tone.height);
    part.ink = cv::Mat(part.box.height, part.box.width, CV_8UC1, cv::Scalar(0));
    for (const Piece& p : pieces) {
        for (int v = p.y; v < p.bottom(); ++v) {
            const int* label = s.labels.row(v);
            std::uint8_t* to = part.ink.ptr(v - part.box.y) - part.box.x;
            for (int u = p.x; u < p.right(); ++u) {
                if (label[u] == p.label) {
                    to[u] = 255;
                }
            }
        }
    }
    return part;
}

cv::Mat grown(const cv::Mat& mask, int r) {
    cv::Mat result;
    cv::dilate(mask, result, cv::getStructuringElement(cv::MORPH_RECT, {2 * r + 1, 2 * r + 1}));
    return result;
}

/// Tone of a pixel as it is in the face, the ink's side dark.
int exact_tone(const std::uint8_t* rgb, bool light, const color::GrayCodes& gray) {
    const int code = gray(rgb[0], rgb[1], rgb[2]);
    return light ? 255 - code : code;
}

/// Pieces that are far deeper than the letters beside them: an icon among the words, a piece of a
/// frame. Where strokes are thin their few full pixels would pass for the letters' core.
std::vector<bool> strangers(const Strip& strip, const Strokes& s, std::span<const Piece> pieces) {
    const color::GrayCodes& gray = color::gray_codes();
    std::vector<int> deepest;
    for (const Piece& p : pieces) {
        std::array<int, 256> tones{};
        for (int v = p.y; v < p.bottom(); ++v) {
            const int* label = s.labels.row(v);
            const std::uint8_t* rgb = strip.rgb.row(v);
            for (int u = p.x; u < p.right(); ++u) {
                if (label[u] == p.label) {
                    ++tones[static_cast<std::size_t>(exact_tone(rgb + 3 * u, s.light, gray))];
                }
            }
        }
        deepest.push_back(code_at(tones, p.area, 0.1));
    }
    std::vector<bool> result(pieces.size(), false);
    std::array<int, 256> all{};
    for (std::size_t i = 0; i < pieces.size(); ++i) {
        all[static_cast<std::size_t>(deepest[i])] += pieces[i].full;
    }
    const int letters = std::accumulate(all.begin(), all.end(), 0);
    if (letters < 4) return result;
    const int usual = code_at(all, letters), low = code_at(all, letters, 0.25);
    const int least = usual - std::max({12, s.depth / 4, 3 * (usual - low)});
    for (std::size_t i = 0; i < pieces.size(); ++i) result[i] = deepest[i] < least;
    return result;
}

/// The middle color of the pixels that have the tone which a share of them is to stay under. `each`
/// hands all pixels to what it is given; `noise` in codes.
template <class Each>
RgbCode color_at(const Each& each, double share, bool light, double noise) {
    const color::GrayCodes& gray = color::gray_codes();
    std::array<int, 256> tones{};
    int total = 0;
    each([&](const std::uint8_t* rgb) {
        ++tones[static_cast<std::size_t>(exact_tone(rgb, light, gray))];
        ++total;
    });
    const int tone = code_at(tones, total, share);
    const int near = std::max(1, static_cast<int>(noise));
    MedianColor color;
    each([&](const std::uint8_t* rgb) {
        if (std::abs(exact_tone(rgb, light, gray) - tone) <= near) color.add(rgb);
    });
    return color.value();
}

/// The pixels that show the ink unmixed: inside of wide strokes, else the deepest ones. `stroke` in
/// pixels of the face.
RgbCode core_color(const Strip& strip, const Strokes& s, std::span<const Piece> pieces,
                   const Part& part, double stroke, int ground_noise) {
    constexpr double steps_to_noise = 0.6;  // nine in ten steps between two pixels are smaller
    const double noise = steps_to_noise * ground_noise;
    if (stroke >= 3.0) {
        const int side = 2 * std::max(1, static_cast<int>(std::lround(strip.scale_u))) + 1;
        cv::Mat core;
        cv::erode(part.ink, core, cv::getStructuringElement(cv::MORPH_RECT, {side, side}), {-1, -1},
                  1, cv::BORDER_CONSTANT, cv::Scalar(0));
        if (cv::countNonZero(core) >= 12) {
            const auto each = [&](const auto& take) {
                for (int y = 0; y < core.rows; ++y) {
                    const std::uint8_t* in = core.ptr(y);
                    const std::uint8_t* rgb = strip.rgb.row(y + part.box.y) + 3 * part.box.x;
                    for (int x = 0; x < core.cols; ++x) {
                        if (in[x] != 0) take(rgb + 3 * x);
                    }
                }
            };
            return color_at(each, 0.5, s.light, noise);
        }
    }
    const std::vector<bool> foreign = strangers(strip, s, pieces);
    const auto each = [&](const auto& take) {
        for (std::size_t i = 0; i < pieces.size(); ++i) {
            const Piece& p = pieces[i];
            for (int v = p.y; !foreign[i] && v < p.bottom(); ++v) {
                const int* label = s.labels.row(v);
                const std::uint8_t* rgb = strip.rgb.row(v);
                for (int u = p.x; u < p.right(); ++u) {
                    if (label[u] == p.label) take(rgb + 3 * u);
                }
            }
        }
    };
    // The thinner the strokes, the fewer pixels they fill. Where compression or grain moves the
    // tones, the deepest pixels are its work, so that more must be taken.
    const double share = ground_noise <= most_clean_step ? (stroke >= 2.0 ? 0.02 : 0.015)
                         : stroke >= 2.0                 ? 0.1
                         : stroke >= 1.5                 ? 0.05
                                                         : 0.02;
    return color_at(each, share, s.light, noise);
}

/// How much the tone of the ground moves from pixel to pixel, as compression, grain and art move
/// it: nine in ten steps are no larger.
int noise_near(const Strip& strip, const Strokes& s, const cv::Rect& box, const cv::Mat& blocked) {
    const int skip = std::max(1, static_cast<int>(std::lround(strip.scale_u)));
    std::array<int, 256> steps{};
    int total = 0;
    for (int y = 0; y < box.height; ++y) {
        const std::uint8_t* no = blocked.ptr(y);
        const std::uint8_t* tone = s.tone.row(y + box.y) + box.x;
        for (int x = skip; x < box.width; ++x) {
            if ((no[x] | no[x - skip]) == 0) {
                ++steps[static_cast<std::size_t>(std::abs(tone[x] - tone[x - skip]))];
                ++total;
            }
        }
    }
    return total < 20 ? unknown_noise : code_at(steps, total, 0.9);
}

double low_share(std::vector<double>& values) {
    std::sort(values.begin(), values.end());
    const double low =
        values[static_cast<std::size_t>(reached * static_cast<double>(values.size() - 1))];
    const double middle = values[values.size() / 2];
    // On a ground that does not vary the windows differ by noise only: their median is better.
    return low > 0.92 * middle ? middle : low;
}

}  // namespace

LineContrast contrast_of(const Strip& strip, const Strokes& strokes, std::span<const Piece> pieces,
                         double stroke, const PaperLuminance& paper,
                         const std::optional<RgbCode>& known) {
    const double height = strokes.base - strokes.top;
    const int far = std::max(4, static_cast<int>(std::lround(0.4 * height)));
    const Part part = part_of(strokes, pieces, far);
    LineContrast result;
    // The ring next to the letters, past the mixed pixels of their edge, and the one after it. A
    // wide outline fills the first; blur spoils it. The one with more contrast is the ground. A
    // narrow outline shows in the two pixels at the letters' edge only, half of which are mixed: it
    // counts where it differs clearly from both rings.
    const int skip = std::max(1, static_cast<int>(std::ceil(strip.scale_u)));
    cv::Mat all(part.box.height, part.box.width, CV_8UC1);
    for (int y = 0; y < all.rows; ++y) {  // neighbors that are not part of this run are no ground
        const int* label = strokes.labels.row(y + part.box.y) + part.box.x;
        std::uint8_t* to = all.ptr(y);
        for (int x = 0; x < all.cols; ++x) {
            to[x] = label[x] != 0 ? 255 : 0;
        }
    }
    const cv::Mat edge = grown(part.ink, 2 * skip), blocked = grown(all, skip),
                  first = grown(part.ink, skip + 2), second = grown(part.ink, far);
    result.text = known ? *known
                        : core_color(strip, strokes, pieces, part, stroke / strip.scale_v,
                                     noise_near(strip, strokes, part.box, blocked));
    const int step = std::max(4, static_cast<int>(std::lround(window * height)));
    const double text = luminance(result.text);
    const double text_paper = paper ? paper(result.text) : 0.0;
    std::vector<double> screen, printed;
    std::array<MedianColor, 3> whole;
    std::array<double, 3> sums{};
    for (int x0 = far / 2; x0 < part.box.width - far / 2; x0 += step) {
        std::array<MedianColor, 3> ring;
        const int x1 = std::min(part.box.width, x0 + step);
        bool inked = false;
        for (int y = 0; y < part.box.height; ++y) {
            const std::uint8_t* ink = part.ink.ptr(y);
            const std::uint8_t* no = blocked.ptr(y);
            const std::uint8_t* any = all.ptr(y);
            const std::uint8_t* at_edge = edge.ptr(y);
            const std::uint8_t* a = first.ptr(y);
            const std::uint8_t* b = second.ptr(y);
            const std::uint8_t* rgb = strip.rgb.row(y + part.box.y) + 3 * part.box.x;
            for (int x = x0; x < x1; ++x) {
                inked |= ink[x] != 0;
                if (no[x] == 0 && b[x] != 0) {
                    ring[a[x] != 0 ? 0 : 1].add(rgb + 3 * x);
                }
                if (at_edge[x] != 0 && any[x] == 0) {
                    ring[2].add(rgb + 3 * x);
                }
            }
        }
        if (!inked) {
            continue;
        }
        double best = 0.0;
        std::array<RgbCode, 3> ground{};
        std::size_t which = 0;
        for (std::size_t i = 0; i < 3; ++i) {
            if (ring[i].total() < step) {
                continue;
            }
            ground[i] = ring[i].value(i < 2 ? 0.5 : strokes.light ? 0.3 : 0.7);
            const double c = color::contrast_ratio(text, luminance(ground[i]));
            if (c > (i < 2 ? best : outline_gain * best)) {
                best = c;
                which = i;
            }
        }
        sums[which] += 1.0;
        whole[which].add(ring[which]);
        if (best > 0.0) {
            screen.push_back(best);
            if (paper) {
                printed.push_back(color::contrast_ratio(text_paper, paper(ground[which])));
            }
        }
    }
    if (screen.empty()) {
        // Letters that fill all of their surroundings: the level that the strokes were taken from.
        const double under = color::linear(static_cast<std::uint8_t>(
            strokes.light ? 255 - std::min(255, strokes.ink + strokes.depth)
                          : std::min(255, strokes.ink + strokes.depth)));
        result.screen = result.paper = color::contrast_ratio(text, under);
        return result;
    }
    const auto most =
        static_cast<std::size_t>(std::max_element(sums.begin(), sums.end()) - sums.begin());
    result.ground = whole[most].value(most < 2 ? 0.5 : strokes.light ? 0.2 : 0.8);
    result.screen = low_share(screen);
    result.paper = paper ? low_share(printed) : result.screen;
    return result;
}

}  // namespace paleproof::survey
