// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/symbols.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <opencv2/imgproc.hpp>

#include "color/srgb.h"
#include "core/patches.h"
#include "core/units.h"

namespace paleproof::filters {
namespace {

constexpr int margin = 3;  // pixels of ground around the box
constexpr double body_from = 0.35;
constexpr double ground_until = 0.25;
constexpr double figure_from = 0.65;
constexpr double field_until = 0.35;

using Codes = std::array<int, 3>;

/// Colors as the face has them: in gray, the gray of a color three times.
class Colors {
  public:
    explicit Colors(const Image& face) : face_(face) {}
    [[nodiscard]] Codes at(int x, int y) const {
        const std::uint8_t* p = face_.row(y) + x * face_.channels();
        if (face_.channels() == 3) return {p[0], p[1], p[2]};
        return {*p, *p, *p};
    }
    [[nodiscard]] Codes of(const RgbCode& c) const {
        if (face_.channels() == 3) return {c[0], c[1], c[2]};
        const int gray = color::gray_code(c[0], c[1], c[2]);
        return {gray, gray, gray};
    }

  private:
    const Image& face_;
};

int difference(const Codes& a, const Codes& b) {
    return std::max({std::abs(a[0] - b[0]), std::abs(a[1] - b[1]), std::abs(a[2] - b[2])});
}

std::uint8_t smooth(double value, double from, double whole) {
    const double t = std::clamp((value - from) / (whole - from), 0.0, 1.0);
    return static_cast<std::uint8_t>(std::lround(255.0 * t * t * (3.0 - 2.0 * t)));
}

/// How strongly each pixel of a part of the face shows the figure, and where the symbol's body
/// lies: what differs from the ground, figure or field.
void look_at(const Colors& colors, const Symbol& symbol, const RectPx& part, cv::Mat& strength,
             cv::Mat& body) {
    const Codes ground = colors.of(symbol.ground_color);
    const Codes figure = colors.of(symbol.figure_color);
    const Codes field = colors.of(symbol.field_color);
    const int whole = difference(figure, ground);
    const int most = symbol.on_field ? std::max(whole, difference(field, ground)) : whole;
    Codes step{};
    double length2 = 0.0;
    for (std::size_t c = 0; c < 3; ++c) {
        step[c] = figure[c] - field[c];
        length2 += static_cast<double>(step[c]) * step[c];
    }
    for (int y = 0; y < part.height; ++y) {
        for (int x = 0; x < part.width; ++x) {
            const Codes c = colors.at(part.x + x, part.y + y);
            const int away = difference(c, ground);
            body.at<std::uint8_t>(y, x) = away >= std::max(1.0, body_from * most) ? 255 : 0;
            std::uint8_t& shown = strength.at<std::uint8_t>(y, x);
            if (symbol.on_field) {
                double along = 0.0;
                for (std::size_t i = 0; i < 3; ++i)
                    along += static_cast<double>(c[i] - field[i]) * step[i];
                shown = length2 > 0.0 ? smooth(along / length2, field_until, figure_from) : 0;
            } else {
                shown = whole > 0
                            ? smooth(static_cast<double>(away) / whole, ground_until, figure_from)
                            : 0;
            }
        }
    }
}

/// A field becomes paper with a rule of `rule` pixels along its edge, around the figure.
Letters cut_out(const Image& face, const Colors& colors, const Symbol& symbol, double reach,
                int rule) {
    const RectPx& b = symbol.box_px;
    const RectPx part = intersection(
        {b.x - margin, b.y - margin, b.width + 2 * margin, b.height + 2 * margin}, face.bounds());
    Letters cut{part.empty() ? RectPx{0, 0, 1, 1} : part,
                Image(std::max(1, part.width), std::max(1, part.height), Encoding::gray),
                reach,
                reach,
                false,
                Image()};
    std::ranges::fill(cut.strength.bytes(), std::uint8_t{0});
    if (part.empty()) return cut;
    cv::Mat strength(part.height, part.width, CV_8UC1, cut.strength.bytes().data());
    cv::Mat body(part.height, part.width, CV_8UC1);
    look_at(colors, symbol, part, strength, body);
    remove_going_on(body.data, body.cols, body.rows);
    const cv::Mat inside = body.clone();
    fill_holes(inside.data, inside.cols, inside.rows);
    if (symbol.on_field) {
        cv::Mat inner;
        cv::erode(inside, inner,
                  cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * rule + 1, 2 * rule + 1}),
                  {-1, -1}, 1, cv::BORDER_CONSTANT, cv::Scalar(0));
        strength.setTo(0, ~inside);
        strength.setTo(255, inside & ~inner);
    } else {
        cv::Mat near;  // with its soft rim
        cv::dilate(body, near, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
        strength.setTo(0, ~near);
    }
    cut.field = Image(part.width, part.height, Encoding::gray);
    inside.copyTo(cv::Mat(part.height, part.width, CV_8UC1, cut.field.bytes().data()));
    return cut;
}

}  // namespace

std::vector<Letters> symbols(const Image& face, std::span<const Symbol> found, const SymbolCut& p) {
    check_fields(p, symbol_cut_fields);
    const Ppi ppi = face.ppi().value > 0.0 ? face.ppi() : Ppi{300.0};
    const int rule = std::max(1, static_cast<int>(std::lround(pixels(Mm{p.rule_mm}, ppi))));
    const double reach = std::max(2.0, pixels(Mm{p.reach_mm}, ppi));
    const Colors colors(face);
    std::vector<Letters> result;
    for (const Symbol& symbol : found) {
        result.push_back(cut_out(face, colors, symbol, reach, rule));
    }
    return result;
}

}  // namespace paleproof::filters
