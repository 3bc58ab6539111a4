// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <vector>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/ink_cost.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

/// The faces whose proofs take the most, with the sources beside; all sides that are printed.
std::string heaviest(const PageContext& page) {
    constexpr std::size_t most = 5;
    const std::vector<FaceResult>& faces = page.edition.faces;
    const InkCost cost = ink_cost(page.edition);
    const InkSide& side = cost.proof ? *cost.proof : cost.source;
    std::vector<std::size_t> order = by_ink(page.edition, cost);
    std::erase_if(order, [&](std::size_t i) {
        return !faces[i].proof_ink.has_value() && !faces[i].source_ink.has_value();
    });
    if (order.size() < 2) return "";
    if (order.size() > most) order.resize(most);
    std::string rows;
    for (const std::size_t i : order) {
        const auto cell = [](const std::optional<InkUse>& use) {
            return use ? percent(use->total)
                       : std::string("<span aria-label=\"not measured\">&ndash;</span>");
        };
        rows += fmt::format(
            "<tr><th scope=\"row\"><a href=\"#{}\">{}</a></th><td>{}</td><td>{}</td>"
            "<td>{}</td></tr>\n",
            face_id(i), escaped(faces[i].name), cell(faces[i].source_ink), cell(faces[i].proof_ink),
            percent(side.face_share[i]));
    }
    return "<table class=\"heaviest\"><caption>Where the ink goes: the faces that take the "
           "most</caption><thead><tr><th scope=\"col\">Face</th><th scope=\"col\">Source</th>"
           "<th scope=\"col\">Proof</th><th scope=\"col\">Of the deck</th></tr></thead><tbody>\n" +
           rows + "</tbody></table>\n";
}

/// "as 212 pages of text, 14 as proofs", and what that is of each cartridge.
std::string page_lines(const PageContext& page) {
    const InkCost cost = ink_cost(page.edition);
    std::string text = fmt::format("The source takes as much ink as {} pages at 5 % of one ink",
                                   fixed(cost.source.pages, 0));
    if (cost.proof) text += fmt::format(", the proofs as {}", fixed(cost.proof->pages, 1));
    text += ".";
    for (std::size_t i = 0; i < page.edition.cartridges.size(); ++i) {
        text += fmt::format(" Cartridge {}: {} of it for the source",
                            escaped(page.edition.cartridges[i].inks),
                            percent(cost.source.cartridge_share[i]));
        if (cost.proof)
            text += fmt::format(", {} for the proofs", percent(cost.proof->cartridge_share[i]));
        text += ".";
    }
    return "<p>" + text + "</p>\n";
}

std::string cost_lines(const PageContext& page) {
    if (!page.edition.cost) {
        return page_lines(page) +
               "<p>Name your cartridges with their prices and rated yields to see what the ink "
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
    return page_lines(page) + "<p>" + text +
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
