// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <span>
#include <string>
#include <vector>

#include "sheet/imposition.h"
#include "sheet/pdf.h"

namespace paleproof::sheet {

/// A length as a PDF number in points: at most four decimals, so within 0.00002 mm.
[[nodiscard]] std::string pdf_points(Mm length);
[[nodiscard]] std::string pdf_number(double value);

/// Names of the resources that content refers to.
[[nodiscard]] std::string face_resource(std::size_t face);
inline constexpr const char* font_resource = "/Lettering";

/// Gives characters the one-byte codes of a PDF font in the order in which they turn up.
class Lettering {
  public:
    /// The text as a PDF hex string: nothing in it can end the string early.
    [[nodiscard]] std::string encoded(const std::string& utf8);
    /// By code. Code 0 stands for all characters past the 255th.
    [[nodiscard]] const std::vector<char32_t>& characters() const { return characters_; }
    /// What a glyph's content stream says.
    [[nodiscard]] static std::string drawing(char32_t character);

  private:
    std::vector<char32_t> characters_{U'\ufffd'};
    std::map<char32_t, unsigned> codes_;
};

/// Content stream of a sheet's page.
[[nodiscard]] std::string sheet_content(const SheetPage& page, const SheetOptions& options,
                                        std::span<const FacePage> faces, Lettering& lettering);

/// Content stream of a page that one face fills.
[[nodiscard]] std::string face_content(std::size_t face, SizeMm page);

}  // namespace paleproof::sheet
