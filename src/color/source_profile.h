// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>

namespace paleproof::color {

/// The channels of a picture in a file, before it becomes an Image.
enum class SourceSpace { gray, rgb, cmyk };

/// CIE 1931 xy of the primaries and white of an RGB space, as PNG's cHRM holds them (divided by
/// 100000).
struct Chromaticities {
    double white_x = 0.3127, white_y = 0.3290;
    double red_x = 0.64, red_y = 0.33;
    double green_x = 0.30, green_y = 0.60;
    double blue_x = 0.15, blue_y = 0.06;
};

/// The bytes of PNG's cICP chunk: code points of ITU-T H.273.
struct Cicp {
    std::uint8_t primaries = 1;
    std::uint8_t transfer = 13;
    std::uint8_t matrix = 0;
    std::uint8_t full_range = 1;
};

/// Conversion from the color space of a file to what Image holds: sRGB for RGB and CMYK files, gray
/// with the sRGB curve for gray files (gray stays one channel).
///
/// Immutable and cheap to copy; one object may be used by any number of threads. Made transforms
/// are kept for the last few different profiles, so asking again for each face of a deck costs a
/// comparison of the profile's bytes.
///
/// Relative colorimetric; for CMYK and table-based profiles with black point compensation, as
/// screens are fed: the darkest ink becomes black. Results of curves and matrices are within 1 code
/// of the full transform, those of tables within 2 for 98 of 100 samples (the rest lie where a
/// screen cannot show the ink and one channel is near 0).
class ToSrgb {
  public:
    /// The file is sRGB already (or gray with the sRGB curve): no change but 16 to 8 bits.
    /// Error{internal} for cmyk.
    [[nodiscard]] static ToSrgb srgb(SourceSpace space);

    /// From an embedded ICC profile (PNG iCCP after inflation, JPEG APP2 joined). `expected` is
    /// what the file's pixels are. Error{format}, subject "color profile", when the bytes are no
    /// usable profile or the profile is for another space than `expected`; the caller decides
    /// whether to go on without it.
    [[nodiscard]] static ToSrgb from_icc(std::span<const std::uint8_t> icc, SourceSpace expected);

    /// From PNG's gAMA (the file's value / 100000, for example 0.45455) and cHRM. gray or rgb;
    /// primaries are ignored for gray. 0.45455 is read as the sRGB curve: it is the value that the
    /// PNG specification (third edition, 11.3.2.5) has the writers of sRGB files store. Without
    /// gAMA (cHRM alone) pass 0.45455. Error{format} when gamma is outside 0.01..10 or the
    /// primaries are no triangle with the white inside; Error{internal} for cmyk.
    [[nodiscard]] static ToSrgb from_gamma(SourceSpace space, double file_gamma,
                                           const std::optional<Chromaticities>& primaries = {});

    /// From PNG's cICP. gray or rgb. Nothing when the codes are valid but not handled: the caller
    /// goes on with the chunk next in order. Handled: primaries 1 (BT.709), 5 and 6 (BT.601), 9
    /// (BT.2020), 11 (DCI-P3), 12 (Display P3); transfer 1, 6, 14, 15 (BT.709), 4 (gamma 2.2), 5
    /// (gamma 2.8), 8 (linear), 13 (sRGB); matrix 0; full range. High dynamic range is not.
    [[nodiscard]] static std::optional<ToSrgb> from_cicp(const Cicp& codes, SourceSpace space);

    /// CMYK without a profile: the built-in `coated` profile.
    [[nodiscard]] static ToSrgb default_cmyk();

    [[nodiscard]] SourceSpace source() const;
    /// 1, 3 or 4 samples a pixel.
    [[nodiscard]] int input_channels() const;
    /// 1 for gray, 3 otherwise.
    [[nodiscard]] int output_channels() const;
    /// True when 8-bit samples come out as they went in: convert() may be left out.
    [[nodiscard]] bool identity() const;

    /// `pixels` pixels, samples interleaved without padding; no alpha. 16-bit samples in the
    /// machine's byte order. CMYK: 0 = no ink, 255 or 65535 = full ink; a file that stores CMYK
    /// inverted (Adobe marker) has to be turned round before. `in` and `out` are apart, or the same
    /// place for 8-bit gray and RGB.
    void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const;
    void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const;

    class Impl;

  private:
    explicit ToSrgb(std::shared_ptr<const Impl> impl);
    std::shared_ptr<const Impl> impl_;
};

/// round(v / 257): the 8-bit sample nearest to a 16-bit one (PNG specification, 13.12).
[[nodiscard]] constexpr std::uint8_t to_8_bits(std::uint16_t v) {
    return static_cast<std::uint8_t>((static_cast<std::uint32_t>(v) * 255U + 32895U) >> 16U);
}

}  // namespace paleproof::color
