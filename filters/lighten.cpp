// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/lighten.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

namespace paleproof::filters {
namespace {

constexpr double strokes_at_zero = 0.5;    // strength of strong detail at the end of the way
constexpr double base_is_paper_at = 0.15;  // from here on only strokes are left to give way
constexpr double faint_codes = 10.0;  // detail below this is grain, above strong_codes a stroke
constexpr double strong_codes = 48.0;
constexpr int codes = 256;
constexpr int detail_span = 511;  // detail = card - base, -255 .. 255
constexpr int detail_zero = 255;

cv::Mat view(const Image& image) {
    // OpenCV has no view of constant pixels; nothing writes through this one.
    return {image.height(), image.width(), CV_8UC1,
            const_cast<std::uint8_t*>(image.bytes().data())};
}

/// What lies behind letters and lines: the median of a window that is wider than they are, found
/// at a quarter of the size, where it costs little, and brought back smoothly.
cv::Mat ground(const cv::Mat& card, double window_px) {
    const double shrink = window_px >= 32.0 ? 4.0 : window_px >= 12.0 ? 2.0 : 1.0;
    const cv::Size small_size(std::max(1, static_cast<int>(std::lround(card.cols / shrink))),
                              std::max(1, static_cast<int>(std::lround(card.rows / shrink))));
    cv::Mat small;
    cv::resize(card, small, small_size, 0, 0, cv::INTER_AREA);
    const int reach = std::clamp(static_cast<int>(std::lround(window_px / shrink / 2.0)), 1, 60);
    cv::medianBlur(small, small, 2 * reach + 1);
    cv::GaussianBlur(small, small, cv::Size(3, 3), 0);
    cv::Mat base;
    cv::resize(small, base, card.size(), 0, 0, cv::INTER_LINEAR_EXACT);
    return base;
}

/// Result for each pair of base and detail at one t, rows of base, columns of detail.
class ToneTable {
  public:
    /// `way` from 1 (nothing changes) to 0 (strong detail alone, at half of its strength).
    explicit ToneTable(double way) : table_(static_cast<std::size_t>(codes) * detail_span) {
        const double t = std::max(0.0, (way - base_is_paper_at) / (1.0 - base_is_paper_at));
        const double strokes =
            strokes_at_zero + (1.0 - strokes_at_zero) * std::min(1.0, way / base_is_paper_at);
        for (int detail = -255; detail <= 255; ++detail) {
            // Light detail goes with the base: on paper there is nothing lighter than paper.
            const double strength =
                std::clamp((-detail - faint_codes) / (strong_codes - faint_codes), 0.0, 1.0);
            const double keep = t + (1.0 - t) * strength * strokes;
            for (int base = 0; base < codes; ++base) {
                const double value = 255.0 - t * (255 - base) + keep * detail;
                const auto lightened = static_cast<int>(std::lround(std::clamp(value, 0.0, 255.0)));
                // Never darker than the card itself, whose value is base + detail.
                const int source = std::clamp(base + detail, 0, 255);
                table_[index(base, detail)] =
                    static_cast<std::uint8_t>(std::max(lightened, source));
            }
        }
    }
    [[nodiscard]] static std::size_t index(int base, int detail) {
        return static_cast<std::size_t>(base) * detail_span +
               static_cast<std::size_t>(detail + detail_zero);
    }
    [[nodiscard]] std::uint8_t at(std::size_t i) const { return table_[i]; }

  private:
    std::vector<std::uint8_t> table_;
};

/// How often each pair of base and detail occurs in `area`.
struct PairCounts {
    std::vector<std::uint32_t> count;
    std::vector<std::size_t> used;  ///< indices with a count, so that a bisection step is short
    double pixels = 0;
};

PairCounts pair_counts(const cv::Mat& card, const cv::Mat& base, RectPx area) {
    PairCounts result;
    result.count.assign(static_cast<std::size_t>(codes) * detail_span, 0);
    for (int y = area.y; y < area.bottom(); ++y) {
        const auto* value = card.ptr<std::uint8_t>(y);
        const auto* ground = base.ptr<std::uint8_t>(y);
        for (int x = area.x; x < area.right(); ++x) {
            ++result.count[ToneTable::index(ground[x], value[x] - ground[x])];
        }
    }
    for (std::size_t i = 0; i < result.count.size(); ++i) {
        if (result.count[i] > 0) {
            result.used.push_back(i);
        }
    }
    result.pixels = static_cast<double>(area.width) * area.height;
    return result;
}

double coverage_of(const PairCounts& counts, const ToneTable& tones) {
    std::uint64_t ink = 0;
    for (const std::size_t i : counts.used) {
        ink += static_cast<std::uint64_t>(255 - tones.at(i)) * counts.count[i];
    }
    return static_cast<double>(ink) / (255.0 * counts.pixels);
}

RectPx area_in(const Image& image, RectPx area) {
    const RectPx whole = image.bounds();
    if (area.empty()) {
        return whole;
    }
    const RectPx part = intersection(area, whole);
    return part.empty() ? whole : part;
}

void require_gray(const Image& image, const char* subject) {
    if (image.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, subject, "expected a gray picture, got color");
    }
}

}  // namespace

double coverage(const Image& gray, RectPx area) {
    require_gray(gray, "coverage");
    const RectPx part = area_in(gray, area);
    std::uint64_t ink = 0;
    for (int y = part.y; y < part.bottom(); ++y) {
        const std::uint8_t* row = gray.row(y);
        for (int x = part.x; x < part.right(); ++x) {
            ink += static_cast<std::uint64_t>(255 - row[x]);
        }
    }
    return static_cast<double>(ink) / (255.0 * part.width * part.height);
}

Image lighten(const Image& card, const Lighten& p) {
    check_fields(p, lighten_fields);
    require_gray(card, "lighten");
    const RectPx area = area_in(card, p.area);
    if (coverage(card, area) <= p.ink_budget) {
        return card;
    }
    const Ppi ppi = card.ppi().value > 0.0 ? card.ppi() : Ppi{300.0};
    const cv::Mat source = view(card);
    const cv::Mat base = ground(source, pixels(Mm{p.window_mm}, ppi));
    const PairCounts counts = pair_counts(source, base, area);

    // Coverage rises along the way; ten halvings leave a thousandth of the way, far below one code.
    double low = 0.0;
    double high = 1.0;
    for (int step = 0; step < 10; ++step) {
        const double middle = (low + high) / 2.0;
        (coverage_of(counts, ToneTable(middle)) <= p.ink_budget ? low : high) = middle;
    }
    const ToneTable tones(low);
    Image result(card.width(), card.height(), Encoding::gray, card.ppi());
    for (int y = 0; y < card.height(); ++y) {
        const std::uint8_t* value = card.row(y);
        const auto* ground = base.ptr<std::uint8_t>(y);
        std::uint8_t* out = result.row(y);
        for (int x = 0; x < card.width(); ++x) {
            out[x] = tones.at(ToneTable::index(ground[x], value[x] - ground[x]));
        }
    }
    return result;
}

}  // namespace paleproof::filters
