// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

std::string tile(const PageContext& page, const CardChange& card) {
    const auto face = page.faces.find(card.face);
    const std::string title =
        face == page.faces.end()
            ? escaped(card.face)
            : fmt::format("<a href=\"#{}\">{}</a>", face_id(face->second), escaped(card.face));
    std::string told = escaped(card.reason);
    if (card.print > 0) {
        told += fmt::format("{}print {}", told.empty() ? "" : "; ",
                            counted(card.print, "copy", "copies"));
    }
    return fmt::format(
        "<li>{}<div><p><b>{}</b> <span class=\"value\">{}</span></p><p>{}</p></div></li>\n",
        card_html(page, card.face), title, name(card.change), told);
}

std::string counts(const Changes& changes) {
    std::string text;
    for (const Change change :
         {Change::changed, Change::added, Change::removed, Change::unchanged}) {
        text +=
            fmt::format("{}{} {}", text.empty() ? "" : ", ", changes.count(change), name(change));
    }
    return text;
}

std::string paper_lines(const Changes& changes) {
    std::string items;
    for (const PaperSaved& paper : changes.papers) {
        const SheetResult& sheets = paper.sheets;
        const int saved = paper.papers_all - sheets.papers;
        items +=
            sheets.file.empty()
                ? fmt::format("<li>{}: nothing to print</li>\n", escaped(sheets.paper))
                : fmt::format("<li><a href=\"{}\">{}</a>: {} instead of {}, {} saved</li>\n",
                              file_url(sheets.file), escaped(sheets.file),
                              counted(sheets.papers, "sheet", "sheets"), paper.papers_all, saved);
    }
    return items.empty() ? "" : "<ul class=\"to-print\">\n" + items + "</ul>\n";
}

}  // namespace

std::string changes_html(const PageContext& page) {
    if (!page.edition.changes) {
        return "<p>This edition was not compared with an earlier one. Name the earlier one with "
               "<code>--changed-since FOLDER</code>, and the cards that changed stand here, with "
               "sheets of these alone.</p>\n";
    }
    const Changes& changes = *page.edition.changes;
    std::string tiles;
    for (const CardChange& card : changes.cards) {
        if (card.change != Change::unchanged || !card.reason.empty()) tiles += tile(page, card);
    }
    std::string result = fmt::format(
        "<p>Since {}: {}.{}</p>\n",
        changes.since.empty() ? std::string("the earlier edition") : escaped(changes.since),
        counts(changes), tiles.empty() ? " Nothing needs to be printed again." : "");
    if (changes.same_grays) result += "<p>Colors keep the grays of that edition.</p>\n";
    result += paper_lines(changes);
    if (changes.ink_all > 0.0 && changes.ink_print < changes.ink_all) {
        result += fmt::format(
            "<p>Printing only these saves {} of the edition&rsquo;s ink, estimated.</p>\n",
            percent(1.0 - changes.ink_print / changes.ink_all, 0));
    }
    return result + (tiles.empty() ? "" : "<ul class=\"changed\">\n" + tiles + "</ul>\n");
}

}  // namespace paleproof::report
