// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

/// More faces than this are folded away: the worklist comes first.
constexpr std::size_t open_faces = 120;

/// "2 errors, 1 warning" as marks with numbers; notes stand with the face.
std::string marks(const FaceResult& face) {
    std::string result;
    for (const Severity severity : {Severity::error, Severity::warning}) {
        const auto count = std::ranges::count(face.findings, severity, &Finding::severity);
        if (count == 0) continue;
        const std::string word(name(severity));
        result += fmt::format(
            R"(<span class="severity {0}"><svg class="mark" aria-hidden="true"><use href="#mark-{0}"/></svg>{1}<span class="unseen"> {2}</span></span>)",
            word, count, count == 1 ? word : word + "s");
    }
    return result;
}

std::string tile(const PageContext& page, std::size_t index) {
    const FaceResult& face = page.edition.faces[index];
    const std::string told = marks(face);
    return fmt::format(
        R"(<li data-face="{0}"><a href="#{0}">{1}<span class="face-name">{2}</span></a>{3}</li>
)",
        face_id(index), card_html(page, face.name), escaped(face.name),
        told.empty() ? "" : "<span class=\"tally\">" + told + "</span>");
}

}  // namespace

std::string card_html(const PageContext& page, const std::string& face_name) {
    const auto face = page.faces.find(face_name);
    if (face == page.faces.end()) return "<span class=\"card\" aria-hidden=\"true\"></span>";
    const FaceResult& result = page.edition.faces[face->second];
    const SizeMm trim = result.readable ? result.placement.trim : SizeMm{};
    const bool shaped = trim.width.value > 0.0 && trim.height.value > 0.0;
    return fmt::format(R"(<span class="card" data-face="{}" aria-hidden="true"{}></span>)",
                       face_id(face->second),
                       shaped ? fmt::format(R"( style="aspect-ratio:{}/{}")",
                                            fixed(trim.width.value, 1), fixed(trim.height.value, 1))
                              : std::string());
}

std::string contact_html(const PageContext& page) {
    const std::size_t count = page.edition.faces.size();
    if (count < 2) return "";
    std::string tiles;
    for (std::size_t i = 0; i < count; ++i) tiles += tile(page, i);
    return fmt::format(
        R"(<details class="contact" id="contact"{}><summary>All {} at a glance</summary>
<ol>
{}</ol></details>
)",
        count <= open_faces ? " open" : "", counted(static_cast<int>(count), "face", "faces"),
        tiles);
}

}  // namespace paleproof::report
