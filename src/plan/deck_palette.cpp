// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/deck_palette.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <set>
#include <utility>

#include "color/difference.h"

namespace paleproof::plan {
namespace {

using survey::AreaKind;

constexpr double cluster_radius = 6.0;  // Euclid in CIELAB
constexpr std::size_t most_clusters = 256;
constexpr double same_box = 0.6;          // intersection over union
constexpr double same_area = 0.6;         // smaller over larger
constexpr double same_side = 0.8;         // of alike areas on one face
constexpr double in_line = 0.25;          // of a side: how far the centers may be off
constexpr double near = 5.0;              // sides between alike areas in line
constexpr double text_shift = 0.03;       // of the trimmed width
constexpr double least_touch = 0.015;     // share of the face of each of two touching areas
constexpr std::size_t least_support = 3;  // faces that have an area at a place, in a deck of
constexpr std::size_t small_deck = 8;     // this many; chance alone gives two

/// An area with its box as shares of the trimmed area.
struct Area {
    std::size_t face = 0, index = 0, cluster = 0, place = 0;
    const survey::ColorArea* area = nullptr;
    double left = 0, top = 0, right = 0, bottom = 0;
    [[nodiscard]] double width() const { return right - left; }
    [[nodiscard]] double height() const { return bottom - top; }
    [[nodiscard]] double x() const { return (left + right) / 2.0; }
    [[nodiscard]] double y() const { return (top + bottom) / 2.0; }
};

constexpr std::size_t no_cluster = static_cast<std::size_t>(-1);

std::vector<Area> areas_of(std::span<const survey::FaceSurvey> surveys) {
    std::vector<Area> areas;
    for (std::size_t f = 0; f < surveys.size(); ++f) {
        const RectPx trim = surveys[f].place.placement.trim_px;
        const double w = std::max(1, trim.width), h = std::max(1, trim.height);
        const auto& list = surveys[f].palette.areas;
        for (std::size_t i = 0; i < list.size(); ++i) {
            const RectPx& box = list[i].box_px;
            areas.push_back({f, i, no_cluster, 0, &list[i], (box.x - trim.x) / w,
                             (box.y - trim.y) / h, (box.right() - trim.x) / w,
                             (box.bottom() - trim.y) / h});
        }
    }
    return areas;
}

/// The middle of a channel over the places, weighted by area. A mean would move by a code with each
/// face that changes, and with it the gray of the whole deck.
std::uint8_t median(const std::vector<ColorPlace>& places, std::uint8_t color::Rgb8::*channel) {
    std::array<double, 256> weight{};
    double all = 0.0;
    for (const ColorPlace& place : places) {
        weight[place.color.*channel] += place.share + 1e-6;
        all += place.share + 1e-6;
    }
    double below = 0.0;
    std::size_t code = 0;
    while (code < 255 && 2.0 * (below + weight[code]) < all) below += weight[code++];
    return static_cast<std::uint8_t>(code);
}

/// Largest areas first, so that a cluster stands on the color that the deck shows most of.
void set_clusters(std::vector<Area>& areas, std::vector<ColorCluster>& clusters) {
    std::vector<Area*> order;
    for (Area& area : areas) order.push_back(&area);
    std::ranges::stable_sort(
        order, [](const Area* x, const Area* y) { return x->area->share > y->area->share; });
    std::vector<color::Lab> leaders;
    for (Area* area : order) {
        const color::Lab lab = color::lab(area->area->color);
        double nearest = cluster_radius;
        for (std::size_t k = 0; k < leaders.size(); ++k) {
            const double d = color::delta_e76(lab, leaders[k]);
            if (d < nearest) {
                nearest = d;
                area->cluster = k;
            }
        }
        if (area->cluster == no_cluster && leaders.size() < most_clusters) {
            area->cluster = leaders.size();
            leaders.push_back(lab);
        }
    }
    clusters.resize(leaders.size());
    for (Area& area : areas) {
        if (area.cluster == no_cluster) continue;
        ColorCluster& cluster = clusters[area.cluster];
        const survey::ColorArea& a = *area.area;
        area.place = cluster.places.size();
        cluster.places.push_back({area.face, a.color, a.kind, a.box_px, a.core_px, a.share});
        cluster.share += a.share;
    }
    for (ColorCluster& cluster : clusters) {
        cluster.color = {median(cluster.places, &color::Rgb8::r),
                         median(cluster.places, &color::Rgb8::g),
                         median(cluster.places, &color::Rgb8::b)};
        cluster.lab = color::lab(cluster.color);
    }
}

double ratio(double a, double b) { return std::min(a, b) / std::max({a, b, 1e-12}); }

double overlap(const Area& a, const Area& b) {
    const double w = std::min(a.right, b.right) - std::max(a.left, b.left);
    const double h = std::min(a.bottom, b.bottom) - std::max(a.top, b.top);
    if (w <= 0.0 || h <= 0.0) return 0.0;
    return w * h / (a.width() * a.height() + b.width() * b.height() - w * h);
}

bool is_text(const Area& a) { return a.area->kind == AreaKind::text; }

/// Lines of one height on one base line that begin, end or stand centered at one place.
bool same_line(const Area& a, const Area& b) {
    if (ratio(a.height(), b.height()) < same_area ||
        std::abs(a.bottom - b.bottom) > 0.3 * a.height()) {
        return false;
    }
    return std::min({std::abs(a.left - b.left), std::abs(a.right - b.right),
                     std::abs(a.x() - b.x())}) < text_shift;
}

bool same_place(const Area& a, const Area& b) {
    if (is_text(a) != is_text(b)) return false;
    if (is_text(a)) return same_line(a, b);
    return ratio(a.area->share, b.area->share) >= same_area && overlap(a, b) >= same_box;
}

/// The same turned by half: the two heads of a face that is read from either end.
bool opposite(const Area& a, Area b) {
    b.left = 1.0 - b.left;
    b.right = 1.0 - b.right;
    b.top = 1.0 - b.top;
    b.bottom = 1.0 - b.bottom;
    std::swap(b.left, b.right);
    std::swap(b.top, b.bottom);
    return a.area->kind == b.area->kind && !is_text(a) &&
           ratio(a.area->share, b.area->share) >= same_area && overlap(a, b) >= same_box;
}

/// Alike in size and standing in a row or a column, not far from each other.
bool alike_in_line(const Area& a, const Area& b) {
    if (a.area->kind != AreaKind::symbol || b.area->kind != AreaKind::symbol) return false;
    if (ratio(a.width(), b.width()) < same_side || ratio(a.height(), b.height()) < same_side ||
        ratio(a.area->share, b.area->share) < same_area) {
        return false;
    }
    const double dx = std::abs(a.x() - b.x()), dy = std::abs(a.y() - b.y());
    const bool row = dy < in_line * a.height() && dx < near * a.width();
    const bool column = dx < in_line * a.width() && dy < near * a.height();
    return row || column;
}

class Pairs {
  public:
    void add(const Area& x, const Area& y, Relation relation) {
        if (x.cluster == y.cluster || x.cluster == no_cluster || y.cluster == no_cluster) return;
        const Area& a = x.cluster < y.cluster ? x : y;
        const Area& b = x.cluster < y.cluster ? y : x;
        Entry& entry = entries_[{a.cluster, b.cluster}];
        if (relation == Relation::same_place) entry.pair.relation = Relation::same_place;
        entry.a.insert(a.face);
        entry.b.insert(b.face);
        const double share = std::min(a.area->share, b.area->share);
        const auto [seen, is_new] =
            entry.seen.try_emplace({a.face, b.face}, entry.pair.witnesses.size(), share);
        auto& [index, largest] = seen->second;
        if (is_new && index < most_witnesses) {
            entry.pair.witnesses.push_back({a.place, b.place});
        } else if (!is_new && share > largest && index < most_witnesses) {
            entry.pair.witnesses[index] = {a.place, b.place};
            largest = share;
        }
    }

