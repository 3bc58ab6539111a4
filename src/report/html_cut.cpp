// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <vector>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

struct Shown {
    std::size_t index = 0;
    const CutResult* cut = nullptr;
};

std::string offset_words(const CutResult& cut) {
    const auto part = [](Mm length, const char* positive, const char* negative) {
        const Mm size{length.value < 0.0 ? -length.value : length.value};
        return size.value < 0.005 ? std::string()
                                  : millimeters(size) + (length.value > 0.0 ? positive : negative);
    };
    const std::string across = part(cut.right, " to the right", " to the left");
    const std::string down = part(cut.down, " down", " up");
    return across + (across.empty() || down.empty() ? "" : ", ") + down;
}

std::string row(const PageContext& page, const Shown& shown) {
    const CutResult& cut = *shown.cut;
    const std::string proof_white = cut.proof_white ? millimeters(*cut.proof_white) : "&ndash;";
    std::string lopsided = "&ndash;";
    if (cut.lopsided > 1.005) {
        lopsided = fmt::format("{} : 1, {}", fixed(cut.lopsided, 1),
                               cut.lopsided_level ? "left and right" : "top and bottom");
    }
    return fmt::format(
        "<tr><th scope=\"row\"><a href=\"#{}\">{}</a></th><td>{}</td><td>{}</td><td>{}</td>"
        "<td>{}</td><td>{}</td></tr>\n",
        face_id(shown.index), escaped(page.edition.faces[shown.index].name), offset_words(cut),
        millimeters(cut.white), proof_white, cut.lost_lines, lopsided);
}

std::string picture(const Thumbnail& thumbnail, const std::string& words) {
    if (thumbnail.empty()) return "";
    return fmt::format(
        "<figure><img loading=\"lazy\" decoding=\"async\" width=\"{}\" height=\"{}\" alt=\"{}\" "
        "src=\"{}\"><figcaption>{}</figcaption></figure>\n",
        thumbnail.width, thumbnail.height, words, address_of(thumbnail), words);
}

std::string cut_words(std::string_view side, const CutPicture& worst, Mm wander) {
    return fmt::format("{}: the {}, cut {} off", escaped(worst.face), side, millimeters(wander));
}

std::string table(std::string_view label, const std::string& rows) {
    return fmt::format(
        "<div class=\"scroll\" role=\"group\" aria-label=\"{}\" tabindex=\"0\">"
        "<table><thead><tr><th scope=\"col\">Face</th><th scope=\"col\">Cut off by</th>"
        "<th scope=\"col\">White, source</th><th scope=\"col\">White, proof</th>"
        "<th scope=\"col\">Lines of text cut</th><th scope=\"col\">Borders</th></tr></thead>"
        "<tbody>\n{}</tbody></table></div>\n",
        label, rows);
}

}  // namespace

std::string cut_html(const PageContext& page) {
    std::vector<Shown> all;
    bool simulated = false;
    Mm wander;
    for (std::size_t i = 0; i < page.edition.faces.size(); ++i) {
        const auto& cut = page.edition.faces[i].cut;
        if (!cut) continue;
        simulated = true;
        wander = cut->wander;
        if (shows(*cut)) all.push_back({i, &*cut});
    }
    if (!simulated) return "<p>The cut was not simulated.</p>";
    if (all.empty()) {
        return fmt::format("<p>A cut that lies {} off, in any direction, harms no face.</p>",
                           millimeters(wander));
    }
    constexpr std::size_t shown_rows = 12;
    std::string rows;
    std::string folded;
    for (std::size_t i = 0; i < all.size(); ++i) {
        (i < shown_rows || all.size() <= shown_rows + 3 ? rows : folded) += row(page, all[i]);
    }
    std::string result = fmt::format(
        "<p>What a cut that lies {} off does to the source, in the worst of 16 directions: "
        "{} of {} would show it.</p>\n",
        millimeters(wander), counted(static_cast<int>(all.size()), "face", "faces"),
        page.edition.faces.size());
    if (const auto& worst = page.edition.worst_cut) {
        result += "<div class=\"cut\">" +
                  picture(worst->source, cut_words("source", *worst, wander)) +
                  picture(worst->proof, cut_words("proof", *worst, wander)) + "</div>\n";
    }
    result += table("Table of cuts", rows);
    if (!folded.empty()) {
        result += fmt::format(
            "<details class=\"more-cuts\"><summary>and {} more</summary>\n{}"
            "</details>\n",
            all.size() - shown_rows, table("Table of cuts, the rest", folded));
    }
    return result;
}

}  // namespace paleproof::report
