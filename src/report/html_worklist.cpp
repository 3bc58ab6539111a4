// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>
#include <cstdint>

#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

/// Longer groups show their first items and fold the rest.
constexpr std::size_t shown_items = 8;

struct Item {
    const Finding* finding;
    std::size_t face;  ///< index of the face, or the count of faces for the deck
};

struct Group {
    const RuleInfo* rule;
    Severity worst;
    std::vector<Item> items;
};

/// Severity first, then the order of rules, then the order of the deck.
std::vector<Group> groups(const EditionResult& edition) {
    std::vector<Item> items;
    for (std::size_t i = 0; i < edition.faces.size(); ++i) {
        for (const Finding& finding : edition.faces[i].findings) {
            items.push_back({&finding, i});
        }
    }
    for (const Finding& finding : edition.findings) {
        items.push_back({&finding, edition.faces.size()});
    }
    std::vector<Group> result;
    for (const RuleInfo& rule : rules()) {
        Group group{&rule, Severity::note, {}};
        for (const Item& item : items) {
            if (item.finding->rule == rule.rule) {
                group.worst = std::max(group.worst, item.finding->severity);
                group.items.push_back(item);
            }
        }
        if (!group.items.empty()) {
            std::stable_sort(group.items.begin(), group.items.end(),
                             [](const Item& a, const Item& b) {
                                 return a.finding->severity > b.finding->severity;
                             });
            result.push_back(std::move(group));
        }
    }
    std::stable_sort(result.begin(), result.end(),
                     [](const Group& a, const Group& b) { return a.worst > b.worst; });
    return result;
}

/// Names a finding across editions, so that a tick stays until what was measured changes (FNV-1a,
/// 64 bits, offset basis and prime of the FNV reference).
std::string tick_key(const Finding& finding) {
    std::uint64_t hash = 14695981039346656037ULL;
    const auto add = [&](std::string_view part) {
        for (const char c : part) {
            hash = (hash ^ static_cast<unsigned char>(c)) * 1099511628211ULL;
        }
        hash = (hash ^ 0xFFU) * 1099511628211ULL;  // no UTF-8 text holds FF: parts stay apart
    };
    add(name(finding.rule));
    add(finding.face);
    add(finding.message);
    return fmt::format("{:016x}", hash);
}

std::string item_html(const PageContext& page, const Item& item, int number) {
    const Finding& finding = *item.finding;
    const bool of_face = item.face < page.edition.faces.size();
    const std::string where = of_face ? fmt::format("<a href=\"#{}\">{}</a>", face_id(item.face),
                                                    escaped(page.edition.faces[item.face].name))
                              : finding.face.empty() ? "Whole deck"
                                                     : escaped(finding.face);
    const std::string value = measured_text(finding);
    return fmt::format(
        R"(<li class="item" data-rule="{0}" data-severity="{1}" data-face="{2}" data-key="{3}"><input type="checkbox" id="tick-{4}" autocomplete="off"><div>{5} <span class="where">{6}</span>{7}<label for="tick-{4}">{8}</label>{9}</div></li>
)",
        name(finding.rule), name(finding.severity), of_face ? face_id(item.face) : "deck",
        tick_key(finding), number, severity_mark(finding.severity), where,
        value.empty() ? "" : " <span class=\"value\">" + value + "</span>", message_html(finding),
        of_face && finding.box_px ? crop_html(page, item.face, *finding.box_px) : std::string());
}

std::string group_html(const PageContext& page, const Group& group, int& number) {
    std::string first;
    std::string rest;
    for (std::size_t i = 0; i < group.items.size(); ++i) {
        (i < shown_items ? first : rest) += item_html(page, group.items[i], ++number);
    }
    std::string folded;
    if (!rest.empty()) {
        folded = fmt::format(
            "<details class=\"rest\"><summary>and {} more</summary><ol class=\"items\">{}</ol>"
            "</details>",
            group.items.size() - shown_items, rest);
    }
    return fmt::format(
        R"(<section class="group" id="rule-{0}" aria-labelledby="rule-{0}-name" tabindex="-1">
<h3 id="rule-{0}-name">{1} <span class="count">{2}</span></h3>
<p class="why">{3} <b>What to do:</b> {4} <span class="measures">Measured: {5}</span></p>
<ol class="items">
{6}</ol>{7}
</section>
)",
        group.rule->name, rule_title(group.rule->rule), group.items.size(),
        sentence(group.rule->why), sentence(group.rule->remedy), sentence(group.rule->measures),
        first, folded);
}

std::string options(const PageContext& page, const std::vector<Group>& all) {
    std::string rule_options;
    for (const Group& group : all) {
        rule_options += fmt::format("<option value=\"{}\">{} ({})</option>", group.rule->name,
                                    rule_title(group.rule->rule), group.items.size());
    }
    std::string face_options;
    for (std::size_t i = 0; i < page.edition.faces.size(); ++i) {
        if (!page.edition.faces[i].findings.empty()) {
            face_options += fmt::format("<option value=\"{}\">{}</option>", face_id(i),
                                        escaped(page.edition.faces[i].name));
        }
    }
    std::string severities;
    for (const auto& [severity, count] : {std::pair{Severity::error, page.sums.errors},
                                          {Severity::warning, page.sums.warnings},
                                          {Severity::note, page.sums.notes}}) {
        if (count > 0) {
            severities += fmt::format(
                "<label><input type=\"checkbox\" name=\"severity\" value=\"{}\" checked "
                "autocomplete=\"off\"> {} <span class=\"count\">{}</span></label>",
                name(severity), severity_mark(severity), count);
        }
    }
    return fmt::format(
        R"(<form class="filter" data-needs-script hidden aria-label="Filter the worklist">
<label>Rule <select name="rule" autocomplete="off"><option value="">all rules</option>{}</select></label>
<label>Face <select name="face" autocomplete="off"><option value="">whole deck</option>{}</select></label>
<fieldset><legend>Severity</legend>{}</fieldset>
<label><input type="checkbox" name="hide-ticked" autocomplete="off"> Hide what is ticked</label>
<output aria-live="polite"></output>
</form>
)",
        rule_options, face_options, severities);
}

}  // namespace

std::string worklist_html(const PageContext& page) {
    const std::vector<Group> all = groups(page.edition);
    if (all.empty()) {
        return "<p class=\"all-clear\">Nothing to fix: no rule found anything.</p>";
    }
    std::string result = options(page, all);
    result += "<div class=\"worklist\">\n";
    int number = 0;
    for (const Group& group : all) {
        result += group_html(page, group, number);
    }
    return result + "</div>\n";
}

}  // namespace paleproof::report
