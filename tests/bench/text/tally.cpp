// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "tally.h"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "ends.h"

namespace paleproof::bench {
namespace {

constexpr double least_points = 5.0;    // recall is promised from here
constexpr double least_contrast = 1.6;  // and from here
constexpr double least_drawn_points = 3.9;
constexpr double found_share = 0.6;  // of a line's length

bool inside(const RectPx& box, double x, double y, double more) {
    return x >= box.x - more && x < box.right() + more && y >= box.y - more &&
           y < box.bottom() + more;
}

/// Points along the middle of the band.
std::vector<std::array<double, 2>> middle(const TrueLine& line) {
    const auto& q = line.band;
    std::vector<std::array<double, 2>> points;
    for (int i = 0; i < 24; ++i) {
        const double t = (i + 0.5) / 24;
        const auto at = [&](std::size_t k) {
            return ((q[0][k] + q[3][k]) * (1 - t) + (q[1][k] + q[2][k]) * t) / 2;
        };
        points.push_back({at(0), at(1)});
    }
    return points;
}

double cover(const TrueLine& line, const RectPx& box) {
    const auto points = middle(line);
    const auto hits = std::count_if(points.begin(), points.end(),
                                    [&](const auto& p) { return inside(box, p[0], p[1], 1.0); });
    return static_cast<double>(hits) / static_cast<double>(points.size());
}

std::string quantile(std::vector<double> values, double share, const char* unit) {
    if (values.empty()) {
        return "-";
    }
    std::sort(values.begin(), values.end());
    const auto i = static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5);
    return fmt::format("{:.1f} {}", values[i], unit);
}

std::string size_class(double points) {
    return points < 5    ? "4 to 5 pt"
           : points < 7  ? "5 to 7 pt"
           : points < 12 ? "7 to 12 pt"
                         : "over 12 pt";
}

}  // namespace

void Tally::add_ends(const TrueFace& face, const TrueLine& line, const std::vector<TextLine>& found,
                     bool verbose) {
    const Ends ends = ends_of(line, found, line.points * face.image.ppi().value / 72);
    const std::string what = line.mark ? "ends of marks: " : "ends of lines: ";
    for (const Reach reach : {Reach::whole, Reach::cut_short, Reach::too_far, Reach::in_pieces}) {
        Share& share = shares_[what + name(reach)];
        share.hit += ends.reach == reach;
        ++share.all;
    }
    Share& letters = shares_["letters of these in a box"];
    letters.hit += ends.letters - ends.letters_outside;
    letters.all += ends.letters;
    Share& signs = shares_["signs of these in a box"];
    signs.hit += ends.signs - ends.signs_outside;
    signs.all += ends.signs;
    if (verbose && (ends.reach != Reach::whole || ends.letters_outside + ends.signs_outside > 0)) {
        fmt::print(
            "  ends {} {}: '{}' {} letters and {} signs outside, {:.1f} pt contrast {:.1f} {} {} "
            "angle {:.0f} at {:.0f},{:.0f} font {}\n",
            name(ends.reach), face.name, line.text, ends.letters_outside, ends.signs_outside,
            line.points, line.contrast, line.ground, line.effect, line.angle, line.band[0][0],
            line.band[0][1], line.font);
    }
}

