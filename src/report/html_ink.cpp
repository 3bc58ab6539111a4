// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>
#include <vector>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

/// The faces whose proofs take the most, with the sources beside; all sides that are printed.
std::string heaviest(const PageContext& page) {
    constexpr std::size_t most = 5;
    const std::vector<FaceResult>& faces = page.edition.faces;
    const auto ink = [&](std::size_t i) -> const std::optional<InkUse>& {
        return faces[i].proof_ink ? faces[i].proof_ink : faces[i].source_ink;
    };
    std::vector<std::size_t> order;
    for (std::size_t i = 0; i < faces.size(); ++i) {
        if (ink(i)) order.push_back(i);
    }
    if (order.size() < 2) return "";
    std::stable_sort(order.begin(), order.end(),
                     [&](std::size_t a, std::size_t b) { return ink(a)->total > ink(b)->total; });
    if (order.size() > most) order.resize(most);
    std::string rows;
    for (const std::size_t i : order) {
        const auto cell = [](const std::optional<InkUse>& use) {
            return use ? percent(use->total)
                       : std::string("<span aria-label=\"not measured\">&ndash;</span>");
        };
        rows += fmt::format(
            "<tr><th scope=\"row\"><a href=\"#{}\">{}</a></th><td>{}</td><td>{}</td></tr>\n",
            face_id(i), escaped(faces[i].name), cell(faces[i].source_ink),
            cell(faces[i].proof_ink));
    }
    return "<table class=\"heaviest\"><caption>Where the ink goes: the faces that take the "
           "most</caption><thead><tr><th scope=\"col\">Face</th><th scope=\"col\">Source</th>"
           "<th scope=\"col\">Proof</th></tr></thead><tbody>\n" +
           rows + "</tbody></table>\n";
}

std::string cost_lines(const PageContext& page) {
    if (!page.edition.cost) {
        return "<p>Name your cartridges with their prices and rated yields to see what the ink "
               "costs.</p>\n";
    }
    const DeckCost& cost = *page.edition.cost;
    std::string text =
        fmt::format("The ink of one printed deck costs about <strong>{}</strong> from the source",
                    money(cost, cost.source));
    if (cost.proof) {
        text += fmt::format(" and <strong>{}</strong> from the proofs", money(cost, *cost.proof));
        if (page.sums.cards > 0) {
            text += fmt::format("; a card of the proofs {} per hundred",
                                money(cost, *cost.proof / page.sums.cards * 100.0));
        }
    }
    return "<p>" + text +
           ". An estimate from prices and rated yields: printers, papers and cleaning cycles "
           "differ.</p>\n";
}

}  // namespace

std::string ink_html(const PageContext& page) {
    if (!page.sums.source_ink && !page.sums.proof_ink) {
        return "<p>No ink was measured.</p>";
    }
    return fmt::format(
        "<p>Every printed side counts: the copies of each face, and the backs. Separation: "
        "{}.</p>\n<div class=\"ink-of-deck\">{}{}</div>\n{}",
        escaped(page.edition.separation),
        ink_table_html(page.sums.source_ink, page.sums.proof_ink, page.full_bar), heaviest(page),
        cost_lines(page));
}

}  // namespace paleproof::report
