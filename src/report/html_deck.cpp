// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

std::string figure(std::string_view label, const std::string& value, const std::string& hint) {
    return fmt::format("<div><dt>{}</dt><dd>{}{}</dd></div>\n", label, value,
                       hint.empty() ? "" : "<span class=\"hint\">" + hint + "</span>");
}

std::string lede(const PageContext& page) {
    const DeckSums& sums = page.sums;
    std::string text =
        fmt::format("{}, {}.", counted(sums.cards, "card", "cards"),
                    counted(static_cast<int>(page.edition.faces.size()), "face", "faces"));
    if (sums.saved) {
        const double saved = *sums.saved;
        if (saved > 0.0005) {
            text += fmt::format(" The proofs take <strong>{} less ink</strong> than the source.",
                                percent(saved, 0));
        } else if (saved < -0.0005) {
            text += fmt::format(" The proofs take <strong>{} more ink</strong> than the source.",
                                percent(-saved, 0));
        } else {
            text += " The proofs take as much ink as the source.";
        }
    } else {
        text += " No proofs were made: this is a check of the source.";
    }
    if (sums.errors > 0) {
        text += fmt::format(" {} to look at before it goes out.",
                            counted(sums.errors, "error", "errors"));
    } else if (sums.warnings > 0) {
        text += fmt::format(" No errors, {}.", counted(sums.warnings, "warning", "warnings"));
    } else {
        text += " Nothing stands in the way of sending it.";
    }
    return text;
}

std::string findings_figure(const DeckSums& sums) {
    const auto part = [](Severity severity, int count) {
        return fmt::format(R"(<span class="severity-count{}">{}</span>)", count > 0 ? "" : " zero",
                           severity_mark(severity, count));
    };
    return part(Severity::error, sums.errors) + part(Severity::warning, sums.warnings) +
           part(Severity::note, sums.notes);
}

std::string sheets_figure(const std::vector<SheetResult>& sheets) {
    std::string papers;
    for (const SheetResult& sheet : sheets) {
        papers += fmt::format("{}{} on <a href=\"{}\">{}</a>", papers.empty() ? "" : ", ",
                              sheet.pages, file_url(sheet.file), escaped(sheet.paper));
    }
    return papers;
}

/// Two columns a face, in the order of the deck: what the source takes, and the proof.
std::string ink_chart(const PageContext& page) {
    constexpr double height = 100.0;
    constexpr double column = 10.0;
    std::string columns;
    double highest = 0.0;
    for (const FaceResult& face : page.edition.faces) {
        for (const auto& ink : {face.source_ink, face.proof_ink}) {
            highest = std::max(highest, ink ? ink->total : 0.0);
        }
    }
    if (highest <= 0.0) {
        return "";
    }
    double x = 0.0;
    for (const FaceResult& face : page.edition.faces) {
        const auto rect = [&](const std::optional<InkUse>& ink, std::string_view kind, double left,
                              double width) {
            if (!ink) {
                return std::string();
            }
            const double tall = ink->total / highest * height;
            return fmt::format(R"(<rect class="{}" x="{}" y="{}" width="{}" height="{}"/>)", kind,
                               fixed(left, 1), fixed(height - tall, 2), fixed(width, 1),
                               fixed(tall, 2));
        };
        columns += rect(face.source_ink, "before", x + 1.0, 8.0);
        columns += rect(face.proof_ink, "after", x + 3.0, 4.0);
        x += column;
    }
    return fmt::format(
        R"(<figure class="chart" style="max-width:{4}rem"><svg viewBox="0 0 {0} {1}" preserveAspectRatio="none" role="img" aria-label="Total coverage of each face, source and proof, in the order of the deck; the numbers stand with each face and in ink.csv"><g>{2}</g></svg><figcaption>Total coverage, face by face in the order of the deck: <span class="key"><svg width="18" height="9" aria-hidden="true"><rect class="before" y="1" width="18" height="7"/></svg> source</span> <span class="key"><svg width="18" height="9" aria-hidden="true"><rect class="after" y="1" width="18" height="7"/></svg> proof</span>. The tallest is {3}.</figcaption></figure>)",
        fixed(x, 0), fixed(height, 0), columns, percent(highest, 0),
        fixed(std::max(18.0, 2.4 * static_cast<double>(page.edition.faces.size())), 1));
}

