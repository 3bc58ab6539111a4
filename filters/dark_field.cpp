// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/dark_field.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "core/wide.h"

namespace paleproof::filters {
namespace {

/// Added to every code before ratios are taken: what differs by less cannot be seen in the dark,
/// and there JPEG and grain live.
constexpr double lift = 32.0;

/// Ratios, 1 - pixel / mean around it, from which on a difference is drawn: at `none` nothing, from
/// `whole` on all of it, between them a smooth step.
struct Threshold {
    double none, whole;
};
constexpr Threshold stroke_from{0.02, 0.12};
constexpr Threshold form_from{0.01, 0.06};
constexpr Threshold cast_from{0.05, 0.20};
constexpr double model_ppi = 150.0;  // fine enough for forms of half a millimeter
constexpr int least_ink = 3;         // a film of fewer codes is dirt on the paper

constexpr int part_bits = 6;
constexpr int parts = 1 << part_bits;  // of a code, in which inks are added up

/// Ink in parts of a code by the ratio.
struct InkCurve {
    float none, per_ratio, strength;
    InkCurve(Threshold from, double full)
        : none(static_cast<float>(from.none)),
          per_ratio(static_cast<float>(1.0 / (from.whole - from.none))),
          strength(static_cast<float>(parts * 255.0 * full)) {}
};

/// By how much a picture may be made smaller before a mean of that deviation is taken, in pixels.
double shrink_of(double sigma) { return std::max(1.0, std::floor(sigma / 3.0)); }

cv::Mat smaller(const cv::Mat& card, double shrink) {
    if (shrink <= 1.0) return card;
    const cv::Size small(std::max(1, static_cast<int>(std::lround(card.cols / shrink))),
                         std::max(1, static_cast<int>(std::lround(card.rows / shrink))));
    cv::Mat result;
    cv::resize(card, result, small, 0, 0, cv::INTER_AREA);
    return result;
}

/// Three sigma to each side; what lies farther off has a 400th of the weight.
void blur(const cv::Mat& from, cv::Mat& to, double sigma) {
    const int side = 2 * static_cast<int>(std::ceil(3.0 * sigma)) + 1;
    cv::GaussianBlur(from, to, {side, side}, sigma, sigma, cv::BORDER_REPLICATE);
}

/// Gaussian mean with `sigma` in pixels, computed on a smaller picture where it is wide.
cv::Mat mean_around(const cv::Mat& card, double sigma) {
    const double shrink = shrink_of(sigma);
    cv::Mat mean;
    blur(smaller(card, shrink), mean, sigma / shrink);
    if (shrink > 1.0) cv::resize(mean, mean, card.size(), 0, 0, cv::INTER_LINEAR);
    return mean;
}

/// Ink by the ratio 1 - value / mean. Values are (value + lift_by) * unit. In two loops without
/// branches: processors do several pixels at a time.
template <class Value, class Mean>
void ink_row(const Value* value, float lift_by, float unit, const Mean* mean, int count,
             InkCurve curve, std::uint16_t* ink) {
    wide([=] {
        constexpr int block = 256;
        std::array<float, block> ratio, part;
        for (int begin = 0; begin < count; begin += block) {
            const int n = std::min(block, count - begin);
            for (int i = 0; i < n; ++i) {
                const float v = (static_cast<float>(value[begin + i]) + lift_by) * unit;
                const float r = 1.0F - v / static_cast<float>(mean[begin + i]);
                const float t = (r - curve.none) * curve.per_ratio;
                const auto at = static_cast<std::size_t>(i);
                ratio[at] = r;
                part[at] = std::min(1.0F, std::max(0.0F, t));
            }
            for (int i = 0; i < n; ++i) {
                const auto at = static_cast<std::size_t>(i);
                const float smooth = part[at] * part[at] * (3.0F - 2.0F * part[at]);
                ink[begin + i] = static_cast<std::uint16_t>(
                    static_cast<std::int32_t>(curve.strength * ratio[at] * smooth + 0.5F));
            }
        }
    });
}

constexpr int mean_whole = 228;             // weights of a column; 287 of them still fit 16 bits
constexpr int mean_unit = mean_whole / 2;   // a code in the means: two of them fit 16 bits
constexpr std::uint32_t row_whole = 65535;  // weights of a row

/// Gaussian weights in whole numbers: the middle one, then those to each side. They add up to
/// `whole`, those to the sides counted twice.
std::vector<std::uint16_t> weights_of(double sigma, std::uint32_t whole) {
    const int radius = static_cast<int>(std::ceil(3.0 * sigma));
    std::vector<double> exact;
    for (int k = 0; k <= radius; ++k) exact.push_back(std::exp(-0.5 * k * k / (sigma * sigma)));
    double sum = exact[0];
    for (std::size_t k = 1; k < exact.size(); ++k) sum += 2.0 * exact[k];
    std::vector<std::uint16_t> result;
    std::uint32_t given = 0;
    for (std::size_t k = 0; k < exact.size(); ++k) {
        result.push_back(static_cast<std::uint16_t>(std::lround(exact[k] / sum * whole)));
        if (k > 0) given += 2U * result[k];
    }
    result[0] = static_cast<std::uint16_t>(whole - given);
    while (result.size() > 1 && result.back() == 0) result.pop_back();
    return result;
}

/// Gaussian means of (code + lift) in units of 1 / mean_unit, 16 bits: an eighth of the work that
/// it takes in floats, and far finer than the least ratio that is drawn.
cv::Mat near_mean(const cv::Mat& codes, double sigma) {
    const double shrink = shrink_of(sigma);
    const cv::Mat from = smaller(codes, shrink);
    const auto down = weights_of(sigma / shrink, mean_whole);
    const auto across = weights_of(sigma / shrink, row_whole);
    const int radius = static_cast<int>(across.size()) - 1;
    const int width = from.cols;
    cv::Mat result(from.size(), CV_16U);
    std::vector<std::uint16_t> padded(static_cast<std::size_t>(width + 2 * radius));
    std::uint16_t* column = padded.data() + radius;
    for (int y = 0; y < from.rows; ++y) {
        constexpr auto offset = static_cast<std::uint16_t>(lift * mean_whole);
        wide([=, row = from.ptr<std::uint8_t>(y), weight = down[0]] {
            for (int x = 0; x < width; ++x) {
                column[x] = static_cast<std::uint16_t>(offset + weight * row[x]);
            }
        });
        for (int k = 1; k < static_cast<int>(down.size()); ++k) {
            wide([=, above = from.ptr<std::uint8_t>(std::max(0, y - k)),
                  below = from.ptr<std::uint8_t>(std::min(from.rows - 1, y + k)),
                  weight = down[static_cast<std::size_t>(k)]] {
                for (int x = 0; x < width; ++x) {
                    column[x] =
                        static_cast<std::uint16_t>(column[x] + weight * (above[x] + below[x]));
                }
            });
        }
        wide([=] {
            for (int x = 0; x < width; ++x) column[x] = static_cast<std::uint16_t>(column[x] >> 1U);
        });
        std::fill(padded.data(), column, column[0]);
        std::fill(column + width, padded.data() + padded.size(), column[width - 1]);
        auto* out = result.ptr<std::uint16_t>(y);
        wide([=, weight = std::uint32_t{across[0]}] {
            for (int x = 0; x < width; ++x) {
                out[x] = static_cast<std::uint16_t>(column[x] * weight >> 16U);
            }
        });
        for (int k = 1; k <= radius; ++k) {
            wide([=, weight = std::uint32_t{across[static_cast<std::size_t>(k)]}] {
                for (int x = 0; x < width; ++x) {
                    const auto two = static_cast<std::uint16_t>(column[x - k] + column[x + k]);
                    out[x] = static_cast<std::uint16_t>(out[x] + (two * weight >> 16U));
                }
            });
        }
    }
    if (shrink > 1.0) cv::resize(result, result, codes.size(), 0, 0, cv::INTER_LINEAR);
    return result;
}

/// A smaller picture of inks, brought to the size of the face row by row, linearly.
class Enlarged {
  public:
    Enlarged(const cv::Mat& small, cv::Size size) : small_(small) {
        by_two_ = size.width == 2 * small.cols && size.height == 2 * small.rows;
        if (!by_two_ && size != small.size()) {
            cv::resize(small, small_, size, 0, 0, cv::INTER_LINEAR);
        }
        if (by_two_) between_.resize(static_cast<std::size_t>(small.cols) + 2);
    }

