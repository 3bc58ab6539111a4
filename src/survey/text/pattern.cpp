// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/pattern.h"

#include <algorithm>
#include <cmath>
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
constexpr double narrow = 0.5;  // width over height
constexpr double copy = 0.88;   // correlation of a motif with its copies
constexpr int copies = 2;       // in each direction, besides itself
constexpr int rows_of_pattern = 3;
constexpr double wide_row = 0.9;  // of the face's side
constexpr double longest = 0.4;   // of the face's side; a longer box leaves no room for copies

bool coincide(const Strokes& s, const Piece& a, const Piece& b, double least) {
    if (std::abs(a.width - b.width) > std::max(1, a.width / 8) ||
        std::abs(a.height - b.height) > std::max(1, a.height / 8)) {
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

cv::Mat mat(const Plane8& plane) {
    return {plane.height, plane.width, CV_8UC1, const_cast<std::uint8_t*>(plane.data.data())};
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
