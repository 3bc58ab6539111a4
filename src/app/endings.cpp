// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/endings.h"

#include "core/format.h"

namespace paleproof::app {

std::string lower_ending(const std::filesystem::path& file) {
    return lower_case(file.extension().string());
}

bool has_face_ending(const std::filesystem::path& file) {
    const std::string ending = lower_ending(file);
    return ending == ".png" || ending == ".jpg" || ending == ".jpeg";
}

}  // namespace paleproof::app
