// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "color/separation.h"
#include "core/bleed_method.h"
#include "core/fit_method.h"
#include "core/geometry.h"
#include "core/ink.h"
#include "core/units.h"
#include "plan/text_judgement.h"
#include "plan/twins.h"
#include "sheet/imposition.h"

namespace paleproof::app {

enum class Style {
    color,  ///< pixels unchanged
    tint,   ///< its own colors as a light wash under a drawing
    gray,   ///< L*-based gray, lightened to the ink budget
    line,   ///< black lines on paper, 1 bit at 600 ppi
    hatch   ///< the same, with patterns where color carries meaning
};

/// Their words, in the order in which help names them.
inline constexpr std::array<std::pair<std::string_view, Style>, 5> style_words{
    {{"color", Style::color},
     {"tint", Style::tint},
     {"gray", Style::gray},
     {"line", Style::line},
     {"hatch", Style::hatch}}};

/// What color faces are in PDFs; gray ones are always DeviceGray.
enum class PdfColor {
    rgb,  ///< as stored, tagged as sRGB
    cmyk  ///< DeviceCMYK through the separation, which the file names as its output intent
};

/// Everything a run needs. A plain struct: tests fill it without a command line. Each member below
/// `out` is one option of the table in options.h, where its help and its limits stand.
struct Job {
    std::filesystem::path source;  ///< what the user named: folder, deck list or job file
    std::filesystem::path out;     ///< folder of the edition; empty = default_out()
    unsigned threads = 0;          ///< 0 = one per core

    // [deck]
    std::filesystem::path faces;  ///< folder or deck list
    std::string title;            ///< "" = the name of the folder or list
    std::optional<SizeMm> size;
    std::string back;  ///< file or name of the face that is the back of all cards without one
    Mm bleed{3.0};
    Edges<std::optional<BleedMethod>> bleed_method{};  ///< nothing = chosen for the edge
    FitMethod fit = FitMethod::keep;
    Mm cut_wander{1.0};
    double max_megapixels = 120.0;

    // [look]
    Style style = Style::gray;
    std::optional<double> ink_budget;  ///< none = the default of the style
    std::vector<plan::GrayPin> pins;   ///< grays that the designer gives to colors

    // [legible]
    std::string text_limits = "default";  ///< the named limits that `text` started from
    plan::TextLimits text;
    double min_ppi = 200.0;
    plan::TwinLimits twins;
    bool read = false;                  ///< the words of the lines, by OCR
    std::string read_language = "eng";  ///< as the OCR engine names it

    // [ink]
    std::string separation = "uncoated";
    color::Intent intent = color::Intent::relative;
    std::optional<double> total_limit;  ///< none = the default of the separation
    std::vector<Cartridge> cartridges;  ///< for the cost of the ink
    std::string currency = "EUR";

    // [sheets]
    std::vector<std::string> papers{"letter", "a4"};
    sheet::SheetOptions sheets;
    PdfColor pdf_color = PdfColor::rgb;

    // [run], with `out` and `threads` above
    std::filesystem::path changed_since;  ///< edition.json of an earlier edition, or its folder

    // Of the command line alone.
    bool test_page = false;  ///< also test-page-PAPER.pdf
};

/// The budget that applies: the one asked for, else the default of the style: 12 % for gray,
/// 30 % over all inks for tint, 6 % for line, 9 % for hatch, 100 % for color.
[[nodiscard]] double effective_ink_budget(const Job& job);

[[nodiscard]] std::string_view name(Style style);

}  // namespace paleproof::app
