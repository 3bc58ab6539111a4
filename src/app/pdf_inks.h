// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "app/job.h"
#include "color/separation.h"
#include "core/packed_image.h"
#include "sheet/pdf.h"

namespace paleproof::app {

/// How color becomes inks in a PDF.
struct PdfInks {
    color::Separation separation;
    sheet::OutputIntent intent;
};

/// The job's separation with its profile. Error{usage} when it has no four inks: black, or the
/// profile of a gray printer. Errors as for separation_of().
[[nodiscard]] PdfInks pdf_inks(const Job& job);

/// A packed sRGB picture in inks. Errors as for codec::unpacked().
[[nodiscard]] PackedImage in_inks(const PackedImage& picture, const PdfInks& inks,
                                  const std::string& name);

}  // namespace paleproof::app
