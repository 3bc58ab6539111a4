// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_choice.h"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <queue>
#include <utility>

#include "core/patches.h"

namespace paleproof::filters {
namespace {

// Directions are kept as 1 to 64 for half a turn; 0 is no line.
constexpr int directions = 64;
constexpr int same_line = 9;     // 25 degrees between neighboring pixels
constexpr int same_way = 11;     // 31 degrees between lines side by side
constexpr double line_px = 2.0;  // how broad lines are where they are chosen
constexpr double crowded = 0.7;  // share of a line beside others from which it only fills the gap
constexpr double beside_worth = 0.15;
constexpr double stroke_of_mark =
    0.45;                            // of the height of a mark: lower ones are dashes of an edge
constexpr double beside_mark = 0.7;  // of the height of a mark: how far off a stroke is beside it
constexpr double own_width = 2.5;    // pixels from its middle that a line takes itself

int turn(int a, int b) {
    const int d = std::abs(a - b);
    return std::min(d, directions - d);
}

/// Halves away from zero, as std::lround, in line.
int rounded(double value) { return static_cast<int>(value < 0.0 ? value - 0.5 : value + 0.5); }

std::uint8_t direction_of(const StrokeFlow::Along& along) {
    double angle = std::atan2(along.y, along.x) / std::numbers::pi;  // -1..1, a half turn is 1
    angle -= std::floor(angle);
    return static_cast<std::uint8_t>(1 + static_cast<int>(angle * directions) % directions);
}

/// Sets of pixels, joined two at a time.
class Joined {
  public:
    explicit Joined(std::size_t count) : parent_(count) {
        std::iota(parent_.begin(), parent_.end(), 0);
    }
    int root(int i) {
        while (parent_[at(i)] != i) i = parent_[at(i)] = parent_[at(parent_[at(i)])];
        return i;
    }
    /// The lower number stays the root, so the result does not depend on the order of joins.
    void join(int a, int b) {
        a = root(a);
        b = root(b);
        if (a != b) parent_[at(std::max(a, b))] = std::min(a, b);
    }

  private:
    static std::size_t at(int i) { return static_cast<std::size_t>(i); }
    std::vector<int> parent_;
};

/// The pixels of all lines in reading order, and the direction of each place.
struct Drawing {
    int width = 0, height = 0;
    std::vector<std::uint8_t> direction;  ///< by place
    std::vector<std::int32_t> places;     ///< of the pixels of lines

    /// How many of a pixel's four sides are its line's sides.
    [[nodiscard]] int sides(std::int32_t place) const {
        const int x = place % width;
        const int y = place / width;
        const std::uint8_t* here = direction.data() + place;
        return (x == 0 || here[-1] == 0) + (x + 1 == width || here[1] == 0) +
               (y == 0 || here[-width] == 0) + (y + 1 == height || here[width] == 0);
    }
};

Drawing drawing_of(const Plane& rank, const StrokeFlow& flow) {
    Drawing d{rank.width, rank.height, std::vector<std::uint8_t>(rank.values.size(), 0), {}};
    std::vector<std::uint8_t> known(flow.cells.size(), 0);  // the pixels of a cell share it
    for (int y = 0; y < rank.height; ++y) {
        const float* r = rank.row(y);
        const std::int32_t row = y * rank.width;
        for (int x = 0; x < rank.width; ++x) {
            if (r[x] <= 0.0F) continue;
            d.places.push_back(row + x);
            const StrokeFlow::Along& along = flow.at(x, y);
            std::uint8_t& way = known[static_cast<std::size_t>(&along - flow.cells.data())];
            if (way == 0) way = direction_of(along);
            d.direction[static_cast<std::size_t>(row + x)] = way;
        }
    }
    return d;
}

/// The line of each pixel, numbered from 0 in reading order of their first pixels.
std::vector<int> lines_of(const Drawing& d, int& count) {
    Joined joined(d.places.size());
    std::vector<std::int32_t> number(d.direction.size(), -1);
    for (std::size_t i = 0; i < d.places.size(); ++i) {
        const std::int32_t place = d.places[i];
        number[static_cast<std::size_t>(place)] = static_cast<std::int32_t>(i);
        const int x = place % d.width;
        const int own = d.direction[static_cast<std::size_t>(place)];
        const auto try_join = [&](std::int32_t other) {
            const int way = d.direction[static_cast<std::size_t>(other)];
            if (way != 0 && turn(own, way) <= same_line) {
                joined.join(static_cast<int>(i), number[static_cast<std::size_t>(other)]);
            }
        };
        if (x > 0) try_join(place - 1);
        if (place < d.width) continue;
        try_join(place - d.width);
        if (x > 0) try_join(place - d.width - 1);
        if (x + 1 < d.width) try_join(place - d.width + 1);
    }
    std::vector<int> line(d.places.size(), -1);
    count = 0;
    for (std::size_t i = 0; i < line.size(); ++i) {
        const auto root = static_cast<std::size_t>(joined.root(static_cast<int>(i)));
        if (line[root] < 0) line[root] = count++;
        line[i] = line[root];
    }
    return line;
}

/// Marks the direction of a line's pixels on what lies within reach to both sides of them.
class Neighborhood {
  public:
    Neighborhood(const Drawing& d, const StrokeFlow& flow, double apart)
        : drawing_(d), flow_(flow), apart_(apart), near_(d.direction.size(), 0) {}

