// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>

#include "core/geometry.h"

namespace paleproof {

/// What a finding is about; the names are the contract of report.json. docs/findings.md explains
/// each.
enum class Rule {
    text_small,
    text_faint,
    text_at_edge,
    text_lost,
    gray_twins,
    vision_twins,
    ink_heavy,
    budget_missed,
    bleed_missing,
    art_coarse,
    size_off,
    frame_at_trim,
    border_uneven,
    face_unreadable
};

enum class Severity { note, warning, error };

/// One thing a person should look at. Plain data: only src/report and src/cli print it.
struct Finding {
    Rule rule = Rule::size_off;
    Severity severity = Severity::warning;
    std::string face;              ///< name of the face, "" for the deck
    std::optional<RectPx> box_px;  ///< in pixels of the source face
    double measured = 0.0;
    double limit = 0.0;
    std::string unit;     ///< of measured and limit: "mm", "pt", "ppi", "share", ":1", "L*",
                          ///< "CIEDE2000", "words"; "" where there is nothing to measure
    std::string message;  ///< one sentence for a person, with what to do
};

struct RuleInfo {
    Rule rule;
    std::string_view name;      ///< "text-small"
    std::string_view measures;  ///< what is measured
    std::string_view why;       ///< why it matters on paper
    std::string_view remedy;    ///< what to do in the art
};

/// All rules, in the order of the enumeration; `paleproof explain` and docs/findings.md read this
/// table.
[[nodiscard]] const std::array<RuleInfo, 14>& rules();
[[nodiscard]] std::string_view name(Rule rule);
[[nodiscard]] std::string_view name(Severity severity);
[[nodiscard]] std::optional<Rule> rule_named(std::string_view name);

}  // namespace paleproof
