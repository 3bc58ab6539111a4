// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/panel_flip.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace paleproof::filters {
namespace {

constexpr double shrink_ppi = 100.0;      // resolution at which panels are looked for
constexpr double least_confidence = 0.5;  // of the line that stands on it
constexpr int darkest_light = 150;        // gray code from which a ground is no dark panel
constexpr double least_convex = 0.88;     // share of its hull that a panel fills
constexpr double most_face = 0.5;         // share of the face
constexpr double least_boxes = 1.3;       // times the area of the text's boxes on it
constexpr double most_things = 0.15;      // share of a panel that icons and such take
constexpr double least_edge = 0.7;        // share of its outline that is an edge
constexpr int edge_step = 8;              // codes by which the other side of an edge differs

/// Gray of the ground in the middle of a line's box.
int ground_of(const cv::Mat& small, cv::Rect box) {
    std::vector<std::uint8_t> codes;
    for (int y = box.y; y < box.br().y; ++y) {
        codes.insert(codes.end(), small.ptr<std::uint8_t>(y) + box.x,
                     small.ptr<std::uint8_t>(y) + box.br().x);
    }
    const auto middle = codes.begin() + static_cast<std::ptrdiff_t>(codes.size() / 2);
    std::nth_element(codes.begin(), middle, codes.end());
    return *middle;
}

/// A ground that was followed from a line.
struct Ground {
    cv::Mat whole;                                ///< 255 inside, holes filled; empty = none found
    cv::Mat bare;                                 ///< 255 where nothing stands on it or near; soft
    double things = 0.0;                          ///< share of it that is not ground
    std::vector<std::vector<cv::Point>> outline;  ///< of `whole`, one for each piece
};

/// The connected pixels within `reach` codes of `ground` that touch the box.
Ground followed(const cv::Mat& small, cv::Rect box, int ground, int reach) {
    cv::Mat near;
    cv::inRange(small, std::max(0, ground - reach), std::min(255, ground + reach), near);
    // Thin bridges, such as a rule that crosses the outline, do not lead out of the panel.
    cv::morphologyEx(near, near, cv::MORPH_OPEN, cv::Mat::ones(3, 3, CV_8UC1));
    cv::Mat labels;
    const int count = cv::connectedComponents(near, labels, 4, CV_32S);
    std::vector<int> votes(static_cast<std::size_t>(count), 0);
    for (int y = box.y; y < box.br().y; ++y) {
        for (int x = box.x; x < box.br().x; ++x) {
            ++votes[static_cast<std::size_t>(labels.at<int>(y, x))];
        }
    }
    votes[0] = 0;
    const auto most = std::max_element(votes.begin(), votes.end());
    Ground found;
    if (*most * 2 < box.area()) return found;
    const int label = static_cast<int>(most - votes.begin());
    const cv::Mat part = labels == label;
    cv::findContours(part, found.outline, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
    found.whole = cv::Mat::zeros(small.size(), CV_8UC1);
    cv::drawContours(found.whole, found.outline, -1, 255, cv::FILLED);
    // The line around an icon is drawn on the ground beside it.
    cv::Mat things = found.whole & ~part;
    found.things =
        static_cast<double>(cv::countNonZero(things)) / std::max(1, cv::countNonZero(found.whole));
    cv::dilate(things, things, cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5}));
    // No steps around them at the full size.
    cv::GaussianBlur(things, things, {5, 5}, 1.0);
    found.bare = found.whole - things;
    return found;
}

/// Share of the outline on whose far side the face is lighter or darker than the panel's ground.
double edge_share(const cv::Mat& small, const std::vector<cv::Point>& outline, const cv::Mat& panel,
                  int ground, int reach) {
    int edge = 0;
    for (const cv::Point& at : outline) {
        bool differs = false;
        for (int dy = -3; dy <= 3 && !differs; ++dy) {
            for (int dx = -3; dx <= 3 && !differs; ++dx) {
                const cv::Point there(at.x + dx, at.y + dy);
                if (!cv::Rect({0, 0}, small.size()).contains(there)) continue;
                differs = panel.at<std::uint8_t>(there) == 0 &&
                          std::abs(small.at<std::uint8_t>(there) - ground) > reach + edge_step;
            }
        }
        edge += differs ? 1 : 0;
    }
    return outline.empty() ? 0.0 : static_cast<double>(edge) / static_cast<double>(outline.size());
}

bool is_panel(const cv::Mat& small, const Ground& found, int box_area, int ground, int reach) {
    if (found.whole.empty()) return false;
    const auto& outline = found.outline;
    const double area = cv::countNonZero(found.whole);
    if (outline.size() != 1 || area > most_face * small.rows * small.cols ||
        area < least_boxes * box_area || found.things > most_things) {
        return false;
    }
    std::vector<cv::Point> hull;
    cv::convexHull(outline.front(), hull);
    const double hull_area = cv::contourArea(hull);
    return cv::contourArea(outline.front()) >= least_convex * hull_area &&
           edge_share(small, outline.front(), found.whole, ground, reach) >= least_edge;
}