    void row(int y, std::uint16_t* out) {
        const int width = small_.cols;
        if (!by_two_) {
            std::copy_n(small_.ptr<std::uint16_t>(y), width, out);
            return;
        }
        const int near = y / 2;
        const int far = std::clamp(y % 2 == 0 ? near - 1 : near + 1, 0, small_.rows - 1);
        std::uint16_t* between = between_.data() + 1;
        wide([=, a = small_.ptr<std::uint16_t>(near), b = small_.ptr<std::uint16_t>(far)] {
            for (int x = 0; x < width; ++x) {
                between[x] = static_cast<std::uint16_t>((3 * a[x] + b[x] + 2) >> 2);
            }
        });
        between[-1] = between[0];
        between[width] = between[width - 1];
        wide([=] {
            for (int x = 0; x < width; ++x) {
                const int three = 3 * between[x] + 2;
                out[2 * x] = static_cast<std::uint16_t>((three + between[x - 1]) >> 2);
                out[2 * x + 1] = static_cast<std::uint16_t>((three + between[x + 1]) >> 2);
            }
        });
    }

  private:
    cv::Mat small_;
    bool by_two_ = false;
    std::vector<std::uint16_t> between_;
};

/// Wide differences, in parts of a code.
struct Modelling {
    cv::Mat form;   ///< the small forms
    cv::Mat shade;  ///< these and the soft shade beside them
};

/// Found on a picture of about `model_ppi`, as they are wide and soft.
Modelling modelling(const cv::Mat& codes, Ppi ppi, const DarkField& p) {
    const double shrink = std::max(1.0, std::round(ppi.value / model_ppi));
    cv::Mat calm;  // grain and single pixels are not modelled
    cv::GaussianBlur(smaller(codes, shrink), calm, {3, 3}, 0);
    calm.convertTo(calm, CV_32F, 1.0, lift);
    const Ppi small{ppi.value / shrink};
    const cv::Mat around = mean_around(calm, std::max(0.8, pixels(Mm{p.form_mm}, small)));
    const cv::Mat beyond = mean_around(calm, std::max(1.0, pixels(Mm{p.cast_mm}, small)));
    const InkCurve form_curve(form_from, p.form);
    const InkCurve cast_curve(cast_from, p.cast);
    Modelling result{cv::Mat(calm.size(), CV_16U), cv::Mat(calm.size(), CV_16U)};
    std::vector<std::uint16_t> cast(static_cast<std::size_t>(calm.cols));
    for (int y = 0; y < calm.rows; ++y) {
        const auto* value = calm.ptr<float>(y);
        auto* form = result.form.ptr<std::uint16_t>(y);
        auto* shade = result.shade.ptr<std::uint16_t>(y);
        ink_row(value, 0.0F, 1.0F, around.ptr<float>(y), calm.cols, form_curve, form);
        ink_row(value, 0.0F, 1.0F, beyond.ptr<float>(y), calm.cols, cast_curve, cast.data());
        for (int x = 0; x < calm.cols; ++x) {
            shade[x] = static_cast<std::uint16_t>(form[x] + cast[static_cast<std::size_t>(x)]);
        }
    }
    return result;
}

/// One row of the drawing; `line`, `form` and `shade` in parts of a code.
void draw_row(const std::uint16_t* line, const std::uint16_t* form, const std::uint16_t* shade,
              const std::uint8_t* code, int count, std::uint8_t* strokes, std::uint8_t* shades) {
    wide([=] {
        for (int x = 0; x < count; ++x) {
            const auto most = static_cast<std::uint16_t>(255 - code[x]);
            const auto drawn =
                static_cast<std::uint16_t>((line[x] + form[x] + parts / 2) >> part_bits);
            const auto modelled = static_cast<std::uint16_t>((shade[x] + parts / 2) >> part_bits);
            const std::uint16_t stroke = std::min(drawn, most);
            const std::uint16_t rest =
                std::min(modelled, static_cast<std::uint16_t>(most - stroke));
            strokes[x] = static_cast<std::uint8_t>(stroke < least_ink ? 0 : stroke);
            shades[x] = static_cast<std::uint8_t>(rest < least_ink ? 0 : rest);
        }
    });
}

}  // namespace

FieldInk dark_field(const Image& card, const DarkField& p) {
    check_fields(p, dark_field_fields);
    if (card.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "dark_field", "expected a gray picture, got color");
    }
    const Ppi ppi = card.ppi().value > 0.0 ? card.ppi() : Ppi{300.0};
    // OpenCV has no view of constant pixels; nothing writes through this one.
    const cv::Mat codes(card.height(), card.width(), CV_8UC1,
                        const_cast<std::uint8_t*>(card.bytes().data()));
    const cv::Mat near = near_mean(codes, std::max(0.5, pixels(Mm{p.stroke_mm}, ppi)));
    const Modelling wide = modelling(codes, ppi, p);
    const InkCurve stroke_curve(stroke_from, 1.0);
    Enlarged forms(wide.form, codes.size());
    Enlarged modelled(wide.shade, codes.size());

    FieldInk result{Image(card.width(), card.height(), Encoding::gray, card.ppi()),
                    Image(card.width(), card.height(), Encoding::gray, card.ppi())};
    const int width = card.width();
    std::vector<std::uint16_t> line(static_cast<std::size_t>(width)), form(line), shade(line);
    for (int y = 0; y < card.height(); ++y) {
        ink_row(card.row(y), static_cast<float>(lift), static_cast<float>(mean_unit),
                near.ptr<std::uint16_t>(y), width, stroke_curve, line.data());
        forms.row(y, form.data());
        modelled.row(y, shade.data());
        draw_row(line.data(), form.data(), shade.data(), card.row(y), width, result.strokes.row(y),
                 result.shades.row(y));
    }
    return result;
}

}  // namespace paleproof::filters
