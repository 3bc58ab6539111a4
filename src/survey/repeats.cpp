// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/repeats.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <opencv2/imgproc.hpp>
#include <tuple>
#include <utility>
#include <vector>

#include "core/wide.h"
#include "survey/edge_view.h"

namespace paleproof::survey {
namespace {

constexpr Mm strip_width{3.0};
constexpr Mm farthest{9.0};
constexpr Mm farthest_along{6.0};
constexpr double least_likeness = 0.94;
constexpr double nearly = 0.01;
constexpr double dip = 0.7;
constexpr double least_contrast = 6.0;  // standard deviation, codes
constexpr int least_step = 4;           // px

// A look at few pixels tells most art from what repeats: of 48 samples the correlation is
// uncertain by some 0.1, so the look is content with less than the real measure.
constexpr int probe_count = 48;
constexpr float probe_likeness = 0.66F;
constexpr int second_count = 128;
constexpr float second_likeness = 0.82F;
constexpr float probe_dip = 0.8F;
constexpr std::size_t most_first = 8;       // shifts
constexpr std::size_t most_by_hand = 1500;  // shifts; for more, Fourier transforms are cheaper

/// One pixel of the sample, as seen from the art's top left, and its value about the mean.
struct Probe {
    std::ptrdiff_t offset = 0;
    float value = 0.0F;
};

/// A shift, and the correlation that a look at few pixels gave it.
struct Shift {
    float likeness = 0.0F;
    int row = 0, column = 0;
};

/// Art along one edge, and the strip of it that is looked for farther in.
class Pattern {
  public:
    Pattern(cv::Mat art, int strip, int aside)
        : art_(std::move(art)),
          aside_(aside),
          sample_(art_(cv::Rect(aside, 0, art_.cols - 2 * aside, strip))) {}

    [[nodiscard]] RepeatStep step() {
        cv::Scalar mean;
        cv::Scalar deviation;
        cv::meanStdDev(sample_, mean, deviation);
        if (deviation[0] < least_contrast) return {};
        art_ -= mean[0];
        const std::vector<Shift> shifts = promising();
        if (!stands(shifts)) return {};
        measure(shifts);
        return best_step();
    }

  private:
    [[nodiscard]] int rows() const { return art_.rows - sample_.rows + 1; }
    [[nodiscard]] int columns() const { return 2 * aside_ + 1; }

    /// Pixels spread over the sample by the golden ratio's plane sequence; every other one is the
    /// most telling of a few neighbors, so that a sparse motif is not missed.
    [[nodiscard]] std::vector<Probe> probes(int count) const {
        std::vector<Probe> result;
        result.reserve(static_cast<std::size_t>(count));
        double u = 0.5;
        double v = 0.5;
        for (int i = 0; i < count; ++i) {
            Probe best;
            for (int k = 0; k < (i % 2 == 0 ? 1 : 4); ++k) {
                u += 0.7548776662466927;
                v += 0.5698402909980532;
                u -= std::floor(u);
                v -= std::floor(v);
                const int x = static_cast<int>(u * sample_.cols);
                const int row = static_cast<int>(v * sample_.rows);
                const std::ptrdiff_t offset = static_cast<std::ptrdiff_t>(row) * art_.cols + x;
                const float value = sample_.at<float>(row, x);
                if (k == 0 || std::abs(value) > std::abs(best.value)) best = {offset, value};
            }
            result.push_back(best);
        }
        return result;
    }

    /// Correlation of the probes with what lies at each shift of one row.
    void probe_row(const std::vector<Probe>& points, int r, std::vector<float>& out) const {
        const auto n = static_cast<std::size_t>(columns());
        std::vector<float> products(n, 0.0F);
        std::vector<float> sums(n, 0.0F);
        std::vector<float> squares(n, 0.0F);
        float sum = 0.0F;
        float square = 0.0F;
        for (const Probe& point : points) {
            const float* in = art_.ptr<float>(r) + point.offset;
            const float value = point.value;
            sum += value;
            square += value * value;
            wide([in, value, n, p = products.data(), s = sums.data(), q = squares.data()] {
                for (std::size_t x = 0; x < n; ++x) {
                    const float there = in[x];
                    p[x] += value * there;
                    s[x] += there;
                    q[x] += there * there;
                }
            });
        }
        const auto count = static_cast<float>(points.size());
        const float own = square - sum * sum / count;
        for (std::size_t x = 0; x < n; ++x) {
            const float other = squares[x] - sums[x] * sums[x] / count;
            const float scale = own * other;
            out[x] =
                scale > 1e-3F ? (products[x] - sum * sums[x] / count) / std::sqrt(scale) : 0.0F;
        }
    }

