// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <span>

namespace paleproof::fuzz {

/// Makes the checksums of all chunks of a PNG right, as far as there are whole chunks: what is
/// changed inside of a chunk then gets past its checksum. Other files stay as they are.
void mend_png_checksums(std::span<std::uint8_t> file);

}  // namespace paleproof::fuzz
