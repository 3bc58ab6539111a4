// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/flat_areas.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdlib>
#include <utility>

#include "color/srgb.h"
#include "core/wide.h"
#include "survey/components.h"

namespace paleproof::survey {
namespace {

constexpr int soft_step = 9;       // an edge whose step is smaller than this is a blend
constexpr double most_soft = 0.5;  // share of an area's edge
constexpr double least_flat = 0.45;
constexpr double same_color = 6.0;  // Euclid in CIELAB
constexpr int bin_bits = 5;
constexpr int bins = 1 << (3 * bin_bits);
constexpr std::size_t most_peaks = 60;
constexpr int reach = 3;  // pixels over which the mixed colors of an edge are skipped

enum Flat : std::uint8_t { rough = 0, line = 1, flat = 2 };

int step_between(const std::uint8_t* a, const std::uint8_t* b) {
    return std::max({std::abs(a[0] - b[0]), std::abs(a[1] - b[1]), std::abs(a[2] - b[2])});
}

int way(const std::uint8_t* a, const std::uint8_t* b) {
    return std::abs(a[0] - b[0]) + std::abs(a[1] - b[1]) + std::abs(a[2] - b[2]);
}

/// A line two or three pixels wide is flat along itself and no mixture of what lies on its sides;
/// the smoothed edge between two areas is.
bool ridge(const std::uint8_t* p, const std::uint8_t* one, const std::uint8_t* other) {
    const int over = way(p, one) + way(p, other);
    return over > 40 && 10 * over > 13 * way(one, other);
}

/// Bits of what a pixel is alike: 1 the pixels to its left and right, 2 those above and below.
void alike_bits(const std::uint8_t* right, const std::uint8_t* above, const std::uint8_t* below,
                int count, std::uint8_t* bits) {
    wide([=] {
        for (int x = 0; x < count; ++x) {
            bits[x] =
                static_cast<std::uint8_t>((right[x] & right[x + 1]) | (above[x] & below[x]) << 1);
        }
    });
}

std::vector<std::uint8_t> flatness(const SmallView& v) {
    static constexpr std::array<std::uint8_t, 4> kind_of{rough, line, line, flat};
    const auto w = static_cast<std::size_t>(v.width);
    std::vector<std::uint8_t> result(w * static_cast<std::size_t>(v.height), rough);
    if (v.width < 5 || v.height < 5) return result;
    for (int y = 2; y + 2 < v.height; ++y) {
        std::uint8_t* kinds = result.data() + static_cast<std::size_t>(y) * w;
        alike_bits(v.alike_right.data() + v.index(1, y), v.alike_below.data() + v.index(2, y - 1),
                   v.alike_below.data() + v.index(2, y), v.width - 4, kinds + 2);
        for (int x = 2; x + 2 < v.width; ++x) {
            const std::uint8_t bits = kinds[x];
            kinds[x] = kind_of[bits];
            if (kinds[x] != line) continue;
            const std::uint8_t* p = v.at(x, y);
            const bool stands_out =
                bits == 1 ? ridge(p, v.at(x, y - 2), v.at(x, y + 2)) : ridge(p, p - 6, p + 6);
            if (!stands_out) kinds[x] = rough;
        }
    }
    return result;
}

int bin_of(const std::uint8_t* p) {
    constexpr int drop = 8 - bin_bits;
    return ((p[0] >> drop) << (2 * bin_bits)) | ((p[1] >> drop) << bin_bits) | (p[2] >> drop);
}

/// The label (1..) of every bin of colors, 0 where no area has such a color.
std::vector<std::uint8_t> labels_of_bins(const SmallView& v, const std::vector<std::uint8_t>& kind,
                                         int least) {
    // Sixteen bytes a bin, so that all of them stay near. The mean of the first 16 million pixels,
    // whose sums have room, will do.
    constexpr std::uint32_t most_in_bin = 1U << 24U;
    struct Bin {
        std::uint32_t count = 0, r = 0, g = 0, b = 0;
    };
    std::vector<Bin> histogram(bins);
    for (std::size_t i = 0; i < kind.size(); ++i) {
        if (kind[i] == rough) continue;
        const std::uint8_t* p = v.rgb.data() + 3 * i;
        Bin& bin = histogram[static_cast<std::size_t>(bin_of(p))];
        if (bin.count == most_in_bin) continue;
        ++bin.count;
        bin.r += p[0];
        bin.g += p[1];
        bin.b += p[2];
    }
    std::vector<int> order;
    for (int i = 0; i < bins; ++i) {
        if (histogram[static_cast<std::size_t>(i)].count >= 3) order.push_back(i);
    }
    std::ranges::stable_sort(order, [&](int a, int b) {
        return histogram[static_cast<std::size_t>(a)].count >
               histogram[static_cast<std::size_t>(b)].count;
    });
    std::vector<color::Lab> peaks;
    std::vector<std::uint8_t> labels(bins, 0);
    for (const int i : order) {
        const Bin& bin = histogram[static_cast<std::size_t>(i)];
        const auto mean = [&](std::uint32_t sum) {
            return static_cast<std::uint8_t>((sum + bin.count / 2) / bin.count);
        };
        const color::Lab lab = color::lab({mean(bin.r), mean(bin.g), mean(bin.b)});
        std::size_t nearest = 0;
        double distance = same_color * same_color;
        for (std::size_t k = 0; k < peaks.size(); ++k) {
            const double dl = lab.l - peaks[k].l;
            const double da = lab.a - peaks[k].a;
            const double db = lab.b - peaks[k].b;
            const double d = dl * dl + da * da + db * db;
            if (d < distance) {
                distance = d;
                nearest = k + 1;
            }
        }
        if (nearest == 0 && peaks.size() < most_peaks && static_cast<int>(bin.count) >= least / 4) {
            peaks.push_back(lab);
            nearest = peaks.size();
        }
        labels[static_cast<std::size_t>(i)] = static_cast<std::uint8_t>(nearest);
    }
    return labels;
}

/// What is summed up of every area.
struct Sums {
    int pixels = 0, flats = 0, lines = 0, edge = 0, soft = 0;
    int left = 1 << 30, top = 1 << 30, right = 0, bottom = 0;
};

/// What is summed up of those that carry meaning.
struct Inside {
    std::int64_t r = 0, g = 0, b = 0;
    int core = 0, core_x = 0, core_y = 0;
};

/// The largest square of one number that ends at each pixel of a row, from that of the row above.
class Squares {
  public:
    explicit Squares(std::size_t width) : above_(width, 0), here_(width, 0) {}
    void next_row() { std::swap(above_, here_); }
    /// `number` points at the pixel; x > 0 and `width` > 0 (the way to the row above) where there
    /// is a pixel to the left and above.
    int at(const int* number, std::size_t x, std::size_t width) {
        int side = 1;
        if (x > 0 && width > 0) {
            const int* above = number - width;
            if (number[-1] == *number && above[0] == *number && above[-1] == *number)
                side += std::min({here_[x - 1], above_[x], above_[x - 1]});
        }
        return here_[x] = side;
    }

