// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "app/job.h"
#include "color/separation.h"

namespace paleproof::app {

/// Whether a separation is the file of a profile, and no word: .icc or .icm, in any case.
[[nodiscard]] bool names_profile(const std::string& separation);

/// The separation that the job names: uncoated, coated, black, or an ICC profile in a file.
/// Error{range} for another word, Error{file} or Error{format} for a profile that cannot be used.
[[nodiscard]] color::Separation separation_of(const Job& job);

/// How reports call it: the word, or the profile's file name without its folder.
[[nodiscard]] std::string separation_name(const Job& job);

}  // namespace paleproof::app
