// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdlib>

namespace paleproof {

// Sanitizers watch every load; a second copy of each loop would only double their work.
#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)
#define PALEPROOF_WATCHED
#elif defined(__has_feature)
#if __has_feature(address_sanitizer) || __has_feature(thread_sanitizer)
#define PALEPROOF_WATCHED
#endif
#endif

#if defined(__x86_64__) && defined(__GNUC__) && !defined(PALEPROOF_WATCHED)
#define PALEPROOF_TWICE
#endif

#ifdef PALEPROOF_TWICE

/// Whether this processor has AVX2. PALEPROOF_PLAIN in the environment says no, for tests.
[[nodiscard]] inline bool has_wide_lanes() {
    static const bool wide =
        __builtin_cpu_supports("avx2") != 0 && std::getenv("PALEPROOF_PLAIN") == nullptr;
    return wide;
}

/// The body with all that it calls in line, compiled for AVX2. FMA is not among it: a product that
/// is not rounded before it is added would make other bytes than on a processor without.
template <class Body>
__attribute__((target("avx2"), flatten, noinline)) void run_wide(Body body) {
    body();
}

#endif

/// Runs a loop that the compiler turns into lanes: compiled twice, for any x86-64 and for AVX2; the
/// processor decides which is run. Both give the same bytes, as only the count of lanes differs.
///
/// For plain loops over arrays. What the body calls must be in sight of the compiler and small. It
/// captures by value: a store of bytes through a pointer may change what lies behind a reference, so
/// the compiler would have to read that again for every pixel.
template <class Body>
inline void wide(Body body) {
#ifdef PALEPROOF_TWICE
    if (has_wide_lanes()) {
        run_wide(body);
        return;
    }
#endif
    body();
}

}  // namespace paleproof
