// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "survey/face_survey.h"

namespace paleproof::plan {

inline constexpr std::size_t no_cluster = static_cast<std::size_t>(-1);

/// A colored area of one face, with its box as shares of the trimmed area.
struct ColorSpot {
    std::size_t face = 0;                     ///< index of the survey
    std::size_t cluster = no_cluster;         ///< of DeckPalette::clusters
    std::size_t place = 0;                    ///< index into the places of its cluster
    const survey::ColorArea* area = nullptr;  ///< of the survey, which must outlive this
    double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;
    [[nodiscard]] double width() const { return right - left; }
    [[nodiscard]] double height() const { return bottom - top; }
    [[nodiscard]] double x() const { return (left + right) / 2.0; }
    [[nodiscard]] double y() const { return (top + bottom) / 2.0; }
    [[nodiscard]] bool is_text() const { return area->kind == survey::AreaKind::text; }
};

/// 0..1: how alike two sizes are, and two boxes (intersection over union).
[[nodiscard]] double smaller_over_larger(double a, double b);
[[nodiscard]] double overlap(const ColorSpot& a, const ColorSpot& b);

/// All areas of all faces, face by face.
[[nodiscard]] std::vector<ColorSpot> color_spots(std::span<const survey::FaceSurvey> surveys);

/// Areas of one color that lie on different faces as if they were printed from one template.
struct ColorSite {
    std::vector<const ColorSpot*> spots;  ///< at least one, in the order of the faces
    [[nodiscard]] std::size_t cluster() const { return spots.front()->cluster; }
    [[nodiscard]] double share() const { return spots.front()->area->share; }
};

/// A deck has as many spots as its faces together, and as many sites as its layouts: what is
/// compared with each other are sites. In the order in which the deck first shows them.
[[nodiscard]] std::vector<ColorSite> color_sites(std::span<const ColorSpot> spots);

/// Indices of the sites at the same place of the face.
using SitePeers = std::vector<std::size_t>;

/// For each site those others, of any color, whose areas have about its shape at about its place;
/// for text, lines on its base line that begin, end or stand centered as it does.
[[nodiscard]] std::vector<SitePeers> site_peers(std::span<const ColorSite> sites);

}  // namespace paleproof::plan
