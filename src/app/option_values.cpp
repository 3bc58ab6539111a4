// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/option_values.h"

#include <array>
#include <charconv>
#include <cstdint>
#include <string_view>
#include <system_error>

#include "core/error.h"
#include "core/format.h"
#include "core/utf8.h"
#include "plan/twin_report.h"

namespace paleproof::app {

void refuse(const char* key, const std::string& expected, const std::string& found,
            const std::string& hint) {
    throw Error(ErrorKind::range, key, "expected " + expected + ", got '" + found + "'" + hint);
}

double number(const std::string& text, const char* key, double lowest, double highest,
              const char* unit) {
    double value = 0.0;
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (fault != std::errc{} || end != text.data() + text.size() || !(value >= lowest) ||
        !(value <= highest)) {
        refuse(key,
               "a number from " + fixed(lowest, 0) + " to " + fixed(highest, 0) + " (" + unit + ")",
               text);
    }
    return value;
}

std::string visible(const std::string& text, const char* key, const char* expected) {
    if (one_line(text).find_first_not_of(' ') == std::string::npos) refuse(key, expected, text);
    return text;
}

Mm length_within(const std::string& text, const char* key, Mm highest) {
    const Mm length = parse_length(text, key);
    if (length > highest) {
        refuse(key, "at most " + millimeters(highest), text);
    }
    return length;
}

std::vector<std::string> split_list(const std::string& text) {
    std::vector<std::string> parts{""};
    for (const char c : text) {
        if (c == ',') {
            parts.emplace_back();
        } else {
            parts.back() += c;
        }
    }
    return parts;
}

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) text += (text.empty() ? "" : ",") + part;
    return text;
}

std::string in_quotes(std::string_view text) {
    std::string result = "\"";
    for (const char c : text) {
        const auto code = static_cast<unsigned char>(c);
        if (code < 0x20 || code == 0x7F) {  // no TOML text holds them as they are
            result += "\\u" + upper_hex(code, 4);
            continue;
        }
        if (c == '"' || c == '\\') result += '\\';
        result += c;
    }
    return result + '"';
}

std::string length_text(Mm length) {
    std::string text = millimeters(length);
    std::erase(text, ' ');
    return in_quotes(text);
}

std::string points_text(double size) {
    std::string text = fixed(size, 2);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return in_quotes(text + "pt");
}

std::string decimal(double value) {
    std::string text = fixed(value, 2);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text += '0';
    return text;
}

std::string share_text(double share) {
    std::string text = fixed(share * 100.0, 2);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text.pop_back();
    return in_quotes(text + "%");
}

/// "#b03030=0.25"
plan::GrayPin pin(const std::string& text) {
    const auto bad = [&] {
        refuse("pins", "a color and its gray like #b03030=0.25 (0 black to 1 paper)", text);
    };
    const std::size_t equals = text.find('=');
    if (equals != 7 || text.front() != '#') bad();
    std::array<std::uint8_t, 3> rgb{};
    for (std::size_t i = 0; i < 3; ++i) {
        const char* begin = text.data() + 1 + 2 * i;
        const auto [end, fault] = std::from_chars(begin, begin + 2, rgb[i], 16);
        if (fault != std::errc{} || end != begin + 2) bad();
    }
    return {{rgb[0], rgb[1], rgb[2]}, number(text.substr(8), "pins", 0, 1, "0 black to 1 paper")};
}

/// "k:19.90/480": inks, price, rated pages; "k:/480" without a price.
Cartridge cartridge(const std::string& text) {
    const auto bad = [&] {
        refuse("cartridges",
               "INKS:PRICE/PAGES like k:19.90/480 or cmy:24/300 (price may be left out)", text,
               lower_case(text) == text ? "" : "; inks are small letters: c, m, y, k");
    };
    const std::size_t colon = text.find(':');
    const std::size_t slash = text.find('/', colon == std::string::npos ? 0 : colon);
    if (colon == std::string::npos || slash == std::string::npos || colon == 0) bad();
    Cartridge result;
    result.inks = text.substr(0, colon);
    for (std::size_t i = 0; i < result.inks.size(); ++i) {
        const char ink = result.inks[i];
        if (std::string_view("cmyk").find(ink) == std::string_view::npos ||
            result.inks.find(ink) != i) {
            bad();
        }
    }
    const std::string price = text.substr(colon + 1, slash - colon - 1);
    if (!price.empty()) result.price = number(price, "cartridges", 0, 100000, "price");
    result.pages = number(text.substr(slash + 1), "cartridges", 1, 1000000, "rated pages");
    return result;
}

std::string cartridge_text(const Cartridge& cartridge) {
    std::string text = cartridge.inks + ":";
    if (cartridge.price > 0.0) text += fixed(cartridge.price, 2);
    return in_quotes(text + "/" + fixed(cartridge.pages, 0));
}

}  // namespace paleproof::app