    void take(const std::int32_t* begin, const std::int32_t* end, double length) {
        const double apart = std::clamp(length * 0.05, 0.5 * apart_, apart_);
        for (; begin != end; ++begin) {
            const int x = *begin % drawing_.width;
            const int y = *begin / drawing_.width;
            const StrokeFlow::Along& a = flow_.at(x, y);
            const std::uint8_t way = drawing_.direction[static_cast<std::size_t>(*begin)];
            for (double r = own_width; r <= apart; r += 1.0) {
                const int off_x = rounded(r * -a.y);
                const int off_y = rounded(r * a.x);
                for (const int side : {1, -1}) {
                    const int nx = x + side * off_x;
                    const int ny = y + side * off_y;
                    if (nx < 0 || ny < 0 || nx >= drawing_.width || ny >= drawing_.height) continue;
                    near_[static_cast<std::size_t>(ny) * static_cast<std::size_t>(drawing_.width) +
                          static_cast<std::size_t>(nx)] = way;
                }
            }
        }
    }

    /// The share of a line's pixels that lie beside one that was taken.
    [[nodiscard]] double share(const std::int32_t* begin, const std::int32_t* end) const {
        const auto beside = std::count_if(begin, end, [this](std::int32_t place) {
            const auto at = static_cast<std::size_t>(place);
            return near_[at] != 0 && turn(near_[at], drawing_.direction[at]) <= same_way;
        });
        return static_cast<double>(beside) / static_cast<double>(end - begin);
    }

