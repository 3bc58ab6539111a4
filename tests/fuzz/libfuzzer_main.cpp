// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// One target for libFuzzer; PALEPROOF_FUZZ_TARGET names its function.
#include <cstddef>

#include "targets.h"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    paleproof::fuzz::PALEPROOF_FUZZ_TARGET({data, size});
    return 0;
}
