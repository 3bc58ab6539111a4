// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/face_names.h"

#include <algorithm>
#include <cstddef>
#include <string_view>

#include "core/format.h"

namespace paleproof::app {
namespace {

constexpr std::size_t longest = 120;

std::string cleaned(const std::string& wanted) {
    std::string text;
    for (const char c : wanted) {
        const bool control = static_cast<unsigned char>(c) < 0x20 || c == 0x7f;
        const bool refused = std::string_view(R"(/\:*?"<>|)").find(c) != std::string_view::npos;
        text += control || refused ? '-' : c;
    }
    const std::size_t start = text.find_first_not_of(". ");
    text.erase(0, std::min(start, text.size()));
    if (text.size() > longest) {
        std::size_t end = longest;
        // A UTF-8 character is not cut in half: continuation bytes are 10xxxxxx.
        while (end > 0 && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) --end;
        text.resize(end);
    }
    while (!text.empty() && (text.back() == ' ' || text.back() == '.')) text.pop_back();
    return text.empty() ? "face" : text;
}

}  // namespace

std::string FaceNames::unique(const std::string& wanted) {
    const std::string base = cleaned(wanted);
    std::string name = base;
    for (int number = 2; !taken_.insert(lower_case(name)).second; ++number) {
        name = base + "-" + std::to_string(number);
    }
    return name;
}

std::string proof_file(const std::string& name) { return "faces/" + name + ".png"; }

std::string some_names(std::span<const std::string> names) {
    constexpr std::size_t most = 3;
    std::string text;
    for (std::size_t i = 0; i < std::min(names.size(), most); ++i) {
        text += (i == 0 ? "" : ", ") + names[i];
    }
    if (names.size() > most) text += " and " + std::to_string(names.size() - most) + " more";
    return text;
}

}  // namespace paleproof::app
