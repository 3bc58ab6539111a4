// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "color/srgb.h"
#include "core/geometry.h"
#include "core/image.h"
#include "core/ink.h"
#include "core/units.h"

namespace paleproof::color {

/// Inks at one place: nominal tone values, each a share 0..1.
struct CmykShare {
    double c = 0, m = 0, y = 0, k = 0;
    [[nodiscard]] double total() const { return c + m + y + k; }
};

/// How colors that the inks cannot reach are brought in: nearest color with the paper as white, or
/// the whole range squeezed.
enum class Intent { relative, perceptual };

/// What becomes of screen colors on paper: which inks, and what they look like there.
///
/// Immutable, cheap to copy, usable by any number of threads. sRGB pixels go through the profile
/// with black point compensation, by a table of 52 nodes a channel (every fifth code) with
/// tetrahedral interpolation in integers. Gray and bilevel pixels count black ink alone, 1 - code /
/// 255, in every separation: that is how DeviceGray prints. Terms: docs/units.md#ink.
class Separation {
  public:
    /// One ink: black = 1 - gray code / 255. Looks like the black of `uncoated`.
    [[nodiscard]] static Separation black();
    /// Four inks on uncoated paper (FOGRA29L): nearest to a home printer on plain paper.
    [[nodiscard]] static Separation uncoated(Intent intent = Intent::relative);
    /// Four inks on coated paper (FOGRA39L), as print shops use.
    [[nodiscard]] static Separation coated(Intent intent = Intent::relative);
    /// From a CMYK or gray ICC profile of a printer or press. `name` is what the result is called
    /// and the subject of Error{format}, thrown when the bytes are no profile, or one of another
    /// kind (a screen's, a scanner's, a device link), or one that only reads colors.
    [[nodiscard]] static Separation from_profile(std::span<const std::uint8_t> icc,
                                                 const std::string& name,
                                                 Intent intent = Intent::relative);

    /// "black", "uncoated", "coated", or the name given.
    [[nodiscard]] const std::string& name() const;

    /// The total coverage that this separation was made for, 0..4; nothing for other profiles.
    [[nodiscard]] std::optional<double> total_limit() const;

    /// Mean coverage of each ink over `trim`, and the highest total of a patch.
    ///
    /// Patches are about 1 mm wide and high (the trim divided evenly); the peak is the 99.9th
    /// percentile by nearest rank of their mean totals, so that one pixel does not decide;
    /// peak_box is the first patch from the top left that has it. Without resolution 300 ppi is
    /// assumed. Error{internal} when `trim` does not meet the image; the part outside is left out.
    [[nodiscard]] InkUse ink(const Image& image, RectPx trim, Ppi ppi) const;

    /// Mean total coverage of each of `across` x `down` parts of the whole image, row by row from
    /// the top left: a picture of where the ink lies. Of parts higher than four rows about four
    /// rows, evenly spread, are counted. Error{internal} for fewer than one part or more than
    /// pixels.
    [[nodiscard]] std::vector<double> totals(const Image& image, int across, int down) const;

    /// Inks of one screen color; neutrals too go through the profile.
    [[nodiscard]] CmykShare separated(Rgb8 color) const;

    /// What the printed color looks like: CIELAB, D50, measured against a perfect white and not
    /// against the paper.
    [[nodiscard]] Lab paper_view(Rgb8 color) const;

    /// Y 0..1 of the printed color, of a gray printed with black alone, and of bare paper.
    [[nodiscard]] double paper_luminance(Rgb8 color) const;
    [[nodiscard]] double paper_luminance_of_gray(std::uint8_t code) const;
    [[nodiscard]] double paper_white() const { return paper_luminance_of_gray(255); }

    /// The WCAG 2.2 ratio of what the paper shows of two screen colors, or of two grays printed
    /// with black alone. Solid black on `uncoated` reaches 7.8, not 21.
    [[nodiscard]] double paper_contrast(Rgb8 a, Rgb8 b) const;
    [[nodiscard]] double paper_contrast_of_grays(std::uint8_t a, std::uint8_t b) const;

  private:
    class Impl;
    explicit Separation(std::shared_ptr<const Impl> impl);
    static std::shared_ptr<const Impl> built_in(const std::string& name, double limit,
                                                std::span<const std::uint8_t> icc,
                                                std::span<const std::uint64_t> inks, Intent intent);
    std::shared_ptr<const Impl> impl_;
};

}  // namespace paleproof::color
