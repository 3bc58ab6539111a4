// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/border.h"

#include <algorithm>
#include <cmath>
#include <vector>

#include "survey/edge_view.h"

namespace paleproof::survey {
namespace {

constexpr double most_noise = 9.0;
constexpr double share_that_keeps = 0.9;
constexpr Mm color_depth{0.5};  // rows that give the border its color
constexpr Mm drift_reach{2.0};  // along the edge; slower changes of color are the border's own
constexpr Mm frame_search{5.0};
constexpr Mm widest_frame{1.3};
constexpr float frame_step = 20.0F;
constexpr double frame_share = 0.7;

int at_least(int least, Mm length, Ppi ppi) {
    return std::max(least, static_cast<int>(std::lround(pixels(length, ppi))));
}

/// The part of the edge that is looked at.
struct Middle {
    int begin = 0, end = 0;
    [[nodiscard]] int size() const { return end - begin; }
};

Middle middle_of(const EdgeView& edge) {
    const int off = edge.length() / 10;
    return {off, edge.length() - off};
}

constexpr int most_drift = 40;  // codes from the usual color; what is farther off is no border

/// Color of the edge at each place of the middle: mean over the outer rows, smoothed along it.
/// What crosses the border counts as `usual`.
std::vector<float> local_color(const EdgeView& edge, Middle middle, int rows, int reach, int c,
                               int usual) {
    const auto n = static_cast<std::size_t>(middle.size());
    std::vector<double> sums(n + 1, 0.0);
    for (std::size_t i = 0; i < n; ++i) {
        double sum = 0.0;
        for (int r = 0; r < rows; ++r) {
            const int code = edge.at(r, middle.begin + static_cast<int>(i))[c];
            sum += std::abs(code - usual) <= most_drift ? code : usual;
        }
        sums[i + 1] = sums[i] + sum / rows;
    }
    std::vector<float> result(n);
    for (std::size_t i = 0; i < n; ++i) {
        const std::size_t a =
            i < static_cast<std::size_t>(reach) ? 0 : i - static_cast<std::size_t>(reach);
        const std::size_t b = std::min(n, i + static_cast<std::size_t>(reach) + 1);
        result[i] = static_cast<float>((sums[b] - sums[a]) / static_cast<double>(b - a));
    }
    return result;
}

class BorderReader {
  public:
    BorderReader(const EdgeView& edge, Ppi ppi)
        : edge_(edge), ppi_(ppi), middle_(middle_of(edge)) {}

    Border read() {
        Border result;
        if (middle_.size() < 1) return result;
        const int rows = std::min(at_least(2, color_depth, ppi_), edge_.depth());
        for (int c = 0; c < edge_.channels(); ++c) {
            const std::uint8_t usual = median(rows, c);
            result.color[static_cast<std::size_t>(c)] = usual;
            colors_.push_back(
                local_color(edge_, middle_, rows, at_least(3, drift_reach, ppi_), c, usual));
        }
        result.noise = noise(std::min(rows, 3));
        result.frame = frame();
        // A thin border may be thinner than the rows above: begin with what the first row keeps.
        if (result.noise > most_noise) {
            use_outer_row(result);
            result.noise = noise(1);
            if (result.noise > most_noise) return result;
        }
        width(result);
        return result;
    }

  private:
    /// Deviation of a pixel from the edge's own color there, largest channel.
    [[nodiscard]] float deviation(int row, int i) const {
        const std::uint8_t* pixel = edge_.at(row, middle_.begin + i);
        float most = 0.0F;
        for (std::size_t c = 0; c < colors_.size(); ++c) {
            most = std::max(most, std::abs(static_cast<float>(pixel[c]) -
                                           colors_[c][static_cast<std::size_t>(i)]));
        }
        return most;
    }

    void use_outer_row(Border& result) {
        for (std::size_t c = 0; c < colors_.size(); ++c) {
            const std::uint8_t usual = median(1, static_cast<int>(c));
            result.color[c] = usual;
            colors_[c] = local_color(edge_, middle_, 1, at_least(3, drift_reach, ppi_),
                                     static_cast<int>(c), usual);
        }
    }

    [[nodiscard]] std::uint8_t median(int rows, int c) const {
        std::array<int, 256> counts{};
        for (int r = 0; r < rows; ++r) {
            for (int i = 0; i < middle_.size(); ++i) ++counts[edge_.at(r, middle_.begin + i)[c]];
        }
        int left = rows * middle_.size() / 2;
        int code = 0;
        while (code < 255 && left >= counts[static_cast<std::size_t>(code)]) {
            left -= counts[static_cast<std::size_t>(code++)];
        }
        return static_cast<std::uint8_t>(code);
    }

    /// Standard deviation, of the calmer nine tenths so that a line across does not count.
    [[nodiscard]] double noise(int rows) const {
        std::vector<float> values;
        values.reserve(static_cast<std::size_t>(rows) * static_cast<std::size_t>(middle_.size()));
        for (int r = 0; r < rows; ++r) {
            for (int i = 0; i < middle_.size(); ++i) values.push_back(deviation(r, i));
        }
        const std::size_t kept = std::max<std::size_t>(1, values.size() * 9 / 10);
        std::ranges::nth_element(values, values.begin() + static_cast<std::ptrdiff_t>(kept - 1));
        double sum = 0.0;
        for (std::size_t i = 0; i < kept; ++i) sum += static_cast<double>(values[i]) * values[i];
        return std::sqrt(sum / static_cast<double>(kept));
    }

