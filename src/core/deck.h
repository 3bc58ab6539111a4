// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "core/geometry.h"
#include "core/image.h"

namespace paleproof {

/// One face as the deck lists it, before its file is opened.
struct DeckFace {
    std::string name;              ///< unique in the deck; names the proof's file
    std::filesystem::path source;  ///< image file
    int copies = 1;  ///< how often the card is in the deck; 0 for a side that is only a back
    std::optional<std::size_t> back;  ///< index into Deck::faces
};

/// The ordered faces of a game. A back is a face too; the cards that share it point at it.
struct Deck {
    std::string title;
    std::vector<DeckFace> faces;
    std::vector<std::string> left_out;  ///< what of SOURCE was not read and why, one clause each
    /// Sum of copies.
    [[nodiscard]] int cards() const;
};

/// A face as read from its file: upright, sRGB or gray, on paper white.
struct Face {
    std::string name;
    Image image;  ///< ppi() = what the file declares, 0 when it declares nothing usable
    std::optional<Image> mask;  ///< 255 where the file is opaque; only kept when some pixel is not
};

/// Where the trimmed card lies in the pixels of a face.
struct TrimPlacement {
    SizeMm trim;              ///< card size
    Ppi ppi;                  ///< effective, at printed size
    RectPx trim_px;           ///< the trimmed area in the image
    Edges<Mm> bleed_present;  ///< art past the trim that the file already has
};

}  // namespace paleproof
