// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <csv.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <string_view>
#include <vector>

#include "app/face_names.h"
#include "app/options.h"
#include "app/source.h"
#include "core/error.h"
#include "core/format.h"
#include "core/utf8.h"

namespace paleproof::app {
namespace {

namespace fs = std::filesystem;

constexpr std::array<std::string_view, 4> columns{"face", "name", "copies", "back"};
constexpr int most_copies = 10'000;

struct Row {
    std::vector<std::string> cells;
    bool blank() const {
        return std::ranges::all_of(cells, [](const std::string& cell) { return cell.empty(); });
    }
};

/// Rows of the file, through libcsv; the row being read is the last one.
struct Reader {
    std::vector<Row> rows{1};
    static void cell(void* text, std::size_t length, void* self) {
        static_cast<Reader*>(self)->rows.back().cells.emplace_back(static_cast<const char*>(text),
                                                                   length);
    }
    static void row(int, void* self) { static_cast<Reader*>(self)->rows.emplace_back(); }
};

std::string content_of(const fs::path& list) {
    std::ifstream stream(list, std::ios::binary);
    std::ostringstream content;
    content << stream.rdbuf();
    if (!stream) {
        throw Error(ErrorKind::file, list.string(), "expected a deck list; it cannot be read");
    }
    std::string text = content.str();
    if (text.starts_with("\xEF\xBB\xBF")) text.erase(0, 3);
    if (text.starts_with("\xFF\xFE") || text.starts_with("\xFE\xFF") || !is_utf8(text)) {
        throw Error(
            ErrorKind::format, list.string(),
            "expected text in UTF-8, found another encoding; save the list as \"CSV UTF-8\"");
    }
    // Rows end with LF from here on, so that a row's number is its line; cells stay as they are.
    std::string lines;
    lines.reserve(text.size());
    bool quoted = false;
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (text[i] == '"') quoted = !quoted;
        if (!quoted && text[i] == '\r' && i + 1 < text.size() && text[i + 1] == '\n') continue;
        lines += text[i];
    }
    return lines;
}

std::vector<Row> rows_of(const std::string& text, const fs::path& list) {
    csv_parser parser{};
    // Empty lines are kept as rows, so that a row's number is its line when no cell holds a break.
    if (csv_init(&parser, CSV_STRICT | CSV_STRICT_FINI | CSV_REPALL_NL) != 0) {
        throw Error(ErrorKind::internal, list.string(), "the CSV reader did not start");
    }
    const std::string head = text.substr(0, text.find('\n'));
    // Spreadsheets write semicolons where the comma is a decimal sign, and tabs when asked to.
    for (const char delimiter : {';', '\t'}) {
        if (head.find(',') == std::string::npos && head.find(delimiter) != std::string::npos) {
            csv_set_delim(&parser, static_cast<unsigned char>(delimiter));
            break;
        }
    }
    Reader reader;
    const bool good = csv_parse(&parser, text.data(), text.size(), Reader::cell, Reader::row,
                                &reader) == text.size() &&
                      csv_fini(&parser, Reader::cell, Reader::row, &reader) == 0;
    csv_free(&parser);
    if (!good) {
        throw Error(ErrorKind::format, list.string(),
                    "expected CSV (RFC 4180); a quote is wrong near row " +
                        std::to_string(reader.rows.size()));
    }
    reader.rows.pop_back();
    return std::move(reader.rows);
}

std::string row_name(const fs::path& list, std::size_t index) {
    return list.string() + ", row " + std::to_string(index + 1);
}

int copies_of(const std::string& text, const std::string& where) {
    if (text.empty()) return 1;
    int count = 0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), count);
    if (fault != std::errc{} || end != text.data() + text.size() || count < 0 ||
        count > most_copies) {
        throw Error(ErrorKind::format, where,
                    "copies: expected a whole number from 0 to 10000, got '" + text + "'");
    }
    return count;
}

