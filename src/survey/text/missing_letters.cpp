// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/missing_letters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <utility>

namespace paleproof::survey {
namespace {

constexpr int least_step = 20;      // codes from the ground to what stands out
constexpr int even = 16;            // codes between the darker and the lighter part of a ring
constexpr double tail = 0.12;       // of the ring's pixels, that other lines may reach into
constexpr double stands_out = 0.5;  // of the step, in the source
constexpr double there = 0.25;      // of the step, in the proof
constexpr double strongest = 0.95;  // of the pixels of a box of text, by how far they stand out
constexpr double letter = 0.6;      // x-heights, the height of a letter at least
constexpr double widest = 6.0;      // x-heights; more is a rule
constexpr double icon_strokes = 2.4, icon_x_height = 0.3;  // thicker is an icon: letter_parts.cpp
constexpr double beside = 0.15;  // of its width, at each side, where a neighbor may lean in
constexpr double present = 0.2;  // of a letter's ink that is there again
/// A shadow or an outline lies against its letter: of its pixels, the share that ink of the proof
/// is next to, and how near.
constexpr double against = 0.4;
constexpr int next_to = 2;

using Counts = std::array<int, 256>;

int code_at(const Counts& counts, double share) {
    int total = 0;
    for (const int n : counts) total += n;
    int seen = 0;
    for (int code = 0; code < 256; ++code) {
        seen += counts[static_cast<std::size_t>(code)];
        if (seen > 0 && seen >= share * total) return code;
    }
    return 255;
}

/// The code of the ground just around a box; nothing where it is not even.
std::optional<int> ground_around(const Image& image, RectPx box, int width) {
    const RectPx outer =
        intersection({box.x - width, box.y - width, box.width + 2 * width, box.height + 2 * width},
                     image.bounds());
    Counts counts{};
    for (int y = outer.y; y < outer.bottom(); ++y) {
        const bool beyond = y < box.y || y >= box.bottom();
        const std::uint8_t* row = image.row(y);
        for (int x = outer.x; x < outer.right(); ++x) {
            if (beyond || x < box.x || x >= box.right()) ++counts[row[x]];
        }
    }
    if (code_at(counts, 1.0 - tail) - code_at(counts, tail) > even) return std::nullopt;
    return code_at(counts, 0.5);
}

int off(const Image& image, int code, int x, int y) { return std::abs(image.row(y)[x] - code); }

/// The ink of a line's box in the source, and what is set again in the proof. Empty where one of
/// the two has no even ground, or hardly stands out from it: then its contrast tells.
struct Ink {
    cv::Mat source, proof;

    Ink(const Image& of_source, const Image& of_proof, RectPx box, int around) {
        const auto ground = ground_around(of_source, box, around);
        const auto paper = ground_around(of_proof, box, around);
        if (!ground || !paper) return;
        Counts steps{};
        for (int y = box.y; y < box.bottom(); ++y) {
            for (int x = box.x; x < box.right(); ++x)
                ++steps[static_cast<std::size_t>(off(of_source, *ground, x, y))];
        }
        const int step = code_at(steps, strongest);
        if (step < least_step) return;
        cv::Mat ink(box.height, box.width, CV_8UC1);
        Counts proof_steps{};
        for (int y = 0; y < box.height; ++y) {
            auto* to = ink.ptr<std::uint8_t>(y);
            for (int x = 0; x < box.width; ++x) {
                to[x] =
                    off(of_source, *ground, box.x + x, box.y + y) >= stands_out * step ? 255 : 0;
                if (to[x] != 0) {
                    ++proof_steps[static_cast<std::size_t>(
                        off(of_proof, *paper, box.x + x, box.y + y))];
                }
            }
        }
        const int proof_step = code_at(proof_steps, 0.75);
        if (proof_step < least_step) return;
        source = ink;
        proof = cv::Mat(box.height, box.width, CV_8UC1);
        for (int y = 0; y < box.height; ++y) {
            auto* to = proof.ptr<std::uint8_t>(y);
            for (int x = 0; x < box.width; ++x)
                to[x] = off(of_proof, *paper, box.x + x, box.y + y) >= there * proof_step ? 255 : 0;
        }
    }
};

/// What of a letter is looked at: all but its ends, where a neighbor may lean in.
cv::Rect middle_of(cv::Rect part, bool turned) {
    const int lean = static_cast<int>(beside * (turned ? part.height : part.width));
    if (turned) {
        part.y += lean;
        part.height -= 2 * lean;
    } else {
        part.x += lean;
        part.width -= 2 * lean;
    }
    return part;
}

}  // namespace

int missing_letters(const Image& source, const Image& proof, const TextLine& line) {
    const RectPx box = intersection(line.box_px, source.bounds());
    if (box.empty()) return 0;
    const int around = std::max(2, static_cast<int>(std::lround(0.15 * line.x_height_px)));
    const Ink ink(source, proof, box, around);
    if (ink.source.empty()) return 0;
    cv::Mat near_set;
    cv::dilate(ink.proof, near_set,
               cv::getStructuringElement(cv::MORPH_RECT, {2 * next_to + 1, 2 * next_to + 1}));
    cv::Mat labels;
    cv::Mat stats;
    cv::Mat centers;
    const int count =
        cv::connectedComponentsWithStats(ink.source, labels, stats, centers, 8, CV_32S);
    cv::Mat deep;
    cv::distanceTransform(ink.source, deep, cv::DIST_L2, 3);
    const double thickest =
        std::max(icon_strokes * line.stroke_px, icon_x_height * line.x_height_px) + 1.0;
    const bool turned = line.quarter_turns % 2 != 0;
    int missing = 0;
    for (int i = 1; i < count; ++i) {
        const int* at = stats.ptr<int>(i);
        cv::Rect part(at[cv::CC_STAT_LEFT], at[cv::CC_STAT_TOP], at[cv::CC_STAT_WIDTH],
                      at[cv::CC_STAT_HEIGHT]);
        double high = part.height;
        double wide = part.width;
        if (turned) std::swap(high, wide);
        if (high < letter * line.x_height_px || wide > widest * line.x_height_px) continue;
        part = middle_of(part, turned);
        int own = 0;
        int again = 0;
        int beside_ink = 0;
        float deepest = 0.0F;
        for (int y = part.y; y < part.y + part.height; ++y) {
            const auto* label = labels.ptr<int>(y);
            const auto* depth = deep.ptr<float>(y);
            const auto* there_again = ink.proof.ptr<std::uint8_t>(y);
            const auto* near = near_set.ptr<std::uint8_t>(y);
            for (int x = part.x; x < part.x + part.width; ++x) {
                if (label[x] == i) {
                    ++own;
                    deepest = std::max(deepest, depth[x]);
                    if (near[x] != 0) ++beside_ink;
                }
                if (there_again[x] != 0) ++again;
            }
        }
        if (2.0 * static_cast<double>(deepest) > thickest) continue;
        if (again < present * own && beside_ink < against * own) ++missing;
    }
    return missing;
}

}  // namespace paleproof::survey
