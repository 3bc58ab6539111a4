// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/hatch.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <opencv2/imgproc.hpp>

#include "color/srgb.h"
#include "core/combine.h"
#include "core/patches.h"
#include "core/units.h"

namespace paleproof::filters {
namespace {

constexpr double thin_mm = 0.35;     // parts of an area that are thinner stay without pattern
constexpr double strip_mm = 1.3;     // narrower strips beside text show less than two lines
constexpr double panel_share = 0.2;  // of an area: from there on it is a panel for text
constexpr double band_mm = 2.0;      // along its edge that is filled: two lines of a pattern
constexpr int cube = 32;             // steps a channel of the table from color to area
constexpr std::size_t most_areas = 250;

cv::Mat view(const Image& image) {
    return {image.height(), image.width(), CV_8UC1,
            const_cast<std::uint8_t*>(image.bytes().data())};
}

RectPx scaled(RectPx box, double scale) {
    const auto at = [scale](int length) { return static_cast<int>(std::lround(length * scale)); };
    return {at(box.x), at(box.y), at(box.width), at(box.height)};
}

double squared_distance(const color::Lab& a, const color::Lab& b) {
    return (a.l - b.l) * (a.l - b.l) + (a.a - b.a) * (a.a - b.a) + (a.b - b.b) * (a.b - b.b);
}

/// 1 + index of the area that a color belongs to, 0 = none, by the five high bits of each channel.
std::vector<std::uint8_t> area_of_color(std::span<const HatchArea> areas, double tolerance) {
    std::vector<color::Lab> labs;
    for (const HatchArea& area : areas) {
        const auto& c = area.pattern.color;
        labs.push_back(color::lab({c[0], c[1], c[2]}));
    }
    std::vector<std::uint8_t> table(static_cast<std::size_t>(cube) * cube * cube);
    const auto middle = [](int step) { return static_cast<std::uint8_t>(8 * step + 4); };
    std::size_t at = 0;
    for (int r = 0; r < cube; ++r) {
        for (int g = 0; g < cube; ++g) {
            for (int b = 0; b < cube; ++b, ++at) {
                const color::Lab lab = color::lab({middle(r), middle(g), middle(b)});
                double nearest = tolerance * tolerance;
                for (std::size_t i = 0; i < labs.size(); ++i) {
                    const double d = squared_distance(lab, labs[i]);
                    if (d > nearest) continue;
                    nearest = d;
                    table[at] = static_cast<std::uint8_t>(i + 1);
                }
            }
        }
    }
    return table;
}

/// The area each pixel belongs to, at the size asked for.
cv::Mat labels_of(const Image& face, std::span<const HatchArea> areas, double tolerance,
                  cv::Size size) {
    const auto table = area_of_color(areas, tolerance);
    cv::Mat labels(face.height(), face.width(), CV_8UC1);
    for (int y = 0; y < face.height(); ++y) {
        const std::uint8_t* in = face.row(y);
        auto* out = labels.ptr<std::uint8_t>(y);
        for (int x = 0; x < face.width(); ++x, in += 3) {
            out[x] = table[static_cast<std::size_t>((in[0] >> 3) * cube * cube +
                                                    (in[1] >> 3) * cube + (in[2] >> 3))];
        }
    }
    if (labels.size() != size) cv::resize(labels, labels, size, 0, 0, cv::INTER_NEAREST);
    return labels;
}

/// The patches of a mask that are large enough, 255.
cv::Mat without_small(const cv::Mat& mask, double smallest) {
    const Patches patches = patches_of(mask.data, mask.cols, mask.rows);
    cv::Mat result = cv::Mat::zeros(mask.size(), CV_8UC1);
    for (const Patches::Run& run : patches.runs) {
        if (patches.patches[static_cast<std::size_t>(run.patch)].area < smallest) continue;
        std::fill(result.ptr(run.y) + run.begin, result.ptr(run.y) + run.end, std::uint8_t{255});
    }
    return result;
}

/// The part of a mask in the places, a pixel more on each side.
cv::Mat in_places(const cv::Mat& mask, std::span<const RectPx> places, double scale) {
    cv::Mat result = cv::Mat::zeros(mask.size(), CV_8UC1);
    for (const RectPx& place : places) {
        const RectPx p = scaled(place, scale);
        const RectPx part = intersection({p.x - 1, p.y - 1, p.width + 2, p.height + 2},
                                         {0, 0, mask.cols, mask.rows});
        if (part.empty()) continue;
        const cv::Rect box(part.x, part.y, part.width, part.height);
        mask(box).copyTo(result(box));
    }
    return result;
}

int odd_pixels(Mm length, Ppi ppi) {
    return std::max(3, 2 * static_cast<int>(std::lround(pixels(length, ppi) / 2)) + 1);
}

/// An area without the ground that is kept free, and without the strips that this leaves of it, as
/// between a line of text and the panel's edge: too narrow to show a pattern, their stubs look like
/// strokes of letters.
cv::Mat without_stubs(const cv::Mat& mask, const cv::Mat& kept_free, int strip) {
    const cv::Mat square = cv::getStructuringElement(cv::MORPH_RECT, {strip, strip});
    cv::Mat broad;
    cv::morphologyEx(mask, broad, cv::MORPH_OPEN, square);
    const cv::Mat thin = mask & ~broad;  // narrow by itself: such areas keep their pattern
    const cv::Mat left = mask & ~kept_free;
    cv::morphologyEx(left, broad, cv::MORPH_OPEN, square);
    // Back to the rims that the opening cut.
    const int back = strip / 2 | 1;
    cv::dilate(broad, broad, cv::getStructuringElement(cv::MORPH_RECT, {back, back}));
    return left & (broad | thin);
}

/// What lies deeper than `band` pixels inside of areas of which text takes a good part: 255. Such a
/// panel is there to be read on.
cv::Mat inside_of_panels(const cv::Mat& mask, const cv::Mat& kept_free, const cv::Mat& depth,
                         float band) {
    const Patches patches = patches_of(mask.data, mask.cols, mask.rows);
    std::vector<int> of_text(patches.patches.size(), 0);
    for (const Patches::Run& run : patches.runs) {
        const auto* text = kept_free.ptr<std::uint8_t>(run.y);
        of_text[static_cast<std::size_t>(run.patch)] += static_cast<int>(
            std::count_if(text + run.begin, text + run.end, [](std::uint8_t t) { return t != 0; }));
    }
    cv::Mat result = cv::Mat::zeros(mask.size(), CV_8UC1);
    for (const Patches::Run& run : patches.runs) {
        const auto patch = static_cast<std::size_t>(run.patch);
        if (of_text[patch] < panel_share * patches.patches[patch].area) continue;
        const auto* d = depth.ptr<float>(run.y);
        auto* out = result.ptr<std::uint8_t>(run.y);
        for (int x = run.begin; x < run.end; ++x) out[x] = d[x] > band ? 255 : 0;
    }
    return result;
}

/// Whether points of the card, in mm from the corner of the trim, have ink. For each set of lines:
/// ink where (x sin a + y cos a) / pitch has a fraction below width / pitch, so 0 degrees runs from
/// left to right and 45 rises to the right, y being counted downward.
class Ink {
  public:
    explicit Ink(const PatternSample& sample) : dots_(sample.dots) {
        for (const PatternLines& lines : sample.lines) {
            const double a = lines.angle_deg * std::numbers::pi / 180.0;
            lines_.push_back({std::sin(a) / lines.pitch.value, std::cos(a) / lines.pitch.value,
                              lines.width / lines.pitch});
        }
    }
    [[nodiscard]] bool operator()(double x, double y) const {
        for (const Lines& l : lines_) {
            const double t = x * l.across_x + y * l.across_y;
            if (t - std::floor(t) < l.share) return true;
        }
        if (!dots_) return false;
        const double pitch = dots_->pitch.value;
        const double dx = x - pitch * (std::floor(x / pitch) + 0.5);
        const double dy = y - pitch * (std::floor(y / pitch) + 0.5);
        const double radius = dots_->diameter.value / 2.0;
        return dx * dx + dy * dy < radius * radius;
    }

