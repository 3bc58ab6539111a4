// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>
#include <cctype>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

/// A measured value as a person says it.
std::string value_text(double value, const std::string& unit) {
    if (unit == "share") {
        std::string text = percent(value);
        if (const std::size_t zero = text.find(".0 "); zero != std::string::npos) {
            text.erase(zero, 2);
        }
        return text;
    }
    if (unit == ":1") {
        return fixed(value, 1) + " : 1";
    }
    if (unit == "ppi" || unit == "px") {
        return fixed(value, 0) + " " + unit;
    }
    if (unit == "mm") {
        return millimeters({value});
    }
    std::string number = fixed(value, 1);
    if (number.ends_with(".0")) {
        number.resize(number.size() - 2);
    }
    return fmt::format("{} {}", number, escaped(unit));
}

}  // namespace

std::string_view rule_title(Rule rule) {
    switch (rule) {
        case Rule::text_small:
            return "Text too small";
        case Rule::text_faint:
            return "Text too faint";
        case Rule::text_at_edge:
            return "Text near the cut";
        case Rule::text_lost:
            return "Text lost in the proof";
        case Rule::gray_twins:
            return "Colors alike in gray";
        case Rule::vision_twins:
            return "Colors alike to some eyes";
        case Rule::ink_heavy:
            return "Too much ink in one place";
        case Rule::budget_missed:
            return "Ink budget missed";
        case Rule::bleed_missing:
            return "Bleed missing";
        case Rule::art_coarse:
            return "Art too coarse";
        case Rule::size_off:
            return "Shape does not fit the card";
        case Rule::frame_at_trim:
            return "Frame near the cut";
        case Rule::border_uneven:
            return "Border narrow or uneven";
        case Rule::face_unreadable:
            return "File not readable";
    }
    return "";
}

namespace {

std::string marked(Severity severity, const std::string& words) {
    return fmt::format(
        R"(<span class="severity {0}"><svg class="mark" aria-hidden="true"><use href="#mark-{0}"/></svg>{1}</span>)",
        name(severity), words);
}

}  // namespace

std::string severity_mark(Severity severity) {
    return marked(severity, std::string(name(severity)));
}

std::string severity_mark(Severity severity, int count) {
    const std::string word(name(severity));
    return marked(severity, counted(count, word, word + "s"));
}

std::vector<const Finding*> numbered_findings(const FaceResult& face) {
    std::vector<const Finding*> result;
    result.reserve(face.findings.size());
    for (const Finding& finding : face.findings) {
        result.push_back(&finding);
    }
    std::stable_sort(result.begin(), result.end(),
                     [](const Finding* a, const Finding* b) { return a->severity > b->severity; });
    return result;
}

std::string money(const DeckCost& cost, double amount) {
    return fmt::format("{} {}", fixed(amount, 2), escaped(cost.currency));
}

std::string measured_text(const Finding& finding) {
    if (finding.unit.empty()) {
        return "";  // a yes or no: the message says it all
    }
    return fmt::format("{}, limit {}", value_text(finding.measured, finding.unit),
                       value_text(finding.limit, finding.unit));
}

std::string capital(std::string text) {
    if (!text.empty()) {
        text.front() = static_cast<char>(std::toupper(static_cast<unsigned char>(text.front())));
    }
    return text;
}

std::string sentence(std::string_view clause) {
    std::string result = capital(escaped(clause));
    if (!result.empty() && result.back() != '.') {
        result += '.';
    }
    return result;
}

std::string message_html(const Finding& finding) {
    // A file is spelled as it is called.
    return finding.rule == Rule::face_unreadable ? escaped(finding.message)
                                                 : sentence(finding.message);
}

std::string file_url(std::string_view path) {
    std::string result = "./";
    for (const char c : path) {
        const auto byte = static_cast<unsigned char>(c);
        const bool plain = (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z') ||
                           (byte >= '0' && byte <= '9') ||
                           std::string_view("-._~/").find(c) != std::string_view::npos;
        if (plain) {
            result += c;
        } else {
            result += fmt::format("%{:02X}", byte);
        }
    }
    return result;
}

std::string face_id(std::size_t index) { return fmt::format("face-{}", index + 1); }

}  // namespace paleproof::report
