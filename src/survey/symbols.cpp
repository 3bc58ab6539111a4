// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/symbols.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "color/srgb.h"
#include "core/patches.h"
#include "survey/symbol_parts.h"

namespace paleproof::survey {
namespace {

constexpr double ground_mm2 = 5.0;      // smaller even patches are parts of symbols
constexpr Mm least_side{0.9};           // of the longer side
constexpr Mm least_breadth{0.3};        // of the shorter one
constexpr Mm most_side{7.0};            // of the longer side
constexpr double longest = 8.0;         // times as long as broad: a rule
constexpr double one_ground = 0.9;      // share of what lies around a symbol
constexpr double line_share = 0.6;      // of a patch in a line's box: among its letters
constexpr double icon_x_heights = 1.2;  // thicker than any letter
constexpr double icon_cap_heights = 1.15;
constexpr double word_from = 1.5;       // times as long as high
constexpr double sure_line = 0.5;       // confidence
constexpr double flat_deviation = 3.0;  // codes: standard deviation of a ground of one color
constexpr double beside_line = 1.5;     // line heights to the left and right that belong to it
constexpr double beside_mark = 0.7;     // of a symbol in a mark's box: the mark itself
constexpr double most_of_badge = 0.6;   // of its box, that a number on it takes
constexpr int same_color = 60;          // codes, of three channels together
constexpr double in_row = 0.25;         // of the size: how far symbols of a row may be off
constexpr double row_gap = 1.6;         // sizes between two of a row, at most

/// Zones of a view whose neighbors hardly differ.
struct Zones {
    std::vector<int> zone;  ///< of each pixel
    struct Zone {
        int pixels = 0;
        int left = 1 << 30, top = 1 << 30, right = 0, bottom = 0;
        std::int64_t sum = 0, squares = 0;  ///< of one channel that stands for all
        [[nodiscard]] double deviation() const {
            const double mean = static_cast<double>(sum) / pixels;
            return std::sqrt(std::max(0.0, static_cast<double>(squares) / pixels - mean * mean));
        }
    };
    std::vector<Zone> zones;
};

/// Joins alike neighbors: gives each run of alike pixels along a row a number, into `zone`, and the
/// first number of those that hang together to each number.
std::vector<int> joined_runs(const SmallView& view, std::vector<int>& zone) {
    const auto w = static_cast<std::size_t>(view.width);
    std::vector<int> parent;
    const auto root = [&](int i) {
        while (parent[static_cast<std::size_t>(i)] != i) {
            const auto at = static_cast<std::size_t>(i);
            parent[at] = parent[static_cast<std::size_t>(parent[at])];
            i = parent[at];
        }
        return i;
    };
    for (int y = 0; y < view.height; ++y) {
        int* row = zone.data() + static_cast<std::size_t>(y) * w;
        const int* before = y > 0 ? row - w : nullptr;
        const std::uint8_t* right = view.alike_right.data() + view.index(0, y);
        const std::uint8_t* above =
            before != nullptr ? view.alike_below.data() + view.index(0, y - 1) : nullptr;
        int joined = -1;  // zone of the row above that the run joined last
        for (int x = 0; x < view.width; ++x) {
            if (x > 0 && right[x - 1] != 0) {
                row[x] = row[x - 1];
            } else {
                row[x] = static_cast<int>(parent.size());
                parent.push_back(row[x]);
                joined = -1;
            }
            if (above == nullptr || above[x] == 0 || before[x] == joined) continue;
            joined = before[x];
            const int a = root(row[x]);
            const int b = root(joined);
            if (a != b) parent[static_cast<std::size_t>(std::max(a, b))] = std::min(a, b);
        }
    }
    for (std::size_t i = 0; i < parent.size(); ++i)
        parent[i] = parent[static_cast<std::size_t>(parent[i])];  // parents come first
    return parent;
}

Zones zones_of(const SmallView& view) {
    const int width = view.width;
    const auto w = static_cast<std::size_t>(width);
    Zones result;
    result.zone.resize(w * static_cast<std::size_t>(view.height));
    const std::vector<int> first = joined_runs(view, result.zone);
    std::vector<int> place(first.size(), -1);
    int count = 0;
    for (std::size_t i = 0; i < first.size(); ++i) {
        const auto of = static_cast<std::size_t>(first[i]);
        if (place[of] < 0) place[of] = count++;
        place[i] = place[of];
    }
    result.zones.resize(static_cast<std::size_t>(count));
    for (int y = 0; y < view.height; ++y) {
        int* row = result.zone.data() + static_cast<std::size_t>(y) * w;
        for (int end = 0; end < width;) {
            const int begin = end;
            const int given = row[begin];
            const int z = place[static_cast<std::size_t>(given)];
            std::int64_t sum = 0;
            std::int64_t squares = 0;
            for (; end < width && row[end] == given; ++end) {
                const int code = view.at(end, y)[1];
                sum += code;
                squares += code * code;
                row[end] = z;
            }
            Zones::Zone& zone = result.zones[static_cast<std::size_t>(z)];
            zone.pixels += end - begin;
            zone.left = std::min(zone.left, begin);
            zone.right = std::max(zone.right, end);
            zone.top = std::min(zone.top, y);
            zone.bottom = y + 1;
            zone.sum += sum;
            zone.squares += squares;
        }
    }
    return result;
}

double area(RectPx box) { return static_cast<double>(box.width) * box.height; }

/// Whether a patch is among the letters of a line that was found: thinner than an icon, or as long
/// as a word whose letters hang together by their outlines.
bool among_letters(RectPx box, double thickness, std::span<const TextLine> text) {
    return std::ranges::any_of(text, [&](const TextLine& line) {
        if (line.kind != TextLine::Kind::line ||
            area(intersection(box, line.box_px)) < line_share * area(box))
            return false;
        const bool turned = line.quarter_turns % 2 != 0;
        const int along = turned ? box.height : box.width;
        const int across = turned ? box.width : box.height;
        return along >= word_from * across ||
               thickness < std::max(icon_x_heights * line.x_height_px,
                                    icon_cap_heights * line.cap_height_px);
    });
}

int apart(const RgbCode& a, const RgbCode& b) {
    int sum = 0;
    for (std::size_t c = 0; c < a.size(); ++c) sum += std::abs(a[c] - b[c]);
    return sum;
}

/// Whether a patch is the ground of a mark, seen through one of its figures: the holes of an 8.
bool hole_of_mark(const Symbol& symbol, std::span<const TextLine> text) {
    return std::ranges::any_of(text, [&](const TextLine& line) {
        return line.kind == TextLine::Kind::mark &&
               area(intersection(symbol.box_px, line.box_px)) >=
                   beside_mark * area(symbol.box_px) &&
               apart(symbol.figure_color, line.ground_color) <
                   apart(symbol.figure_color, line.text_color) &&
               apart(symbol.ground_color, line.text_color) <
                   apart(symbol.ground_color, line.ground_color);
    });
}

/// A number that was found as a mark on what counts as one sign, its badge: the badge is its field.
void set_on_field(Symbol& symbol, std::span<const TextLine> text) {
    if (symbol.on_field) return;
    for (const TextLine& line : text) {
        if (line.kind != TextLine::Kind::mark || line.confidence < sure_line ||
            area(intersection(line.box_px, symbol.box_px)) < area(line.box_px) ||
            area(line.box_px) > most_of_badge * area(symbol.box_px) ||
            apart(symbol.figure_color, line.ground_color) >
                std::min(same_color, apart(symbol.figure_color, line.text_color)))
            continue;
        symbol.on_field = true;
        symbol.field_color = symbol.figure_color;
        symbol.figure_color = line.text_color;
        symbol.contrast = line.contrast;
        return;
    }
}

/// Whether it stands in a line, or before or after one.
bool beside_text(RectPx box, std::span<const TextLine> text) {
    return std::ranges::any_of(text, [&](const TextLine& line) {
        if (line.kind == TextLine::Kind::mark)
            return area(intersection(box, line.box_px)) >= beside_mark * area(box);
        const bool turned = line.quarter_turns % 2 != 0;
        const int high = turned ? line.box_px.width : line.box_px.height;
        const int reach = static_cast<int>(beside_line * high);
        RectPx wide = line.box_px;
        (turned ? wide.y : wide.x) -= reach;
        (turned ? wide.height : wide.width) += 2 * reach;
        const RectPx shared = intersection(box, wide);
        const int across = turned ? shared.width : shared.height;
        return !shared.empty() && 2 * across >= high &&
               (turned ? box.width : box.height) <= 3 * high;
    });
}

/// Whether it stands in the row of a level line, on one ground with it however far away: the sign
/// at the end of a heading.
bool ends_row_of_text(RectPx box, int ground, const Zones& zones, const SmallView& view,
                      std::span<const TextLine> text) {
    return std::ranges::any_of(text, [&](const TextLine& line) {
        const RectPx& b = line.box_px;
        if (line.kind != TextLine::Kind::line || line.confidence < sure_line ||
            line.quarter_turns % 2 != 0 || box.height > 3 * b.height)
            return false;
        const int shared = std::min(box.bottom(), b.bottom()) - std::max(box.y, b.y);
        const bool after = box.x >= b.right();
        if (2 * shared < b.height || (!after && box.right() > b.x)) return false;
        const int y = (box.y + box.height / 2 - view.trimmed.y) / view.step;
        const int from = ((after ? b.right() : box.right()) - view.trimmed.x) / view.step + 1;
        const int to = ((after ? box.x : b.x) - view.trimmed.x) / view.step - 1;
        if (y < 0 || y >= view.height || from < 0 || to > view.width || from >= to) return false;
        const auto row = zones.zone.begin() + static_cast<std::ptrdiff_t>(view.index(0, y));
        return static_cast<double>(std::count(row + from, row + to, ground)) >=
               one_ground * (to - from);
    });
}

/// What lies right around a patch: mean color, and the zone that it is; -1 when it is several.
struct Surroundings {
    int zone = -1;
    RgbCode color{};
};

Surroundings around(const SmallView& view, const LabelledPatches& patches, int patch,
                    const Zones& zones) {
    std::array<std::int64_t, 3> sum{};
    std::vector<int> seen;
    const RectPx box = patches.patch(patch).box();
    const auto row_of = [&](int y) { return patches.row(std::clamp(y, 0, view.height - 1)); };
    for (int y = box.y - 1; y <= box.bottom(); ++y) {
        const int* row = row_of(y);
        const int* up = row_of(y - 1);
        const int* down = row_of(y + 1);
        for (int x = box.x - 1; x <= box.right(); ++x) {
            if (row[x] != 0) continue;
            if (up[x] != patch && down[x] != patch && (x == 0 || row[x - 1] != patch) &&
                (x + 1 == view.width || row[x + 1] != patch))
                continue;
            const std::uint8_t* p = view.at(x, y);
            for (std::size_t c = 0; c < 3; ++c) sum[c] += p[c];
            seen.push_back(
                zones.zone[static_cast<std::size_t>(y) * static_cast<std::size_t>(view.width) +
                           static_cast<std::size_t>(x)]);
        }
    }
    Surroundings result;
    if (seen.empty()) return result;
    const auto count = static_cast<std::int64_t>(seen.size());
    for (std::size_t c = 0; c < 3; ++c)
        result.color[c] = static_cast<std::uint8_t>((sum[c] + count / 2) / count);
    std::ranges::sort(seen);
    const int middle = seen[seen.size() / 2];
    if (static_cast<double>(std::ranges::count(seen, middle)) >=
        one_ground * static_cast<double>(count))
        result.zone = middle;
    return result;
}

/// A symbol that was found, and whether it looks like one that the game needs without any other
/// beside it.
struct Found {
    Symbol symbol;
    bool sure = false;
};

/// Patches of what is no ground.
LabelledPatches things_on(const Zones& zones, const std::vector<std::uint8_t>& ground,
                          const SmallView& view) {
    std::vector<std::uint8_t> other(zones.zone.size());
    for (std::size_t i = 0; i < other.size(); ++i)
        other[i] = ground[static_cast<std::size_t>(zones.zone[i])] != 0 ? 0 : 1;
    return {other.data(), view.width, view.height};
}

/// Breadth of a patch at its broadest place, in pixels of the view.
double thickness(const LabelledPatches& patches, int patch) {
    const RectPx box = patches.patch(patch).box();
    cv::Mat own(box.height + 2, box.width + 2, CV_8UC1, cv::Scalar(0));
    for (int y = 0; y < box.height; ++y) {
        const int* in = patches.row(box.y + y) + box.x;
        for (int x = 0; x < box.width; ++x)
            own.at<std::uint8_t>(y + 1, x + 1) = in[x] == patch ? 255 : 0;
    }
    cv::Mat depth;
    cv::distanceTransform(own, depth, cv::DIST_L2, 3);
    double most = 0.0;
    cv::minMaxLoc(depth, nullptr, &most);
    return 2.0 * most;
}

/// Whether two symbols stand in one row or column.
bool in_one_row(const RectPx& a, const RectPx& b) {
    const double size = std::max({a.width, a.height, b.width, b.height});
    const double least = std::min(std::max(a.width, a.height), std::max(b.width, b.height));
    if (least < (1.0 - in_row) * size) return false;
    const double dx = std::abs((a.x + a.right()) - (b.x + b.right())) / 2.0;
    const double dy = std::abs((a.y + a.bottom()) - (b.y + b.bottom())) / 2.0;
    return std::min(dx, dy) <= in_row * size && std::max(dx, dy) <= (1.0 + row_gap) * size;
}

bool inside(const RectPx& inner, const RectPx& outer) {
    return area(intersection(inner, outer)) >= 0.5 * area(inner);
}

}  // namespace

std::vector<Symbol> symbols(const Image& face, const SmallView& view, Ppi ppi,
                            std::span<const TextLine> text) {
    // A back is art: of a pattern some signs would be found and some not.
    const auto is_line = [](const TextLine& line) {
        return line.kind == TextLine::Kind::line && line.confidence >= sure_line;
    };
    if (std::ranges::none_of(text, is_line)) return {};
    const Ppi known = ppi.value > 0.0 ? ppi : Ppi{300.0};
    const double per_mm = pixels(Mm{1.0}, known) / view.step;
    const Zones zones = zones_of(view);
    const double least_ground = std::max(8.0, ground_mm2 * per_mm * per_mm);
    const auto most = static_cast<int>(most_side.value * per_mm);
    std::vector<Found> found;
    // A suit mark of one color is as even as a ground; so first only what is larger than any symbol
    // is ground, and then, for what stands on small shields, all that is even.
    for (const bool wide : {true, false}) {
        std::vector<std::uint8_t> ground(zones.zones.size());
        for (std::size_t z = 0; z < ground.size(); ++z) {
            const Zones::Zone& zone = zones.zones[z];
            ground[z] = zone.pixels >= least_ground && (!wide || zone.right - zone.left > most ||
                                                        zone.bottom - zone.top > most)
                            ? 1
                            : 0;
        }
        const LabelledPatches patches = things_on(zones, ground, view);
        const std::size_t wide_count = found.size();
        for (int i = 1; i < patches.count(); ++i) {
            const RectPx box = patches.patch(i).box();
            const int longer = std::max(box.width, box.height);
            const int shorter = std::min(box.width, box.height);
            if (longer < least_side.value * per_mm || longer > most ||
                shorter < least_breadth.value * per_mm || longer > longest * shorter)
                continue;
            if (box.x < 1 || box.y < 1 || box.right() >= view.width || box.bottom() >= view.height)
                continue;
            const RectPx on_face = view.on_face(box);
            if (!wide &&
                std::any_of(found.begin(), found.begin() + static_cast<std::ptrdiff_t>(wide_count),
                            [&](const Found& f) { return inside(on_face, f.symbol.box_px); }))
                continue;
            if (among_letters(on_face, thickness(patches, i) * view.step, text)) continue;
            const Surroundings ground_there = around(view, patches, i, zones);
            if (ground_there.zone < 0) continue;
            auto symbol = symbol_at(face, on_face, ground_there.color);
            if (!symbol || hole_of_mark(*symbol, text)) continue;
            set_on_field(*symbol, text);
            // Measured, a small patch may be one that was found already.
            if (std::ranges::any_of(found, [&](const Found& f) {
                    return inside(symbol->box_px, f.symbol.box_px) &&
                           inside(f.symbol.box_px, symbol->box_px);
                }))
                continue;
            const Zones::Zone& zone = zones.zones[static_cast<std::size_t>(ground_there.zone)];
            found.push_back(
                {*symbol,
                 zone.deviation() <= flat_deviation || beside_text(symbol->box_px, text) ||
                     ends_row_of_text(symbol->box_px, ground_there.zone, zones, view, text)});
        }
    }
    std::vector<Symbol> result;
    for (std::size_t i = 0; i < found.size(); ++i) {
        const RectPx& box = found[i].symbol.box_px;
        bool needed = found[i].sure;
        for (std::size_t j = 0; j < found.size() && !needed; ++j) {
            needed = j != i && in_one_row(box, found[j].symbol.box_px);
        }
        if (needed) result.push_back(found[i].symbol);
    }
    if (result.size() > most_symbols) {
        std::ranges::stable_sort(result, [](const Symbol& a, const Symbol& b) {
            return area(a.box_px) < area(b.box_px);
        });
        result.resize(most_symbols);
    }
    std::ranges::stable_sort(result, [](const Symbol& a, const Symbol& b) {
        return std::pair(a.box_px.y, a.box_px.x) < std::pair(b.box_px.y, b.box_px.x);
    });
    return result;
}

}  // namespace paleproof::survey
