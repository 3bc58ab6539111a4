// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/panel_flip.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <utility>
#include <vector>

#include "core/patches.h"

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
constexpr double sure_edge = 0.9;         // from which nothing else is tried
constexpr int gentle_step = 8;            // codes between neighbors, of a gradient
constexpr int measured_step = 24;         // codes from which an edge is measured at full size
constexpr double most_scale = 0.5;        // of the small view: at more, its pixels show no steps
constexpr int edge_reach = 2;             // pixels of the small view beyond its outline; inside 1
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
    double things = 0.0;                          ///< share of `whole` that is not ground
    std::vector<std::vector<cv::Point>> outline;  ///< of `whole`, one for each piece
};

/// What is near enough to be ground, in connected pieces.
struct Pieces {
    explicit Pieces(cv::Mat near) {
        // Thin bridges, such as a rule that crosses the outline, do not lead out of the panel.
        cv::morphologyEx(near, near, cv::MORPH_OPEN, cv::Mat::ones(3, 3, CV_8UC1));
        count = cv::connectedComponents(near, labels, 4, CV_32S);
    }
    cv::Mat labels;  ///< 0 = no ground
    int count = 0;
};

/// The piece that most of a box belongs to, its middle left out; 0 = none.
int piece_of(const Pieces& pieces, cv::Rect box, cv::Rect middle) {
    std::vector<int> votes(static_cast<std::size_t>(pieces.count), 0);
    box &= cv::Rect({0, 0}, pieces.labels.size());
    int voters = 0;
    for (int y = box.y; y < box.br().y; ++y) {
        for (int x = box.x; x < box.br().x; ++x) {
            if (middle.contains({x, y})) continue;
            ++voters;
            ++votes[static_cast<std::size_t>(pieces.labels.at<int>(y, x))];
        }
    }
    votes[0] = 0;
    const auto most = std::max_element(votes.begin(), votes.end());
    return voters == 0 || *most * 2 < voters ? 0 : static_cast<int>(most - votes.begin());
}

/// A piece, and what it surrounds.
Ground ground_from(const Pieces& pieces, int piece) {
    Ground found;
    if (piece == 0) return found;
    found.bare = pieces.labels == piece;
    cv::findContours(found.bare, found.outline, cv::RETR_EXTERNAL, cv::CHAIN_APPROX_NONE);
    found.whole = cv::Mat::zeros(found.bare.size(), CV_8UC1);
    cv::drawContours(found.whole, found.outline, -1, 255, cv::FILLED);
    return found;
}

/// Whether it has the form of a panel: of one piece, nearly convex, neither too small nor too
/// large.
bool has_form(const Ground& found, int box_area) {
    if (found.whole.empty() || found.outline.size() != 1) return false;
    const double area = cv::countNonZero(found.whole);
    if (area > most_face * static_cast<double>(found.whole.total()) ||
        area < least_boxes * box_area)
        return false;
    std::vector<cv::Point> hull;
    cv::convexHull(found.outline.front(), hull);
    return cv::contourArea(found.outline.front()) >= least_convex * cv::contourArea(hull);
}

/// Leaves out of the bare ground what stands on it.
void set_things(Ground& found, cv::Mat things) {
    found.things =
        static_cast<double>(cv::countNonZero(things)) / std::max(1, cv::countNonZero(found.whole));
    // The line around an icon is drawn on the ground beside it.
    cv::dilate(things, things, cv::getStructuringElement(cv::MORPH_ELLIPSE, {5, 5}));
    // No steps around them at the full size.
    cv::GaussianBlur(things, things, {5, 5}, 1.0);
    found.bare = found.whole - things;
}

/// The mean of the ground around each pixel, of which there is some wherever `bare` is near.
cv::Mat ground_tone(const cv::Mat& small, const cv::Mat& bare) {
    constexpr int side = 41;  // 10 mm: wider than any letter or icon
    cv::Mat weight;
    bare.convertTo(weight, CV_32F, 1.0 / 255.0);
    cv::Mat tone;
    small.convertTo(tone, CV_32F);
    tone = tone.mul(weight);
    cv::boxFilter(tone, tone, CV_32F, {side, side}, {-1, -1}, true, cv::BORDER_CONSTANT);
    cv::boxFilter(weight, weight, CV_32F, {side, side}, {-1, -1}, true, cv::BORDER_CONSTANT);
    tone /= cv::max(weight, 1e-3F);
    cv::Mat codes;
    tone.convertTo(codes, CV_8U);
    return codes;
}

