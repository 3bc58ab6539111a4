// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <vector>

#include "core/format.h"
#include "report/html_parts.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

struct Section {
    std::string name;
    std::string rows;
};

/// Keys stand under the name of their section, as in a job file.
void add(std::vector<Section>& sections, const Setting& setting) {
    const std::size_t dot = setting.name.find('.');
    const bool grouped = dot != std::string::npos;
    const std::string section = grouped ? setting.name.substr(0, dot) : "";
    if (sections.empty() || sections.back().name != section) sections.push_back({section, ""});
    const std::string value = setting.value.empty()
                                  ? std::string("<span class=\"hint\">not set</span>")
                                  : "<code>" + escaped(setting.value) + "</code>";
    const std::string origin = setting.origin.empty() || setting.origin == "default"
                                   ? std::string()
                                   : " <span class=\"hint\">" + escaped(setting.origin) + "</span>";
    sections.back().rows += fmt::format(
        "<div{}><dt>{}</dt><dd>{}{}</dd></div>\n", origin.empty() ? "" : " class=\"chosen\"",
        escaped(grouped ? setting.name.substr(dot + 1) : setting.name), value, origin);
}

}  // namespace

std::string settings_html(const PageContext& page) {
    const EditionResult& edition = page.edition;
    std::vector<Section> sections;
    for (const Setting& setting : edition.settings) add(sections, setting);
    if (sections.empty()) {
        add(sections, {"style", edition.style, ""});
        add(sections, {"separation", edition.separation, ""});
        add(sections,
            {"ink_budget", edition.ink_budget ? percent(*edition.ink_budget) : "none", ""});
    }
    std::string result =
        "<p>As a job file spells them. What differs from the tool&rsquo;s own default is marked "
        "<span class=\"hint\">set</span>.</p>\n<div class=\"settings\">\n";
    for (const Section& section : sections) {
        result += "<section>" +
                  (section.name.empty() ? "" : "<h3>" + escaped(section.name) + "</h3>") +
                  "<dl>\n" + section.rows + "</dl></section>\n";
    }
    return result + "</div>\n";
}

}  // namespace paleproof::report
