// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/ink.h"
#include "survey/text/mat_view.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "core/columns.h"

namespace paleproof::survey {
namespace {

constexpr int least_depth = 9;      // codes; 1.6 : 1 in thin small letters
constexpr double ink_share = 0.93;  // of the band's pixels, by depth: where cores of strokes are

constexpr double rule_length = 2.4;  // x-heights; no letter is so tall, no bracket or bar
constexpr double widest_rule = 1.0;  // the same

struct Rows {
    int first, last;  // [first, last)
};

Rows band_rows(const Strokes& s) {
    const int h = s.tone.height;
    const int first = std::clamp(static_cast<int>(std::lround(s.top)), 0, h - 1);
    return {first, std::clamp(static_cast<int>(std::lround(s.base)), first + 1, h)};
}

}  // namespace

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

Plane8 ink_mask(const Strokes& s) {
    Plane8 mask(s.tone.width, s.tone.height);
    const int least = std::max(5, s.depth * 2 / 5);
    for (int v = 0; v < s.tone.height; ++v) {
        const std::uint8_t* tone = s.tone.row(v);
        const std::uint8_t* under = s.ground.row(v);
        std::uint8_t* to = mask.row(v);
        for (int u = 0; u < s.tone.width; ++u) {
            const bool ink = 2 * tone[u] < under[u] + s.ink && under[u] - tone[u] >= least;
            to[u] = ink ? 255 : 0;
        }
    }
    return mask;
}

bool cut_rules(Plane8& mask, double x_height) {
    const int long_run = static_cast<int>(std::ceil(rule_length * x_height));
    // So long a run covers these rows wherever it lies.
    const int first = mask.height - long_run, last = long_run;
    if (first < 0 || first >= last) return false;
    const std::vector<std::uint8_t> least =
        least_of_columns(mask.row(first), mask.width, last - first);
    struct Run {
        int top, bottom;
    };
    bool any = false;
    std::vector<Run> runs;  // of neighboring columns
    const auto clear = [&](int end) {
        const int begin = end - static_cast<int>(runs.size());
        if (static_cast<double>(runs.size()) <= widest_rule * x_height) {
            any |= begin < end;
            for (int u = begin; u < end; ++u) {
                const Run& run = runs[static_cast<std::size_t>(u - begin)];
                for (int v = run.top; v < run.bottom; ++v) mask.at(u, v) = 0;
            }
        }
        runs.clear();
    };
    for (int u = 0; u < mask.width; ++u) {
        Run run{first, last};
        if (least[static_cast<std::size_t>(u)] != 0) {
            while (run.top > 0 && mask.at(u, run.top - 1) != 0) --run.top;
            while (run.bottom < mask.height && mask.at(u, run.bottom) != 0) ++run.bottom;
        }
        if (least[static_cast<std::size_t>(u)] != 0 && run.bottom - run.top >= long_run) {
            runs.push_back(run);
        } else if (!runs.empty()) {
            clear(u);
        }
    }
    clear(mask.width);
    return any;
}

}  // namespace paleproof::survey