  private:
    std::vector<int> above_, here_;
};

std::vector<Sums> sums_of(const SmallView& v, const std::vector<std::uint8_t>& kind,
                          const std::vector<int>& number, int count) {
    std::vector<Sums> sums(static_cast<std::size_t>(count));
    const auto w = static_cast<std::size_t>(v.width);
    const auto add_edge = [&](std::size_t i, std::size_t j) {
        const bool soft = step_between(v.rgb.data() + 3 * i, v.rgb.data() + 3 * j) < soft_step;
        for (const int n : {number[i], number[j]}) {
            if (n < 0) continue;
            Sums& s = sums[static_cast<std::size_t>(n)];
            ++s.edge;
            s.soft += soft ? 1 : 0;
        }
    };
    for (int y = 0; y < v.height; ++y) {
        const std::size_t row = static_cast<std::size_t>(y) * w;
        for (std::size_t end = 0; end < w;) {
            const std::size_t begin = end;
            const int n = number[row + begin];
            while (end < w && number[row + end] == n) ++end;
            if (begin > 0) add_edge(row + begin, row + begin - 1);
            for (std::size_t i = row + begin; y > 0 && i < row + end; ++i) {
                if (number[i - w] != n) add_edge(i, i - w);
            }
            if (n < 0) continue;
            Sums& s = sums[static_cast<std::size_t>(n)];
            s.pixels += static_cast<int>(end - begin);
            s.left = std::min(s.left, static_cast<int>(begin));
            s.top = std::min(s.top, y);
            s.right = std::max(s.right, static_cast<int>(end));
            s.bottom = y + 1;
            for (std::size_t i = row + begin; i < row + end; ++i) {
                s.flats += kind[i] == flat ? 1 : 0;
                s.lines += kind[i] == line ? 1 : 0;
            }
        }
    }
    return sums;
}

/// Numbers that have no place are left out.
std::vector<Inside> insides_of(const SmallView& v, const std::vector<std::uint8_t>& kind,
                               const std::vector<int>& number, std::size_t count) {
    std::vector<Inside> insides(count);
    const auto w = static_cast<std::size_t>(v.width);
    Squares squares(w);
    for (int y = 0; y < v.height; ++y) {
        const std::size_t row = static_cast<std::size_t>(y) * w;
        squares.next_row();
        for (std::size_t x = 0; x < w; ++x) {
            const std::size_t i = row + x;
            if (number[i] < 0) continue;
            Inside& inside = insides[static_cast<std::size_t>(number[i])];
            if (kind[i] != rough) {
                const std::uint8_t* p = v.rgb.data() + 3 * i;
                inside.r += p[0];
                inside.g += p[1];
                inside.b += p[2];
            }
            const int side = squares.at(number.data() + i, x, y > 0 ? w : 0);
            if (side > inside.core) {
                inside.core = side;
                inside.core_x = static_cast<int>(x) + 1 - side;
                inside.core_y = y + 1 - side;
            }
        }
    }
    return insides;
}

bool carries_meaning(const Sums& s) {
    return s.soft <= most_soft * s.edge && s.flats + s.lines >= least_flat * s.pixels;
}

FlatArea area_of(const Sums& s, const Inside& inside) {
    const int n = s.flats + s.lines;
    const auto mean = [n](std::int64_t sum) {
        return static_cast<std::uint8_t>((sum + n / 2) / n);
    };
    return {.color = {mean(inside.r), mean(inside.g), mean(inside.b)},
            .box = {s.left, s.top, s.right - s.left, s.bottom - s.top},
            .core = {inside.core_x, inside.core_y, inside.core, inside.core},
            .pixels = s.pixels,
            .edge = s.edge};
}

/// Counts, for each two areas, the places where one follows the other within the reach.
std::vector<int> touching_of(const std::vector<int>& area, std::size_t width, std::size_t count) {
    std::vector<int> touching(count * count, 0);
    const auto look = [&](std::size_t i, std::size_t step, std::size_t room) {
        const int mine = area[i];
        if (room == 0 || area[i + step] == mine) return;
        for (std::size_t k = 1; k <= std::min<std::size_t>(reach, room); ++k) {
            const int other = area[i + k * step];
            if (other == mine) return;
            if (other < 0) continue;
            const auto [a, b] = std::minmax(mine, other);
            ++touching[static_cast<std::size_t>(a) * count + static_cast<std::size_t>(b)];
            return;
        }
    };
    const std::size_t height = area.size() / width;
    for (std::size_t y = 0; y < height; ++y) {
        const std::size_t row = y * width;
        for (std::size_t end = 0; end < width;) {
            const std::size_t begin = end;
            const int mine = area[row + begin];
            while (end < width && area[row + end] == mine) ++end;
            if (mine < 0) continue;
            look(row + end - 1, 1, width - end);
            for (std::size_t x = begin; x < end; ++x) look(row + x, width, height - 1 - y);
        }
    }
    return touching;
}

}  // namespace

FlatAreas flat_areas(const SmallView& view, int least, std::size_t most) {
    const std::vector<std::uint8_t> kind = flatness(view);
    const std::vector<std::uint8_t> labels = labels_of_bins(view, kind, least);
    std::vector<std::uint8_t> label(kind.size());
    const std::uint8_t* pixel = view.rgb.data();
    for (std::uint8_t& l : label) {
        l = labels[static_cast<std::size_t>(bin_of(pixel))];
        pixel += 3;
    }
    const auto width = static_cast<std::size_t>(view.width);
    int count = 0;
    std::vector<int> number = components(label, width, least, count);
    const std::vector<Sums> sums = sums_of(view, kind, number, count);
    std::vector<int> kept;
    for (std::size_t i = 0; i < sums.size(); ++i) {
        if (carries_meaning(sums[i])) kept.push_back(static_cast<int>(i));
    }
    std::ranges::stable_sort(kept, [&](int a, int b) {
        return sums[static_cast<std::size_t>(a)].pixels > sums[static_cast<std::size_t>(b)].pixels;
    });
    if (kept.size() > most) kept.resize(most);
    std::vector<int> place(sums.size(), -1);
    for (std::size_t i = 0; i < kept.size(); ++i) {
        place[static_cast<std::size_t>(kept[i])] = static_cast<int>(i);
    }
    for (int& n : number) n = n < 0 ? -1 : place[static_cast<std::size_t>(n)];
    const std::vector<Inside> insides = insides_of(view, kind, number, kept.size());
    FlatAreas result;
    for (std::size_t i = 0; i < kept.size(); ++i) {
        result.areas.push_back(area_of(sums[static_cast<std::size_t>(kept[i])], insides[i]));
    }
    result.touching = touching_of(number, width, kept.size());
    return result;
}

}  // namespace paleproof::survey