    [[nodiscard]] std::vector<TellingPair> list() const {
        std::vector<TellingPair> pairs;
        for (const auto& [key, entry] : entries_) {
            TellingPair pair = entry.pair;
            pair.a = key.first;
            pair.b = key.second;
            pair.faces_a.assign(entry.a.begin(), entry.a.end());
            pair.faces_b.assign(entry.b.begin(), entry.b.end());
            std::set<std::size_t> both = entry.a;
            both.insert(entry.b.begin(), entry.b.end());
            pair.faces = both.size();
            pairs.push_back(std::move(pair));
        }
        return pairs;
    }

  private:
    struct Entry {
        TellingPair pair{.relation = Relation::side_by_side};
        std::set<std::size_t> a, b;  // faces
        /// By faces: index of the witness, and the smaller share of its two areas.
        std::map<std::pair<std::size_t, std::size_t>, std::pair<std::size_t, double>> seen;
    };
    std::map<std::pair<std::size_t, std::size_t>, Entry> entries_;
};

void pairs_on_one_face(std::span<const Area> areas, const survey::Palette& palette, Pairs& pairs) {
    for (const survey::Touch& touch : palette.touches) {
        const Area &a = areas[touch.a], &b = areas[touch.b];
        if (std::min(a.area->share, b.area->share) >= least_touch) {
            pairs.add(a, b, Relation::side_by_side);
        }
    }
    for (std::size_t i = 0; i < areas.size(); ++i) {
        for (std::size_t j = i + 1; j < areas.size(); ++j) {
            if (alike_in_line(areas[i], areas[j]) || opposite(areas[i], areas[j])) {
                pairs.add(areas[i], areas[j], Relation::side_by_side);
            }
        }
    }
}

/// For each area, the areas of other faces at its place. Compared only within a cell of the face
/// and its neighbors; lines of text, which may differ in length, within a band.
std::vector<std::vector<const Area*>> peers_of(std::span<const Area> areas) {
    constexpr int cells = 24;
    std::map<std::pair<int, int>, std::vector<std::size_t>> cell;
    const auto row_of = [](const Area& a) { return static_cast<int>(std::floor(a.y() * cells)); };
    const auto column_of = [](const Area& a) {
        return is_text(a) ? -100 : static_cast<int>(std::floor(a.x() * cells));
    };
    std::vector<std::vector<const Area*>> peers(areas.size());
    for (std::size_t i = 0; i < areas.size(); ++i) {
        const Area& a = areas[i];
        const int aside = is_text(a) ? 0 : 1;
        for (int dy = -1; dy <= 1; ++dy) {
            for (int dx = -aside; dx <= aside; ++dx) {
                const auto found = cell.find({row_of(a) + dy, column_of(a) + dx});
                if (found == cell.end()) continue;
                for (const std::size_t j : found->second) {
                    if (areas[j].face == a.face || !same_place(a, areas[j])) continue;
                    peers[i].push_back(&areas[j]);
                    peers[j].push_back(&a);
                }
            }
        }
        cell[{row_of(a), column_of(a)}].push_back(i);
    }
    return peers;
}

void pairs_over_faces(std::span<const Area> areas, std::size_t faces, Pairs& pairs) {
    const std::size_t support = faces >= small_deck ? least_support : 2;
    const auto peers = peers_of(areas);
    for (std::size_t i = 0; i < areas.size(); ++i) {
        std::set<std::size_t> shown{areas[i].face};
        for (const Area* peer : peers[i]) shown.insert(peer->face);
        if (shown.size() < support) continue;
        for (const Area* peer : peers[i]) pairs.add(areas[i], *peer, Relation::same_place);
    }
}

}  // namespace

DeckPalette deck_palette(std::span<const survey::FaceSurvey> surveys) {
    DeckPalette result;
    std::vector<Area> areas = areas_of(surveys);
    set_clusters(areas, result.clusters);
    Pairs pairs;
    std::size_t begin = 0;
    for (const survey::FaceSurvey& face : surveys) {
        const std::size_t count = face.palette.areas.size();
        pairs_on_one_face(std::span(areas).subspan(begin, count), face.palette, pairs);
        begin += count;
    }
    pairs_over_faces(areas, surveys.size(), pairs);
    result.pairs = pairs.list();
    return result;
}

}  // namespace paleproof::plan
