// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/left_out.h"

#include <algorithm>
#include <array>
#include <string_view>
#include <system_error>

#include "app/endings.h"
#include "app/face_names.h"
#include "core/format.h"
#include "core/utf8.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

/// Endings of what drawing programs and websites hand out beside PNG and JPEG.
constexpr std::array<std::string_view, 16> other_pictures{
    ".webp", ".tif",  ".tiff", ".gif", ".bmp", ".psd",     ".svg", ".pdf",
    ".avif", ".heic", ".jxl",  ".xcf", ".kra", ".afphoto", ".ai",  ".eps"};

bool is_hidden(const fs::path& path) { return path.filename().string().starts_with('.'); }

std::size_t faces_in(const fs::path& folder) {
    std::size_t count = 0;
    std::error_code fault;
    for (fs::directory_iterator at(folder, fault), end; !fault && at != end; at.increment(fault)) {
        if (!is_hidden(at->path()) && has_face_ending(at->path())) ++count;
    }
    return count;
}

/// The folders of an edition that was made into or below `folder`.
bool is_of_edition(const fs::path& folder) {
    std::error_code fault;
    const std::string name = folder.filename().string();
    const bool inside = name == "faces" || name == "report-pictures";
    return fs::exists(folder / "edition.json", fault) ||
           (inside && fs::exists(folder.parent_path() / "edition.json", fault));
}

/// The PDFs of an edition that was made into `folder` itself.
bool is_pdf_of_edition(const fs::path& file) {
    const std::string name = file.filename().string();
    const bool called = name == "pages.pdf" || name.starts_with("sheets-") ||
                        name.starts_with("changed-") || name.starts_with("test-page-");
    std::error_code fault;
    return called && file.extension() == ".pdf" &&
           fs::exists(file.parent_path() / "edition.json", fault);
}

}  // namespace

std::vector<std::string> left_out_of(const fs::path& folder) {
    std::vector<fs::path> entries;
    std::error_code fault;
    for (fs::directory_iterator at(folder, fault), end; !fault && at != end; at.increment(fault)) {
        if (!is_hidden(at->path())) entries.push_back(at->path());
    }
    std::ranges::sort(entries);
    std::vector<std::string> clauses;
    std::vector<std::string> others;
    for (const fs::path& entry : entries) {
        std::error_code none;
        if (fs::is_directory(entry, none)) {
            const std::size_t count = is_of_edition(entry) ? 0 : faces_in(entry);
            if (count == 0) continue;
            clauses.push_back(std::to_string(count) + (count == 1 ? " picture" : " pictures") +
                              " in the folder '" + one_line(entry.filename().string()) +
                              "' below: a deck is one folder, or a deck list that names them");
        } else if (std::ranges::find(other_pictures, lower_ending(entry)) != other_pictures.end() &&
                   !is_pdf_of_edition(entry)) {
            others.push_back(one_line(entry.filename().string()));
        }
    }
    if (!others.empty())
        clauses.push_back(some_names(others) + ": save as PNG or JPEG to have it in");
    return clauses;
}

std::string near_file(const fs::path& file) {
    const fs::path folder = file.has_parent_path() ? file.parent_path() : fs::path(".");
    const std::string wanted = file.filename().string();
    std::vector<std::string> names;
    std::error_code fault;
    for (fs::directory_iterator at(folder, fault), end; !fault && at != end; at.increment(fault)) {
        if (has_face_ending(at->path())) names.push_back(at->path().filename().string());
    }
    std::ranges::sort(names);
    // Capitals and the ending are what lists and files differ in most.
    for (const bool whole : {true, false}) {
        for (const std::string& name : names) {
            const auto part = [whole](const std::string& text) {
                return lower_case(whole ? text : fs::path(text).stem().string());
            };
            if (part(name) == part(wanted)) return "; did you mean '" + name + "'?";
        }
    }
    const std::vector<std::string_view> views(names.begin(), names.end());
    const std::string near = nearest_word(wanted, views);
    return near.empty() ? "" : "; did you mean '" + near + "'?";
}

}  // namespace paleproof::app
