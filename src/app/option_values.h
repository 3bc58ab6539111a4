// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Values of options: from the text of a command line or job file, and as TOML.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "core/ink.h"
#include "core/units.h"
#include "plan/twins.h"

namespace paleproof::app {

/// Throws Error{range}: "key: expected ..., got '...'", and a hint like "; did you mean ...?".
[[noreturn]] void refuse(const char* key, const std::string& expected, const std::string& found,
                         const std::string& hint = {});

/// The parsers throw the same for what they cannot read.
[[nodiscard]] double number(const std::string& text, const char* key, double lowest, double highest,
                            const char* unit);
/// The text itself, which is not to be blank.
[[nodiscard]] std::string visible(const std::string& text, const char* key, const char* expected);
[[nodiscard]] Mm length_within(const std::string& text, const char* key, Mm highest);
/// "#b03030=0.25"
[[nodiscard]] plan::GrayPin pin(const std::string& text);
/// "k:19.90/480": inks, price, rated pages; "k:/480" without a price.
[[nodiscard]] Cartridge cartridge(const std::string& text);

/// The parts of a list between commas, as the command line has it: "a4,letter"; and back.
[[nodiscard]] std::vector<std::string> split_list(const std::string& text);
[[nodiscard]] std::string joined(const std::vector<std::string>& parts);

/// A basic string of TOML 1.0, control characters as \u00XX.
[[nodiscard]] std::string in_quotes(std::string_view text);
[[nodiscard]] std::string length_text(Mm length);    ///< "\"3mm\""
[[nodiscard]] std::string points_text(double size);  ///< "\"7pt\""
[[nodiscard]] std::string decimal(double value);     ///< "0.5", at most two digits
[[nodiscard]] std::string share_text(double share);  ///< "\"12%\""
[[nodiscard]] std::string cartridge_text(const Cartridge& cartridge);

}  // namespace paleproof::app
