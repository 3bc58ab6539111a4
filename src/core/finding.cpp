// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/finding.h"

namespace paleproof {

const std::array<RuleInfo, 14>& rules() {
    static constexpr std::array<RuleInfo, 14> table{{
        {Rule::text_small, "text-small",
         "the x-height (or cap height) of each text line on paper, and the point size estimated "
         "from it",
         "small type closes up in home print and cannot be read at arm's length",
         "set the line larger; reversed text needs more than dark text on light"},
        {Rule::text_faint, "text-faint",
         "the contrast of each text line to what lies around it, on screen and as printed",
         "paper shows far less contrast than a screen, and gray text fades first",
         "darken the text, lighten its ground, or put a panel behind it"},
        {Rule::text_at_edge, "text-at-edge", "the distance of each text line from the trim",
         "a cut that wanders takes the text with it", "move the text inside the safe zone"},
        {Rule::text_lost, "text-lost",
         "whether each text line of the source is found again in the proof, as large and as strong",
         "a proof that silently loses a word is worse than none",
         "give the line more contrast or a calmer ground in the source, or raise the ink budget"},
        {Rule::gray_twins, "gray-twins",
         "the lightness difference, in gray, of two colors that tell things apart",
         "in black and white the two look the same",
         "make one of the two lighter, or add a symbol or pattern beside the color"},
        {Rule::vision_twins, "vision-twins",
         "the CIEDE2000 difference of two colors as protan, deutan and tritan eyes see them",
         "about one man in twelve sees some of the colors of a deck as one",
         "make one of the two lighter, or add a symbol beside the color"},
        {Rule::ink_heavy, "ink-heavy", "total coverage where it is highest, over a 1 mm patch",
         "too much ink does not dry, soaks home paper and rubs off",
         "lighten the darkest areas, or choose a separation with a lower limit"},
        {Rule::budget_missed, "budget-missed", "mean coverage of the proof against the ink budget",
         "the edition costs more ink than was asked for",
         "raise the ink budget to the least that is named, or choose a lighter style"},
        {Rule::bleed_missing, "bleed-missing", "how far the art reaches past the trim on each edge",
         "a cut that is 1 mm off leaves a white sliver where the art stops at the trim",
         "export the face with its bleed; until then the added bleed is used"},
        {Rule::art_coarse, "art-coarse", "pixels per inch of the face at its printed size",
         "coarse art prints with soft or stepped edges, small text first",
         "export the face at 300 ppi or more"},
        {Rule::size_off, "size-off", "the shape of the image against the shape of the card",
         "the face does not fit the card: something is cut away or stays white",
         "export the face at the card's size, or name the right size"},
        {Rule::frame_at_trim, "frame-at-trim",
         "how far a thin line along an edge lies from the trim",
         "a frame so close to the cut shows every bit by which the cut wanders",
         "move the frame inward, or leave it out"},
        {Rule::border_uneven, "border-uneven",
         "the width of the plain border on each edge, and left against right",
         "a narrow or uneven border looks lopsided after a cut that is a little off",
         "make the border wider and even, or let the art run past the trim"},
        {Rule::face_unreadable, "face-unreadable", "whether the file can be read as a picture",
         "the face is missing from the edition", "export the file again as PNG or JPEG"},
    }};
    return table;
}

std::string_view name(Rule rule) {
    for (const RuleInfo& info : rules()) {
        if (info.rule == rule) {
            return info.name;
        }
    }
    return "";
}

std::string_view name(Severity severity) {
    switch (severity) {
        case Severity::note:
            return "note";
        case Severity::warning:
            return "warning";
        case Severity::error:
            return "error";
    }
    return "";
}

std::optional<Rule> rule_named(std::string_view text) {
    for (const RuleInfo& info : rules()) {
        if (info.name == text) {
            return info.rule;
        }
    }
    return std::nullopt;
}

}  // namespace paleproof
