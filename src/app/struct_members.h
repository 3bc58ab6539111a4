// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <type_traits>
#include <utility>

namespace paleproof::app {

/// Stands for a value of any type when the members of an aggregate are counted; never called.
struct AnyValue {
    template <class T>
    operator T() const;
};

inline constexpr std::size_t most_members = 40;

template <class T, std::size_t... Index>
constexpr bool takes_values(std::index_sequence<Index...>) {
    return requires { T{(static_cast<void>(Index), AnyValue{})...}; };
}

/// How many members an aggregate has: the most values that can initialize it.
template <class T, std::size_t count = most_members>
constexpr std::size_t member_count() {
    static_assert(std::is_aggregate_v<T>, "expected a plain struct");
    if constexpr (count == 0 || takes_values<T>(std::make_index_sequence<count>{})) {
        return count;
    } else {
        return member_count<T, count - 1>();
    }
}

/// Calls `each(member)` for all members of a plain struct, in order. A struct that gets a new
/// member needs no change here: what is written and hashed with it follows.
template <class T, class Each>
void for_each_member(T& value, const Each& each) {
    constexpr std::size_t count = member_count<std::remove_const_t<T>>();
    const auto all = [&each](auto&... members) { (each(members), ...); };
    if constexpr (count == 0) {
    } else if constexpr (count == 1) {
        auto& [m1] = value;
        all(m1);
    } else if constexpr (count == 2) {
        auto& [m1, m2] = value;
        all(m1, m2);
    } else if constexpr (count == 3) {
        auto& [m1, m2, m3] = value;
        all(m1, m2, m3);
    } else if constexpr (count == 4) {
        auto& [m1, m2, m3, m4] = value;
        all(m1, m2, m3, m4);
    } else if constexpr (count == 5) {
        auto& [m1, m2, m3, m4, m5] = value;
        all(m1, m2, m3, m4, m5);
    } else if constexpr (count == 6) {
        auto& [m1, m2, m3, m4, m5, m6] = value;
        all(m1, m2, m3, m4, m5, m6);
    } else if constexpr (count == 7) {
        auto& [m1, m2, m3, m4, m5, m6, m7] = value;
        all(m1, m2, m3, m4, m5, m6, m7);
    } else if constexpr (count == 8) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8);
    } else if constexpr (count == 9) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9);
    } else if constexpr (count == 10) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10);
    } else if constexpr (count == 11) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11);
    } else if constexpr (count == 12) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12);
    } else if constexpr (count == 13) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13);
    } else if constexpr (count == 14) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14);
    } else if constexpr (count == 15) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15);
    } else if constexpr (count == 16) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16);
    } else if constexpr (count == 17) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17);
    } else if constexpr (count == 18) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18] =
            value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18);
    } else if constexpr (count == 19) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18,
               m19] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19);
    } else if constexpr (count == 20) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20);
    } else if constexpr (count == 21) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21);
    } else if constexpr (count == 22) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22);
    } else if constexpr (count == 23) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23);
    } else if constexpr (count == 24) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24);
    } else if constexpr (count == 25) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25);
    } else if constexpr (count == 26) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26);
    } else if constexpr (count == 27) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27);
    } else if constexpr (count == 28) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28);
    } else if constexpr (count == 29) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29);
    } else if constexpr (count == 30) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30);
    } else if constexpr (count == 31) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31);
    } else if constexpr (count == 32) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32);
    } else if constexpr (count == 33) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33);
    } else if constexpr (count == 34) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34);
    } else if constexpr (count == 35) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35] =
            value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35);
    } else if constexpr (count == 36) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35,
               m36] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36);
    } else if constexpr (count == 37) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
               m37] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
            m37);
    } else if constexpr (count == 38) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
               m37, m38] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
            m37, m38);
    } else if constexpr (count == 39) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
               m37, m38, m39] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
            m37, m38, m39);
    } else if constexpr (count == 40) {
        auto& [m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
               m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
               m37, m38, m39, m40] = value;
        all(m1, m2, m3, m4, m5, m6, m7, m8, m9, m10, m11, m12, m13, m14, m15, m16, m17, m18, m19,
            m20, m21, m22, m23, m24, m25, m26, m27, m28, m29, m30, m31, m32, m33, m34, m35, m36,
            m37, m38, m39, m40);
    }
}

}  // namespace paleproof::app