/// Share of the outline on whose far side the face is lighter or darker by more than `step` codes
/// than the panel is on this side.
double edge_share(const cv::Mat& small, const Ground& found, int step) {
    const std::vector<cv::Point>& outline = found.outline.front();
    int edge = 0;
    for (const cv::Point& at : outline) {
        const cv::Rect window = cv::Rect(at.x - 3, at.y - 3, 7, 7) & cv::Rect({0, 0}, small.size());
        int inside = 0;
        int sum = 0;
        for (int y = window.y; y < window.br().y; ++y) {
            for (int x = window.x; x < window.br().x; ++x) {
                if (found.bare.at<std::uint8_t>(y, x) < 255) continue;
                sum += small.at<std::uint8_t>(y, x);
                ++inside;
            }
        }
        if (inside == 0) continue;
        bool differs = false;
        for (int y = window.y; y < window.br().y && !differs; ++y) {
            for (int x = window.x; x < window.br().x && !differs; ++x) {
                differs = found.whole.at<std::uint8_t>(y, x) == 0 &&
                          std::abs(small.at<std::uint8_t>(y, x) - sum / inside) > step;
            }
        }
        edge += differs ? 1 : 0;
    }
    return outline.empty() ? 0.0 : static_cast<double>(edge) / static_cast<double>(outline.size());
}

/// Looks for panels on a small view of a face, line by line.
class PanelSearch {
  public:
    /// `small`: gray; `reach`: codes that a nearly flat ground may vary either way.
    PanelSearch(cv::Mat small, int reach) : small_(std::move(small)), reach_(reach) {}

    /// The panel around a line's box; `whole` is empty where there is none.
    Ground around(cv::Rect box) {
        const int ground = ground_of(small_, box);
        if (ground >= darkest_light) return {};
        Ground even;
        const double even_edge = even_panel(box, ground, even);
        if (even_edge >= sure_edge) return even;
        if (Ground gentle; gentle_panel(box, gentle) >= least_edge) return gentle;
        return even_edge >= least_edge ? even : Ground{};
    }

  private:
    // Both tell the share of the outline that is an edge; 0 where there is no panel.

    /// The pixels within reach of the code of the line's ground.
    double even_panel(cv::Rect box, int ground, Ground& found) const {
        cv::Mat near;
        cv::inRange(small_, std::max(0, ground - reach_), std::min(255, ground + reach_), near);
        const Pieces pieces(near);
        found = ground_from(pieces, piece_of(pieces, box, {}));
        if (!has_form(found, box.area())) return 0.0;
        set_things(found, found.whole & ~found.bare);
        if (found.things > most_things) return 0.0;
        return edge_share(small_, found, reach_ + edge_step);
    }

    /// The pixels between which the ground changes gently: a gradient, a vignette.
    double gentle_panel(cv::Rect box, Ground& found) {
        if (!gentle_) {
            cv::Mat step;
            cv::morphologyEx(small_, step, cv::MORPH_GRADIENT, cv::Mat::ones(3, 3, CV_8UC1));
            gentle_.emplace(step <= gentle_step);
            seen_.assign(static_cast<std::size_t>(gentle_->count), false);
        }
        // Between the letters of a line little is free of their traces.
        constexpr int rim = 3;
        const int piece = piece_of(
            *gentle_, {box.x - rim, box.y - rim, box.width + 2 * rim, box.height + 2 * rim}, box);
        if (piece == 0 || seen_[static_cast<std::size_t>(piece)]) return 0.0;
        seen_[static_cast<std::size_t>(piece)] = true;
        found = ground_from(*gentle_, piece);
        if (!has_form(found, box.area()) || cv::mean(small_, found.whole)[0] >= darkest_light)
            return 0.0;
        // What letters left behind is nearly as the ground around it, and no thing.
        cv::Mat off;
        cv::absdiff(small_, ground_tone(small_, found.bare), off);
        const cv::Mat things = found.whole & ~found.bare & (off > reach_);
        // The steps at its own edge took a pixel all around.
        cv::dilate(found.whole, found.whole, cv::Mat::ones(3, 3, CV_8UC1));
        set_things(found, things);
        if (found.things > most_things) return 0.0;
        return edge_share(small_, found, gentle_step + edge_step);
    }

