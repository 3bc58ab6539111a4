// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace paleproof::app {

/// What a person may have meant to be in the deck of a folder and is not: pictures in the folders
/// below it, and pictures that are no PNG or JPEG. One clause each, in the order of their names.
/// The folders of editions are no part of a deck.
[[nodiscard]] std::vector<std::string> left_out_of(const std::filesystem::path& folder);

/// "; did you mean 'moth.png'?" when a file of nearly that name lies beside `file`, else "".
[[nodiscard]] std::string near_file(const std::filesystem::path& file);

}  // namespace paleproof::app