std::string swatch(const std::string& color) {
    return fmt::format(
        R"(<svg class="swatch" width="72" height="48" aria-hidden="true"><rect width="72" height="48" fill="{0}"/></svg><svg class="swatch gray" width="36" height="48" aria-hidden="true"><rect width="36" height="48" fill="{0}"/></svg><code>{0}</code>)",
        escaped(color));
}

/// Whose eyes, and what the proofs make of it.
std::string twin_outcome(const Twin& twin) {
    std::string text;
    if (!twin.vision.empty()) {
        text += fmt::format(". Simulated for {} vision; usual eyes see {}", escaped(twin.vision),
                            fixed(twin.color_difference, 0));
    }
    if (twin.map_difference) {
        text += fmt::format(". The gray map of the deck sets them {} L* apart",
                            fixed(*twin.map_difference, 1));
    }
    if (twin.proof_difference) {
        text +=
            fmt::format(". In the proofs they differ by {} L*", fixed(*twin.proof_difference, 1));
    }
    if (twin.patterns) {
        text += ". In the proofs each has a pattern of its own";
    }
    return text + ".";
}

/// The first face on which the color is seen: its name and the place.
std::string seen_on(const PageContext& page, const std::vector<TwinPlace>& places) {
    if (places.empty()) return "";
    const auto face = page.faces.find(places.front().face);
    if (face == page.faces.end()) return "";
    return fmt::format("<p class=\"seen\"><a href=\"#{}\">{}</a>{}</p>", face_id(face->second),
                       escaped(places.front().face),
                       crop_html(page, face->second, places.front().box_px));
}

}  // namespace

std::string glance_html(const PageContext& page) {
    const EditionResult& edition = page.edition;
    const DeckSums& sums = page.sums;
    std::string figures;
    figures += figure("Cards", fmt::format("{}", sums.cards),
                      counted(static_cast<int>(edition.faces.size()), "face", "faces"));
    if (!edition.sheets.empty()) {
        figures += figure("Sheets", fmt::format("{}", sums.sheets), sheets_figure(edition.sheets));
    }
    if (sums.source_ink) {
        figures += figure("Ink, source", percent(sums.source_ink->total, 0), "mean coverage");
    }
    if (sums.proof_ink) {
        figures += figure("Ink, proof", percent(sums.proof_ink->total, 0), "mean coverage");
    }
    if (sums.saved) {
        figures += figure("Saved", percent(*sums.saved, 0), "of the ink");
    }
    if (edition.cost) {
        const DeckCost& cost = *edition.cost;
        figures += figure(
            "Cost of ink", money(cost, cost.proof ? *cost.proof : cost.source),
            cost.proof ? "estimate; source " + money(cost, cost.source) : std::string("estimate"));
    }
    figures += figure("Findings", findings_figure(sums), "");
    return fmt::format("<p class=\"lede\">{}</p>\n<dl class=\"figures\">\n{}</dl>\n{}", lede(page),
                       figures, ink_chart(page));
}

std::string twins_html(const PageContext& page) {
    if (page.edition.twins.empty()) {
        return "<p>No two colors that tell things apart came out alike.</p>";
    }
    std::string items;
    for (const Twin& twin : page.edition.twins) {
        const std::string_view unit = twin.rule == Rule::gray_twins ? "L*" : "&Delta;E";
        items += fmt::format(
            R"(<li><div class="swatches"><div>{}{}</div><div>{}{}</div></div><p><strong>{}</strong> <span class="value">{} {}, limit {}</span></p><p>{}{}</p></li>
)",
            swatch(twin.a), seen_on(page, twin.places_a), swatch(twin.b),
            seen_on(page, twin.places_b), rule_title(twin.rule), fixed(twin.difference, 1), unit,
            fixed(twin.limit, 1), capital(escaped(twin.where)), twin_outcome(twin));
    }
    return "<p>Each color is shown as it is and, beside it, by its lightness alone.</p>\n"
           "<ul class=\"twins\">\n" +
           items + "</ul>\n";
}

}  // namespace paleproof::report