    cv::Mat small_;
    int reach_;
    std::optional<Pieces> gentle_;
    std::vector<bool> seen_;  ///< of its pieces
};

/// The tones to both sides of an edge, beyond it the one nearest to the panel's.
struct Sides {
    int in = 0, out = 0;
    bool known = false;  ///< far enough apart, and nothing beyond the edge is as the panel is
};

/// The tones around a place on the outline: beyond it the pixel next to the panel is mixed of both.
Sides sides_at(const cv::Mat& small, const Ground& found, const cv::Mat& grown, cv::Point at) {
    const cv::Rect window = cv::Rect(at.x - 3, at.y - 3, 7, 7) & cv::Rect({0, 0}, small.size());
    int in = 0, ins = 0, outs = 0, sum = 0, least = 255, most = 0;
    for (int y = window.y; y < window.br().y; ++y) {
        for (int x = window.x; x < window.br().x; ++x) {
            const int code = small.at<std::uint8_t>(y, x);
            if (found.bare.at<std::uint8_t>(y, x) == 255) {
                in += code;
                ++ins;
            } else if (grown.at<std::uint8_t>(y, x) == 0) {
                sum += code;
                ++outs;
                least = std::min(least, code);
                most = std::max(most, code);
            }
        }
    }
    if (ins < 3 || outs < 3) return {};
    const int inside = in / ins;
    const int outside = sum / outs > inside ? least : most;
    const int step = sum / outs > inside ? outside - inside : inside - outside;
    return {inside, outside, step >= measured_step};
}

/// Leaves the largest patch of a form, with its soft rim: beyond a rule in the panel there may be
/// more of its tone. Spikes, where something as dark touches it, go.
void keep_largest(cv::Mat form) {
    cv::Mat inside = form >= 128;
    cv::morphologyEx(inside, inside, cv::MORPH_OPEN, cv::Mat::ones(5, 5, CV_8UC1));
    const Patches patches = patches_of(inside.data, inside.cols, inside.rows);
    if (patches.patches.empty()) return;
    const auto largest = std::ranges::max_element(patches.patches, {}, &Patches::Patch::area);
    const auto kept = static_cast<std::size_t>(largest - patches.patches.begin());
    clear_patches(patches, inside.ptr(), inside.cols, [&](std::size_t i) { return i != kept; });
    cv::dilate(inside, inside, cv::Mat::ones(3, 3, CV_8UC1));
    cv::bitwise_and(form, inside, form);
}

/// The form at full size. It was found at a third of it: where the edge can be measured, each pixel
/// near it lies as far inside as its tone says, so that the rule is as smooth as the edge is.
cv::Mat form_of(const cv::Mat& codes, const cv::Mat& small, const Ground& found) {
    cv::Mat form;
    cv::resize(found.whole, form, codes.size(), 0, 0, cv::INTER_LINEAR);
    if (small.cols > most_scale * codes.cols) return form;
    cv::Mat grown;
    cv::dilate(found.whole, grown, cv::Mat::ones(3, 3, CV_8UC1));
    const double to_small_x = static_cast<double>(small.cols) / codes.cols;
    const double to_small_y = static_cast<double>(small.rows) / codes.rows;
    cv::Mat nearest(small.size(), CV_8UC1, cv::Scalar(255));  // squared distance to the outline
    std::vector<Sides> sides(small.total());
    for (const cv::Point& at : found.outline.front()) {
        const Sides here = sides_at(small, found, grown, at);
        for (int y = std::max(0, at.y - edge_reach);
             y <= std::min(small.rows - 1, at.y + edge_reach); ++y) {
            for (int x = std::max(0, at.x - edge_reach);
                 x <= std::min(small.cols - 1, at.x + edge_reach); ++x) {
                const int off = (x - at.x) * (x - at.x) + (y - at.y) * (y - at.y);
                const bool inside = found.whole.at<std::uint8_t>(y, x) != 0;
                if (off >= nearest.at<std::uint8_t>(y, x) || (inside && off > 2)) continue;
                nearest.at<std::uint8_t>(y, x) = static_cast<std::uint8_t>(off);
                sides[static_cast<std::size_t>(y * small.cols + x)] = here;
            }
        }
    }
    const cv::Rect box = cv::boundingRect(grown);
    const auto full = [](int at, double scale) { return static_cast<int>(at / scale); };
    for (int y = full(box.y - 1, to_small_y); y < full(box.br().y + 1, to_small_y); ++y) {
        if (y < 0 || y >= codes.rows) continue;
        const auto* tone = codes.ptr<std::uint8_t>(y);
        auto* to = form.ptr<std::uint8_t>(y);
        const Sides* row =
            sides.data() +
            static_cast<std::size_t>(std::min(small.rows - 1, static_cast<int>(y * to_small_y)) *
                                     small.cols);
        for (int x = std::max(0, full(box.x - 1, to_small_x));
             x < std::min(codes.cols, full(box.br().x + 1, to_small_x)); ++x) {
            const Sides& s = row[std::min(small.cols - 1, static_cast<int>(x * to_small_x))];
            if (!s.known) continue;
            // Steep, so that the grain of both sides is no edge.
            to[x] = static_cast<std::uint8_t>(
                std::clamp(510 * (tone[x] - s.out) / (s.in - s.out) - 128, 0, 255));
        }
    }
    const cv::Rect part(
        cv::Point(full(box.x - 1, to_small_x), full(box.y - 1, to_small_y)),
        cv::Point(full(box.br().x + 1, to_small_x), full(box.br().y + 1, to_small_y)));
    keep_largest(form(part & cv::Rect({0, 0}, form.size())));
    return form;
}