    /// The same for one shift.
    [[nodiscard]] float probe_at(const std::vector<Probe>& points, int r, int x) const {
        // Two sums of each kind, as an addition takes longer than the loop's turn.
        std::array<float, 2> product{};
        std::array<float, 2> sum{};
        std::array<float, 2> square{};
        float own_sum = 0.0F;
        float own_square = 0.0F;
        const float* origin = art_.ptr<float>(r) + x;
        for (std::size_t i = 0; i < points.size(); ++i) {
            const Probe& point = points[i];
            const float there = origin[point.offset];
            const std::size_t k = i % 2;
            product[k] += point.value * there;
            sum[k] += there;
            square[k] += there * there;
            own_sum += point.value;
            own_square += point.value * point.value;
        }
        const auto count = static_cast<float>(points.size());
        const float total = sum[0] + sum[1];
        const float scale = (square[0] + square[1] - total * total / count) *
                            (own_square - own_sum * own_sum / count);
        return scale > 1e-3F
                   ? (product[0] + product[1] - total * own_sum / count) / std::sqrt(scale)
                   : 0.0F;
    }

    /// Shifts at which the art may repeat.
    [[nodiscard]] std::vector<Shift> promising() const {
        const std::vector<Probe> few = probes(probe_count);
        const std::vector<Probe> more = probes(second_count);
        std::vector<Shift> result;
        std::vector<float> likeness(static_cast<std::size_t>(columns()));
        float lowest = 1.0F;
        for (int r = 1; r < rows(); ++r) {
            lowest = std::min(lowest, probe_at(more, r, aside_));
            if (r < least_step || lowest > probe_dip) continue;
            probe_row(few, r, likeness);
            for (int x = 0; x < columns(); ++x) {
                if (likeness[static_cast<std::size_t>(x)] < probe_likeness) continue;
                const float second = probe_at(more, r, x);
                if (second >= second_likeness) result.push_back({second, r, x});
            }
        }
        return result;
    }

    /// Whether one of the likeliest shifts comes near what is wanted, by the real measure.
    [[nodiscard]] bool stands(std::vector<Shift> shifts) const {
        const std::size_t count = std::min(shifts.size(), most_first);
        std::partial_sort(shifts.begin(), shifts.begin() + static_cast<std::ptrdiff_t>(count),
                          shifts.end(), [](const Shift& a, const Shift& b) {
                              return std::tuple(-a.likeness, a.row, a.column) <
                                     std::tuple(-b.likeness, b.row, b.column);
                          });
        const double own = sample_.dot(sample_);
        return std::any_of(
            shifts.begin(), shifts.begin() + static_cast<std::ptrdiff_t>(count),
            [&](const Shift& shift) {
                const cv::Mat there =
                    art_(cv::Rect(shift.column, shift.row, sample_.cols, sample_.rows));
                const double sum = cv::sum(there)[0];
                const double other =
                    there.dot(there) - sum * sum / static_cast<double>(there.total());
                return other > 1e-3 &&
                       there.dot(sample_) >= (least_likeness - nearly) * std::sqrt(own * other);
            });
    }

