// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/builtin_profiles.h"

#include <cstddef>

// The assembler takes the files in as they are: quick to build and the same for g++ and clang.
// PALEPROOF_ICC is the folder of the files.
// clang-format off
#define PALEPROOF_EMBED(symbol, file)                        \
    __asm__(".section .rodata\n"                             \
            ".balign 16\n"                                   \
            ".globl " #symbol "\n"                           \
            #symbol ":\n"                                    \
            ".incbin \"" PALEPROOF_ICC "/" file "\"\n"       \
            ".globl " #symbol "_end\n"                       \
            #symbol "_end:\n"                                \
            ".byte 0\n"                                      \
            ".previous\n")
// clang-format on

PALEPROOF_EMBED(paleproof_uncoated_icc, "uncoated.icc");
PALEPROOF_EMBED(paleproof_coated_icc, "coated.icc");

extern "C" {
extern const std::uint8_t paleproof_uncoated_icc[];
extern const std::uint8_t paleproof_uncoated_icc_end[];
extern const std::uint8_t paleproof_coated_icc[];
extern const std::uint8_t paleproof_coated_icc_end[];
}

namespace paleproof::color {

std::span<const std::uint8_t> uncoated_profile() {
    return {paleproof_uncoated_icc, paleproof_uncoated_icc_end};
}

std::span<const std::uint8_t> coated_profile() {
    return {paleproof_coated_icc, paleproof_coated_icc_end};
}

}  // namespace paleproof::color
