// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

/// More pages of one paper than this are named, not drawn.
constexpr std::size_t drawn_pages = 40;

std::string table(const PageContext& page) {
    std::string rows;
    for (const SheetResult& sheet : page.edition.sheets) {
        rows += fmt::format(
            "<tr><th scope=\"row\">{}</th><td>{}</td><td>{} &times; {}</td><td>{}</td><td>{}</td>"
            "<td><a href=\"{}\">{}</a></td></tr>\n",
            escaped(sheet.paper), sheet.pages, sheet.columns, sheet.rows, sheet.cards, sheet.unused,
            file_url(sheet.file), escaped(sheet.file));
    }
    return "<div class=\"scroll\" role=\"group\" aria-label=\"Table of sheets\" tabindex=\"0\">"
           "<table><thead><tr><th scope=\"col\">Paper</th><th scope=\"col\">Pages</th>"
           "<th scope=\"col\">Grid</th><th scope=\"col\">Cards</th>"
           "<th scope=\"col\">Places left empty</th><th scope=\"col\">File</th></tr></thead>"
           "<tbody>\n" +
           rows + "</tbody></table></div>\n";
}

std::string share(Mm part, Mm whole) {
    return fixed(whole.value > 0.0 ? part.value / whole.value * 100.0 : 0.0, 2) + "%";
}

/// A card on a page: its name, over which the script lays the face's picture.
std::string place_html(const PageContext& page, const SheetPlace& place, SizeMm paper) {
    const auto face = page.faces.find(place.face);
    const std::string picture = face == page.faces.end()
                                    ? std::string()
                                    : fmt::format(R"( data-face="{}")", face_id(face->second));
    // What is inside lies upright and is turned as a whole: its width is the place's height then.
    std::string turned;
    if (place.turn % 4 != 0) {
        const bool lying = place.turn % 2 != 0;
        const auto& [width, height] = place.trim;
        turned = fmt::format(R"( style="--turn:{}deg;width:{};height:{}")", place.turn % 4 * 90,
                             lying ? share(height, width) : "100%",
                             lying ? share(width, height) : "100%");
    }
    return fmt::format(
        R"(<div class="place" style="left:{};top:{};width:{};height:{}"><div class="upright"{}{}><span>{}</span></div></div>)",
        share(place.x, paper.width), share(place.y, paper.height),
        share(place.trim.width, paper.width), share(place.trim.height, paper.height), turned,
        picture, escaped(place.face));
}

std::string page_html_of(const PageContext& page, const SheetDrawing& drawing) {
    std::string places;
    for (const SheetPlace& place : drawing.places) {
        places += place_html(page, place, drawing.size);
    }
    const std::string side = drawing.side.empty() ? "" : ", " + escaped(drawing.side);
    return fmt::format(
        R"(<li><figure><div class="paper" style="aspect-ratio:{}/{}">{}</div><figcaption>Sheet {}{}</figcaption></figure></li>
)",
        fixed(drawing.size.width.value, 1), fixed(drawing.size.height.value, 1), places,
        drawing.sheet, side);
}

std::string pages(const PageContext& page, const SheetResult& sheet, bool open) {
    if (sheet.drawn.empty()) return "";
    std::string items;
    const std::size_t count = std::min(sheet.drawn.size(), drawn_pages);
    for (std::size_t i = 0; i < count; ++i) items += page_html_of(page, sheet.drawn[i]);
    const std::size_t rest = sheet.drawn.size() - count;
    return fmt::format(
        R"(<details class="sheet-pages"{}><summary>{} on {}, as they come out of the printer</summary>
<ol>
{}</ol>{}</details>
)",
        open ? " open" : "", counted(static_cast<int>(sheet.drawn.size()), "page", "pages"),
        escaped(sheet.paper), items,
        rest == 0 ? std::string()
                  : fmt::format("<p>and {} more in {}.</p>", rest, escaped(sheet.file)));
}

}  // namespace

std::string sheets_html(const PageContext& page) {
    if (page.edition.sheets.empty()) {
        return "<p>No sheets were made.</p>";
    }
    std::string drawn;
    for (const SheetResult& sheet : page.edition.sheets) {
        drawn += pages(page, sheet, drawn.empty());
    }
    return table(page) +
           "<p>Print at 100 %, not \"fit to page\", and hold a ruler to the scale bar before "
           "cutting.</p>\n" +
           drawn;
}

}  // namespace paleproof::report
