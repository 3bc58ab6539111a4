// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/bands.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

namespace paleproof::survey {
namespace {

constexpr float threshold = 0.0F;
constexpr float step = 1.5F;  // how far the threshold is raised to part what hangs together
constexpr int most_steps = 3;
constexpr double least_fill = 0.6;  // of a box that a band fills; two joined lines fill less
constexpr double least_peak = 1.0;
constexpr int least_cells = 3;
constexpr double compact_shape = 1.7;
constexpr double snap = 0.9 * std::numbers::pi / 180.0;

struct Cells {
    std::vector<cv::Point> at;
    std::vector<float> logit;
};

/// Connected sets of cells over `least`, in reading order of their first cell.
std::vector<Cells> parts(const cv::Mat& logits, float least) {
    cv::Mat labels;
    const int count = cv::connectedComponents(logits > least, labels, 4, CV_32S);
    std::vector<Cells> result(static_cast<std::size_t>(count - 1));
    for (int y = 0; y < labels.rows; ++y) {
        const int* label = labels.ptr<int>(y);
        const float* logit = logits.ptr<float>(y);
        for (int x = 0; x < labels.cols; ++x) {
            if (label[x] > 0) {
                Cells& cells = result[static_cast<std::size_t>(label[x] - 1)];
                cells.at.emplace_back(x, y);
                cells.logit.push_back(logit[x]);
            }
        }
    }
    return result;
}

struct Fit {
    Band band;  ///< in cells
    double fill = 1.0;
    double thick = 0.0;
};

double share(float logit) { return 1.0 / (1.0 + std::exp(-static_cast<double>(logit))); }

/// A box around the cells along their main axis (second moments).
Fit fitted(const Cells& cells) {
    double sum = 0, mx = 0, my = 0;
    for (std::size_t i = 0; i < cells.at.size(); ++i) {
        const double w = share(cells.logit[i]);
        sum += w;
        mx += w * cells.at[i].x;
        my += w * cells.at[i].y;
    }
    mx /= sum;
    my /= sum;
    double xx = 1.0 / 12, yy = 1.0 / 12, xy = 0;
    for (std::size_t i = 0; i < cells.at.size(); ++i) {
        const double w = share(cells.logit[i]) / sum;
        const double dx = cells.at[i].x - mx, dy = cells.at[i].y - my;
        xx += w * dx * dx;
        yy += w * dy * dy;
        xy += w * dx * dy;
    }
    const double mean = (xx + yy) / 2;
    const double spread = std::hypot((xx - yy) / 2, xy);
    Fit fit;
    Band& band = fit.band;
    const double shape = std::sqrt((mean + spread) / std::max(1e-6, mean - spread));
    band.compact = shape < compact_shape;
    double angle = band.compact ? 0.0 : 0.5 * std::atan2(2 * xy, xx - yy);  // -pi/2 .. pi/2
    if (angle < -std::numbers::pi / 4) {
        angle += std::numbers::pi;
    }
    for (const double straight : {0.0, std::numbers::pi / 2}) {
        if (std::abs(angle - straight) < snap) {
            angle = straight;
        }
    }
    band.angle = angle;
    const double c = std::cos(angle), s = std::sin(angle);
    double u0 = 1e9, u1 = -1e9, v0 = 1e9, v1 = -1e9;
    for (const cv::Point& p : cells.at) {
        const double dx = p.x - mx, dy = p.y - my;
        const double u = c * dx + s * dy, v = -s * dx + c * dy;
        u0 = std::min(u0, u);
        u1 = std::max(u1, u);
        v0 = std::min(v0, v);
        v1 = std::max(v1, v);
    }
    band.length = u1 - u0 + 1;
    fit.thick = v1 - v0 + 1;
    const double area = static_cast<double>(cells.at.size());
    fit.fill = area / (band.length * fit.thick);
    // The cells at the rim are partly outside: their share of the band counts, not their number.
    band.height = std::min(fit.thick, std::max(1.0, 1.08 * sum / band.length));
    const double mid = (u0 + u1) / 2;
    band.x = mx + c * mid + 0.5;
    band.y = my + s * mid + 0.5;
    return fit;
}

void collect(const Cells& cells, const cv::Mat& marks, int level, std::vector<Band>& result) {
    float peak = *std::max_element(cells.logit.begin(), cells.logit.end());
    if (peak < least_peak || static_cast<int>(cells.at.size()) < least_cells) {
        return;
    }
    Fit fit = fitted(cells);
    if (fit.fill < least_fill && fit.thick > 2.5 && level < most_steps) {
        cv::Rect box = cv::boundingRect(cells.at);
        cv::Mat part(box.height, box.width, CV_32F, cv::Scalar(-20));
        for (std::size_t i = 0; i < cells.at.size(); ++i) {
            part.at<float>(cells.at[i] - box.tl()) = cells.logit[i];
        }
        std::vector<Cells> pieces = parts(part, threshold + step * static_cast<float>(level + 1));
        if (!pieces.empty()) {
            for (Cells& piece : pieces) {
                for (cv::Point& p : piece.at) {
                    p += box.tl();
                }
                collect(piece, marks, level + 1, result);
            }
            return;
        }
    }
    std::vector<float> sorted = cells.logit;
    const auto half = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), half, sorted.end());
    double sum = 0;
    for (auto it = half; it != sorted.end(); ++it) {
        sum += *it;
    }
    Band& band = fit.band;
    band.strength = sum / static_cast<double>(sorted.end() - half);
    band.peak = peak;
    int votes = 0;
    if (!marks.empty()) {
        for (std::size_t i = 0; i < cells.at.size(); ++i) {
            votes += marks.at<float>(cells.at[i]) >= cells.logit[i] ? 1 : -1;
        }
    }
    band.mark = votes > 0;
    result.push_back(band);
}

}  // namespace

std::vector<Band> bands_in(const BandMap& map, std::size_t most) {
    const cv::Mat lines(map.lines.height, map.lines.width, CV_32F,
                        const_cast<float*>(map.lines.data.data()));
    cv::Mat either = lines, marks;
    if (!map.marks.empty()) {
        marks = cv::Mat(map.marks.height, map.marks.width, CV_32F,
                        const_cast<float*>(map.marks.data.data()));
        either = cv::max(lines, marks);
    }
    std::vector<Band> result;
    for (const Cells& cells : parts(either, threshold)) {
        collect(cells, marks, 0, result);
    }
    std::stable_sort(result.begin(), result.end(), [](const Band& a, const Band& b) {
        return a.strength * std::sqrt(a.length) > b.strength * std::sqrt(b.length);
    });
    if (result.size() > most) {
        result.resize(most);
    }
    for (Band& band : result) {
        band.x *= map.cell_x;
        band.y *= map.cell_y;
        band.length *= map.cell_x;
        band.height *= map.cell_y;
    }
    return result;
}

}  // namespace paleproof::survey