  private:
    struct Lines {
        double across_x, across_y, share;
    };
    std::vector<Lines> lines_;
    std::optional<PatternDots> dots_;
};

void check(const Image& face, std::span<const HatchArea> areas, const Image& ground) {
    if (!ground.empty() && (ground.channels() != 1 || ground.size() != face.size())) {
        throw Error(ErrorKind::format, "hatch", "expected a gray ground as large as the face");
    }
    if (areas.size() > most_areas) {
        throw Error(ErrorKind::range, "hatch", "expected at most 250 colors with a pattern");
    }
    for (const HatchArea& area : areas) {
        const PatternSample& sample = area.pattern.sample;
        const bool lines = std::ranges::all_of(
            sample.lines, [](const PatternLines& l) { return l.pitch.value > 0.0; });
        if (!lines || (sample.dots && !(sample.dots->pitch.value > 0.0))) {
            throw Error(ErrorKind::range, "hatch", "expected patterns with a pitch above 0");
        }
    }
}

/// Sets the pattern of one area, and counts its ink by the distance from the area's edge.
class Setting {
  public:
    Setting(cv::Size size, RectPx counted, double ppi, double origin_x, double origin_y)
        : depth_(cv::Mat::zeros(size, CV_8UC1)),
          counted_(counted),
          mm_(mm_per_inch / ppi),
          origin_x_(origin_x),
          origin_y_(origin_y) {}