/// Masks at full size from the panel's form: soft inside, a rule along its edge.
void add_panel(Panels& panels, const cv::Mat& codes, const cv::Mat& small, const Ground& found,
               double rule_px, double rule_ink) {
    const cv::Size size(panels.paper.width(), panels.paper.height());
    const cv::Mat sharp = form_of(codes, small, found);
    const double sigma = std::max(0.8, rule_px / 2.0);
    // Eight bits of weights end before four sigma.
    const int margin = static_cast<int>(4.0 * sigma) + 1;
    cv::Rect part = cv::boundingRect(sharp);
    part = cv::Rect(part.x - margin, part.y - margin, part.width + 2 * margin,
                    part.height + 2 * margin) &
           cv::Rect({0, 0}, size);
    cv::Mat form;
    cv::GaussianBlur(sharp(part), form, {}, sigma);
    // What stands on it; beyond its edge the form alone counts.
    cv::Mat bare = 255 - (found.whole - found.bare);
    cv::resize(bare, bare, size, 0, 0, cv::INTER_LINEAR);
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
    const int reach = static_cast<int>(std::lround(255.0 * p.nearly_flat));
    // OpenCV has no view of constant pixels; nothing writes through this one.
    const cv::Mat codes(cleared.height(), cleared.width(), CV_8UC1,
                        const_cast<std::uint8_t*>(cleared.bytes().data()));
    std::optional<PanelSearch> search;
    cv::Mat small;
    cv::Mat taken;
    for (const TextLine& line : lines) {
        if (!line.reversed || line.kind == TextLine::Kind::mark ||
            line.confidence < least_confidence) {
            continue;
        }
        if (!search) {
            cv::resize(codes, small, {}, scale, scale, cv::INTER_AREA);
            cv::medianBlur(small, small, 3);
            taken = cv::Mat::zeros(small.size(), CV_8UC1);
            search.emplace(small, reach);
        }
        const cv::Rect box = cv::Rect(static_cast<int>(line.box_px.x * scale),
                                      static_cast<int>(line.box_px.y * scale),
                                      std::max(1, static_cast<int>(line.box_px.width * scale)),
                                      std::max(1, static_cast<int>(line.box_px.height * scale))) &
                             cv::Rect({0, 0}, taken.size());
        if (box.empty() || taken.at<std::uint8_t>(box.y + box.height / 2, box.x + box.width / 2)) {
            continue;
        }
        const Ground found = search->around(box);
        if (found.whole.empty()) continue;
        taken |= found.whole;
        ++result.count;
        add_panel(result, codes, small, found, pixels(Mm{p.rule_mm}, ppi), p.rule_ink);
    }
    return result;
}

Image panels_inside(const Panels& panels, Mm rim) {
    Image inside = panels.paper;
    const Ppi ppi = inside.ppi().value > 0.0 ? inside.ppi() : Ppi{300.0};
    const int side = 2 * static_cast<int>(std::lround(pixels(rim, ppi))) + 1;
    cv::Mat view(inside.height(), inside.width(), CV_8UC1, inside.bytes().data());
    cv::erode(view, view, cv::Mat::ones(side, side, CV_8UC1));
    return inside;
}

}  // namespace paleproof::filters
