// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>

namespace paleproof::app {

/// ".png" for "Moth.PNG": the ending of a file's name in lower case.
[[nodiscard]] std::string lower_ending(const std::filesystem::path& file);

/// Whether a file's ending is one of a face: .png, .jpg or .jpeg, in any case.
[[nodiscard]] bool has_face_ending(const std::filesystem::path& file);

}  // namespace paleproof::app
