// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// How libFuzzer changes a PNG: as it does by itself, then mostly with the checksums made right.
#include <cstddef>

#include "png_checksums.h"

extern "C" std::size_t LLVMFuzzerMutate(std::uint8_t* data, std::size_t size, std::size_t most);
extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size,
                                               std::size_t most, unsigned seed);

extern "C" std::size_t LLVMFuzzerCustomMutator(std::uint8_t* data, std::size_t size,
                                               std::size_t most, unsigned seed) {
    const std::size_t changed = LLVMFuzzerMutate(data, size, most);
    if (seed % 8 != 0) paleproof::fuzz::mend_png_checksums({data, changed});
    return changed;
}
