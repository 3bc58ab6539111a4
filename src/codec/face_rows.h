// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "color/source_profile.h"
#include "core/deck.h"

namespace paleproof::codec {

/// Collects decoded rows into the picture and mask of a Face: color conversion, then compositing on
/// paper white of sRGB-encoded values,
///
///     shown = (color * alpha + 255 * (255 - alpha)) / 255, rounded to nearest.
class FaceRows {
  public:
    /// `alpha`: rows bring one more channel, last.
    FaceRows(SizePx size, color::ToSrgb conversion, bool alpha);

    /// Samples a pixel that put() takes, alpha among them; 1 for a palette.
    [[nodiscard]] std::size_t samples() const;

    /// True when 8-bit rows may be decoded straight into row() and settled there.
    [[nodiscard]] bool direct() const { return direct_; }
    [[nodiscard]] std::uint8_t* row(int y) { return image_.row(y); }
    /// Converts a row that was decoded in place. Once each; only when direct().
    void settle(int y);

    /// A row of interleaved samples; 16-bit ones in the machine's byte order.
    void put(int y, const std::uint8_t* samples);
    void put(int y, const std::uint16_t* samples);

    /// Rows are to come by put_indices(): `colors` holds R, G, B of each entry, `alphas` those of
    /// the first entries. Colors are converted and composited once here, not for each pixel.
    void set_palette(std::span<const std::uint8_t> colors, std::span<const std::uint8_t> alphas);
    /// A row of palette indices, one a byte. False when one is past the palette.
    [[nodiscard]] bool put_indices(int y, const std::uint8_t* indices);

    /// Hands the picture over; the rows are empty then.
    void move_into(Face& face);

  private:
    struct Entry {
        std::array<std::uint8_t, 3> shown;
        std::uint8_t alpha;
    };

    std::uint8_t* mask_row(int y);
    template <class Sample>
    void put_alpha(int y, const Sample* samples, Sample* colors);

    color::ToSrgb conversion_;
    bool alpha_;
    bool direct_;
    Image image_;
    std::optional<Image> mask_;
    std::vector<Entry> palette_;
    std::vector<std::uint16_t> colors_;  ///< of one row, without alpha
};

}  // namespace paleproof::codec
