// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

std::string bar(double share, double full_bar, std::string_view kind, int top) {
    const double width = full_bar > 0.0 ? std::clamp(share / full_bar, 0.0, 1.0) : 0.0;
    return fmt::format(R"(<rect class="{}" y="{}" width="{}%" height="5"/>)", kind, top,
                       fixed(width * 100.0, 2));
}

std::string share_cell(const std::optional<InkUse>& ink, double InkUse::*member) {
    return ink ? percent((*ink).*member) : "<span aria-label=\"not measured\">&ndash;</span>";
}

std::string ink_row(std::string_view label, const std::optional<InkUse>& source,
                    const std::optional<InkUse>& proof, double InkUse::*member, double full_bar,
                    std::string_view kind) {
    std::string bars;
    if (source) {
        bars += bar((*source).*member, full_bar, "before", 1);
    }
    if (proof) {
        bars += bar((*proof).*member, full_bar, "after", 8);
    }
    return fmt::format(
        R"(<tr class="{}"><th scope="row">{}</th><td>{}</td><td>{}</td><td class="bars"><svg width="100%" height="14" aria-hidden="true">{}</svg></td></tr>)",
        kind, label, share_cell(source, member), share_cell(proof, member), bars);
}

std::string text_row(const TextLine& line, std::size_t number) {
    const std::string what = !line.words.empty()                 ? escaped(line.words)
                             : line.kind == TextLine::Kind::mark ? fmt::format("mark {}", number)
                                                                 : fmt::format("line {}", number);
    std::string kept = "<span aria-label=\"not checked\">&ndash;</span>";
    if (line.kept) {
        kept = *line.kept ? "yes" : "<strong>lost</strong>";
    }
    if (!line.lost_words.empty()) {
        kept += "; not read again:";
        for (const std::string& word : line.lost_words) kept += " <q>" + escaped(word) + "</q>";
    }
    return fmt::format(
        "<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td><td>{}</td><td>{}</td><td>{}</td>"
        "<td>{}</td><td>{}</td></tr>\n",
        what, millimeters(line.x_height), fixed(line.point_size, 1),
        line.reversed ? "light on dark" : "dark on light", fixed(line.contrast, 1),
        fixed(line.paper_contrast, 1),
        line.proof_contrast ? fixed(*line.proof_contrast, 1)
                            : "<span aria-label=\"not measured\">&ndash;</span>",
        kept);
}

}  // namespace

std::string ink_table_html(const std::optional<InkUse>& source, const std::optional<InkUse>& proof,
                           double full_bar) {
    if (!source && !proof) {
        return "";
    }
    std::string rows;
    rows += ink_row("Cyan", source, proof, &InkUse::c, full_bar, "c");
    rows += ink_row("Magenta", source, proof, &InkUse::m, full_bar, "m");
    rows += ink_row("Yellow", source, proof, &InkUse::y, full_bar, "y");
    rows += ink_row("Black", source, proof, &InkUse::k, full_bar, "k");
    rows += ink_row("Total", source, proof, &InkUse::total, full_bar, "total");
    rows += fmt::format(
        R"(<tr class="peak"><th scope="row">Peak</th><td>{}</td><td>{}</td><td class="hint">highest over 1 mm</td></tr>)",
        share_cell(source, &InkUse::peak), share_cell(proof, &InkUse::peak));
    return fmt::format(
        R"(<table class="ink"><caption>Ink, mean coverage</caption><thead><tr><th scope="col">Ink</th><th scope="col">Source</th><th scope="col">Proof</th><td class="key"><svg width="18" height="9" aria-hidden="true"><rect class="before" y="2" width="18" height="5"/></svg> source <svg width="18" height="9" aria-hidden="true"><rect class="after" y="2" width="18" height="5"/></svg> proof</td></tr></thead><tbody>{}</tbody></table>)",
        rows);
}

std::string text_table_html(const FaceResult& face) {
    const std::vector<TextLine>& lines = face.text;
    if (lines.empty()) {
        return "";
    }
    const auto smallest = std::min_element(
        lines.begin(), lines.end(),
        [](const TextLine& a, const TextLine& b) { return a.x_height < b.x_height; });
    const auto lost = std::count_if(lines.begin(), lines.end(),
                                    [](const TextLine& line) { return line.kept && !*line.kept; });
    const auto checked = std::count_if(lines.begin(), lines.end(),
                                       [](const TextLine& line) { return line.kept.has_value(); });
    std::string summary =
        fmt::format("{}, smallest x-height {}",
                    counted(static_cast<int>(lines.size()), "line of text", "lines of text"),
                    millimeters(smallest->x_height));
    if (lost > 0) {
        summary += fmt::format(", {} lost in the proof", lost);
    } else if (checked == static_cast<std::ptrdiff_t>(lines.size())) {
        summary += ", all kept";
    }
    std::string rows;
    for (std::size_t i = 0; i < lines.size(); ++i) {
        rows += text_row(lines[i], i + 1);
    }
    return fmt::format(
        R"(<details class="text-lines"><summary>{}</summary><div class="scroll" role="group" aria-label="Text lines of {}" tabindex="0"><table><thead><tr><th scope="col">Text</th><th scope="col">x-height</th><th scope="col">Size, pt</th><th scope="col">Polarity</th><th scope="col">Contrast, screen</th><th scope="col">Contrast, paper</th><th scope="col">Contrast, proof</th><th scope="col">Kept</th></tr></thead><tbody>
{}</tbody></table></div></details>)",
        summary, escaped(face.name), rows);
}

}  // namespace paleproof::report
