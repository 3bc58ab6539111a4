// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>
#include <string>
#include <vector>

namespace paleproof::app {

/// How a new edition takes the place of the old one, so that no moment at which the run is killed
/// leaves a mixture of both:
///
///  1. All files of the new edition are written into a hidden folder. A kill leaves the old
///  edition.
///  2. sealed(): a list of what is to be done is added, and one rename gives the folder another
///     name. From here on the new edition counts.
///  3. put_in_place(): the files are renamed to where they belong, by a small process of its own
///     that a signal to the run does not reach. Should it be killed as well, or the machine stop,
///     the sealed folder and its list are still there: the next run does what is left, and
///     file_of_edition() finds each file meanwhile.

/// A name that an edition may hold: relative, and not upwards.
[[nodiscard]] bool stays_inside(const std::string& name);

/// What is to be done with the files of an edition, by their names relative to its folder.
struct SwitchList {
    std::vector<std::string> put;     ///< in this order; those that tell of the others come last
    std::vector<std::string> remove;  ///< of the old edition, where they are still there
};

/// Checks that each file can be put in place, then seals `staging`, which lies in `folder` and
/// holds all of `list.put`. Error{file}, and nothing is changed, when something is in the way.
void seal(const std::filesystem::path& folder, const std::filesystem::path& staging,
          const SwitchList& list);

/// Puts the sealed edition in `folder` in place, as far as it is not yet; nothing when there is
/// none. Error{file} when the system refuses; what is left is then done the next time.
void put_in_place(const std::filesystem::path& folder);

/// Where a file of the edition in `folder` lies now.
[[nodiscard]] std::filesystem::path file_of_edition(const std::filesystem::path& folder,
                                                    const std::string& name);

}  // namespace paleproof::app