/// Masks at full size from the panel's form: soft inside, a rule along its edge.
void add_panel(Panels& panels, const Ground& found, double rule_px, double rule_ink) {
    const cv::Size size(panels.paper.width(), panels.paper.height());
    cv::Mat sharp;
    cv::resize(found.whole, sharp, size, 0, 0, cv::INTER_LINEAR);
    const double sigma = std::max(0.8, rule_px / 2.0);
    // Eight bits of weights end before four sigma.
    const int margin = static_cast<int>(4.0 * sigma) + 1;
    cv::Rect part = cv::boundingRect(sharp);
    part = cv::Rect(part.x - margin, part.y - margin, part.width + 2 * margin,
                    part.height + 2 * margin) &
           cv::Rect({0, 0}, size);
    cv::Mat form;
    cv::GaussianBlur(sharp(part), form, {}, sigma);
    cv::Mat bare;
    cv::resize(found.bare, bare, size, 0, 0, cv::INTER_LINEAR);
    std::array<std::uint8_t, 256> cleared{};
    std::array<std::uint8_t, 256> ruled{};
    for (int inside = 0; inside < 256; ++inside) {
        const auto i = static_cast<std::size_t>(inside);
        cleared[i] = static_cast<std::uint8_t>(std::clamp((inside - 96) * 2, 0, 255));
        // 4 m (1 - m) is 1 on the edge, 0 inside and outside.
        const double on_edge = 4.0 * inside * (255 - inside) / (255.0 * 255.0);
        const double line = std::clamp((on_edge - 0.5) * 4.0, 0.0, 1.0);
        ruled[i] = static_cast<std::uint8_t>(std::lround(255.0 * rule_ink * line));
    }
    for (int y = 0; y < form.rows; ++y) {
        const auto* in = form.ptr<std::uint8_t>(y);
        const auto* empty = bare.ptr<std::uint8_t>(part.y + y) + part.x;
        std::uint8_t* paper = panels.paper.row(part.y + y) + part.x;
        std::uint8_t* rules = panels.rules.row(part.y + y) + part.x;
        for (int x = 0; x < form.cols; ++x) {
            paper[x] = std::max(paper[x], std::min(cleared[empty[x]], cleared[in[x]]));
            rules[x] = std::max(rules[x], ruled[in[x]]);
        }
    }
}

}  // namespace

Panels panel_flip(const Image& cleared, std::span<const TextLine> lines, const PanelFlip& p) {
    check_fields(p, panel_flip_fields);
    if (cleared.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "panel_flip", "expected a gray picture, got color");
    }
    Panels result{0, Image(cleared.width(), cleared.height(), Encoding::gray, cleared.ppi()),
                  Image(cleared.width(), cleared.height(), Encoding::gray, cleared.ppi())};
    std::ranges::fill(result.paper.bytes(), std::uint8_t{0});
    std::ranges::fill(result.rules.bytes(), std::uint8_t{0});
    const Ppi ppi = cleared.ppi().value > 0.0 ? cleared.ppi() : Ppi{300.0};
    const double scale = std::min(1.0, shrink_ppi / ppi.value);
    cv::Mat small;
    cv::Mat taken;
    for (const TextLine& line : lines) {
        if (!line.reversed || line.kind == TextLine::Kind::mark ||
            line.confidence < least_confidence) {
            continue;
        }
        if (small.empty()) {
            // OpenCV has no view of constant pixels; nothing writes through this one.
            const cv::Mat codes(cleared.height(), cleared.width(), CV_8UC1,
                                const_cast<std::uint8_t*>(cleared.bytes().data()));
            cv::resize(codes, small, {}, scale, scale, cv::INTER_AREA);
            cv::medianBlur(small, small, 3);
            taken = cv::Mat::zeros(small.size(), CV_8UC1);
        }
        const cv::Rect box = cv::Rect(static_cast<int>(line.box_px.x * scale),
                                      static_cast<int>(line.box_px.y * scale),
                                      std::max(1, static_cast<int>(line.box_px.width * scale)),
                                      std::max(1, static_cast<int>(line.box_px.height * scale))) &
                             cv::Rect({0, 0}, small.size());
        if (box.empty() || taken.at<std::uint8_t>(box.y + box.height / 2, box.x + box.width / 2)) {
            continue;
        }
        const int ground = ground_of(small, box);
        const int reach = static_cast<int>(std::lround(255.0 * p.nearly_flat));
        if (ground >= darkest_light) continue;
        const Ground found = followed(small, box, ground, reach);
        if (!is_panel(small, found, box.area(), ground, reach)) continue;
        taken |= found.whole;
        ++result.count;
        add_panel(result, found, pixels(Mm{p.rule_mm}, ppi), p.rule_ink);
    }
    return result;
}

}  // namespace paleproof::filters
