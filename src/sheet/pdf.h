// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "core/geometry.h"
#include "core/packed_image.h"
#include "sheet/imposition.h"

namespace paleproof::sheet {

/// What a PDF must know of a face before its pixels are fetched.
struct FacePage {
    std::string name;  ///< page label in pages.pdf
    SizePx size_px;
    int channels = 1;  ///< 1 gray, 3 sRGB, 4 CMYK
    int bits = 8;      ///< 1 or 8
    FaceShape shape;
    bool group4 = false;  ///< packed as PackedImage::group4
};

/// The pixels of a face, fetched while the file is written: once a face and file, one at a time.
using FaceSource = std::function<PackedImage(std::size_t face)>;

/// The printing condition that a PDF's DeviceCMYK is meant for (ISO 32000-1, 14.11.5).
struct OutputIntent {
    std::string name;               ///< "uncoated"
    std::vector<std::uint8_t> icc;  ///< its CMYK output profile
};

struct PdfOptions {
    std::string title;                   ///< of the deck, UTF-8
    std::string producer = "paleproof";  ///< with the version
    /// ICC profile with which color faces are tagged; empty: DeviceRGB. Gray is always DeviceGray.
    std::vector<std::uint8_t> srgb_icc{};
    std::optional<OutputIntent> output_intent{};
};

/// One page a face in true size: MediaBox = BleedBox = trim + bleed, TrimBox, page labels = names.
/// Pictures are embedded as they were packed. Same input, same bytes: no dates, the ID follows from
/// the content. Writes straight to `file`; write-then-rename is up to the caller. Error{file} when
/// it cannot be written, Error{usage} when there is no page, Error{internal} when a picture is not
/// what its FacePage says; whatever `source` throws passes through.
void write_pages_pdf(const std::filesystem::path& file, std::span<const FacePage> faces,
                     const FaceSource& source, const PdfOptions& options);

/// The pages of an imposition in true size; MediaBox = paper. Each face is stored once, however
/// often it is placed. Asks for printing without scaling, and for duplex as imposed. Else as above.
void write_sheets_pdf(const std::filesystem::path& file, const Imposition& imposition,
                      std::span<const FacePage> faces, const FaceSource& source,
                      const PdfOptions& options);

}  // namespace paleproof::sheet
