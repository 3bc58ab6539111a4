// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// make_ink_table PROFILE TABLE: the ink table of a CMYK profile, relative colorimetric, as
// builtin_tables.cpp takes it in. Part of the build: making it anew in every run took a tenth of a
// second, in which all threads waited.
#include <cstdint>
#include <exception>
#include <fstream>
#include <functional>
#include <iostream>
#include <iterator>
#include <memory>
#include <span>
#include <stdexcept>
#include <string>
#include <vector>

#include "color/ink_table.h"
#include "color/profile_inks.h"

int main(int count, char** arguments) {
    using namespace paleproof::color;
    try {
        if (count != 3) throw std::runtime_error("usage: make_ink_table PROFILE TABLE");
        std::ifstream file(arguments[1], std::ios::binary);
        const std::vector<std::uint8_t> icc{std::istreambuf_iterator<char>(file), {}};
        auto open = std::make_shared<OpenProfile>();
        open->profile = lcms::open_profile(open->context, icc, arguments[1]);
        const ProfileInks inks(open, true, lcms::Intent::relative, arguments[1]);
        const InkTable table(std::cref(inks));
        const std::span<const std::uint64_t> nodes = table.values();
        std::ofstream out(arguments[2], std::ios::binary | std::ios::trunc);
        out.write(reinterpret_cast<const char*>(nodes.data()),
                  static_cast<std::streamsize>(nodes.size_bytes()));
        out.close();
        if (!out) throw std::runtime_error(std::string(arguments[2]) + ": cannot be written");
    } catch (const std::exception& fault) {
        std::cerr << "make_ink_table: " << fault.what() << '\n';
        return 1;
    }
    return 0;
}
