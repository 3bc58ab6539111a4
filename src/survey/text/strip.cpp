// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/strip.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "color/srgb.h"
#include "survey/text/mat_view.h"

namespace paleproof::survey {
namespace {

constexpr double margin_ends = 2.2, margin_above = 1.7, margin_below = 1.4;
constexpr double largest = 24.0, made_large = 20.0;  // band heights, strip pixels
constexpr double smallest = 10.0, made_small = 14.0;
constexpr double most_enlarged = 3.0;
constexpr double most_pixels = 4e6;  // a band that is a whole face is no line

struct Axes {
    double ux, uy, vx, vy;
};

Axes axes(int quarter_turns, double slant) {
    const double angle = quarter_turns * std::numbers::pi / 2 + slant;
    // Whole turns give exact axes.
    const auto exact = [](double value) {
        return std::abs(value - std::round(value)) < 1e-9 ? std::round(value) : value;
    };
    const double c = exact(std::cos(angle)), s = exact(std::sin(angle));
    return {c, s, -s, c};
}

double scale_for(double height, double length) {
    double scale = 1.0;
    if (height > largest) {
        scale = made_large / height;
    } else if (height < smallest) {
        // A whole factor, so that enlarging by repetition keeps every pixel as often as the others.
        scale = std::clamp(std::round(made_small / height), 2.0, most_enlarged);
    }
    const double area = (length + 2 * margin_ends * height) * height *
                        (1 + margin_above + margin_below) * scale * scale;
    return area > most_pixels ? scale * std::sqrt(most_pixels / area) : scale;
}

/// The part of the face, its edge continued where the part leaves it.
cv::Mat cut(const cv::Mat& face, const cv::Rect& part) {
    const cv::Rect inside = part & cv::Rect(0, 0, face.cols, face.rows);
    if (inside == part) {
        return face(part);
    }
    if (inside.empty()) {
        return cv::Mat(part.size(), face.type(), cv::Scalar::all(255));
    }
    cv::Mat result;
    cv::copyMakeBorder(face(inside), result, inside.y - part.y,
                       part.y + part.height - inside.y - inside.height, inside.x - part.x,
                       part.x + part.width - inside.x - inside.width, cv::BORDER_REPLICATE);
    return result;
}

cv::Mat turned(const cv::Mat& source, int quarter_turns) {
    cv::Mat result;
    switch (quarter_turns & 3) {
        case 1:
            cv::rotate(source, result, cv::ROTATE_90_COUNTERCLOCKWISE);
            return result;
        case 2:
            cv::rotate(source, result, cv::ROTATE_180);
            return result;
        case 3:
            cv::rotate(source, result, cv::ROTATE_90_CLOCKWISE);
            return result;
        default:
            return source;
    }
}

/// `smooth` gives the luminance, `sharp` the colors; often the same pixels.
void take_pixels(const cv::Mat& smooth, const cv::Mat& sharp, Strip& strip) {
    strip.rgb = Plane8(smooth.cols, smooth.rows, 3);
    strip.luminance = Plane8(smooth.cols, smooth.rows);
    const color::GrayCodes& gray = color::gray_codes();
    for (int y = 0; y < smooth.rows; ++y) {
        const std::uint8_t* from = smooth.ptr(y);
        const std::uint8_t* exact = sharp.ptr(y);
        std::uint8_t* rgb = strip.rgb.row(y);
        std::uint8_t* lum = strip.luminance.row(y);
        if (smooth.channels() == 3) {
            std::copy_n(exact, 3 * smooth.cols, rgb);
            for (int x = 0; x < smooth.cols; ++x) {
                lum[x] = gray(from[3 * x], from[3 * x + 1], from[3 * x + 2]);
            }
        } else {
            for (int x = 0; x < smooth.cols; ++x) {
                rgb[3 * x] = rgb[3 * x + 1] = rgb[3 * x + 2] = exact[x];
                lum[x] = from[x];
            }
        }
    }
}

/// What a strip is taken from: how far it reaches from the band's center, in pixels of the face.
struct Reach {
    double before, above, below;
};

/// The pixels of a strip; `sharp` is empty where they are the same.
struct Pixels {
    cv::Mat smooth, sharp;
};

/// Along rows or columns the pixels are those of the face, brought to size as a whole.
Pixels cut_straight(const cv::Mat& face, const Band& band, const Axes& a, const Reach& reach,
                    double scale, Strip& strip) {
    const double x0 = band.x - reach.before * a.ux - reach.above * a.vx;
    const double y0 = band.y - reach.before * a.uy - reach.above * a.vy;
    const double x1 = band.x + reach.before * a.ux + reach.below * a.vx;
    const double y1 = band.y + reach.before * a.uy + reach.below * a.vy;
    const int left = static_cast<int>(std::floor(std::min(x0, x1)));
    const int top = static_cast<int>(std::floor(std::min(y0, y1)));
    const int right = static_cast<int>(std::ceil(std::max(x0, x1)));
    const int bottom = static_cast<int>(std::ceil(std::max(y0, y1)));
    Pixels result;
    result.smooth = turned(cut(face, {left, top, right - left, bottom - top}), strip.quarter_turns);
    strip.origin_x = a.ux + a.vx > 0 ? left : right;
    strip.origin_y = a.uy + a.vy > 0 ? top : bottom;
    if (scale == 1.0) return result;
    const cv::Mat whole = result.smooth;
    const cv::Size size(std::max(4, static_cast<int>(std::lround(whole.cols * scale))),
                        std::max(4, static_cast<int>(std::lround(whole.rows * scale))));
    strip.scale_u = static_cast<double>(size.width) / whole.cols;
    strip.scale_v = static_cast<double>(size.height) / whole.rows;
    cv::Mat sized;
    cv::resize(whole, sized, size, 0, 0, scale < 1 ? cv::INTER_AREA : cv::INTER_LINEAR);
    if (scale > 1) cv::resize(whole, result.sharp, size, 0, 0, cv::INTER_NEAREST);
    result.smooth = sized;
    return result;
}

/// Along a slant they are sampled between those of the face.
Pixels cut_slanted(const cv::Mat& face, const Band& band, const Axes& a, const Reach& reach,
                   double scale, Strip& strip) {
    strip.scale_u = strip.scale_v = scale;
    strip.origin_x = band.x - reach.before * a.ux - reach.above * a.vx;
    strip.origin_y = band.y - reach.before * a.uy - reach.above * a.vy;
    const double deep = reach.above + reach.below;
    const cv::Size size(static_cast<int>(std::ceil(2 * reach.before * scale)),
                        static_cast<int>(std::ceil(deep * scale)));
    double x0 = 1e9, y0 = 1e9, x1 = -1e9, y1 = -1e9;
    for (const double u : {0.0, 2 * reach.before}) {
        for (const double v : {0.0, deep}) {
            const double x = strip.origin_x + a.ux * u + a.vx * v;
            const double y = strip.origin_y + a.uy * u + a.vy * v;
            x0 = std::min(x0, x);
            x1 = std::max(x1, x);
            y0 = std::min(y0, y);
            y1 = std::max(y1, y);
        }
    }
    const cv::Rect part(static_cast<int>(std::floor(x0)) - 2, static_cast<int>(std::floor(y0)) - 2,
                        static_cast<int>(std::ceil(x1 - x0)) + 5,
                        static_cast<int>(std::ceil(y1 - y0)) + 5);
    cv::Mat source = cut(face, part);
    // Large text is reduced by a whole factor first: the sampling below reads four pixels only.
    const int less = std::max(1, static_cast<int>(std::floor(1 / scale + 0.25)));
    if (less > 1) {
        cv::Mat small;
        source = source({0, 0, source.cols / less * less, source.rows / less * less});
        cv::resize(source, small, {source.cols / less, source.rows / less}, 0, 0, cv::INTER_AREA);
        source = small;
    }
    // From strip pixel centers to source pixel centers.
    const double k = 1 / scale;
    const auto to = [&](double origin, double offset, double du, double dv, double* row) {
        row[0] = du * k / less;
        row[1] = dv * k / less;
        row[2] = (origin - offset + (du + dv) * k / 2) / less - 0.5;
    };
    cv::Mat map(2, 3, CV_64F);
    to(strip.origin_x, part.x, a.ux, a.vx, map.ptr<double>(0));
    to(strip.origin_y, part.y, a.uy, a.vy, map.ptr<double>(1));
    Pixels result;
    cv::warpAffine(source, result.smooth, map, size, cv::INTER_LINEAR | cv::WARP_INVERSE_MAP,
                   cv::BORDER_REPLICATE);
    if (scale > 1) {
        cv::warpAffine(source, result.sharp, map, size, cv::INTER_NEAREST | cv::WARP_INVERSE_MAP,
                       cv::BORDER_REPLICATE);
    }
    return result;
}

}  // namespace

double Strip::face_x(double u, double v) const {
    const Axes a = axes(quarter_turns, slant);
    return origin_x + a.ux * u / scale_u + a.vx * v / scale_v;
}

double Strip::face_y(double u, double v) const {
    const Axes a = axes(quarter_turns, slant);
    return origin_y + a.uy * u / scale_u + a.vy * v / scale_v;
}

Strip strip_of(const Image& image, const Band& band, int quarter_turns) {
    const double h = band.height;
    Strip strip;
    strip.quarter_turns = quarter_turns & 3;
    strip.compact = band.compact;
    const double along = (quarter_turns & 1) != 0 ? std::numbers::pi / 2 : 0.0;
    strip.slant = band.compact ? 0.0 : band.angle - along;
    if (std::abs(strip.slant) < 1e-9) {
        strip.slant = 0.0;
    }
    const Axes a = axes(strip.quarter_turns, strip.slant);
    const Reach reach{band.length / 2 + margin_ends * h, h / 2 + margin_above * h,
                      h / 2 + margin_below * h};
    const auto cut_out = strip.slant == 0.0 ? cut_straight : cut_slanted;
    const Pixels pixels = cut_out(mat(image), band, a, reach, scale_for(h, band.length), strip);
    take_pixels(pixels.smooth, pixels.sharp.empty() ? pixels.smooth : pixels.sharp, strip);
    // Where the band lies in it.
    const double dx = band.x - strip.origin_x, dy = band.y - strip.origin_y;
    const double u = (dx * a.ux + dy * a.uy) * strip.scale_u;
    const double v = (dx * a.vx + dy * a.vy) * strip.scale_v;
    strip.left = u - band.length / 2 * strip.scale_u;
    strip.right = u + band.length / 2 * strip.scale_u;
    strip.top = v - h / 2 * strip.scale_v;
    strip.base = v + h / 2 * strip.scale_v;
    return strip;
}

}  // namespace paleproof::survey
