// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/jpeg_segments.h"

#include <algorithm>
#include <array>
#include <cstddef>
#include <string_view>

namespace paleproof::codec {
namespace {

bool begins_with(std::span<const std::uint8_t> data, std::string_view text) {
    return data.size() >= text.size() &&
           std::equal(text.begin(), text.end(), data.begin(),
                      [](char a, std::uint8_t b) { return static_cast<std::uint8_t>(a) == b; });
}

constexpr std::string_view exif_head{"Exif\0\0", 6};
constexpr std::string_view icc_head{"ICC_PROFILE\0", 12};

}  // namespace

std::span<const std::uint8_t> exif_block(std::span<const JpegSegment> segments) {
    for (const JpegSegment& segment : segments) {
        if (segment.app == 1 && begins_with(segment.data, exif_head)) {
            return segment.data.subspan(exif_head.size());
        }
    }
    return {};
}

std::vector<std::uint8_t> icc_profile(std::span<const JpegSegment> segments, bool& found,
                                      std::vector<std::string>& notes) {
    constexpr std::size_t part_head = icc_head.size() + 2;  // number of the part, count of parts
    std::array<std::span<const std::uint8_t>, 256> parts{};
    std::size_t count = 0;
    std::size_t seen = 0;
    bool consistent = true;
    found = false;
    for (const JpegSegment& segment : segments) {
        if (segment.app != 2 || !begins_with(segment.data, icc_head)) {
            continue;
        }
        found = true;
        if (segment.data.size() <= part_head) {
            consistent = false;
            continue;
        }
        const std::size_t number = segment.data[icc_head.size()];
        const std::size_t of = segment.data[icc_head.size() + 1];
        consistent = consistent && number >= 1 && number <= of && (count == 0 || of == count) &&
                     parts[number].empty();
        count = of;
        parts[number] = segment.data.subspan(part_head);
        ++seen;
    }
    if (!found) {
        return {};
    }
    if (!consistent || seen != count) {
        notes.push_back("color profile passed over: expected " + std::to_string(count) +
                        " numbered parts, found " + std::to_string(seen) +
                        (consistent ? "" : " that do not fit together"));
        return {};
    }
    std::vector<std::uint8_t> profile;
    for (std::size_t i = 1; i <= count; ++i) {
        profile.insert(profile.end(), parts[i].begin(), parts[i].end());
    }
    return profile;
}

}  // namespace paleproof::codec