    [[nodiscard]] double mean_deviation(int row) const {
        double sum = 0.0;
        for (int i = 0; i < middle_.size(); ++i) sum += deviation(row, i);
        return sum / middle_.size();
    }

    void width(Border& result) const {
        const auto tolerance = static_cast<float>(std::max(10.0, 4.0 * result.noise));
        const int search = std::max(1, std::min(edge_.depth(), edge_.length()) / 4);
        int row = 0;
        for (; row < search; ++row) {
            int kept = 0;
            for (int i = 0; i < middle_.size(); ++i) kept += deviation(row, i) <= tolerance ? 1 : 0;
            if (kept < share_that_keeps * middle_.size()) break;
        }
        if (row >= search) {
            result.open = true;
            result.width_px = search;
            return;
        }
        if (row == 0) return;
        // The change may take a few rows (JPEG, antialiasing): half of it is the border's end.
        const double before = mean_deviation(std::max(0, row - 3));
        double after = before;
        for (int r = row; r < std::min(row + 3, edge_.depth()); ++r) {
            after = std::max(after, mean_deviation(r));
        }
        const double half = (before + after) / 2.0;
        int r = std::max(0, row - 2);
        while (r < row + 2 && mean_deviation(r) < half) ++r;
        const double low = r > 0 ? mean_deviation(r - 1) : before;
        const double high = mean_deviation(r);
        const double share = high > low ? (half - low) / (high - low) : 0.0;
        // Row r - 1 lies at r - 0.5 from the trim, row r at r + 0.5.
        result.width_px = std::max(0.5, r - 0.5 + std::clamp(share, 0.0, 1.0));
    }

    /// Per row, the share of the middle that gets lighter (positive) or darker (negative) by
    /// `frame_step` from that row to the row two further in.
    [[nodiscard]] std::vector<double> changes(int rows) const {
        const auto length = static_cast<std::size_t>(edge_.length());
        std::vector<float> light(length * static_cast<std::size_t>(rows + 2));
        edge_.put_light(rows + 2, light.data());
        std::vector<double> result;
        for (int row = 0; row < rows; ++row) {
            const float* outer = light.data() + static_cast<std::size_t>(row) * length +
                                 static_cast<std::size_t>(middle_.begin);
            const float* inner = outer + 2 * length;
            int up = 0;
            int down = 0;
            for (int i = 0; i < middle_.size(); ++i) {
                const float step = inner[i] - outer[i];
                up += step > frame_step ? 1 : 0;
                down += step < -frame_step ? 1 : 0;
            }
            const double most = std::max(up, down);
            result.push_back((up >= down ? most : -most) / middle_.size());
        }
        return result;
    }

    [[nodiscard]] std::optional<FrameLine> frame() const {
        const int search = std::min(at_least(4, frame_search, ppi_), edge_.depth() - 3);
        const int widest = at_least(3, widest_frame, ppi_);
        if (search < 1) return std::nullopt;
        const std::vector<double> change =
            changes(std::min(search + 2 * widest, edge_.depth() - 2));
        const int rows = static_cast<int>(change.size());
        std::optional<int> begin;
        double sign = 0.0;
        int last = -10;
        for (int r = 0; r < std::min(search + widest, rows); ++r) {
            const double share = change[static_cast<std::size_t>(r)];
            if (std::abs(share) < frame_share) continue;
            if (begin && share * sign < 0.0 && r - last >= 1 && r - *begin <= widest) {
                // Steps are seen over two rows; both ends are seen equally early.
                int end = r;
                while (end + 1 < rows &&
                       change[static_cast<std::size_t>(end + 1)] * sign < -frame_share) {
                    ++end;
                }
                const double outer = (*begin + last) / 2.0 + 1.5;
                const double inner = (r + end) / 2.0 + 1.5;
                if (outer > pixels(frame_search, ppi_)) return std::nullopt;
                return FrameLine{outer, inner - outer};
            }
            if (!begin || share * sign < 0.0 || r - last > 1) {
                begin = r;
                sign = share;
            }
            last = r;
        }
        return std::nullopt;
    }

    const EdgeView& edge_;
    Ppi ppi_;
    Middle middle_;
    std::vector<std::vector<float>> colors_;
};

Border border(const Image& image, RectPx area, Side side, Ppi ppi) {
    const EdgeView edge(image, area, side);
    return BorderReader(edge, ppi).read();
}

}  // namespace

Edges<Border> borders(const Image& image, RectPx area, Ppi ppi) {
    return {border(image, area, Side::top, ppi), border(image, area, Side::right, ppi),
            border(image, area, Side::bottom, ppi), border(image, area, Side::left, ppi)};
}

}  // namespace paleproof::survey
