// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <filesystem>

#include "app/job.h"
#include "core/deck.h"

namespace paleproof::app {

/// What SOURCE is: the job file's settings are taken into `job`, and job.faces names the folder or
/// deck list. Error{file} when there is nothing of that name or it is none of the three.
void open_source(const std::filesystem::path& source, Job& job);

/// The faces in a folder, in natural order (2 before 10): every .png, .jpg and .jpeg, whatever the
/// case of its ending; hidden files and folders below are left out. Error{file} when there is none.
[[nodiscard]] Deck deck_of_folder(const std::filesystem::path& folder);

/// The faces of a deck list (CSV, RFC 4180; also with semicolons, as spreadsheets write it where
/// the comma is the decimal mark). Columns by name, any order: face (path, relative to the list),
/// name, copies (0 to 10000), back (path). A back without a row of its own becomes a face with no
/// copies. Names are made unique and fit for file names.
/// Errors  Error{file} unreadable; Error{format} for a missing face column, an unknown column (with
///         the nearest known one), a row without a face or with a wrong count, naming the line.
[[nodiscard]] Deck deck_of_list(const std::filesystem::path& list);

/// The deck that job.faces names; its title is the job's, else the name of the folder or list
/// (of the folder around it for a list called deck.csv).
[[nodiscard]] Deck read_deck(const Job& job);

}  // namespace paleproof::app
