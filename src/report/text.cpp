// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/text.h"

#include <algorithm>
#include <cstddef>
#include <cstdint>

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

std::string base64(std::string_view bytes) {
    constexpr std::string_view digits =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    std::string result;
    result.reserve((bytes.size() + 2) / 3 * 4);
    for (std::size_t i = 0; i < bytes.size(); i += 3) {
        const std::size_t count = std::min<std::size_t>(3, bytes.size() - i);
        std::uint32_t group = 0;
        for (std::size_t j = 0; j < 3; ++j) {
            group <<= 8U;
            if (j < count) {
                group |= static_cast<unsigned char>(bytes[i + j]);
            }
        }
        for (std::size_t j = 0; j < 4; ++j) {
            result += j <= count ? digits[(group >> (18U - 6U * j)) & 0x3FU] : '=';
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
