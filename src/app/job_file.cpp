// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/job_file.h"

#include <toml++/toml.h>
#include <algorithm>
#include <fstream>
#include <sstream>
#include <vector>

#include "app/option_values.h"
#include "app/options.h"
#include "app/separations.h"
#include "core/error.h"
#include "core/format.h"

namespace paleproof::app {
namespace {

std::string place(const toml::source_region& where) {
    return "line " + std::to_string(where.begin.line) + ", column " +
           std::to_string(where.begin.column);
}

/// A TOML value as the text that the command line would have.
std::string text_of(const toml::node& node, const std::string& key) {
    if (const auto* text = node.as_string()) return text->get();
    if (const auto* whole = node.as_integer()) return std::to_string(whole->get());
    if (const auto* real = node.as_floating_point()) {
        std::string text = fixed(real->get(), 6);
        text.erase(text.find_last_not_of('0') + 1);
        if (text.back() == '.') text.pop_back();
        return text;
    }
    if (const auto* truth = node.as_boolean()) return truth->get() ? "true" : "false";
    throw Error(ErrorKind::range, key,
                "expected a text or a number, like \"3mm\" or 0.12, found another kind of value, " +
                    place(node.source()));
}

std::vector<std::string> texts_of(const toml::node& node, const Option& option,
                                  const std::string& key) {
    if (!option.list) {
        return {text_of(node, key)};
    }
    std::vector<std::string> texts;
    if (const auto* table = node.as_table(); table != nullptr && option.key == "pins") {
        // A table of a section: "#b03030" = 0.25.
        for (const auto& [name, value] : *table) {
            texts.push_back(std::string(name.str()) + "=" + text_of(value, key));
        }
        return texts;
    }
    const auto* array = node.as_array();
    if (array == nullptr) {
        return split_list(text_of(node, key));
    }
    for (const toml::node& item : *array) texts.push_back(text_of(item, key));
    if (texts.empty()) {
        throw Error(ErrorKind::range, key, "expected at least one value, found an empty array");
    }
    return texts;
}

std::vector<std::string_view> known_sections() {
    std::vector<std::string_view> names;
    for (const Option& option : options()) {
        if (std::ranges::find(names, option.section) == names.end())
            names.push_back(option.section);
    }
    return names;
}

void read_section(std::string_view section, const toml::table& keys, Job& job) {
    std::vector<std::string_view> known;
    for (const Option& option : options()) {
        if (option.section == section) known.push_back(option.key);
    }
    for (const auto& [name, value] : keys) {
        const std::string key = std::string(section) + "." + std::string(name.str());
        if (std::ranges::find(known, name.str()) == known.end()) {
            throw Error(ErrorKind::usage, key,
                        "no such key, " + place(value.source()) + did_you_mean(name.str(), known));
        }
    }
    // In the order of the table, whatever the order of the file: named limits come before the
    // single ones, which refine them.
    for (const Option& option : options()) {
        if (option.section != section) continue;
        if (const toml::node* value = keys.get(option.key)) {
            option.set(job, texts_of(*value, option,
                                     std::string(section) + "." + std::string(option.key)));
        }
    }
}

}  // namespace

std::vector<std::string> texts_of_toml(const std::string& value) {
    const toml::table root = toml::parse("value = " + value);
    const toml::node& node = *root.get("value");
    if (const auto* array = node.as_array()) {
        std::vector<std::string> texts;
        for (const toml::node& item : *array) texts.push_back(text_of(item, "value"));
        return texts;
    }
    return {text_of(node, "value")};
}

void read_job_file(const std::filesystem::path& file, Job& job) {
    std::ifstream stream(file, std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    if (!stream) {
        throw Error(ErrorKind::file, file.string(), "expected a job file; it cannot be read");
    }
    toml::table root;
    try {
        root = toml::parse(content.str());
    } catch (const toml::parse_error& fault) {
        throw Error(ErrorKind::format, file.string(),
                    "expected TOML, with texts and lengths in quotes; " + place(fault.source()) +
                        ": " + std::string(fault.description()));
    }
    const auto sections = known_sections();
    try {
        for (const auto& [name, value] : root) {
            if (std::ranges::find(sections, name.str()) == sections.end()) {
                const Option* option = value.is_table() ? nullptr : find_option(name.str());
                throw Error(ErrorKind::usage, std::string(name.str()),
                            "no such section, " + place(value.source()) +
                                (option == nullptr ? did_you_mean(name.str(), sections)
                                                   : "; the key belongs below [" +
                                                         std::string(option->section) + "]"));
            }
            const auto* keys = value.as_table();
            if (keys == nullptr) {
                throw Error(ErrorKind::usage, std::string(name.str()),
                            "expected a section [" + std::string(name.str()) +
                                "], found a value, " + place(value.source()));
            }
            read_section(name.str(), *keys, job);
        }
    } catch (const Error& fault) {
        throw Error(fault.kind(), file.string() + ": " + fault.subject(), fault.detail());
    }
    const std::filesystem::path folder = file.parent_path();
    if (job.faces.empty()) {
        job.faces = folder.empty() ? "." : folder;
    } else if (job.faces.is_relative()) {
        job.faces = folder / job.faces;
    }
    for (std::filesystem::path* path : {&job.out, &job.changed_since}) {
        if (!path->empty() && path->is_relative()) *path = folder / *path;
    }
    if (names_profile(job.separation) && std::filesystem::path(job.separation).is_relative()) {
        job.separation = (folder / job.separation).string();
    }
}

std::string job_file_text(const Job& job, const Remarks& remarks) {
    std::string text =
        "# Job file of paleproof (TOML 1.0). Every key is also a command-line option, which wins.\n"
        "# Lengths carry a unit: 3mm, 0.125in, 7pt.\n";
    std::string_view section;
    for (const Option& option : options()) {
        if (option.section != section) {
            section = option.section;
            text += "\n[" + std::string(section) + "]\n";
        }
        text += "\n# " + std::string(option.help) + "\n# values: " +
                (option.values.empty() ? "true | false" : std::string(option.values)) + "\n";
        const auto remark = remarks.find(option.key);
        if (remark != remarks.end()) text += "# " + remark->second + "\n";
        const std::string value = option.get(job);
        text += value.empty() ? "# " + std::string(option.key) + " =\n"
                              : std::string(option.key) + " = " + value + "\n";
    }
    return text;
}

}  // namespace paleproof::app
