// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/options.h"

#include <algorithm>
#include <array>

#include "app/option_values.h"
#include "app/option_words.h"
#include "color/separation.h"
#include "core/card_size.h"
#include "core/error.h"
#include "core/format.h"
#include "plan/gray_map.h"
#include "plan/twin_report.h"

namespace paleproof::app {
namespace {

using Texts = std::vector<std::string>;

constexpr Words<FitMethod, 3> fits{
    {{"keep", FitMethod::keep}, {"crop", FitMethod::crop}, {"scale", FitMethod::scale}}};
constexpr Words<std::optional<BleedMethod>, 7> bleed_methods{{{"automatic", std::nullopt},
                                                              {"flat", BleedMethod::flat},
                                                              {"continue", BleedMethod::carry},
                                                              {"pattern", BleedMethod::pattern},
                                                              {"mirror", BleedMethod::mirror},
                                                              {"stretch", BleedMethod::stretch},
                                                              {"none", BleedMethod::none}}};
constexpr Words<bool, 2> switches{{{"true", true}, {"false", false}}};
constexpr Words<color::Intent, 2> intents{
    {{"relative", color::Intent::relative}, {"perceptual", color::Intent::perceptual}}};
constexpr std::array<std::string_view, 4> text_limits{"default", "food-label", "clear-print",
                                                      "large-print"};

constexpr Mm most_bleed{10.0};
constexpr Mm most_wander{3.0};
constexpr Mm most_text{25.4};
constexpr double most_total = 4.0;  // all four inks

constexpr std::array table{
    Option{"deck", "faces", "FOLDER | LIST.csv", "where the faces are, relative to the job file",
           false, [](Job& job, const Texts& t) { job.faces = t.front(); },
           [](const Job& job) { return in_quotes(job.faces.generic_string()); }},
    Option{"deck", "title", "TEXT",
           "name of the deck on sheets and report (default: the folder's name)", false,
           [](Job& job, const Texts& t) {
               job.title = t.front().empty() ? "" : visible(t.front(), "title", "a text");
           },
           [](const Job& job) { return job.title.empty() ? std::string() : in_quotes(job.title); }},
    Option{"deck", "size", "SIZE",
           "card size: poker, bridge, tarot, ..., 63x88mm, 2.5x3.5in (default: from each file's "
           "resolution or shape)",
           false, [](Job& job, const Texts& t) { job.size = parse_size(t.front(), "size"); },
           [](const Job& job) {
               return job.size ? in_quotes(decimal(job.size->width.value) + "x" +
                                           decimal(job.size->height.value) + "mm")
                               : std::string();
           }},
    Option{"deck", "back", "FACE",
           "file or name of the face that is the back of all cards without one", false,
           [](Job& job, const Texts& t) { job.back = t.front(); },
           [](const Job& job) { return job.back.empty() ? std::string() : in_quotes(job.back); }},
    Option{
        "deck", "bleed", "LENGTH", "art past the trim on every edge of the proofs, 0mm to 10mm",
        false,
        [](Job& job, const Texts& t) { job.bleed = length_within(t.front(), "bleed", most_bleed); },
        [](const Job& job) { return length_text(job.bleed); }},
    Option{"deck", "bleed_method", "METHODS",
           "how missing bleed is made: automatic, flat, continue, pattern, mirror, stretch, none; "
           "one, or four for top,right,bottom,left",
           true,
           [](Job& job, const Texts& t) {
               if (t.size() != 1 && t.size() != 4) {
                   refuse("bleed_method", "one method, or four: top,right,bottom,left", joined(t));
               }
               const auto method = [&](std::size_t i) {
                   return word(t.size() == 1 ? t.front() : t[i], "bleed_method", bleed_methods);
               };
               job.bleed_method = {method(0), method(1), method(2), method(3)};
           },
           [](const Job& job) {
               const auto& [top, right, bottom, left] = job.bleed_method;
               if (top == right && top == bottom && top == left) {
                   return in_quotes(word_of(top, bleed_methods));
               }
               std::string text = "[";
               for (const auto& method : {top, right, bottom, left}) {
                   text +=
                       (text.size() > 1 ? ", " : "") + in_quotes(word_of(method, bleed_methods));
               }
               return text + "]";
           }},
    Option{"deck", "fit", "keep | crop | scale",
           "a picture of another shape than the card: kept whole and continued, cut evenly, or "
           "stretched; always said",
           false, [](Job& job, const Texts& t) { job.fit = word(t.front(), "fit", fits); },
           [](const Job& job) { return in_quotes(word_of(job.fit, fits)); }},
    Option{"deck", "cut_wander", "LENGTH",
           "how far a cut may lie off, 0mm to 3mm; check and report say what that does", false,
           [](Job& job, const Texts& t) {
               job.cut_wander = length_within(t.front(), "cut_wander", most_wander);
           },
           [](const Job& job) { return length_text(job.cut_wander); }},
    Option{"deck", "safe", "LENGTH", "inset from the trim in which text may lie", false,
           [](Job& job, const Texts& t) {
               job.text.safe = length_within(t.front(), "safe", most_bleed);
           },
           [](const Job& job) { return length_text(job.text.safe); }},
    Option{"deck", "max_megapixels", "NUMBER",
           "faces with more pixels than this are refused unread", false,
           [](Job& job, const Texts& t) {
               job.max_megapixels = number(t.front(), "max_megapixels", 1, 4000, "million pixels");
           },
           [](const Job& job) { return decimal(job.max_megapixels); }},
    Option{"look", "style", "color | tint | gray | line | hatch", "what the proofs look like",
           false,
           [](Job& job, const Texts& t) { job.style = word(t.front(), "style", style_words); },
           [](const Job& job) { return in_quotes(name(job.style)); }},
    Option{"look", "ink_budget", "SHARE",
           "mean coverage a proof may have: 12% for gray, 6% for line, 9% for hatch, 30% "
           "over all inks for tint; 100% = as "
           "gray or as "
           "detailed as it gets",
           false,
           [](Job& job, const Texts& t) {
               const double budget = parse_share(t.front(), "ink_budget");
               if (budget == 0.0) refuse("ink_budget", "a share over 0%, like 12%", t.front());
               job.ink_budget = budget;
           },
           [](const Job& job) { return share_text(effective_ink_budget(job)); }},
    Option{"look", "pins", "#RRGGBB=GRAY,...",
           "grays that style gray gives to colors, 0 black to 1 paper: #b03030=0.25; in a job file "
           "[look.pins]",
           true,
           [](Job& job, const Texts& t) {
               job.pins.clear();
               for (const std::string& text : t) job.pins.push_back(pin(text));
               plan::check_pins(job.pins);
           },
           [](const Job& job) {
               std::string text;
               for (const plan::GrayPin& p : job.pins) {
                   text += (text.empty() ? "{ " : ", ") + in_quotes(plan::hex(p.color)) + " = " +
                           decimal(p.gray);
               }
               return text.empty() ? text : text + " }";
           }},
    Option{"legible", "text", "default | food-label | clear-print | large-print",
           "named limits for text: 6 pt, x-height 1.2 mm, 12 pt, 18 pt; the limits below win",
           false,
           [](Job& job, const Texts& t) {
               const auto limits = plan::named_text_limits(t.front());
               if (!limits) {
                   refuse("text", "one of default, food-label, clear-print, large-print", t.front(),
                          did_you_mean(t.front(), text_limits));
               }
               const Mm safe = job.text.safe;
               job.text = *limits;
               job.text.safe = safe;
               job.text_limits = t.front();
           },
           [](const Job& job) { return in_quotes(job.text_limits); }},
    Option{"legible", "min_text", "LENGTH", "smallest text size, as a length: 6pt", false,
           [](Job& job, const Texts& t) {
               job.text.min_text = points(length_within(t.front(), "min_text", most_text));
           },
           [](const Job& job) { return points_text(job.text.min_text); }},
    Option{"legible", "min_reversed_text", "LENGTH", "the same for light text on a dark ground",
           false,
           [](Job& job, const Texts& t) {
               job.text.min_reversed_text =
                   points(length_within(t.front(), "min_reversed_text", most_text));
           },
           [](const Job& job) { return points_text(job.text.min_reversed_text); }},
    Option{"legible", "min_x_height", "LENGTH", "smallest height of a small x on paper", false,
           [](Job& job, const Texts& t) {
               job.text.min_x_height = length_within(t.front(), "min_x_height", most_text);
           },
           [](const Job& job) { return length_text(job.text.min_x_height); }},
    Option{"legible", "min_reversed_x_height", "LENGTH", "the same for light text on a dark ground",
           false,
           [](Job& job, const Texts& t) {
               job.text.min_reversed_x_height =
                   length_within(t.front(), "min_reversed_x_height", most_text);
           },
           [](const Job& job) { return length_text(job.text.min_reversed_x_height); }},
    Option{"legible", "min_contrast", "NUMBER", "smallest contrast of text on screen, 1 to 21",
           false,
           [](Job& job, const Texts& t) {
               job.text.min_contrast = number(t.front(), "min_contrast", 1, 21, "WCAG ratio");
           },
           [](const Job& job) { return decimal(job.text.min_contrast); }},
    Option{"legible", "min_large_contrast", "NUMBER",
           "the same for large text: 18 pt, or 14 pt bold", false,
           [](Job& job, const Texts& t) {
               job.text.min_large_contrast =
                   number(t.front(), "min_large_contrast", 1, 21, "WCAG ratio");
           },
           [](const Job& job) { return decimal(job.text.min_large_contrast); }},
    Option{"legible", "min_paper_contrast", "NUMBER",
           "smallest contrast of text as printed on the separation's paper, 1 to 21", false,
           [](Job& job, const Texts& t) {
               job.text.min_paper_contrast =
                   number(t.front(), "min_paper_contrast", 1, 21, "WCAG ratio");
           },
           [](const Job& job) { return decimal(job.text.min_paper_contrast); }},
    Option{"legible", "min_ppi", "NUMBER",
           "art with fewer pixels per inch at printed size is flagged", false,
           [](Job& job, const Texts& t) {
               job.min_ppi = number(t.front(), "min_ppi", 0, 2400, "pixels per inch");
           },
           [](const Job& job) { return decimal(job.min_ppi); }},
    Option{"legible", "told_apart", "NUMBER",
           "CIEDE2000 from which two colors are clearly two, and must stay so", false,
           [](Job& job, const Texts& t) {
               job.twins.told_apart = number(t.front(), "told_apart", 1, 100, "CIEDE2000");
           },
           [](const Job& job) { return decimal(job.twins.told_apart); }},
    Option{"legible", "min_gray_difference", "NUMBER",
           "colors that tell things apart and differ less than this in gray are twins", false,
           [](Job& job, const Texts& t) {
               job.twins.min_gray_difference =
                   number(t.front(), "min_gray_difference", 0, 100, "L*");
           },
           [](const Job& job) { return decimal(job.twins.min_gray_difference); }},
    Option{"legible", "min_vision_difference", "NUMBER",
           "the same for color-vision deficiency, of the simulated colors", false,
           [](Job& job, const Texts& t) {
               job.twins.min_vision_difference =
                   number(t.front(), "min_vision_difference", 0, 100, "CIEDE2000");
           },
           [](const Job& job) { return decimal(job.twins.min_vision_difference); }},
    Option{"legible", "vision_severity", "NUMBER",
           "0 = usual color vision, 1 = one cone type is missing", false,
           [](Job& job, const Texts& t) {
               job.twins.vision_severity = number(t.front(), "vision_severity", 0, 1, "severity");
           },
           [](const Job& job) { return decimal(job.twins.vision_severity); }},
    Option{"legible", "read", "",
           "read the words of each line with an OCR engine and put them into the report", false,
           [](Job& job, const Texts& t) { job.read = word(t.front(), "read", switches); },
           [](const Job& job) { return std::string(word_of(job.read, switches)); }},
    Option{"legible", "read_language", "LANGUAGE",
           "language of these words as Tesseract names its data: eng, deu+eng", false,
           [](Job& job, const Texts& t) {
               job.read_language =
                   visible(t.front(), "read_language", "a language like eng or deu+eng");
           },
           [](const Job& job) { return in_quotes(job.read_language); }},
    Option{"ink", "separation", "uncoated | coated | black | PROFILE.icc",
           "printing condition for which ink is counted", false,
           [](Job& job, const Texts& t) { job.separation = t.front(); },
           [](const Job& job) { return in_quotes(job.separation); }},
    Option{"ink", "intent", "relative | perceptual",
           "colors that the inks cannot reach: nearest one, with black point compensation, or the "
           "whole range squeezed",
           false, [](Job& job, const Texts& t) { job.intent = word(t.front(), "intent", intents); },
           [](const Job& job) { return in_quotes(word_of(job.intent, intents)); }},
    Option{
        "ink", "total_limit", "SHARE",
        "total coverage over which a place is flagged: 300% or 3.0 (default: the separation's)",
        false,
        [](Job& job, const Texts& t) {
            job.total_limit = parse_share(t.front(), "total_limit", most_total);
        },
        [](const Job& job) { return job.total_limit ? decimal(*job.total_limit) : std::string(); }},
    Option{"ink", "cartridges", "INKS:PRICE/PAGES,...",
           "cartridges with price and rated page yield: k:19.90/480,cmy:24.50/300", true,
           [](Job& job, const Texts& t) {
               job.cartridges.clear();
               for (const std::string& text : t) job.cartridges.push_back(cartridge(text));
               std::string all;
               for (const Cartridge& c : job.cartridges) all += c.inks;
               for (const char ink : all) {
                   if (std::ranges::count(all, ink) > 1) {
                       refuse("cartridges", "each ink in one cartridge", std::string(1, ink));
                   }
               }
           },
           [](const Job& job) {
               std::string text;
               for (const Cartridge& c : job.cartridges) {
                   text += (text.empty() ? "[" : ", ") + cartridge_text(c);
               }
               return text.empty() ? text : text + "]";
           }},
    Option{"ink", "currency", "TEXT", "currency of the prices", false,
           [](Job& job, const Texts& t) {
               job.currency = visible(t.front(), "currency", "a currency like EUR or $");
           },
           [](const Job& job) { return in_quotes(job.currency); }},
};

}  // namespace

std::span<const Option> options() {
    static const std::vector<Option> all = [] {
        std::vector<Option> joined(table.begin(), table.end());
        joined.insert(joined.end(), sheet_options().begin(), sheet_options().end());
        joined.insert(joined.end(), run_options().begin(), run_options().end());
        return joined;
    }();
    return all;
}

std::string flag(const Option& option) {
    std::string text = "--" + std::string(option.key);
    std::ranges::replace(text, '_', '-');
    return text;
}

const Option* find_option(std::string_view key) {
    const auto found = std::ranges::find(options(), key, &Option::key);
    return found == options().end() ? nullptr : &*found;
}

}  // namespace paleproof::app
