// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <string>

#include "core/bleed_method.h"
#include "core/format.h"
#include "report/finding_words.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

std::string size_line(const PageContext& page, std::size_t index) {
    const FaceResult& face = page.edition.faces[index];
    std::string result = fmt::format("<span class=\"file\">{}</span>", escaped(face.source));
    if (face.readable) {
        result += fmt::format(
            " &middot; {} &times; {} px &middot; {} ppi &middot; card {} &times; {}",
            face.size_px.width, face.size_px.height, fixed(face.placement.ppi.value, 0),
            millimeters(face.placement.trim.width), millimeters(face.placement.trim.height));
    }
    result += face.copies == 0 ? " &middot; back only"
                               : " &middot; " + counted(face.copies, "copy", "copies");
    if (!face.back.empty()) {
        const auto back = page.faces.find(face.back);
        result += back == page.faces.end() ? " &middot; back: " + escaped(face.back)
                                           : fmt::format(" &middot; back: <a href=\"#{}\">{}</a>",
                                                         face_id(back->second), escaped(face.back));
    }
    return result;
}

std::string saved_line(const FaceResult& face) {
    if (!face.source_ink || !face.proof_ink) {
        return "";
    }
    const double saved = ink_saved(*face.source_ink, *face.proof_ink);
    return saved < -0.0005
               ? fmt::format(R"(<p class="saved"><b>{}</b> more ink</p>)", percent(-saved, 0))
               : fmt::format(R"(<p class="saved"><b>{}</b> less ink</p>)", percent(saved, 0));
}

std::string added_word(const std::string& method) {
    if (method == name(BleedMethod::present)) return "in the art";
    for (const BleedMethod added : {BleedMethod::flat, BleedMethod::carry, BleedMethod::pattern,
                                    BleedMethod::stretch, BleedMethod::mirror}) {
        if (method == name(added)) return "added: " + std::string(added_by(added));
    }
    return method;
}

std::string bleed_table(const FaceResult& face) {
    const Edges<Mm>& mm = face.bleed_present;
    const Edges<std::string>& method = face.bleed_method;
    const auto row = [](std::string_view edge, Mm present, const std::string& how) {
        return fmt::format("<tr><th scope=\"row\">{}</th><td>{}</td><td>{}</td></tr>", edge,
                           millimeters(present), escaped(added_word(how)));
    };
    return "<table class=\"bleed\"><caption>Bleed</caption><thead><tr><th scope=\"col\">Edge</th>"
           "<th scope=\"col\">Source</th><th scope=\"col\">Proof</th></tr></thead><tbody>" +
           row("Top", mm.top, method.top) + row("Right", mm.right, method.right) +
           row("Bottom", mm.bottom, method.bottom) + row("Left", mm.left, method.left) +
           "</tbody></table>";
}

std::string findings_list(const PageContext& page, std::size_t index) {
    const FaceResult& face = page.edition.faces[index];
    if (face.findings.empty()) {
        return "<p class=\"no-findings\">No findings.</p>";
    }
    std::string items;
    int count = 0;
    for (const Finding* numbered : numbered_findings(face)) {
        const Finding& finding = *numbered;
        ++count;
        const std::string value = measured_text(finding);
        const std::string_view words = words_of(face, finding);
        items += fmt::format(
            R"(<li data-number="{}"><p><span class="number">{}</span> {} <a href="#rule-{}">{}</a>{}</p><p>{}</p>{}</li>)",
            count, count, severity_mark(finding.severity), name(finding.rule),
            rule_title(finding.rule),
            value.empty() ? "" : " <span class=\"value\">" + value + "</span>",
            (words.empty() ? "" : fmt::format("<q>{}</q>: ", escaped(words))) +
                message_html(finding),
            finding.box_px ? crop_html(page, index, *finding.box_px) : std::string());
    }
    return "<h4>Findings</h4><ol class=\"face-findings\">" + items + "</ol>";
}

}  // namespace

std::string face_html(const PageContext& page, std::size_t index) {
    const FaceResult& face = page.edition.faces[index];
    const std::string id = face_id(index);
    std::string facts;
    if (face.readable) {
        facts += saved_line(face);
        facts += ink_table_html(face.source_ink, face.proof_ink, page.full_bar);
        facts += bleed_table(face);
    }
    std::string more;
    if (!face.size_note.empty()) {
        more += fmt::format("<p class=\"note\">Card size: {}</p>", escaped(face.size_note));
    }
    for (const std::string& note : face.notes) {
        more += fmt::format("<p class=\"note\">Reading the file: {}</p>", escaped(note));
    }
    if (!face.proof_file.empty()) {
        more += fmt::format("<p class=\"note\"><a href=\"{}\">Open the proof</a></p>",
                            file_url(face.proof_file));
    }
    return fmt::format(
        R"(<article class="face" id="{0}" aria-labelledby="{0}-name" tabindex="-1"{1}>
<header><h3 id="{0}-name">{2}</h3><p class="about">{3}</p></header>
{4}
<div class="facts">{5}</div>
<div class="remarks">{6}{7}{8}</div>
</article>
)",
        id, face.findings.empty() ? "" : " data-findings", escaped(face.name),
        size_line(page, index), pictures_html(page, index), facts, findings_list(page, index),
        text_table_html(face), more);
}

std::string faces_html(const PageContext& page) {
    std::string result;
    for (std::size_t i = 0; i < page.edition.faces.size(); ++i) {
        result += face_html(page, i);
    }
    return result;
}

}  // namespace paleproof::report
