// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <set>
#include <span>
#include <string>

namespace paleproof::app {

/// Hands out names for faces that are unique in the deck, also where the file system ignores case,
/// and fit for a file name everywhere.
class FaceNames {
  public:
    /// `wanted` with characters that file systems refuse turned into '-', without leading dots, cut
    /// to 120 bytes at a character, "face" when nothing is left; with "-2", "-3", ... when taken.
    [[nodiscard]] std::string unique(const std::string& wanted);

  private:
    std::set<std::string> taken_;  // in lower case (ASCII)
};

/// Where the proof of a face lies in the folder of its edition: "faces/NAME.png".
[[nodiscard]] std::string proof_file(const std::string& name);

/// The first three of some names and how many more there are: "moth, jar, pond and 2 more".
[[nodiscard]] std::string some_names(std::span<const std::string> names);

}  // namespace paleproof::app
