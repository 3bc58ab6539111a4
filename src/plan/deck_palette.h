// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "color/srgb.h"
#include "survey/face_survey.h"

namespace paleproof::plan {

/// Where a color of the deck lives.
struct ColorPlace {
    std::size_t face = 0;  ///< index of the survey
    color::Rgb8 color;     ///< as it is there; storage moves it by a step or so
    survey::AreaKind kind = survey::AreaKind::symbol;
    RectPx box_px;       ///< in pixels of the face
    RectPx core_px;      ///< square wholly inside of the area
    double share = 0.0;  ///< of the trimmed area, 0..1
};

/// One color of the deck, with all areas that have it.
struct ColorCluster {
    color::Rgb8 color;               ///< median of each channel, weighted by area
    color::Lab lab;                  ///< of `color`, D65
    double share = 0.0;              ///< sum of the shares of its places, in faces
    std::vector<ColorPlace> places;  ///< in the order of the faces, largest first on each
};

enum class Relation {
    same_place,   ///< areas of one shape at one place of different faces: suits, frames, pips
    side_by_side  ///< areas that touch, or are alike and stand in line, on one face
};

/// Two clusters that stand for different things.
struct TellingPair {
    std::size_t a = 0, b = 0;                  ///< indices of clusters, a < b
    Relation relation = Relation::same_place;  ///< same_place when both hold
    /// The faces on which each of the two takes part, ascending.
    std::vector<std::size_t> faces_a{}, faces_b{};
    std::size_t faces = 0;  ///< different faces in both
    struct Witness {
        std::size_t a = 0, b = 0;  ///< indices into the places of the two clusters
    };
    std::vector<Witness> witnesses{};  ///< one a pair of faces, its largest; at most most_witnesses
};

inline constexpr std::size_t most_witnesses = 24;

struct DeckPalette {
    std::vector<ColorCluster> clusters;  ///< largest share first
    std::vector<TellingPair> pairs;      ///< by a, then b
};

/// The clusters that the color areas of all faces form (radius 6 in CIELAB), and which of them
/// stand for different things. Pure, deterministic; errors none. Faces without areas are fine.
[[nodiscard]] DeckPalette deck_palette(std::span<const survey::FaceSurvey> surveys);

}  // namespace paleproof::plan
