// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// [sheets]: what recipients print, cut and fold.
#include <array>
#include <cctype>
#include <cmath>
#include <string>
#include <string_view>
#include <vector>

#include "app/option_values.h"
#include "app/option_words.h"
#include "app/options.h"
#include "sheet/paper.h"

namespace paleproof::app {
namespace {

using Texts = std::vector<std::string>;

constexpr Words<sheet::Layout, 2> layouts{
    {{"grid", sheet::Layout::grid}, {"fold", sheet::Layout::fold}}};
constexpr Words<sheet::Orientation, 3> orientations{{{"automatic", sheet::Orientation::automatic},
                                                     {"portrait", sheet::Orientation::portrait},
                                                     {"landscape", sheet::Orientation::landscape}}};
constexpr Words<sheet::Duplex, 3> duplexes{{{"none", sheet::Duplex::none},
                                            {"long-edge", sheet::Duplex::long_edge},
                                            {"short-edge", sheet::Duplex::short_edge}}};
constexpr Words<sheet::Guides, 4> guides{{{"lines", sheet::Guides::lines},
                                          {"ticks", sheet::Guides::ticks},
                                          {"full", sheet::Guides::full},
                                          {"none", sheet::Guides::none}}};
constexpr Words<sheet::Backs, 3> backs{
    {{"print", sheet::Backs::print}, {"light", sheet::Backs::light}, {"none", sheet::Backs::none}}};
constexpr Words<sheet::Order, 3> orders{{{"deck", sheet::Order::deck},
                                         {"packed", sheet::Order::packed},
                                         {"even-ink", sheet::Order::even_ink}}};
constexpr Words<PdfColor, 2> pdf_colors{{{"rgb", PdfColor::rgb}, {"cmyk", PdfColor::cmyk}}};

constexpr Mm most_margin{50.0};
constexpr Mm most_shift{20.0};

constexpr std::array table{
    Option{"sheets", "papers", "NAMES",
           "papers to make sheets for: letter, a4, legal, tabloid, a3, WxHmm", true,
           [](Job& job, const Texts& t) {
               for (const std::string& text : t) (void)sheet::parse_paper(text, "papers");
               job.papers = t;
           },
           [](const Job& job) {
               std::string text = "[";
               for (const std::string& paper : job.papers) {
                   text += (text.size() > 1 ? ", " : "") + in_quotes(paper);
               }
               return text + "]";
           }},
    Option{"sheets", "layout", "grid | fold",
           "grid, or fold: fronts left and backs right of a fold line, for one-sided printers",
           false,
           [](Job& job, const Texts& t) { job.sheets.layout = word(t.front(), "layout", layouts); },
           [](const Job& job) { return in_quotes(word_of(job.sheets.layout, layouts)); }},
    Option{"sheets", "orientation", "automatic | portrait | landscape",
           "how the paper lies; automatic = whichever holds more", false,
           [](Job& job, const Texts& t) {
               job.sheets.orientation = word(t.front(), "orientation", orientations);
           },
           [](const Job& job) { return in_quotes(word_of(job.sheets.orientation, orientations)); }},
    Option{
        "sheets", "duplex", "none | long-edge | short-edge",
        "how the printer turns the sheet for the backs; none = backs on sheets of their own", false,
        [](Job& job, const Texts& t) { job.sheets.duplex = word(t.front(), "duplex", duplexes); },
        [](const Job& job) { return in_quotes(word_of(job.sheets.duplex, duplexes)); }},
    Option{"sheets", "backs", "print | light | none",
           "light = a light pattern in place of the backs; none = fronts only", false,
           [](Job& job, const Texts& t) { job.sheets.backs = word(t.front(), "backs", backs); },
           [](const Job& job) { return in_quotes(word_of(job.sheets.backs, backs)); }},
    Option{"sheets", "back_shift", "LENGTH,LENGTH",
           "moves the backs right and down, for printers that are off: 0.5mm,-1mm", true,
           [](Job& job, const Texts& t) {
               if (t.size() != 2) refuse("back_shift", "two lengths like 0.5mm,-1mm", joined(t));
               const Mm x = parse_signed_length(t[0], "back_shift");
               const Mm y = parse_signed_length(t[1], "back_shift");
               if (std::abs(x.value) > most_shift.value || std::abs(y.value) > most_shift.value) {
                   refuse("back_shift", "at most 20 mm either way", joined(t));
               }
               job.sheets.back_shift_x = x;
               job.sheets.back_shift_y = y;
           },
           [](const Job& job) {
               std::string text = "[";
               text += length_text(job.sheets.back_shift_x) + ", ";
               return text + length_text(job.sheets.back_shift_y) + "]";
           }},
    Option{"sheets", "margin", "LENGTH", "edge of the paper that the printer cannot reach", false,
           [](Job& job, const Texts& t) {
               job.sheets.margin = length_within(t.front(), "margin", most_margin);
           },
           [](const Job& job) { return length_text(job.sheets.margin); }},
    Option{"sheets", "gutter", "LENGTH | bleed",
           "space between cards; 0mm = shared cuts, bleed = room for bleed on every side", false,
           [](Job& job, const Texts& t) {
               const std::string& text = t.front();
               job.sheets.gutter_for_bleed = text == "bleed";
               if (!job.sheets.gutter_for_bleed && !text.empty() &&
                   std::isalpha(static_cast<unsigned char>(text.front())) != 0) {
                   constexpr std::array<std::string_view, 1> words{"bleed"};
                   refuse("gutter", "a length like 4mm, or bleed", text, did_you_mean(text, words));
               }
               job.sheets.gutter = job.sheets.gutter_for_bleed
                                       ? Mm{0.0}
                                       : length_within(text, "gutter", most_margin);
           },
           [](const Job& job) {
               return job.sheets.gutter_for_bleed ? in_quotes("bleed")
                                                  : length_text(job.sheets.gutter);
           }},
    Option{"sheets", "order", "deck | packed | even-ink",
           "packed = equal cards sit together; even-ink = heavy faces are spread over the sheets",
           false,
           [](Job& job, const Texts& t) { job.sheets.order = word(t.front(), "order", orders); },
           [](const Job& job) { return in_quotes(word_of(job.sheets.order, orders)); }},
    Option{"sheets", "guides", "lines | ticks | full | none",
           "cut guides under the art: hairlines seen in margins and gutters, marks at the corners, "
           "or lines across the whole sheet",
           false,
           [](Job& job, const Texts& t) { job.sheets.guides = word(t.front(), "guides", guides); },
           [](const Job& job) { return in_quotes(word_of(job.sheets.guides, guides)); }},
    Option{"sheets", "guide_weight", "LENGTH", "thickness of the guides, 0.05pt to 2pt", false,
           [](Job& job, const Texts& t) {
               const double weight = points(parse_length(t.front(), "guide_weight"));
               if (weight < 0.05 || weight > 2.0)
                   refuse("guide_weight", "0.05pt to 2pt", t.front());
               job.sheets.guide_weight_pt = weight;
           },
           [](const Job& job) { return points_text(job.sheets.guide_weight_pt); }},
    Option{"sheets", "guide_gray", "SHARE", "ink of the guides: 100% = black, at least 10%", false,
           [](Job& job, const Texts& t) {
               const double ink = parse_share(t.front(), "guide_gray");
               if (ink < 0.1) refuse("guide_gray", "10% to 100%", t.front());
               job.sheets.guide_gray = 1.0 - ink;
           },
           [](const Job& job) { return share_text(1.0 - job.sheets.guide_gray); }},
    Option{
        "sheets", "pdf_color", "rgb | cmyk",
        "color faces in PDFs: tagged sRGB, or inks of the separation; gray is always gray", false,
        [](Job& job, const Texts& t) { job.pdf_color = word(t.front(), "pdf_color", pdf_colors); },
        [](const Job& job) { return in_quotes(word_of(job.pdf_color, pdf_colors)); }},
};

}  // namespace

std::span<const Option> sheet_options() { return table; }

}  // namespace paleproof::app
