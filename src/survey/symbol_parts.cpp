// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/symbol_parts.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "color/srgb.h"
#include "core/patches.h"
#include "survey/rgb_codes.h"
#include "survey/symbol_pixels.h"

namespace paleproof::survey {
namespace {

constexpr double body_from = 0.35;  // of the largest difference: no ground, with soft edges
/// Two tones: each takes that share, and their difference explains that share of all variation.
constexpr double least_tone = 0.12;
constexpr int least_step = 36;  // codes of gray between the two
constexpr double two_tones = 0.72;
constexpr double field_of_rim = 0.4;     // share of the rim that a field has
constexpr double least_contrast = 2.0;   // WCAG 2.2
constexpr double least_in_ring = 1.4;    // a ring says that the figure is meant to be seen
constexpr int least_middle = 60;         // pixels within a ring in which a figure may stand
constexpr double most_of_border = 0.25;  // of it, that the figure may touch
constexpr double least_island = 0.03;    // of a symbol: what a ring of its own color stands around
/// Of a badge that a sign stands on: the share that the sign takes, how much of its hull the badge
/// fills, how much thicker than the sign it is, how many holes no letter has, and codes between the
/// two.
constexpr double least_sign = 0.03, most_sign = 0.45;
constexpr double convex = 0.9;
constexpr double thicker = 2.5;
constexpr int pips = 3;
constexpr int least_off_badge = 60;
constexpr double off_edge = 0.1;  // of its shorter side, from the sign to its edge

int gray(const Codes& c) {
    return color::gray_code(static_cast<std::uint8_t>(c[0]), static_cast<std::uint8_t>(c[1]),
                            static_cast<std::uint8_t>(c[2]));
}

color::Rgb8 rgb(const RgbCode& c) { return {c[0], c[1], c[2]}; }

/// Mean color of some pixels.
struct Mean {
    std::array<std::int64_t, 3> sum{};
    std::int64_t count = 0;
    void add(const Codes& c) {
        for (std::size_t i = 0; i < 3; ++i) sum[i] += c[i];
        ++count;
    }
    [[nodiscard]] RgbCode color() const {
        RgbCode result{};
        for (std::size_t i = 0; i < 3; ++i)
            result[i] =
                static_cast<std::uint8_t>((sum[i] + count / 2) / std::max<std::int64_t>(1, count));
        return result;
    }
};

/// What differs from the ground, 255; parts that go on past the margin are other things.
cv::Mat body_of(const Image& face, RectPx field, const RgbCode& ground) {
    std::array<int, 256> count{};
    cv::Mat away(field.height, field.width, CV_8UC1);
    int all = 0;
    for (int y = 0; y < field.height; ++y) {
        for (int x = 0; x < field.width; ++x) {
            const int d = difference(at(face, field.x + x, field.y + y), ground);
            away.at<std::uint8_t>(y, x) = static_cast<std::uint8_t>(d);
            if (d < least_difference) continue;
            ++count[static_cast<std::size_t>(d)];
            ++all;
        }
    }
    int most = 255;
    for (int over = 0; most > least_difference; --most) {
        over += count[static_cast<std::size_t>(most)];
        if (20 * over >= all) break;
    }
    const int from = std::max(least_difference, static_cast<int>(body_from * most));
    cv::Mat body = away >= from;
    remove_going_on(body.data, body.cols, body.rows);
    return body;
}

/// The code between two tones (docs/sources.md, otsu1979); nothing when there is but one.
std::optional<int> between_tones(const std::array<int, 256>& count, int all) {
    double mean = 0.0;
    for (int i = 0; i < 256; ++i)
        mean += static_cast<double>(i) * count[static_cast<std::size_t>(i)];
    mean /= all;
    double variance = 0.0;
    for (int i = 0; i < 256; ++i)
        variance += (i - mean) * (i - mean) * count[static_cast<std::size_t>(i)];
    variance /= all;
    double below = 0.0;
    double sum = 0.0;
    double best = 0.0;
    int threshold = 0;
    double step = 0.0;
    double share = 0.0;
    for (int i = 0; i < 255; ++i) {
        below += count[static_cast<std::size_t>(i)];
        sum += static_cast<double>(i) * count[static_cast<std::size_t>(i)];
        if (below <= 0.0 || below >= all) continue;
        const double w = below / all;
        const double low = sum / below;
        const double high = (mean * all - sum) / (all - below);
        const double explained = w * (1.0 - w) * (high - low) * (high - low);
        if (explained <= best) continue;
        best = explained;
        threshold = i;
        step = high - low;
        share = std::min(w, 1.0 - w);
    }
    if (step < least_step || share < least_tone || best < two_tones * variance) return std::nullopt;
    return threshold;
}

cv::Mat eroded(const cv::Mat& mask) {
    cv::Mat result;
    cv::erode(mask, result, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
    return result;
}

/// What of a symbol lies off its outer rim. A letter in the color of the ground is a hole, whose
/// edge is no rim.
cv::Mat off_rim(const cv::Mat& core) {
    cv::Mat filled = core.clone();
    fill_holes(filled.data, filled.cols, filled.rows);
    return eroded(filled);
}

/// Gray codes of the pixels of a mask.
struct CodeCount {
    std::array<int, 256> count{};
    int all = 0;

    CodeCount(const Image& face, RectPx part, const cv::Mat& mask) {
        for (int y = 0; y < mask.rows; ++y) {
            for (int x = 0; x < mask.cols; ++x) {
                if (mask.at<std::uint8_t>(y, x) == 0) continue;
                ++count[static_cast<std::size_t>(gray(at(face, part.x + x, part.y + y)))];
                ++all;
            }
        }
    }
};

/// The pixels of a mask parted by a code; with none all are light. Those not in `inner` are its
/// rim.
struct TwoTones {
    Mean dark, light;
    int rim = 0, rim_dark = 0;
    cv::Mat dark_part;

    TwoTones(const Image& face, RectPx part, const cv::Mat& mask, const cv::Mat& inner,
             std::optional<int> threshold)
        : dark_part(cv::Mat::zeros(mask.size(), CV_8UC1)) {
        for (int y = 0; y < mask.rows; ++y) {
            for (int x = 0; x < mask.cols; ++x) {
                if (mask.at<std::uint8_t>(y, x) == 0) continue;
                const Codes c = at(face, part.x + x, part.y + y);
                const bool is_dark = threshold && gray(c) <= *threshold;
                (is_dark ? dark : light).add(c);
                if (is_dark) dark_part.at<std::uint8_t>(y, x) = 255;
                if (inner.at<std::uint8_t>(y, x) != 0) continue;
                ++rim;
                if (is_dark) ++rim_dark;
            }
        }
    }
};

/// Whether a figure has a part that no other part of it touches and that lies off the rim: a letter
/// within a ring of its own color.
bool has_island(const cv::Mat& figure, const cv::Mat& rim, int least) {
    const Patches parts = patches_of(figure.data, figure.cols, figure.rows);
    std::vector<bool> on_rim(parts.patches.size(), false);
    for (const Patches::Run& run : parts.runs) {
        const auto* row = rim.ptr<std::uint8_t>(run.y);
        if (std::any_of(row + run.begin, row + run.end, [](std::uint8_t v) { return v != 0; }))
            on_rim[static_cast<std::size_t>(run.patch)] = true;
    }
    for (std::size_t i = 0; i < on_rim.size(); ++i) {
        if (!on_rim[i] && parts.patches[i].area >= least) return true;
    }
    return false;
}

/// What of a symbol does not have the color of its rim.
cv::Mat middle_of(const Image& face, RectPx part, const cv::Mat& core, const cv::Mat& inner) {
    constexpr int rim_color = 40;  // codes
    Mean rim;
    for (int y = 0; y < core.rows; ++y) {
        for (int x = 0; x < core.cols; ++x) {
            if (core.at<std::uint8_t>(y, x) != 0 && inner.at<std::uint8_t>(y, x) == 0)
                rim.add(at(face, part.x + x, part.y + y));
        }
    }
    const RgbCode color = rim.color();
    cv::Mat middle = core & inner;
    for (int y = 0; y < core.rows; ++y) {
        for (int x = 0; x < core.cols; ++x) {
            if (difference(at(face, part.x + x, part.y + y), color) < rim_color)
                middle.at<std::uint8_t>(y, x) = 0;
        }
    }
    // The soft edge of the ring is no tone of its own.
    return eroded(middle);
}

/// The color of a sign that takes little of the badge it stands on: of a number on a disc, of the
/// pips of a die. A letter has two holes at most, as broad as its strokes, and few are convex.
std::optional<RgbCode> sign_on_badge(const Image& face, RectPx part, const cv::Mat& body,
                                     const RgbCode& badge) {
    cv::Mat filled = body.clone();
    fill_holes(filled.data, filled.cols, filled.rows);
    cv::Mat sign = eroded(eroded(filled));
    for (int y = 0; y < sign.rows; ++y) {
        for (int x = 0; x < sign.cols; ++x) {
            if (difference(at(face, part.x + x, part.y + y), badge) < least_off_badge)
                sign.at<std::uint8_t>(y, x) = 0;
        }
    }
    // The dark part of a moon lies along its rim.
    cv::Mat inward;
    cv::distanceTransform(filled, inward, cv::DIST_L2, 3);
    double nearest = 0.0;
    cv::minMaxLoc(inward, &nearest, nullptr, nullptr, nullptr, sign);
    const cv::Rect tight = cv::boundingRect(filled);
    if (nearest < off_edge * std::min(tight.width, tight.height)) return std::nullopt;
    const double share = cv::countNonZero(sign) / static_cast<double>(cv::countNonZero(filled));
    if (share < least_sign || share > most_sign) return std::nullopt;
    std::vector<std::vector<cv::Point>> outlines;
    cv::findContours(filled, outlines, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
    if (outlines.size() != 1) return std::nullopt;
    std::vector<cv::Point> hull;
    cv::convexHull(outlines.front(), hull);
    if (cv::contourArea(outlines.front()) < convex * cv::contourArea(hull)) return std::nullopt;
    const auto thickness = [](const cv::Mat& mask) {
        cv::Mat depth;
        cv::distanceTransform(mask, depth, cv::DIST_L2, 3);
        double most = 0.0;
        cv::minMaxLoc(depth, nullptr, &most);
        return most;
    };
    const Patches signs = patches_of(sign.data, sign.cols, sign.rows);
    const auto count = std::ranges::count_if(
        signs.patches, [](const Patches::Patch& patch) { return patch.area >= fewest; });
    if (count < pips && thickness(filled & ~sign) < thicker * thickness(sign)) return std::nullopt;
    cv::Mat core = eroded(sign);
    if (cv::countNonZero(core) < fewest) core = sign;
    Mean color;
    for (int y = 0; y < core.rows; ++y) {
        for (int x = 0; x < core.cols; ++x) {
            if (core.at<std::uint8_t>(y, x) != 0) color.add(at(face, part.x + x, part.y + y));
        }
    }
    return color.color();
}

/// Two tones of what a ring surrounds: the one along its border is the field of the other.
struct InRing {
    RgbCode figure{};
    RgbCode field{};
};

std::optional<InRing> within_ring(const Image& face, RectPx part, const cv::Mat& middle) {
    const CodeCount codes(face, part, middle);
    if (codes.all < least_middle) return std::nullopt;
    const auto threshold = between_tones(codes.count, codes.all);
    if (!threshold) return std::nullopt;
    const TwoTones tones(face, part, middle, eroded(middle), threshold);
    const bool dark_field = 2 * tones.rim_dark >= tones.rim;
    const int of_figure = dark_field ? tones.rim - tones.rim_dark : tones.rim_dark;
    if (of_figure > most_of_border * tones.rim) return std::nullopt;
    const Mean& figure = dark_field ? tones.light : tones.dark;
    const Mean& field = dark_field ? tones.dark : tones.light;
    return InRing{figure.color(), field.color()};
}

}  // namespace

std::optional<Symbol> symbol_at(const Image& face, RectPx box, RgbCode ground) {
    const RectPx field = grown(box, face);
    if (field.empty()) return std::nullopt;
    const cv::Mat body = body_of(face, field, ground);
    if (cv::countNonZero(body) < fewest) return std::nullopt;
    Symbol result;
    const cv::Rect tight = cv::boundingRect(body);
    result.box_px = {field.x + tight.x, field.y + tight.y, tight.width, tight.height};
    result.ground_color = ground;
    cv::Mat core = eroded(body);
    const bool fine = cv::countNonZero(core) < fewest;
    if (fine) core = body;
    const CodeCount codes(face, field, core);
    const auto threshold = fine ? std::nullopt : between_tones(codes.count, codes.all);
    const cv::Mat inner = off_rim(core);
    const TwoTones tones(face, field, core, inner, threshold);
    bool in_ring = false;
    if (!threshold) {
        // Soft edges dilute the color of thin strokes: the core is what differs most.
        result.figure_color = tones.light.color();
    } else {
        const int g = gray_of(ground);
        const int d = gray_of(tones.dark.color());
        const int l = gray_of(tones.light.color());
        const bool dark_figure = std::abs(d - g) >= std::abs(l - g) || (d < g && g < l);
        const double of_rim =
            static_cast<double>(dark_figure ? tones.rim - tones.rim_dark : tones.rim_dark);
        // A figure with a lighter middle has no field; a disc under it goes around it, or lies in a
        // ring in which the figure stands.
        const cv::Mat figure = dark_figure ? tones.dark_part : core & ~tones.dark_part;
        in_ring = has_island(figure, core & ~inner,
                             std::max(fewest, static_cast<int>(least_island * codes.all)));
        if (of_rim >= field_of_rim * tones.rim || in_ring) {
            result.on_field = true;
            result.field_color = dark_figure ? tones.light.color() : tones.dark.color();
        }
        result.figure_color = dark_figure ? tones.dark.color() : tones.light.color();
    }
    // What is cut out of a dark badge on paper stays a hole; a light badge would be set dark.
    if (!fine && !result.on_field && gray_of(result.figure_color) > gray_of(ground)) {
        if (const auto sign = sign_on_badge(face, field, body, result.figure_color)) {
            result.on_field = true;
            result.field_color = result.figure_color;
            result.figure_color = *sign;
        }
    }
    // Of three tones the one on the rim is but a ring: a light number on a disc with a dark edge.
    if (!fine && !result.on_field) {
        if (const auto within = within_ring(face, field, middle_of(face, field, core, inner))) {
            in_ring = result.on_field = true;
            result.figure_color = within->figure;
            result.field_color = within->field;
        }
    }
    result.contrast = color::contrast_ratio(rgb(result.figure_color),
                                            rgb(result.on_field ? result.field_color : ground));
    if (result.contrast < (in_ring ? least_in_ring : least_contrast)) return std::nullopt;
    return result;
}

}  // namespace paleproof::survey
