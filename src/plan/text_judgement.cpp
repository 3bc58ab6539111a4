// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/text_judgement.h"

#include <algorithm>

#include "core/format.h"

namespace paleproof::plan {
namespace {

constexpr double large_pt = 18.0, large_bold_pt = 14.0;  // WCAG 2.2, "large scale"
constexpr double bold_stroke = 0.24;     // of the x-height; regular letters have 0.15 to 0.2
constexpr Mm rounding{0.1};              // no cutter is that good
constexpr double of_whole_codes = 0.99;  // of a ratio: codes are whole numbers

std::string points_text(double size) { return fixed(size, 1) + " pt"; }

std::string size_range(const TextLine& line) {
    return points_text(line.point_size) + " (" + fixed(line.point_size_low, 1) + " to " +
           fixed(line.point_size_high, 1) + ", depending on the font)";
}

bool is_large(const TextLine& line) {
    const bool bold = line.x_height_px > 0.0 && line.stroke_px > bold_stroke * line.x_height_px;
    return line.point_size >= (bold ? large_bold_pt : large_pt);
}

Finding finding(Rule rule, Severity severity, const std::string& face, const TextLine& line) {
    Finding result;
    result.rule = rule;
    result.severity = severity;
    result.face = face;
    result.box_px = line.box_px;
    return result;
}

std::optional<Finding> small(const std::string& face, const TextLine& line,
                             const TextLimits& limits) {
    const Mm height = line.capitals_only ? line.cap_height : line.x_height;
    const Mm least = line.reversed ? limits.min_reversed_x_height : limits.min_x_height;
    const double least_pt = line.reversed ? limits.min_reversed_text : limits.min_text;
    const std::string what = line.reversed ? "reversed text" : "text";
    const std::string letters = line.capitals_only ? "capitals " : "small letters ";
    const std::string more =
        line.reversed ? "; set it larger, or dark on light" : "; set it larger";
    if (height < least) {
        Finding result = finding(Rule::text_small, Severity::warning, face, line);
        result.measured = height.value;
        result.limit = least.value;
        result.unit = "mm";
        result.message = what + " with " + letters + fixed(height.value, 2) + " mm high, about " +
                         size_range(line) + "; at least " + fixed(least.value, 2) +
                         " mm are wanted" + more;
        return result;
    }
    if (line.point_size < least_pt) {
        const bool certain = line.point_size_high < least_pt;
        Finding result =
            finding(Rule::text_small, certain ? Severity::warning : Severity::note, face, line);
        result.measured = line.point_size;
        result.limit = least_pt;
        result.unit = "pt";
        result.message = what + " of about " + size_range(line) + "; at least " +
                         points_text(least_pt) + " are wanted" + more;
        return result;
    }
    return std::nullopt;
}

std::optional<Finding> faint(const std::string& face, const TextLine& line,
                             const TextLimits& limits, double best) {
    const double least = is_large(line) ? limits.min_large_contrast : limits.min_contrast;
    const bool on_screen = line.contrast < least;
    const bool on_paper = line.paper_contrast < limits.min_paper_contrast;
    if (!on_screen && !on_paper) {
        return std::nullopt;
    }
    const std::string paper = fixed(line.paper_contrast, 1) + " : 1 on paper";
    const std::string best_there = " (black on this paper reaches " + fixed(best, 1) + " : 1)";
    Finding result = finding(Rule::text_faint, Severity::warning, face, line);
    result.unit = ":1";
    if (on_screen) {
        result.measured = line.contrast;
        result.limit = least;
        result.message = "a tenth of the line has a contrast of " + fixed(line.contrast, 1) +
                         " : 1 or less to what lies around it, at least " + fixed(least, 1) +
                         " : 1 is wanted; " + paper + best_there;
    } else {
        result.measured = line.paper_contrast;
        result.limit = limits.min_paper_contrast;
        result.message = "the line's contrast falls from " + fixed(line.contrast, 1) +
                         " : 1 on screen to " + paper + best_there + ", at least " +
                         fixed(limits.min_paper_contrast, 1) + " : 1 is wanted";
    }
    result.message += line.reversed ? "; lighten the text or darken its ground"
                                    : "; darken the text or lighten its ground";
    return result;
}

std::optional<Finding> at_edge(const std::string& face, const TextLine& line,
                               const TrimPlacement& placement, const TextLimits& limits) {
    const RectPx& box = line.box_px;
    const RectPx& trim = placement.trim_px;
    const std::string_view names[] = {"top", "right", "bottom", "left"};
    const int inside[] = {box.y - trim.y, trim.right() - box.right(), trim.bottom() - box.bottom(),
                          box.x - trim.x};
    const auto* nearest = std::min_element(std::begin(inside), std::end(inside));
    const Mm distance = from_pixels(*nearest, placement.ppi);
    if (distance + rounding >= limits.safe) {
        return std::nullopt;
    }
    const std::string edge(names[nearest - std::begin(inside)]);
    Finding result = finding(Rule::text_at_edge, Severity::warning, face, line);
    result.measured = distance.value;
    result.limit = limits.safe.value;
    result.unit = "mm";
    if (distance.value < 0.0) {
        result.message = "text reaches " + fixed(-distance.value, 1) + " mm past the " + edge +
                         " trim and will be cut; move it in by " +
                         fixed(limits.safe.value - distance.value, 1) + " mm";
    } else {
        result.message = "text comes within " + fixed(distance.value, 1) + " mm of the " + edge +
                         " trim, " + fixed(limits.safe.value, 1) +
                         " mm are kept free for cuts that wander; move it in by " +
                         fixed(limits.safe.value - distance.value, 1) + " mm";
    }
    return result;
}

}  // namespace

std::optional<TextLimits> named_text_limits(std::string_view name) {
    TextLimits limits;
    if (name == "default") {
        return limits;
    }
    if (name == "food-label") {
        limits.min_x_height = limits.min_reversed_x_height = Mm{1.2};
        return limits;
    }
    if (name == "clear-print") {
        limits.min_text = limits.min_reversed_text = 12.0;
        return limits;
    }
    if (name == "large-print") {
        limits.min_text = limits.min_reversed_text = 18.0;
        return limits;
    }
    return std::nullopt;
}

std::vector<Finding> text_findings(const std::string& face, std::span<const TextLine> text,
                                   const TrimPlacement& placement, const TextLimits& limits,
                                   double best_paper_contrast) {
    std::vector<Finding> result;
    const auto judged = [&](const auto& rule) {
        for (const TextLine& line : text) {
            if (line.confidence < limits.min_confidence) {
                continue;
            }
            if (auto found = rule(line)) {
                result.push_back(std::move(*found));
            }
        }
    };
    judged([&](const TextLine& line) { return small(face, line, limits); });
    judged([&](const TextLine& line) { return faint(face, line, limits, best_paper_contrast); });
    judged([&](const TextLine& line) { return at_edge(face, line, placement, limits); });
    return result;
}

namespace {

constexpr double least_readable = 1.5;  // below this the source itself cannot be read

double wanted_in_proof(const TextLine& line, const TextLimits& limits) {
    return std::min(limits.min_large_contrast, line.contrast);
}

}  // namespace

void judge_kept(TextLine& line, const survey::LineInProof& in_proof, const TextLimits& limits) {
    constexpr double least_found = 0.93;
    constexpr double most_change = 0.05;
    line.proof_contrast = in_proof.contrast;
    line.kept = in_proof.contrast >= of_whole_codes * wanted_in_proof(line, limits) &&
                in_proof.found >= least_found && in_proof.size_change <= most_change &&
                in_proof.letters_missing == 0;
}

void judge_kept(Symbol& symbol, const survey::SymbolInProof& in_proof, const TextLimits& limits) {
    // In the box and around it, another thing of the figure's color counts as missing: whole
    // symbols of the demo deck have 0.81 (a stripe beside one of them) to 1.
    constexpr double least_found = 0.80;
    constexpr double least_clear = 0.60;  // a field may carry a pattern
    symbol.proof_contrast = in_proof.contrast;
    symbol.kept = in_proof.contrast >=
                      of_whole_codes * std::min(limits.min_large_contrast, symbol.contrast) &&
                  in_proof.found >= least_found && in_proof.clear >= least_clear;
}

bool must_be_kept(const TextLine& line, const TextLimits& limits) {
    return line.confidence >= limits.min_confidence && line.contrast >= least_readable;
}

std::vector<Finding> lost_findings(const std::string& face, std::span<const TextLine> text,
                                   std::span<const Symbol> symbols, const TextLimits& limits) {
    std::vector<Finding> result;
    for (const TextLine& line : text) {
        if (line.kept.value_or(true) || !must_be_kept(line, limits)) continue;
        const double got = line.proof_contrast.value_or(1.0);
        const double wanted = wanted_in_proof(line, limits);
        result.push_back(
            {.rule = Rule::text_lost,
             .severity = Severity::error,
             .face = face,
             .box_px = line.box_px,
             .measured = got,
             .limit = wanted,
             .unit = ":1",
             .message = line.kind == TextLine::Kind::mark
                            ? "a single number or letter has a contrast of " + fixed(got, 1) +
                                  " : 1 in the proof, or a part of it is missing; raise the ink "
                                  "budget, or give it a calmer ground"
                        : got < wanted
                            ? "a line of text has a contrast of " + fixed(got, 1) +
                                  " : 1 in the proof, at least " + fixed(wanted, 1) +
                                  " : 1 is wanted; raise the ink budget, or give the line a "
                                  "calmer ground"
                            : "letters of a line are missing in the proof, at a contrast of " +
                                  fixed(got, 1) + " : 1; give the line a calmer ground"});
    }
    for (const TextLine& line : text) {
        if (line.lost_words.empty() || !line.kept.value_or(true)) continue;
        std::string words;
        for (const std::string& word : line.lost_words) {
            words += (words.empty() ? "\"" : ", \"") + word + "\"";
        }
        result.push_back({.rule = Rule::text_lost,
                          .severity = Severity::warning,
                          .face = face,
                          .box_px = line.box_px,
                          .measured = static_cast<double>(line.lost_words.size()),
                          .limit = 0.0,
                          .unit = "words",
                          .message = "the OCR engine read " + words +
                                     " on the source and not in the proof, though the letters are "
                                     "there; look at the line"});
    }
    for (const Symbol& symbol : symbols) {
        if (symbol.kept.value_or(true)) continue;
        const double got = symbol.proof_contrast.value_or(1.0);
        const double wanted = std::min(limits.min_large_contrast, symbol.contrast);
        result.push_back({.rule = Rule::text_lost,
                          .severity = Severity::warning,
                          .face = face,
                          .box_px = symbol.box_px,
                          .measured = got,
                          .limit = wanted,
                          .unit = ":1",
                          .message = "a symbol has a contrast of " + fixed(got, 1) +
                                     " : 1 in the proof, or a part of it is missing, at least " +
                                     fixed(wanted, 1) +
                                     " : 1 is wanted; raise the ink budget, or give it a calmer "
                                     "ground"});
    }
    return result;
}

}  // namespace paleproof::plan
