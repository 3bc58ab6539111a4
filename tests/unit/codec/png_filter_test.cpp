// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/png_filter.h"

#include <doctest/doctest.h>

#include <cstdint>
#include <cstdlib>
#include <vector>

#include "support/pictures.h"

using namespace paleproof;
using codec::PngFilter;

namespace {

using Row = std::vector<std::uint8_t>;

/// PNG specification, third edition, 9.2 and 9.4, word for word.
int predictor(unsigned type, int a, int b, int c) {
    if (type == 4) {
        const int p = a + b - c;
        const int pa = std::abs(p - a);
        const int pb = std::abs(p - b);
        const int pc = std::abs(p - c);
        return pa <= pb && pa <= pc ? a : pb <= pc ? b : c;
    }
    return type == 1 ? a : type == 2 ? b : type == 3 ? (a + b) / 2 : 0;
}

Row undone(unsigned type, const Row& in, const Row& above, std::size_t channels) {
    Row out(in.size());
    for (std::size_t i = 0; i < in.size(); ++i) {
        const int a = i >= channels ? out[i - channels] : 0;
        const int c = i >= channels ? above[i - channels] : 0;
        out[i] = static_cast<std::uint8_t>(in[i] + predictor(type, a, above[i], c));
    }
    return out;
}

Row random_row(test::Dice& dice, std::size_t count, int spread) {
    Row row(count);
    for (std::uint8_t& byte : row) {
        byte = static_cast<std::uint8_t>(128 + dice.between(-spread, spread));
    }
    return row;
}

}  // namespace

TEST_CASE("row filters are undone as the PNG specification defines them") {
    test::Dice dice(3);
    for (std::size_t channels = 1; channels <= 4; ++channels) {
        for (const std::size_t width : {1UL, 2UL, 5UL, 15UL, 16UL, 17UL, 31UL, 32UL, 33UL, 100UL}) {
            // Small spreads make ties of the Paeth predictor common, large ones wrap around.
            for (const int spread : {1, 3, 20, 128}) {
                const Row in = random_row(dice, width * channels, spread);
                const Row above = random_row(dice, width * channels, spread);
                for (unsigned type = 0; type <= 4; ++type) {
                    CAPTURE(channels);
                    CAPTURE(width);
                    CAPTURE(type);
                    const Row want = undone(type, in, above, channels);
                    Row out(in.size());
                    REQUIRE(codec::unfilter(type, in.data(), above.data(), out.data(), in.size(),
                                            channels));
                    REQUIRE(out == want);
                    Row in_place = in;
                    REQUIRE(codec::unfilter(type, in_place.data(), above.data(), in_place.data(),
                                            in.size(), channels));
                    REQUIRE(in_place == want);
                }
            }
        }
    }
}

TEST_CASE("a filter type that PNG does not have is refused") {
    Row row(4);
    for (const unsigned type : {5U, 6U, 128U, 255U}) {
        CHECK_FALSE(codec::unfilter(type, row.data(), row.data(), row.data(), 4, 4));
    }
}

TEST_CASE("filtering is the inverse of unfiltering, and its sum is of signed magnitudes") {
    test::Dice dice(4);
    for (const std::size_t channels : {1UL, 3UL}) {
        for (const std::size_t width : {1UL, 2UL, 15UL, 16UL, 17UL, 50UL}) {
            const Row row = random_row(dice, width * channels, 100);
            const Row above = random_row(dice, width * channels, 100);
            for (unsigned type = 0; type <= 4; ++type) {
                Row filtered(row.size());
                const std::uint64_t sum =
                    codec::apply_filter(static_cast<PngFilter>(type), row.data(), above.data(),
                                        filtered.data(), row.size(), channels);
                CHECK(undone(type, filtered, above, channels) == row);
                std::uint64_t want = 0;
                for (const std::uint8_t byte : filtered) {
                    want += static_cast<std::uint64_t>(byte < 128 ? byte : 256 - byte);
                }
                CHECK(sum == want);
            }
        }
    }
}
