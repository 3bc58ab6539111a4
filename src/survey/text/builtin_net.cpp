// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/builtin_net.h"

// The assembler takes the file in as it is. PALEPROOF_TEXT_NET is its path.
// clang-format off
__asm__(".section .rodata\n"
        ".balign 16\n"
        ".globl paleproof_text_net\n"
        "paleproof_text_net:\n"
        ".incbin \"" PALEPROOF_TEXT_NET "\"\n"
        ".globl paleproof_text_net_end\n"
        "paleproof_text_net_end:\n"
        ".byte 0\n"
        ".previous\n");
// clang-format on

extern "C" {
extern const std::uint8_t paleproof_text_net[];
extern const std::uint8_t paleproof_text_net_end[];
}

namespace paleproof::survey {

std::span<const std::uint8_t> builtin_text_net() {
    return {paleproof_text_net, paleproof_text_net_end};
}

}  // namespace paleproof::survey
