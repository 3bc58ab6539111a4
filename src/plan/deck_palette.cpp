// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/deck_palette.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <functional>
#include <map>
#include <utility>
#include <vector>

#include "color/difference.h"
#include "plan/color_sites.h"

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
constexpr double least_touch = 0.015;     // share of the face of each of two touching areas
constexpr std::size_t least_support = 3;  // faces that have an area at a place, in a deck of
constexpr std::size_t small_deck = 8;     // this many; chance alone gives two

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
void set_clusters(std::vector<ColorSpot>& areas, std::vector<ColorCluster>& clusters) {
    std::vector<ColorSpot*> order;
    for (ColorSpot& area : areas) order.push_back(&area);
    std::ranges::stable_sort(order, [](const ColorSpot* x, const ColorSpot* y) {
        return x->area->share > y->area->share;
    });
    std::vector<color::Lab> leaders;
    for (ColorSpot* area : order) {
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
    for (ColorSpot& area : areas) {
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

/// The same turned by half: the two heads of a face that is read from either end.
bool opposite(const ColorSpot& a, ColorSpot b) {
    b.left = 1.0 - b.left;
    b.right = 1.0 - b.right;
    b.top = 1.0 - b.top;
    b.bottom = 1.0 - b.bottom;
    std::swap(b.left, b.right);
    std::swap(b.top, b.bottom);
    return a.area->kind == b.area->kind && !a.is_text() &&
           smaller_over_larger(a.area->share, b.area->share) >= same_area &&
           overlap(a, b) >= same_box;
}

/// Alike in size and standing in a row or a column, not far from each other.
bool alike_in_line(const ColorSpot& a, const ColorSpot& b) {
    if (a.area->kind != AreaKind::symbol || b.area->kind != AreaKind::symbol) return false;
    if (smaller_over_larger(a.width(), b.width()) < same_side ||
        smaller_over_larger(a.height(), b.height()) < same_side ||
        smaller_over_larger(a.area->share, b.area->share) < same_area) {
        return false;
    }
    const double dx = std::abs(a.x() - b.x()), dy = std::abs(a.y() - b.y());
    const bool row = dy < in_line * a.height() && dx < near * a.width();
    const bool column = dx < in_line * a.width() && dy < near * a.height();
    return row || column;
}

class Pairs {
  public:
    explicit Pairs(std::size_t faces) : faces_(faces) {}

    /// Two areas of one face.
    void add(const ColorSpot& x, const ColorSpot& y) {
        if (x.cluster == y.cluster || x.cluster == no_cluster || y.cluster == no_cluster) return;
        const bool ordered = x.cluster < y.cluster;
        Entry& entry = of(x.cluster, y.cluster);
        entry.a[x.face] = entry.b[x.face] = true;
        add_witness(entry, ordered ? x : y, ordered ? y : x);
    }

    /// All areas of two places that are one place of the face.
    void add(const ColorSite& x, const ColorSite& y) {
        if (x.cluster() == y.cluster() || x.cluster() == no_cluster || y.cluster() == no_cluster)
            return;
        const ColorSite& a = x.cluster() < y.cluster() ? x : y;
        const ColorSite& b = x.cluster() < y.cluster() ? y : x;
        if (a.spots.size() == 1 && b.spots.size() == 1 && a.spots[0]->face == b.spots[0]->face)
            return;
        Entry& entry = of(a.cluster(), b.cluster());
        entry.pair.relation = Relation::same_place;
        for (const ColorSpot* spot : a.spots) entry.a[spot->face] = true;
        for (const ColorSpot* spot : b.spots) entry.b[spot->face] = true;
        for (const ColorSpot* of_a : a.spots) {
            for (const ColorSpot* of_b : b.spots) {
                if (entry.pair.witnesses.size() >= most_witnesses) return;
                if (of_a->face != of_b->face) add_witness(entry, *of_a, *of_b);
            }
        }
    }

    [[nodiscard]] std::vector<TellingPair> list() const {
        std::vector<TellingPair> pairs;
        for (const auto& [key, entry] : entries_) {
            TellingPair pair = entry.pair;
            pair.a = key.first;
            pair.b = key.second;
            for (std::size_t face = 0; face < faces_; ++face) {
                if (entry.a[face]) pair.faces_a.push_back(face);
                if (entry.b[face]) pair.faces_b.push_back(face);
                if (entry.a[face] || entry.b[face]) ++pair.faces;
            }
            pairs.push_back(std::move(pair));
        }
        return pairs;
    }

  private:
    struct Entry {
        TellingPair pair{.relation = Relation::side_by_side};
        std::vector<bool> a, b;  // by face: whether the color takes part there
        /// By faces: index of the witness, and the smaller share of its two areas.
        std::map<std::pair<std::size_t, std::size_t>, std::pair<std::size_t, double>> seen;
    };

    Entry& of(std::size_t x, std::size_t y) {
        Entry& entry = entries_[std::minmax(x, y)];
        entry.a.resize(faces_);
        entry.b.resize(faces_);
        return entry;
    }

    static void add_witness(Entry& entry, const ColorSpot& a, const ColorSpot& b) {
        const double share = std::min(a.area->share, b.area->share);
        const auto found = entry.seen.find({a.face, b.face});
        if (found == entry.seen.end()) {
            if (entry.pair.witnesses.size() >= most_witnesses) return;
            entry.seen[{a.face, b.face}] = {entry.pair.witnesses.size(), share};
            entry.pair.witnesses.push_back({a.place, b.place});
        } else if (auto& [index, largest] = found->second; share > largest) {
            entry.pair.witnesses[index] = {a.place, b.place};
            largest = share;
        }
    }

    std::size_t faces_;
    std::map<std::pair<std::size_t, std::size_t>, Entry> entries_;
};

void pairs_on_one_face(std::span<const ColorSpot> areas, const survey::Palette& palette,
                       Pairs& pairs) {
    for (const survey::Touch& touch : palette.touches) {
        const ColorSpot &a = areas[touch.a], &b = areas[touch.b];
        if (std::min(a.area->share, b.area->share) >= least_touch) {
            pairs.add(a, b);
        }
    }
    for (std::size_t i = 0; i < areas.size(); ++i) {
        for (std::size_t j = i + 1; j < areas.size(); ++j) {
            if (alike_in_line(areas[i], areas[j]) || opposite(areas[i], areas[j])) {
                pairs.add(areas[i], areas[j]);
            }
        }
    }
}

/// Whether a site and its peers lie on that many faces.
bool on_faces(std::span<const ColorSite> sites, const SitePeers& peers, std::size_t site,
              std::size_t least) {
    std::vector<std::size_t> faces;
    const auto enough = [&](const ColorSite& at) {
        for (const ColorSpot* spot : at.spots) {
            if (std::ranges::find(faces, spot->face) != faces.end()) continue;
            faces.push_back(spot->face);
            if (faces.size() >= least) return true;
        }
        return false;
    };
    return enough(sites[site]) ||
           std::ranges::any_of(peers, [&](std::size_t peer) { return enough(sites[peer]); });
}

/// Work by places, not by areas: in a deck of thousands, each area has thousands of others at its
/// place, and all of them are a few sites.
void pairs_over_faces(std::span<const ColorSpot> spots, std::size_t faces, Pairs& pairs) {
    const std::size_t support = faces >= small_deck ? least_support : 2;
    const std::vector<ColorSite> sites = color_sites(spots);
    const std::vector<SitePeers> peers = site_peers(sites);
    std::vector<bool> supported(sites.size());
    for (std::size_t i = 0; i < sites.size(); ++i)
        supported[i] = on_faces(sites, peers[i], i, support);
    struct Meeting {
        std::size_t a = 0, b = 0;
        double share = 0.0;
    };
    std::vector<Meeting> meetings;
    for (std::size_t i = 0; i < sites.size(); ++i) {
        for (const std::size_t j : peers[i]) {
            if (j > i && (supported[i] || supported[j]))
                meetings.push_back({i, j, std::min(sites[i].share(), sites[j].share())});
        }
    }
    // Largest first: they are the witnesses.
    std::ranges::stable_sort(meetings, std::greater{}, &Meeting::share);
    for (const Meeting& meeting : meetings) pairs.add(sites[meeting.a], sites[meeting.b]);
}

}  // namespace

DeckPalette deck_palette(std::span<const survey::FaceSurvey> surveys) {
    DeckPalette result;
    std::vector<ColorSpot> areas = color_spots(surveys);
    set_clusters(areas, result.clusters);
    Pairs pairs(surveys.size());
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