  private:
    const Drawing& drawing_;
    const StrokeFlow& flow_;
    double apart_;
    std::vector<std::uint8_t> near_;
};

/// Where lines meet their directions are unsure, and a few pixels belong to none: those that touch
/// a chosen line are drawn with it.
void close_gaps(std::vector<std::uint8_t>& chosen, const LineOrder& order) {
    const int width = order.size.width;
    std::vector<std::int32_t> gaps;
    for (const std::int32_t place : order.loose) {
        const int x = place % width;
        const int y = place / width;
        bool touches = false;
        for (int ny = std::max(0, y - 1); ny <= std::min(order.size.height - 1, y + 1); ++ny) {
            for (int nx = std::max(0, x - 1); nx <= std::min(width - 1, x + 1); ++nx) {
                touches = touches || chosen[static_cast<std::size_t>(ny * width + nx)] != 0;
            }
        }
        if (touches) gaps.push_back(place);
    }
    for (const std::int32_t place : gaps) chosen[static_cast<std::size_t>(place)] = 255;
}

}  // namespace

LineOrder line_order(const Plane& rank, const StrokeFlow& flow, const LineChoice& p) {
    const Drawing drawing = drawing_of(rank, flow);
    int count = 0;
    const std::vector<int> line = lines_of(drawing, count);
    std::vector<std::size_t> begin(static_cast<std::size_t>(count) + 1, 0);
    for (const int l : line) ++begin[static_cast<std::size_t>(l) + 1];
    std::partial_sum(begin.begin(), begin.end(), begin.begin());
    std::vector<std::int32_t> sorted(line.size());
    std::vector<double> worth(static_cast<std::size_t>(count), 0.0);
    std::vector<double> length(static_cast<std::size_t>(count), 0.0);  // half of the outline
    std::vector<std::size_t> next(begin.begin(), begin.end() - 1);
    for (std::size_t i = 0; i < line.size(); ++i) {
        const auto l = static_cast<std::size_t>(line[i]);
        sorted[next[l]++] = drawing.places[i];
        worth[l] += static_cast<double>(rank.values[static_cast<std::size_t>(drawing.places[i])]);
        length[l] += drawing.sides(drawing.places[i]) / 2.0;
    }
    LineOrder order;
    order.size = {rank.width, rank.height};
    order.pixels.reserve(sorted.size());
    const auto at = [](std::size_t i) { return static_cast<std::ptrdiff_t>(i); };
    using Entry = std::pair<double, int>;  // of equal worth the first in reading order comes first
    const auto later = [](const Entry& a, const Entry& b) {
        return a.first != b.first ? a.first < b.first : a.second > b.second;
    };
    std::priority_queue<Entry, std::vector<Entry>, decltype(later)> queue(later);
    for (std::size_t l = 0; l < worth.size(); ++l) {
        const auto pixels = static_cast<double>(begin[l + 1] - begin[l]);
        if (length[l] < p.shortest) {
            order.loose.insert(order.loose.end(), sorted.begin() + at(begin[l]),
                               sorted.begin() + at(begin[l + 1]));
            continue;
        }
        const double share =
            p.full_length > 0.0 ? std::sqrt(std::min(1.0, length[l] / p.full_length)) : 1.0;
        const double slender =
            std::min(1.0, line_px * length[l] / pixels);  // ink that makes length
        worth[l] = worth[l] / pixels * share * slender;
        queue.emplace(worth[l], static_cast<int>(l));
    }
    Neighborhood taken(drawing, flow, p.apart);
    const RectPx area = p.area.empty() ? RectPx{0, 0, rank.width, rank.height} : p.area;
    const auto counts = [&](std::int32_t place) {
        const int x = place % rank.width;
        const int y = place / rank.width;
        return x >= area.x && x < area.right() && y >= area.y && y < area.bottom();
    };
    while (!queue.empty()) {
        const auto [value, index] = queue.top();
        queue.pop();
        const auto l = static_cast<std::size_t>(index);
        const std::int32_t* first = sorted.data() + begin[l];
        const std::int32_t* last = sorted.data() + begin[l + 1];
        const double beside = taken.share(first, last);
        if (beside > crowded) continue;
        const double now = worth[l] * (1.0 - (1.0 - beside_worth) * beside);
        if (now < value) {
            queue.emplace(now, index);
            continue;
        }
        taken.take(first, last, length[l]);
        LineOrder::Line entry{order.pixels.size(), 0, 0};
        order.pixels.insert(order.pixels.end(), first, last);
        entry.end = order.pixels.size();
        entry.counted = static_cast<int>(std::count_if(first, last, counts));
        order.lines.push_back(entry);
    }
    return order;
}

std::vector<std::uint8_t> line_choice(const LineOrder& order, double most) {
    std::vector<std::uint8_t> result(
        static_cast<std::size_t>(order.size.width) * static_cast<std::size_t>(order.size.height),
        0);
    double taken = 0.0;
    for (const LineOrder::Line& line : order.lines) {
        if (taken + line.counted > most) continue;
        taken += line.counted;
        for (std::size_t i = line.begin; i < line.end; ++i) {
            result[static_cast<std::size_t>(order.pixels[i])] = 255;
        }
    }
    close_gaps(result, order);
    return result;
}

void leave_out_strokes(std::span<std::uint8_t> chosen, SizePx size, std::span<const RectPx> marks) {
    if (marks.empty()) return;
    const Patches lines = patches_of(chosen.data(), size.width, size.height);
    clear_patches(lines, chosen.data(), size.width, [&](std::size_t i) {
        const Patches::Patch& line = lines.patches[i];
        return std::ranges::any_of(marks, [&](const RectPx& mark) {
            const int off = std::max(mark.x - line.right, line.left - mark.right());
            return off >= 0 && std::max(off, line.width()) <= beside_mark * mark.height &&
                   line.height() <= mark.height && line.height() >= stroke_of_mark * mark.height &&
                   line.top < mark.bottom() && line.bottom > mark.y;
        });
    });
}

}  // namespace paleproof::filters
