// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sheet/paper.h"

#include <array>
#include <cmath>
#include <utility>
#include <vector>

#include "core/error.h"
#include "core/format.h"

namespace paleproof::sheet {
namespace {

struct NamedPaper {
    std::string_view name;
    SizeMm size;
};

/// A4 and A3: ISO 216. Letter and Tabloid: ANSI A and B of ANSI/ASME Y14.1. Legal: common practice,
/// no standard behind it.
constexpr std::array<NamedPaper, 5> papers{{
    {"Letter", {from_inches(8.5), from_inches(11.0)}},
    {"Legal", {from_inches(8.5), from_inches(14.0)}},
    {"Tabloid", {from_inches(11.0), from_inches(17.0)}},
    {"A4", {{210.0}, {297.0}}},
    {"A3", {{297.0}, {420.0}}},
}};

constexpr Mm shortest{50.0};
constexpr Mm longest{2000.0};

std::string trimmed(std::string text) {
    text.erase(0, text.find_first_not_of(' '));
    text.erase(text.find_last_not_of(' ') + 1);
    return text;
}

[[noreturn]] void refuse(std::string_view text, std::string_view what) {
    std::vector<std::string> lowered;
    for (const NamedPaper& paper : papers) lowered.push_back(lower_case(paper.name));
    const std::vector<std::string_view> names(lowered.begin(), lowered.end());
    throw Error(ErrorKind::range, std::string(what),
                "expected letter, legal, tabloid, a4, a3 or a measure like 200x300mm, got '" +
                    std::string(text) + "'" + did_you_mean(lower_case(text), names));
}

std::string measure(SizeMm size) {
    std::string width = millimeters(size.width);
    width.erase(width.find(' '));
    return width + " x " + millimeters(size.height);
}

}  // namespace

Paper parse_paper(std::string_view text, std::string_view what) {
    const std::string body = trimmed(lower_case(text));
    for (const NamedPaper& paper : papers) {
        if (lower_case(paper.name) == body) return {std::string(paper.name), paper.size};
    }
    const std::size_t cross = body.find('x');
    if (cross == std::string::npos || cross == 0 || body.front() < '0' || body.front() > '9') {
        refuse(text, what);
    }
    std::string first = trimmed(body.substr(0, cross));
    const std::string second = trimmed(body.substr(cross + 1));
    if (first.find_first_not_of("0123456789.") == std::string::npos) {
        const std::size_t unit = second.find_first_not_of("0123456789. ");
        if (unit == std::string::npos) refuse(text, what);
        first += second.substr(unit);
    }
    SizeMm size{parse_length(first, what), parse_length(second, what)};
    for (const Mm side : {size.width, size.height}) {
        if (side < shortest || side > longest) {
            throw Error(ErrorKind::range, std::string(what),
                        "expected a paper with sides of 50 mm to 2000 mm, got " + measure(size));
        }
    }
    if (size.width > size.height) std::swap(size.width, size.height);
    for (const NamedPaper& paper : papers) {
        if (std::abs(paper.size.width.value - size.width.value) < 0.005 &&
            std::abs(paper.size.height.value - size.height.value) < 0.005) {
            return {std::string(paper.name), paper.size};
        }
    }
    return {measure(size), size};
}

std::string paper_slug(const Paper& paper) {
    std::string slug = lower_case(paper.name);
    std::erase(slug, ' ');
    return slug;
}

}  // namespace paleproof::sheet