/// Spreadsheets write columns that were once touched: empty ones are passed over.
void refuse_unnamed(const Row& head, const Row& row, const std::string& where) {
    for (std::size_t i = 0; i < row.cells.size(); ++i) {
        if (!head.cells[i].empty() || row.cells[i].empty()) continue;
        throw Error(ErrorKind::format, where,
                    "expected a name in the first row above '" + row.cells[i] +
                        "', found none (columns: face, name, copies, back)");
    }
}

/// Column of each known name in this file, by the head row.
std::map<std::string_view, std::size_t> layout_of(const Row& head, const fs::path& list) {
    std::map<std::string_view, std::size_t> layout;
    for (std::size_t i = 0; i < head.cells.size(); ++i) {
        if (head.cells[i].empty()) continue;
        const auto known = std::ranges::find(columns, head.cells[i]);
        if (known == columns.end()) {
            throw Error(ErrorKind::format, list.string(),
                        "no such column '" + head.cells[i] + "'" +
                            did_you_mean(head.cells[i], columns) +
                            " (columns: face, name, copies, back)");
        }
        if (!layout.emplace(*known, i).second) {
            throw Error(ErrorKind::format, list.string(),
                        "the column '" + head.cells[i] + "' stands twice");
        }
    }
    if (!layout.contains("face")) {
        throw Error(
            ErrorKind::format, list.string(),
            "expected a column 'face' in the first row (columns: face, name, copies, back)");
    }
    return layout;
}

}  // namespace

Deck deck_of_list(const fs::path& list) {
    const std::vector<Row> rows = rows_of(content_of(list), list);
    if (rows.empty()) {
        throw Error(
            ErrorKind::format, list.string(),
            "expected a first row with the columns face, name, copies, back; the file is empty");
    }
    const auto layout = layout_of(rows.front(), list);
    const fs::path folder = list.parent_path();
    const auto cell = [&](const Row& row, std::string_view column) -> std::string {
        const auto at = layout.find(column);
        return at == layout.end() || at->second >= row.cells.size() ? "" : row.cells[at->second];
    };

    Deck deck;
    FaceNames names;
    std::vector<std::string> backs;                    // of each face, as written
    std::map<std::string, std::size_t> index_of_path;  // first face of each file
    for (std::size_t i = 1; i < rows.size(); ++i) {
        if (rows[i].blank()) continue;
        const std::string where = row_name(list, i);
        if (rows[i].cells.size() > rows.front().cells.size()) {
            throw Error(ErrorKind::format, where,
                        "expected " + std::to_string(rows.front().cells.size()) + " cells, found " +
                            std::to_string(rows[i].cells.size()) +
                            "; a comma in a text needs quotes around it");
        }
        refuse_unnamed(rows.front(), rows[i], where);
        const std::string path = cell(rows[i], "face");
        if (path.empty()) {
            throw Error(ErrorKind::format, where,
                        "expected a path in the column 'face', found nothing");
        }
        const std::string name = cell(rows[i], "name");
        const fs::path file = (folder / path).lexically_normal();
        index_of_path.emplace(file.string(), deck.faces.size());
        deck.faces.push_back({names.unique(name.empty() ? file.stem().string() : name), file,
                              copies_of(cell(rows[i], "copies"), where), std::nullopt});
        backs.push_back(cell(rows[i], "back"));
    }
    if (deck.faces.empty()) {
        throw Error(ErrorKind::format, list.string(), "expected a row for each face, found none");
    }
    for (std::size_t i = 0; i < backs.size(); ++i) {
        if (backs[i].empty()) continue;
        const fs::path file = (folder / backs[i]).lexically_normal();
        const auto [at, added] = index_of_path.emplace(file.string(), deck.faces.size());
        if (added) {
            deck.faces.push_back({names.unique(file.stem().string()), file, 0, std::nullopt});
        }
        deck.faces[i].back = at->second;
    }
    return deck;
}

}  // namespace paleproof::app
