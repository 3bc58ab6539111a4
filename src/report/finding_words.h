// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

#include "core/result.h"

namespace paleproof::report {

/// What was read in the line of text that a finding is about; "" when it is about none, or when
/// nothing was read.
[[nodiscard]] std::string_view words_of(const FaceResult& face, const Finding& finding);

}  // namespace paleproof::report
