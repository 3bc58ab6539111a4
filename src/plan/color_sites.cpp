// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/color_sites.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <tuple>
#include <utility>

namespace paleproof::plan {
namespace {

constexpr double same_box = 0.6;     // intersection over union
constexpr double same_area = 0.6;    // smaller over larger
constexpr double text_shift = 0.03;  // of the trimmed width
/// Areas whose edges fall into the same of so many cells a side are one site; that two alike ones
/// are cut apart by an edge of a cell costs a comparison, no more.
constexpr double site_cells = 250.0;
constexpr double site_sizes = 16.0;  // steps of the size, a doubling

/// Lines of one height on one base line that begin, end or stand centered at one place.
bool same_line(const ColorSpot& a, const ColorSpot& b) {
    if (smaller_over_larger(a.height(), b.height()) < same_area ||
        std::abs(a.bottom - b.bottom) > 0.3 * a.height()) {
        return false;
    }
    return std::min({std::abs(a.left - b.left), std::abs(a.right - b.right),
                     std::abs(a.x() - b.x())}) < text_shift;
}

bool same_place(const ColorSpot& a, const ColorSpot& b) {
    if (a.is_text() != b.is_text()) return false;
    if (a.is_text()) return same_line(a, b);
    return smaller_over_larger(a.area->share, b.area->share) >= same_area &&
           overlap(a, b) >= same_box;
}

int cell(double share) { return static_cast<int>(std::lround(share * site_cells)); }

}  // namespace

double smaller_over_larger(double a, double b) { return std::min(a, b) / std::max({a, b, 1e-12}); }

double overlap(const ColorSpot& a, const ColorSpot& b) {
    const double w = std::min(a.right, b.right) - std::max(a.left, b.left);
    const double h = std::min(a.bottom, b.bottom) - std::max(a.top, b.top);
    if (w <= 0.0 || h <= 0.0) return 0.0;
    return w * h / (a.width() * a.height() + b.width() * b.height() - w * h);
}

std::vector<ColorSpot> color_spots(std::span<const survey::FaceSurvey> surveys) {
    std::vector<ColorSpot> spots;
    for (std::size_t face = 0; face < surveys.size(); ++face) {
        const RectPx trim = surveys[face].place.placement.trim_px;
        const double w = std::max(1, trim.width), h = std::max(1, trim.height);
        for (const survey::ColorArea& area : surveys[face].palette.areas) {
            const RectPx& box = area.box_px;
            spots.push_back({.face = face,
                             .area = &area,
                             .left = (box.x - trim.x) / w,
                             .top = (box.y - trim.y) / h,
                             .right = (box.right() - trim.x) / w,
                             .bottom = (box.bottom() - trim.y) / h});
        }
    }
    return spots;
}

std::vector<ColorSite> color_sites(std::span<const ColorSpot> spots) {
    std::vector<ColorSite> sites;
    std::map<std::tuple<std::size_t, bool, std::array<int, 5>>, std::size_t> known;
    for (const ColorSpot& spot : spots) {
        const int size =
            static_cast<int>(std::lround(site_sizes * std::log2(std::max(spot.area->share, 1e-9))));
        const std::tuple key(
            spot.cluster, spot.is_text(),
            std::array{cell(spot.left), cell(spot.top), cell(spot.right), cell(spot.bottom), size});
        const auto [found, is_new] = known.try_emplace(key, sites.size());
        if (is_new) sites.emplace_back();
        sites[found->second].spots.push_back(&spot);
    }
    return sites;
}

std::vector<SitePeers> site_peers(std::span<const ColorSite> sites) {
    // Compared only within a cell of the face and its neighbors; lines of text, which may differ in
    // length, within a band.
    constexpr int cells = 24;
    std::map<std::pair<int, int>, std::vector<std::size_t>> in_cell;
    const auto row_of = [](const ColorSpot& a) {
        return static_cast<int>(std::floor(a.y() * cells));
    };
    const auto column_of = [](const ColorSpot& a) {
        return a.is_text() ? -100 : static_cast<int>(std::floor(a.x() * cells));
    };
    std::vector<SitePeers> peers(sites.size());
    for (std::size_t i = 0; i < sites.size(); ++i) {
        const ColorSpot& a = *sites[i].spots.front();
        const int aside = a.is_text() ? 0 : 1;
        for (int dy = -1; dy <= 1; ++dy) {
            for (int dx = -aside; dx <= aside; ++dx) {
                const auto found = in_cell.find({row_of(a) + dy, column_of(a) + dx});
                if (found == in_cell.end()) continue;
                for (const std::size_t j : found->second) {
                    if (!same_place(a, *sites[j].spots.front())) continue;
                    peers[i].push_back(j);
                    peers[j].push_back(i);
                }
            }
        }
        in_cell[{row_of(a), column_of(a)}].push_back(i);
    }
    return peers;
}

}  // namespace paleproof::plan
