// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/separations.h"

#include <array>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string_view>
#include <vector>

#include "app/endings.h"
#include "core/error.h"
#include "core/format.h"
#include "core/utf8.h"

namespace paleproof::app {

bool names_profile(const std::string& separation) {
    const std::string ending = lower_ending(separation);
    return ending == ".icc" || ending == ".icm";
}

color::Separation separation_of(const Job& job) {
    if (job.separation == "uncoated") return color::Separation::uncoated(job.intent);
    if (job.separation == "coated") return color::Separation::coated(job.intent);
    if (job.separation == "black") return color::Separation::black();
    if (!names_profile(job.separation)) {
        constexpr std::array<std::string_view, 3> builtin{"uncoated", "coated", "black"};
        throw Error(ErrorKind::range, "separation",
                    "expected uncoated, coated, black or a profile (.icc), got '" + job.separation +
                        "'" + did_you_mean(job.separation, builtin));
    }
    std::ifstream stream(job.separation, std::ios::binary);
    const std::vector<char> bytes{std::istreambuf_iterator<char>(stream),
                                  std::istreambuf_iterator<char>()};
    if (!stream || bytes.empty()) {
        throw Error(ErrorKind::file, job.separation, "expected an ICC profile; it cannot be read");
    }
    const std::vector<std::uint8_t> profile(bytes.begin(), bytes.end());
    return color::Separation::from_profile(profile, job.separation, job.intent);
}

std::string separation_name(const Job& job) {
    return names_profile(job.separation)
               ? one_line(std::filesystem::path(job.separation).filename().string())
               : job.separation;
}

}  // namespace paleproof::app
