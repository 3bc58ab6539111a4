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

constexpr double detail_at_zero = 0.5;
constexpr int codes = 256;
constexpr int detail_span = 511;  // detail = card - base, -255 .. 255
constexpr int detail_zero = 255;

cv::Mat view(const Image& image) {
    // OpenCV has no view of constant pixels; nothing writes through this one.
    return {image.height(), image.width(), CV_8UC1,
            const_cast<std::uint8_t*>(image.bytes().data())};
}

/// Self-guided filter at a quarter of the size (He and Sun, "Fast guided filter", 2015): the two
/// coefficients are smooth, so they are found on the small picture and used on the large one.
cv::Mat base_of(const cv::Mat& card, double radius_px, double edge_codes) {
    const double shrink = radius_px >= 8.0 ? 4.0 : radius_px >= 4.0 ? 2.0 : 1.0;
    const cv::Size small_size(std::max(1, static_cast<int>(std::lround(card.cols / shrink))),
                              std::max(1, static_cast<int>(std::lround(card.rows / shrink))));
    cv::Mat small;
    cv::resize(card, small, small_size, 0, 0, cv::INTER_AREA);
    small.convertTo(small, CV_32F);
    const int reach = std::max(1, static_cast<int>(std::lround(radius_px / shrink)));
    const cv::Size window(2 * reach + 1, 2 * reach + 1);
    cv::Mat mean;
    cv::Mat mean_of_squares;
    cv::blur(small, mean, window);
    cv::blur(small.mul(small), mean_of_squares, window);
    const cv::Mat variance = cv::max(mean_of_squares - mean.mul(mean), 0.0F);
    cv::Mat slope = variance / (variance + edge_codes * edge_codes);
    cv::Mat offset = mean - slope.mul(mean);
    cv::blur(slope, slope, window);
    cv::blur(offset, offset, window);
    cv::resize(slope, slope, card.size(), 0, 0, cv::INTER_LINEAR);
    cv::resize(offset, offset, card.size(), 0, 0, cv::INTER_LINEAR);
    cv::Mat base(card.size(), CV_8UC1);
    for (int y = 0; y < card.rows; ++y) {
        const auto* in = card.ptr<std::uint8_t>(y);
        const auto* a = slope.ptr<float>(y);
        const auto* b = offset.ptr<float>(y);
        auto* out = base.ptr<std::uint8_t>(y);
        for (int x = 0; x < card.cols; ++x) {
            const float value = a[x] * static_cast<float>(in[x]) + b[x] + 0.5F;
            out[x] = static_cast<std::uint8_t>(std::clamp(value, 0.0F, 255.0F));
        }
    }
    return base;
}

/// Result for each pair of base and detail at one t, rows of base, columns of detail.
class ToneTable {
  public:
    explicit ToneTable(double t) : table_(static_cast<std::size_t>(codes) * detail_span) {
        const double keep = detail_at_zero + (1.0 - detail_at_zero) * t;
        for (int base = 0; base < codes; ++base) {
            for (int detail = -255; detail <= 255; ++detail) {
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
    const cv::Mat base = base_of(source, pixels(Mm{p.radius_mm}, ppi), p.edge_codes);
    const PairCounts counts = pair_counts(source, base, area);

    // Coverage rises with t; ten halvings leave a thousandth of the way, far below one code.
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
