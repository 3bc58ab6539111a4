// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/html.h"

#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <iterator>
#include <utility>

#include "core/base64.h"
#include "report/embedded.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

/// The hash as a content security policy names it: base64 of the digest (W3C CSP level 3).
std::string policy_hash(std::string_view hexadecimal) {
    std::string digest;
    for (std::size_t i = 0; i + 1 < hexadecimal.size(); i += 2) {
        digest += static_cast<char>(std::stoi(std::string(hexadecimal.substr(i, 2)), nullptr, 16));
    }
    return "sha256-" + base64(digest);
}

/// All ink bars of a page share one scale: the fullest face, up to the next half.
double full_bar(const std::vector<FaceResult>& faces) {
    double highest = 0.0;
    for (const FaceResult& face : faces) {
        highest = std::max(highest, face.source_ink ? face.source_ink->total : 0.0);
        highest = std::max(highest, face.proof_ink ? face.proof_ink->total : 0.0);
    }
    return std::max(0.5, std::ceil(highest * 2.0) / 2.0);
}

std::string kicker(const EditionResult& edition) {
    return edition.style.empty() ? "Report"
                                 : "Report of the " + escaped(edition.style) + " edition";
}

std::string face_options(const std::vector<FaceResult>& faces) {
    std::string result;
    for (std::size_t i = 0; i < faces.size(); ++i) {
        result +=
            fmt::format("<option value=\"{}\">{}</option>", face_id(i), escaped(faces[i].name));
    }
    return result;
}

}  // namespace

PageContext page_context(const EditionResult& edition) {
    PageContext page{.edition = edition,
                     .sums = deck_sums(edition),
                     .printed = printed_sides(edition.faces),
                     .faces = {},
                     .full_bar = full_bar(edition.faces)};
    for (std::size_t i = 0; i < edition.faces.size(); ++i) {
        page.faces.emplace(edition.faces[i].name, i);
    }
    return page;
}

namespace {

bool any_beside(const EditionResult& edition) {
    return std::ranges::any_of(edition.faces, [](const FaceResult& face) {
        return !face.source_thumbnail.file.empty() || !face.proof_thumbnail.file.empty();
    });
}

void put_beside(Thumbnail& thumbnail, const std::string& stem, std::vector<ReportPicture>& into) {
    if (thumbnail.jpeg.empty()) return;
    thumbnail.file = "report-pictures/" + stem + ".jpg";
    into.push_back({thumbnail.file, std::exchange(thumbnail.jpeg, {})});
}

std::string page_of(const PageContext& page) {
    const EditionResult& edition = page.edition;
    const std::array<std::pair<std::string_view, std::string>, 20> parts{{
        {"pictures", any_beside(edition) ? "data: 'self' file:" : "data:"},
        {"policy", policy_hash(page_js_sha256)},
        {"title", escaped(edition.title.empty() ? "Untitled deck" : edition.title)},
        {"kicker", kicker(edition)},
        {"style", std::string(page_css) + std::string(faces_css) + std::string(print_css)},
        {"glance", glance_html(page)},
        {"worklist", worklist_html(page)},
        {"face-options", face_options(edition.faces)},
        {"contact", contact_html(page)},
        {"faces", faces_html(page)},
        {"ink", ink_html(page)},
        {"twins", twins_html(page)},
        {"cut", cut_html(page)},
        {"sheets", sheets_html(page)},
        {"changes", changes_html(page)},
        {"settings", settings_html(page)},
        {"version", PALEPROOF_VERSION},
        {"script", std::string(page_js)},
        {"style-class", edition.faces.empty() ? "no-faces" : "with-faces"},
        {"storage", escaped(edition.title)},
    }};
    // One pass over the template: what is put in is never read again for marks.
    std::string result;
    std::string_view rest = page_html;
    while (true) {
        const std::size_t open = rest.find("{{");
        const std::size_t close = open == std::string_view::npos ? open : rest.find("}}", open);
        if (close == std::string_view::npos) {
            result += rest;
            return result;
        }
        result += rest.substr(0, open);
        const std::string_view mark = rest.substr(open + 2, close - open - 2);
        for (const auto& [name, content] : parts) {
            if (name == mark) {
                result += content;
            }
        }
        rest.remove_prefix(close + 2);
    }
}

}  // namespace

std::string report_html(const EditionResult& edition) { return page_of(page_context(edition)); }

std::vector<ReportPicture> pictures_beside(FaceResult& face, std::size_t index) {
    std::vector<ReportPicture> pictures;
    const std::string stem = face_id(index);
    put_beside(face.source_thumbnail, stem + "-source", pictures);
    put_beside(face.source_heat, stem + "-source-ink", pictures);
    put_beside(face.proof_thumbnail, stem + "-proof", pictures);
    put_beside(face.proof_heat, stem + "-proof-ink", pictures);
    return pictures;
}

std::vector<ReportPicture> pictures_beside(EditionResult& edition) {
    std::vector<ReportPicture> pictures;
    for (std::size_t i = 0; i < edition.faces.size(); ++i) {
        std::ranges::move(pictures_beside(edition.faces[i], i), std::back_inserter(pictures));
    }
    if (edition.worst_cut) {
        put_beside(edition.worst_cut->source, "cut-source", pictures);
        put_beside(edition.worst_cut->proof, "cut-proof", pictures);
    }
    return pictures;
}

}  // namespace paleproof::report
