// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/card_size.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "core/error.h"
#include "core/format.h"

namespace paleproof {
namespace {

constexpr std::array<NamedSize, 13> sizes{{
    {"poker", {{63.5}, {88.9}}},
    {"poker-metric", {{63.0}, {88.0}}},
    {"bridge", {{57.15}, {88.9}}},
    {"tarot", {{70.0}, {120.0}}},
    {"mini-european", {{44.0}, {67.0}}},
    {"mini-american", {{41.0}, {63.0}}},
    {"half-poker", {{44.45}, {63.5}}},
    {"square", {{70.0}, {70.0}}},
    {"japanese", {{59.0}, {86.0}}},
    {"id-1", {{53.98}, {85.6}}},
    {"b8", {{62.0}, {88.0}}},
    {"business-american", {{50.8}, {88.9}}},
    {"business-european", {{55.0}, {85.0}}},
}};

constexpr Mm shortest{10.0};
constexpr Mm longest{500.0};

/// Two measures with an x between, the first of them a number at least.
bool is_measure(std::string_view text) {
    const std::size_t cross = text.find('x');
    return cross != std::string_view::npos && cross > 0 && cross + 1 < text.size() &&
           text.find('x', cross + 1) == std::string_view::npos && text.front() >= '0' &&
           text.front() <= '9';
}

std::string_view trimmed(std::string_view text) {
    while (!text.empty() && text.front() == ' ') text.remove_prefix(1);
    while (!text.empty() && text.back() == ' ') text.remove_suffix(1);
    return text;
}

}  // namespace

std::span<const NamedSize> named_sizes() { return sizes; }

SizeMm parse_size(std::string_view text, std::string_view what) {
    const std::string_view body = trimmed(text);
    for (const NamedSize& named : sizes) {
        if (named.name == body) {
            return named.size;
        }
    }
    const std::size_t cross = body.find('x');
    if (!is_measure(body)) {
        std::string meant = lower_case(body);
        std::ranges::replace(meant, '*', 'x');
        std::vector<std::string_view> names{meant};
        if (!is_measure(meant)) {
            names.clear();
            for (const NamedSize& named : sizes) names.push_back(named.name);
        }
        throw Error(ErrorKind::range, std::string(what),
                    "expected a card size like poker, 63x88mm or 2.5x3.5in, got '" +
                        std::string(body) + "'" + did_you_mean(body, names));
    }
    const std::string_view second = trimmed(body.substr(cross + 1));
    std::string first(trimmed(body.substr(0, cross)));
    if (first.find_first_not_of("0123456789.") == std::string::npos) {
        const std::size_t unit = second.find_first_not_of("0123456789. ");
        first += unit == std::string_view::npos ? std::string_view{} : second.substr(unit);
    }
    if (body.find_first_not_of("0123456789.x ") == std::string_view::npos) {
        throw Error(ErrorKind::range, std::string(what),
                    "expected a card size like poker, 63x88mm or 2.5x3.5in, got '" +
                        std::string(body) + "'; did you mean " + std::string(body) + "mm?");
    }
    const SizeMm size{parse_length(first, what), parse_length(second, what)};
    for (const Mm side : {size.width, size.height}) {
        if (side < shortest || side > longest) {
            throw Error(ErrorKind::range, std::string(what),
                        "expected sides of 10 mm to 500 mm, got " + millimeters(size.width) +
                            " x " + millimeters(size.height));
        }
    }
    return size;
}

std::string size_text(SizeMm size) {
    std::string measure = fixed(size.width.value, 1) + " x " + fixed(size.height.value, 1) + " mm";
    const auto same = [](Mm a, Mm b) { return std::abs(a.value - b.value) < 0.005; };
    for (const NamedSize& named : sizes) {
        if (same(size.width, named.size.width) && same(size.height, named.size.height)) {
            return std::string(named.name) + " (" + measure + ")";
        }
        if (same(size.width, named.size.height) && same(size.height, named.size.width)) {
            return std::string(named.name) + ", lying (" + measure + ")";
        }
    }
    return measure;
}

}  // namespace paleproof