    /// The real measure at the shifts given, at their neighbors, and straight inward, where the dip
    /// is looked for; elsewhere 0.
    void measure(const std::vector<Shift>& shifts) {
        if (shifts.size() > most_by_hand) {
            cv::matchTemplate(art_, sample_, likeness_, cv::TM_CCOEFF_NORMED);
            return;
        }
        likeness_ = cv::Mat::zeros(rows(), columns(), CV_32FC1);
        cv::Mat known = cv::Mat::zeros(rows(), columns(), CV_8UC1);
        const double own = sample_.dot(sample_);
        cv::Mat sums;
        cv::Mat squares;
        cv::integral(art_, sums, squares, CV_64F, CV_64F);
        const double count = static_cast<double>(sample_.total());
        const auto look = [&](int r, int x) {
            if (r < 0 || x < 0 || r >= rows() || x >= columns() || known.at<std::uint8_t>(r, x)) {
                return;
            }
            known.at<std::uint8_t>(r, x) = 1;
            const cv::Rect window(x, r, sample_.cols, sample_.rows);
            const auto over = [&](const cv::Mat& table) {
                return table.at<double>(window.br()) - table.at<double>(r, x + window.width) -
                       table.at<double>(r + window.height, x) + table.at<double>(r, x);
            };
            const double sum = over(sums);
            const double other = over(squares) - sum * sum / count;
            if (other <= 1e-3) return;
            likeness_.at<float>(r, x) =
                static_cast<float>(art_(window).dot(sample_) / std::sqrt(own * other));
        };
        for (int r = 0; r < rows(); ++r) look(r, aside_);
        for (const Shift& shift : shifts) {
            look(shift.row, shift.column);
            look(shift.row, shift.column - 1);
            look(shift.row, shift.column + 1);
            look(shift.row + 1, shift.column);
        }
    }

    [[nodiscard]] RepeatStep best_step() const {
        // The best step, past the first dip in every row that leads to it.
        double best = 0.0;
        double lowest = 1.0;
        int begin = likeness_.rows;
        for (int r = 1; r < likeness_.rows; ++r) {
            lowest = std::min(lowest, static_cast<double>(likeness_.at<float>(r, aside_)));
            if (r < least_step || lowest > dip) continue;
            begin = std::min(begin, r);
            double most = 0.0;
            cv::minMaxLoc(likeness_.row(r), nullptr, &most);
            best = std::max(best, most);
        }
        if (best < least_likeness) return {};
        for (int r = begin; r < likeness_.rows; ++r) {
            double most = 0.0;
            cv::Point at;
            cv::minMaxLoc(likeness_.row(r), nullptr, &most, nullptr, &at);
            const double after = r + 1 < likeness_.rows ? likeness_.at<float>(r + 1, at.x) : 0.0;
            if (most < best - nearly || after > most) continue;
            // Of several places along the edge that are as good, the nearest.
            int along = at.x - aside_;
            for (int x = 0; x < likeness_.cols; ++x) {
                const float here = likeness_.at<float>(r, x);
                const bool peak =
                    (x == 0 || likeness_.at<float>(r, x - 1) <= here) &&
                    (x + 1 == likeness_.cols || likeness_.at<float>(r, x + 1) <= here);
                if (peak && here >= most - nearly && std::abs(x - aside_) < std::abs(along)) {
                    along = x - aside_;
                }
            }
            return {along, r, most};
        }
        return {};
    }

    cv::Mat art_;
    int aside_;
    cv::Mat sample_;
    cv::Mat likeness_;  // [inward][along + aside]
};

RepeatStep repeat(const Image& image, RectPx area, Side side, Ppi ppi) {
    const EdgeView edge(image, area, side);
    const int strip = static_cast<int>(std::lround(pixels(strip_width, ppi)));
    const int reach =
        std::min(static_cast<int>(std::lround(pixels(farthest, ppi))), edge.depth() - strip);
    const int aside =
        std::min(static_cast<int>(std::lround(pixels(farthest_along, ppi))), edge.length() / 5);
    if (strip < 8 || reach < least_step || edge.length() < 4 * strip) return {};
    cv::Mat art(strip + reach, edge.length(), CV_32FC1);
    edge.put_light(art.rows, art.ptr<float>());
    return Pattern(std::move(art), strip, aside).step();
}

}  // namespace

Edges<RepeatStep> repeats(const Image& image, RectPx area, Ppi ppi, const Edges<bool>& wanted) {
    const auto one = [&](Side side, bool look) {
        return look ? repeat(image, area, side, ppi) : RepeatStep{};
    };
    return {one(Side::top, wanted.top), one(Side::right, wanted.right),
            one(Side::bottom, wanted.bottom), one(Side::left, wanted.left)};
}

}  // namespace paleproof::survey
