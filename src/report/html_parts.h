// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "report/deck_sums.h"
#include "report/html.h"

namespace paleproof::report {

/// What every part of the page reads.
struct PageContext {
    const EditionResult& edition;
    DeckSums sums;
    std::vector<int> printed;                  ///< printed_sides of the faces
    std::map<std::string, std::size_t> faces;  ///< index of a face by its name
    double full_bar = 1.0;                     ///< total coverage that fills an ink bar
};

/// The address of a picture for an attribute: its bytes, or its file beside the page.
[[nodiscard]] std::string address_of(const Thumbnail& thumbnail);

[[nodiscard]] PageContext page_context(const EditionResult& edition);

// Words and numbers, escaped where they hold foreign text --------------------------------------

/// "Text too small": what a rule is called on the page.
[[nodiscard]] std::string_view rule_title(Rule rule);
/// A shape and a word, so that color is not needed to tell severities apart.
[[nodiscard]] std::string severity_mark(Severity severity);
[[nodiscard]] std::string severity_mark(Severity severity, int count);
/// The findings of a face in the order they are numbered on the page: severity first.
[[nodiscard]] std::vector<const Finding*> numbered_findings(const FaceResult& face);
/// "1.20 EUR"
[[nodiscard]] std::string money(const DeckCost& cost, double amount);
/// "1 error", "3 errors".
/// "0.9 mm, limit 1.2 mm"; empty for a finding without a unit.
[[nodiscard]] std::string measured_text(const Finding& finding);
/// "a clause as core words it" -> "A clause as core words it."
[[nodiscard]] std::string sentence(std::string_view clause);
/// With a capital first letter; text that is escaped already.
[[nodiscard]] std::string capital(std::string text);
/// What a finding says, as a sentence: its message with a capital, unless that begins with a name.
[[nodiscard]] std::string message_html(const Finding& finding);
/// A path relative to the report as a URL that cannot be read as another scheme (RFC 3986).
[[nodiscard]] std::string file_url(std::string_view path);
/// "face-3", counted from 1 in the order of the deck.
[[nodiscard]] std::string face_id(std::size_t index);

// Parts of the page ----------------------------------------------------------------------------

[[nodiscard]] std::string glance_html(const PageContext& page);
[[nodiscard]] std::string worklist_html(const PageContext& page);
[[nodiscard]] std::string faces_html(const PageContext& page);
[[nodiscard]] std::string face_html(const PageContext& page, std::size_t index);
[[nodiscard]] std::string pictures_html(const PageContext& page, std::size_t index);
[[nodiscard]] std::string ink_html(const PageContext& page);
[[nodiscard]] std::string ink_table_html(const std::optional<InkUse>& source,
                                         const std::optional<InkUse>& proof, double full_bar);
[[nodiscard]] std::string text_table_html(const FaceResult& face);
/// A small picture of a card as it is cut, which the script fills; nothing without it.
[[nodiscard]] std::string card_html(const PageContext& page, const std::string& face_name);
/// All faces as small pictures, with a tally of their findings; "" for less than two.
[[nodiscard]] std::string contact_html(const PageContext& page);
/// A place of a face with what surrounds it, source and proof, which the script cuts out of the
/// pictures that the page shows anyway; `box` in pixels of the source.
[[nodiscard]] std::string crop_html(const PageContext& page, std::size_t index, RectPx box);
[[nodiscard]] std::string changes_html(const PageContext& page);
[[nodiscard]] std::string twins_html(const PageContext& page);
[[nodiscard]] std::string cut_html(const PageContext& page);
[[nodiscard]] std::string sheets_html(const PageContext& page);
[[nodiscard]] std::string settings_html(const PageContext& page);

}  // namespace paleproof::report
