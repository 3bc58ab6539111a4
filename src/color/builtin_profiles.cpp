// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/builtin_profiles.h"

// The assembler takes the files in as they are: quick to build and the same for g++ and clang.
// PALEPROOF_ICC is the folder of the profiles, PALEPROOF_INKS that of the tables made of them.
// clang-format off
#define PALEPROOF_EMBED(symbol, file)                        \
    __asm__(".section .rodata\n"                             \
            ".balign 16\n"                                   \
            ".globl " #symbol "\n"                           \
            #symbol ":\n"                                    \
            ".incbin \"" file "\"\n"                         \
            ".globl " #symbol "_end\n"                       \
            #symbol "_end:\n"                                \
            ".byte 0\n"                                      \
            ".previous\n")
// clang-format on

PALEPROOF_EMBED(paleproof_uncoated_icc, PALEPROOF_ICC "/uncoated.icc");
PALEPROOF_EMBED(paleproof_coated_icc, PALEPROOF_ICC "/coated.icc");
PALEPROOF_EMBED(paleproof_uncoated_inks, PALEPROOF_INKS "/uncoated.inks");
PALEPROOF_EMBED(paleproof_coated_inks, PALEPROOF_INKS "/coated.inks");

extern "C" {
extern const std::uint8_t paleproof_uncoated_icc[];
extern const std::uint8_t paleproof_uncoated_icc_end[];
extern const std::uint8_t paleproof_coated_icc[];
extern const std::uint8_t paleproof_coated_icc_end[];
extern const std::uint64_t paleproof_uncoated_inks[];
extern const std::uint64_t paleproof_uncoated_inks_end[];
extern const std::uint64_t paleproof_coated_inks[];
extern const std::uint64_t paleproof_coated_inks_end[];
}

namespace paleproof::color {

std::span<const std::uint8_t> uncoated_profile() {
    return {paleproof_uncoated_icc, paleproof_uncoated_icc_end};
}

std::span<const std::uint8_t> coated_profile() {
    return {paleproof_coated_icc, paleproof_coated_icc_end};
}

std::span<const std::uint64_t> uncoated_inks() {
    return {paleproof_uncoated_inks, paleproof_uncoated_inks_end};
}

std::span<const std::uint64_t> coated_inks() {
    return {paleproof_coated_inks, paleproof_coated_inks_end};
}

}  // namespace paleproof::color