void Tally::add(const TrueFace& face, const std::vector<TextLine>& found, double milliseconds,
                bool measures, bool verbose) {
    if (face.image.ppi().value == 300) {
        milliseconds_.push_back(milliseconds);
    }
    for (const TrueLine& line : face.lines) {
        if (line.hidden || line.points < least_drawn_points || line.contrast < least_contrast) {
            continue;
        }
        const auto points = middle(line);
        const auto hits = std::count_if(points.begin(), points.end(), [&](const auto& p) {
            return std::any_of(found.begin(), found.end(), [&](const TextLine& f) {
                return inside(f.box_px, p[0], p[1], 1.0);
            });
        });
        const bool hit =
            static_cast<double>(hits) >= found_share * static_cast<double>(points.size());
        std::vector<std::string> keys;
        if (line.mark) {
            keys.push_back("found: marks");
        } else {
            keys.push_back("found: size " + size_class(line.points));
            if (line.points >= least_points) {
                keys.push_back(line.ground == "art" ? "found: on art" : "found: on panels");
                if (line.contrast < 2.5) {
                    keys.push_back("found: contrast under 2.5");
                }
                if (std::fmod(line.angle, 360.0) != 0.0) {
                    keys.push_back("found: turned or slanted");
                }
            }
        }
        for (const std::string& key : keys) {
            shares_[key].hit += hit;
            ++shares_[key].all;
        }
        if (hit && measures) add_ends(face, line, found, verbose);
        if (verbose && hit && line.mark) {
            for (const TextLine& f : found) {
                if (cover(line, f.box_px) > 0.6) {
                    fmt::print("  mark sure {:.2f}\n", f.confidence);
                }
            }
        }
        if (verbose && !hit) {
            fmt::print(
                "  missed {}: '{}' {:.1f} pt contrast {:.1f} {} {} angle {:.0f} at {:.0f},{:.0f} "
                "font {}\n",
                face.name, line.text, line.points, line.contrast, line.ground, line.effect,
                line.angle, line.band[0][0], line.band[0][1], line.font);
        }
        const auto best =
            std::max_element(found.begin(), found.end(), [&](const auto& a, const auto& b) {
                return cover(line, a.box_px) < cover(line, b.box_px);
            });
        if (!measures || !hit || best == found.end() || cover(line, best->box_px) < found_share) {
            continue;
        }
        // A box of two true lines measures neither.
        const auto shared =
            std::count_if(face.lines.begin(), face.lines.end(),
                          [&](const TrueLine& t) { return cover(t, best->box_px) > 0.3; });
        if (shared != 1) {
            ++shares_["lines joined with another"].hit;
            if (verbose) {
                fmt::print("  joined {}: '{}' angle {:.0f}\n", face.name, line.text, line.angle);
            }
        }
        ++shares_["lines joined with another"].all;
        if (line.mark || !line.even || shared != 1) {
            continue;
        }
        const double size =
            line.capitals ? best->cap_height_px / line.cap_px : best->x_height_px / line.x_px;
        const double off = 100 * std::abs(size - 1);
        errors_[line.capitals ? "cap height" : "x-height"].push_back(off);
        shares_["reversed right"].hit += best->reversed == line.reversed;
        ++shares_["reversed right"].all;
        shares_["capitals told"].hit += best->capitals_only == line.capitals;
        ++shares_["capitals told"].all;
        const bool fits = line.points >= best->point_size_low * 0.999 &&
                          line.points <= best->point_size_high * 1.001;
        shares_["size within its stated range"].hit += fits;
        ++shares_["size within its stated range"].all;
        double contrast_off = 0;
        if (line.flat) {
            contrast_off = 100 * std::abs(best->contrast / line.contrast - 1);
            errors_["contrast on flat grounds"].push_back(contrast_off);
        }
        if (!line.capitals) {
            signed_.push_back(100 * (size - 1));
        }
        if (verbose) {
            fmt::print(
                "  size {} x{:.3f} x {:.1f} px caps {}/{} {} {} {} contrast {:.2f}/{:.2f} stroke "
                "{:.2f} reversed {}/{} pt {:.1f} {:.1f}..{:.1f} angle {:.0f} flat {} sure {:.2f} "
                "'{}' at {:.0f},{:.0f}\n",
                face.name, size, line.x_px, line.capitals, best->capitals_only, line.ground,
                line.effect, line.font, best->contrast, line.contrast, best->stroke_px,
                line.reversed, best->reversed, line.points, best->point_size_low,
                best->point_size_high, line.angle, line.flat, best->confidence, line.text,
                line.band[0][0], line.band[0][1]);
        }
    }
    int wrong = 0;
    for (const TextLine& f : found) {
        const bool known =
            std::any_of(face.lines.begin(), face.lines.end(), [&](const TrueLine& line) {
                const double cx = f.box_px.x + f.box_px.width / 2.0,
                             cy = f.box_px.y + f.box_px.height / 2.0;
                double x0 = 1e9, y0 = 1e9, x1 = -1e9, y1 = -1e9;
                for (const auto& p : line.band) {
                    x0 = std::min(x0, p[0]);
                    x1 = std::max(x1, p[0]);
                    y0 = std::min(y0, p[1]);
                    y1 = std::max(y1, p[1]);
                }
                return cover(line, f.box_px) > 0 ||
                       (cx > x0 - 2 && cx < x1 + 2 && cy > y0 - 2 && cy < y1 + 2);
            });
        if (!known) {
            ++wrong;
            if (verbose) {
                fmt::print("  false {} ({}): {} at {},{} {}x{} sure {:.2f} x {:.1f}\n", face.name,
                           face.kind, f.kind == TextLine::Kind::mark ? "mark" : "line", f.box_px.x,
                           f.box_px.y, f.box_px.width, f.box_px.height, f.confidence,
                           f.x_height_px);
            }
        }
    }
    auto& count = false_[face.group == "hard"   ? "false a face: hard, without text"
                         : face.group == "easy" ? "false a face: plain art, without text"
                                                : "false a face: with text"];
    count.first += wrong;
    ++count.second;
    if (face.group != "hard") {
        auto& soft = false_["false a face: with text, and plain art without"];
        soft.first += wrong;
        ++soft.second;
    }
    if (face.group == "hard") {
        auto& kind = false_["false a face: " + face.kind];
        kind.first += wrong;
        ++kind.second;
    }
}

std::vector<std::pair<std::string, std::string>> Tally::rows() const {
    std::vector<std::pair<std::string, std::string>> result;
    for (const auto& [key, share] : shares_) {
        result.emplace_back(
            key, fmt::format("{:.{}f} % of {}", 100.0 * share.hit / std::max(1, share.all),
                             share.all < 2000 ? 1 : 2, share.all));
    }
    for (const auto& [key, count] : false_) {
        result.emplace_back(key, fmt::format("{:.2f}", static_cast<double>(count.first) /
                                                           std::max(1, count.second)));
    }
    for (const auto& [key, values] : errors_) {
        result.emplace_back("error, median: " + key, quantile(values, 0.5, "%"));
        result.emplace_back("error, 95th percentile: " + key, quantile(values, 0.95, "%"));
    }
    result.emplace_back("error, signed median: x-height", quantile(signed_, 0.5, "%"));
    result.emplace_back("processor time a face at 300 ppi, median",
                        quantile(milliseconds_, 0.5, "ms"));
    return result;
}

}  // namespace paleproof::bench
