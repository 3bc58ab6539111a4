// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string>

#include "app/make.h"

namespace paleproof::app {

/// What a person needs to know at the end of a run: what was made and where, ink saved, what to fix
/// first, the next step. Plain text without color.
[[nodiscard]] std::string make_summary(const MadeEdition& made, const Job& job);
/// `source` as the person typed it.
[[nodiscard]] std::string check_summary(const MadeEdition& checked, const std::string& source);
[[nodiscard]] std::string sheets_summary(const ImposedAgain& imposed, const Job& job);

}  // namespace paleproof::app
