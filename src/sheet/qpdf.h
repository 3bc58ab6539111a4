// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

// qpdf's headers. Include this one before all others.
//
// qpdf/JSON.hh (11.3) has a class with a vector of JSON inside of JSON. In C++20 the destructor of
// a vector is constexpr, clang before 15 instantiates such functions at once, while JSON is not
// complete, and stops. Declared as a special one, it waits for its body below.
#if defined(__clang__) && __clang_major__ < 15
#include <memory>
#include <vector>
class JSON;
template <>
constexpr std::vector<JSON, std::allocator<JSON>>::~vector<JSON, std::allocator<JSON>>() noexcept;
#endif

#include <qpdf/QPDF.hh>
#include <qpdf/QPDFObjectHandle.hh>
#include <qpdf/QPDFWriter.hh>

#if defined(__clang__) && __clang_major__ < 15
template <>
constexpr std::vector<JSON, std::allocator<JSON>>::~vector<JSON, std::allocator<JSON>>() noexcept {
    std::destroy(begin(), end());
}
#endif
