// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/text.h"

#include "core/utf8.h"

namespace paleproof::report {

namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";

}  // namespace

std::string escaped(std::string_view text) {
    std::string result;
    result.reserve(text.size() + text.size() / 8);
    for (const char c : valid_utf8(text)) {
        switch (c) {
            case '&':
                result += "&amp;";
                break;
            case '<':
                result += "&lt;";
                break;
            case '>':
                result += "&gt;";
                break;
            case '"':
                result += "&quot;";
                break;
            case '\'':
                result += "&#39;";
                break;
            case '\t':
            case '\n':
                result += c;
                break;
            default: {
                const auto byte = static_cast<unsigned char>(c);
                if (byte < 0x20 || byte == 0x7F) {
                    result += replacement;
                } else {
                    result += c;
                }
            }
        }
    }
    return result;
}

std::string csv_cell(std::string_view text) {
    std::string content = valid_utf8(text);
    if (!content.empty()) {
        const char first = content.front();
        if (std::string_view("=+-@").find(first) != std::string_view::npos ||
            static_cast<unsigned char>(first) < 0x20) {
            content.insert(content.begin(), '\'');
        }
    }
    if (content.find_first_of(",\"\r\n") == std::string::npos) {
        return content;
    }
    std::string quoted = "\"";
    for (const char c : content) {
        if (c == '"') {
            quoted += '"';
        }
        quoted += c;
    }
    return quoted + '"';
}

}  // namespace paleproof::report
