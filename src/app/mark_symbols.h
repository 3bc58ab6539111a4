// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <span>

#include "core/symbol.h"
#include "core/text_line.h"

namespace paleproof::app {

/// Whether most of a symbol lies in the box of a mark.
[[nodiscard]] bool holds(const TextLine& mark, const Symbol& symbol);

/// Whether the symbols in the box of a mark are all of it, from one end to the other. Of -2 the
/// sign is too small for a symbol, of x3 beside a frame one figure may touch it: these are more
/// than their symbols. False for lines.
[[nodiscard]] bool made_of_symbols(const TextLine& mark, std::span<const Symbol> symbols);

}  // namespace paleproof::app
