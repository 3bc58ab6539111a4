// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "core/deck.h"
#include "survey/face_survey.h"

namespace paleproof::test {

inline void fill(Image& image, RectPx box, color::Rgb8 c) {
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = box.x; x < box.right(); ++x) {
            std::uint8_t* p = image.row(y) + 3 * x;
            p[0] = c.r;
            p[1] = c.g;
            p[2] = c.b;
        }
    }
}

/// 63 x 88 mm at 300 ppi, nearly white.
inline Face plain_face(const std::string& name) {
    Face face{name, Image(744, 1040, Encoding::srgb, Ppi{300}), std::nullopt};
    fill(face.image, face.image.bounds(), {250, 247, 240});
    return face;
}

/// What the plan reads of a face: name, trim, colors.
inline survey::FaceSurvey surveyed(const Face& face) {
    survey::FaceSurvey result;
    result.name = face.name;
    result.image = face.image.size();
    result.place.placement = {{}, face.image.ppi(), face.image.bounds(), {}};
    result.palette = survey::palette(face.image, face.image.bounds(), face.image.ppi(), {});
    return result;
}

/// `each` faces of every suit: a pennant at the top left and, on request, a pip in a lighter shade
/// at the top right.
inline std::vector<survey::FaceSurvey> suit_deck(const std::vector<color::Rgb8>& suits, int each,
                                                 bool pips = false) {
    std::vector<survey::FaceSurvey> deck;
    for (const color::Rgb8 suit : suits) {
        for (int i = 0; i < each; ++i) {
            Face face = plain_face("face " + std::to_string(deck.size() + 1));
            fill(face.image, {40, 0, 106, 200}, suit);
            const auto light = [](std::uint8_t v) {
                return static_cast<std::uint8_t>(128 + v / 2);
            };
            if (pips) {
                fill(face.image, {640, 60, 40, 40}, {light(suit.r), light(suit.g), light(suit.b)});
            }
            deck.push_back(surveyed(face));
        }
    }
    return deck;
}

}  // namespace paleproof::test
