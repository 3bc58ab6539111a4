// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/source_facts.h"

#include <algorithm>
#include <cmath>

#include "core/error.h"
#include "core/format.h"

namespace paleproof::codec {

Ppi usable_ppi(double x_ppi, double y_ppi, std::vector<std::string>& notes) {
    constexpr double lowest = 10.0;
    constexpr double highest = 12'000.0;
    constexpr double equal_within = 0.01;
    if (!(x_ppi > 0.0) || !(y_ppi > 0.0)) {
        return {};
    }
    if (std::abs(x_ppi - y_ppi) >= equal_within * std::max(x_ppi, y_ppi)) {
        notes.push_back("resolution passed over: expected square pixels, found " + fixed(x_ppi, 1) +
                        " x " + fixed(y_ppi, 1) + " ppi");
        return {};
    }
    const double ppi = x_ppi == y_ppi ? x_ppi : (x_ppi + y_ppi) / 2.0;
    if (ppi < lowest || ppi > highest) {
        notes.push_back("resolution passed over: expected 10 to 12000 ppi, found " + fixed(ppi, 1));
        return {};
    }
    return {ppi};
}

void check_size(std::uint64_t width, std::uint64_t height, const ReadLimits& limits,
                const std::string& subject) {
    const std::string found = std::to_string(width) + " x " + std::to_string(height) + " pixels";
    if (width == 0 || height == 0) {
        throw Error(ErrorKind::format, subject, "expected at least 1 x 1 pixels, found " + found);
    }
    const auto side = static_cast<std::uint64_t>(limits.max_side);
    if (width > side || height > side) {
        throw Error(
            ErrorKind::range, subject,
            "expected sides of at most " + std::to_string(side) + " pixels, found " + found);
    }
    if (width * height > limits.max_pixels) {
        throw Error(ErrorKind::range, subject,
                    "expected at most " + std::to_string(limits.max_pixels / 1'000'000) +
                        " megapixels, found " + found + "; make the picture smaller");
    }
}

std::optional<color::ToSrgb> profile_conversion(std::span<const std::uint8_t> icc,
                                                color::SourceSpace space,
                                                std::vector<std::string>& notes) {
    try {
        return color::ToSrgb::from_icc(icc, space);
    } catch (const Error& error) {
        if (error.kind() != ErrorKind::format && error.kind() != ErrorKind::unsupported) {
            throw;
        }
        notes.push_back("color profile passed over: " + error.detail());
        return std::nullopt;
    }
}

}  // namespace paleproof::codec