    /// `depth` is the distance from the edge at half size, in pixels, 0 outside.
    void add(const cv::Mat& depth, const PatternSample& sample) {
        const Ink ink(sample);
        cv::Mat codes;
        depth.convertTo(codes, CV_8U, 4.0);
        cv::resize(codes, codes, depth_.size(), 0, 0, cv::INTER_LINEAR);
        for (int y = 0; y < codes.rows; ++y) {
            const auto* in = codes.ptr<std::uint8_t>(y);
            auto* out = depth_.ptr<std::uint8_t>(y);
            const double mm_y = (y + 0.5 - origin_y_) * mm_;
            const bool row_counts = y >= counted_.y && y < counted_.bottom();
            for (int x = 0; x < codes.cols; ++x) {
                // Half a pixel inside of the edge, so that patterns end where areas do.
                if (in[x] < 2 || !ink((x + 0.5 - origin_x_) * mm_, mm_y)) continue;
                if (out[x] == 0 && row_counts && x >= counted_.x && x < counted_.right())
                    ++count_[in[x]];
                out[x] = std::max(out[x], in[x]);
            }
        }
    }

    /// Ink no deeper in than as many pixels allow.
    [[nodiscard]] Image within(double most, double ppi) const {
        int deepest = 0;
        double sum = 0.0;
        while (deepest < 255 && sum + count_[static_cast<std::size_t>(deepest + 1)] <= most)
            sum += count_[static_cast<std::size_t>(++deepest)];
        Image result(depth_.cols, depth_.rows, Encoding::bilevel, Ppi{ppi});
        for (int y = 0; y < depth_.rows; ++y) {
            const auto* in = depth_.ptr<std::uint8_t>(y);
            std::uint8_t* out = result.row(y);
            for (int x = 0; x < depth_.cols; ++x)
                if (in[x] != 0 && in[x] <= deepest) out[x] = 0;
        }
        return result;
    }

  private:
    cv::Mat depth_;  // of the ink, in quarters of a half-size pixel; 0 = no ink
    RectPx counted_;
    double mm_;
    double origin_x_, origin_y_;
    std::array<double, 256> count_{};
};

}  // namespace

Image hatch(const Image& face, std::span<const HatchArea> areas, const Image& ground,
            const Hatch& p) {
    check_fields(p, hatch_fields);
    check(face, areas, ground);
    const double scale = p.ppi / (face.ppi().value > 0.0 ? face.ppi().value : 300.0);
    const auto length = [&](int l) {
        return std::max(1, static_cast<int>(std::lround(l * scale)));
    };
    const cv::Size size(length(face.width()), length(face.height()));
    const cv::Size half((size.width + 1) / 2, (size.height + 1) / 2);
    const RectPx asked = p.area.empty() ? face.bounds() : intersection(p.area, face.bounds());
    const RectPx counted = intersection(scaled(asked, scale), {0, 0, size.width, size.height});
    Setting setting(size, counted, p.ppi, p.origin_x * scale, p.origin_y * scale);
    const bool anything =
        std::ranges::any_of(areas, [](const HatchArea& a) { return !a.places.empty(); });
    if (face.channels() == 3 && anything) {
        const cv::Mat labels = labels_of(face, areas, p.tolerance, half);
        cv::Mat kept_free;
        if (!ground.empty()) {
            cv::resize(view(ground), kept_free, half, 0, 0, cv::INTER_LINEAR);
            kept_free = kept_free < 128;
        }
        const Ppi half_ppi{p.ppi / 2.0};
        const int thin = odd_pixels(Mm{thin_mm}, half_ppi);
        const cv::Mat disc = cv::getStructuringElement(cv::MORPH_ELLIPSE, {thin, thin});
        const double side = pixels(Mm{1.0}, half_ppi);
        const int strip = odd_pixels(Mm{strip_mm}, half_ppi);
        const auto band = static_cast<float>(pixels(Mm{band_mm}, half_ppi));
        for (std::size_t i = 0; i < areas.size(); ++i) {
            if (areas[i].places.empty()) continue;
            cv::Mat mask = labels == static_cast<int>(i + 1);
            cv::morphologyEx(mask, mask, cv::MORPH_OPEN, disc);
            mask = without_small(in_places(mask, areas[i].places, scale / 2),
                                 p.smallest_mm2 * side * side);
            if (cv::countNonZero(mask) == 0) continue;
            // Depth counts from the area's own edge, not from the text on it.
            const cv::Mat whole = kept_free.empty() ? mask : cv::Mat(mask | kept_free);
            cv::Mat depth;
            cv::distanceTransform(whole, depth, cv::DIST_L2, 3);
            if (!kept_free.empty()) {
                depth.setTo(0.0F, ~without_stubs(mask, kept_free, strip) |
                                      inside_of_panels(whole, kept_free, depth, band));
            }
            setting.add(depth, areas[i].pattern.sample);
        }
    }
    const double all = static_cast<double>(counted.width) * counted.height;
    return setting.within(p.ink_budget * all, p.ppi);
}

Image both_inks(const Image& a, const Image& b) {
    if (a.encoding() != Encoding::bilevel || b.encoding() != Encoding::bilevel ||
        a.size() != b.size()) {
        throw Error(ErrorKind::format, "both_inks", "expected two bilevel pictures of one size");
    }
    return darker(a, b);
}

}  // namespace paleproof::filters
