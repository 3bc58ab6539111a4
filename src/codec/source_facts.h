// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "codec/read_face.h"
#include "color/source_profile.h"

namespace paleproof::codec {

/// Pixels per inch from what a file states for both directions, by the rules of read_face(). A note
/// says why a stated value was passed over.
[[nodiscard]] Ppi usable_ppi(double x_ppi, double y_ppi, std::vector<std::string>& notes);

/// Error{range} when a picture of that size is larger than allowed; Error{format} when it is empty.
void check_size(std::uint64_t width, std::uint64_t height, const ReadLimits& limits,
                const std::string& subject);

/// The conversion of an embedded profile, or nothing and a note when it cannot be used.
[[nodiscard]] std::optional<color::ToSrgb> profile_conversion(std::span<const std::uint8_t> icc,
                                                              color::SourceSpace space,
                                                              std::vector<std::string>& notes);

}  // namespace paleproof::codec
