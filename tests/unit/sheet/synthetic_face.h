// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <zlib.h>

#include <cmath>
#include <cstdint>
#include <filesystem>
#include <functional>
#include <stdexcept>
#include <string>
#include <vector>

#include "core/packed_image.h"
#include "sheet/imposition.h"
#include "sheet/pdf.h"

namespace paleproof::test {

/// Value of a pixel's channel, 0 to 255.
using Drawing = std::function<int(int x, int y, int channel)>;

/// A packed picture made without the codec: rows with PNG filter 0 in one zlib stream.
inline PackedImage drawn_image(int width, int height, int channels, int bits,
                               const Drawing& drawing) {
    std::vector<std::uint8_t> rows;
    for (int y = 0; y < height; ++y) {
        rows.push_back(0);
        std::uint8_t byte = 0;
        for (int x = 0; x < width; ++x) {
            for (int c = 0; c < channels; ++c) {
                const int value = drawing(x, y, c);
                if (bits == 8) {
                    rows.push_back(static_cast<std::uint8_t>(value));
                    continue;
                }
                const unsigned bit = value >= 128 ? 1U : 0U;
                byte = static_cast<std::uint8_t>((static_cast<unsigned>(byte) << 1U) | bit);
                if (x % 8 == 7) {
                    rows.push_back(byte);
                    byte = 0;
                }
            }
        }
        if (bits == 1 && width % 8 != 0) {
            rows.push_back(static_cast<std::uint8_t>(static_cast<unsigned>(byte)
                                                     << (8U - static_cast<unsigned>(width) % 8U)));
        }
    }
    PackedImage image{width, height, channels, bits, {}, {}};
    uLongf size = compressBound(rows.size());
    image.zlib.resize(size);
    if (compress2(image.zlib.data(), &size, rows.data(), rows.size(), 1) != Z_OK) {
        throw std::runtime_error("zlib refuses the test picture");
    }
    image.zlib.resize(size);
    return image;
}

/// A face for tests: what the PDF writer is told, and its pixels.
struct SyntheticFace {
    sheet::FacePage page;
    PackedImage image;
};

inline constexpr double test_ppi = 254.0;  // 10 pixels a millimeter: edges fall on pixels

/// A face of trim + equal bleed. `drawing` gets the place of a pixel's center in mm from the top
/// left of the trim, so that bleed has negative or too large coordinates.
inline SyntheticFace synthetic_face(const std::string& name, SizeMm trim, Mm bleed, int channels,
                                    int bits,
                                    const std::function<int(double, double, int)>& drawing,
                                    double ppi = test_ppi) {
    const double px_per_mm = ppi / mm_per_inch;
    const int width = static_cast<int>(std::lround((trim.width + 2.0 * bleed).value * px_per_mm));
    const int height = static_cast<int>(std::lround((trim.height + 2.0 * bleed).value * px_per_mm));
    // The picture covers trim + bleed exactly, so a pixel may be a little off square.
    const double step_x = (trim.width + 2.0 * bleed).value / width;
    const double step_y = (trim.height + 2.0 * bleed).value / height;
    SyntheticFace face;
    face.page = {name, {width, height}, channels, bits, {trim, {bleed, bleed, bleed, bleed}}};
    face.image = drawn_image(width, height, channels, bits, [&](int x, int y, int c) {
        return drawing((x + 0.5) * step_x - bleed.value, (y + 0.5) * step_y - bleed.value, c);
    });
    return face;
}

inline std::vector<sheet::FacePage> pages_of(const std::vector<SyntheticFace>& faces) {
    std::vector<sheet::FacePage> pages;
    for (const SyntheticFace& face : faces) pages.push_back(face.page);
    return pages;
}

inline std::vector<sheet::FaceShape> shapes_of(const std::vector<SyntheticFace>& faces) {
    std::vector<sheet::FaceShape> shapes;
    for (const SyntheticFace& face : faces) shapes.push_back(face.page.shape);
    return shapes;
}

inline sheet::FaceSource source_of(const std::vector<SyntheticFace>& faces) {
    return [&faces](std::size_t i) { return faces.at(i).image; };
}

/// Where a test of the sheets writes a file.
inline std::filesystem::path scratch(const std::string& name) {
    std::filesystem::create_directories(PALEPROOF_SCRATCH);
    return std::filesystem::path(PALEPROOF_SCRATCH) / name;
}

inline constexpr SizeMm poker{{63.5}, {88.9}};

/// Faces of every kind of picture; gray value `level` all over the first.
inline std::vector<SyntheticFace> mixed_faces() {
    std::vector<SyntheticFace> faces;
    faces.push_back(
        synthetic_face("moth", poker, Mm{3.0}, 1, 8, [](double, double, int) { return 128; }));
    faces.push_back(
        synthetic_face("pear (ripe)", poker, Mm{3.0}, 3, 8, [](double x, double y, int c) {
            return static_cast<int>(127 + 60 * std::sin(x * (c + 1) / 9) * std::cos(y / 7));
        }));
    faces.push_back(synthetic_face(
        "Mondlicht: größer", {{63.0}, {88.0}}, Mm{3.0}, 1, 1,
        [](double x, double, int) { return std::fmod(x + 9.0, 4.0) < 1.0 ? 0 : 255; }));
    faces.push_back(synthetic_face("bare", poker, Mm{0.0}, 1, 8,
                                   [](double, double y, int) { return y < 44.45 ? 0 : 255; }));
    return faces;
}

/// Two with a back, two without.
inline const std::vector<sheet::Card> some_cards{{0, 1, 4}, {1, {}, 2}, {2, {}, 3}, {3, 1, 2}};

inline sheet::Imposition some_sheets(const std::vector<SyntheticFace>& faces, const char* paper,
                                     const sheet::SheetOptions& options = {}) {
    return sheet::imposition(sheet::parse_paper(paper, "papers"), shapes_of(faces), some_cards,
                             options, "Night Orchard");
}

}  // namespace paleproof::test
