// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Code tables: ITU-T T.4 (07/2003), tables 2 and 3a/3b; modes: ITU-T T.6 (11/1988), table 1.
#include "codec/group4.h"

#include <array>
#include <cstddef>
#include <cstdlib>
#include <string_view>
#include <utility>

#include "core/error.h"

namespace paleproof::codec {
namespace {

/// Codes as they stand in the recommendation, so that they can be compared with it by eye.
using Codes = std::array<std::string_view, 64>;

constexpr Codes white_terminating{
    "00110101", "000111",   "0111",     "1000",     "1011",     "1100",     "1110",     "1111",
    "10011",    "10100",    "00111",    "01000",    "001000",   "000011",   "110100",   "110101",
    "101010",   "101011",   "0100111",  "0001100",  "0001000",  "0010111",  "0000011",  "0000100",
    "0101000",  "0101011",  "0010011",  "0100100",  "0011000",  "00000010", "00000011", "00011010",
    "00011011", "00010010", "00010011", "00010100", "00010101", "00010110", "00010111", "00101000",
    "00101001", "00101010", "00101011", "00101100", "00101101", "00000100", "00000101", "00001010",
    "00001011", "01010010", "01010011", "01010100", "01010101", "00100100", "00100101", "01011000",
    "01011001", "01011010", "01011011", "01001010", "01001011", "00110010", "00110011", "00110100"};

constexpr Codes black_terminating{
    "0000110111",   "010",          "11",           "10",           "011",          "0011",
    "0010",         "00011",        "000101",       "000100",       "0000100",      "0000101",
    "0000111",      "00000100",     "00000111",     "000011000",    "0000010111",   "0000011000",
    "0000001000",   "00001100111",  "00001101000",  "00001101100",  "00000110111",  "00000101000",
    "00000010111",  "00000011000",  "000011001010", "000011001011", "000011001100", "000011001101",
    "000001101000", "000001101001", "000001101010", "000001101011", "000011010010", "000011010011",
    "000011010100", "000011010101", "000011010110", "000011010111", "000001101100", "000001101101",
    "000011011010", "000011011011", "000001010100", "000001010101", "000001010110", "000001010111",
    "000001100100", "000001100101", "000001010010", "000001010011", "000000100100", "000000110111",
    "000000111000", "000000100111", "000000101000", "000001011000", "000001011001", "000000101011",
    "000000101100", "000001011010", "000001100110", "000001100111"};

/// Runs of 64, 128, ... 1728.
using MakeUp = std::array<std::string_view, 27>;

constexpr MakeUp white_make_up{
    "11011",     "10010",     "010111",    "0110111",   "00110110",  "00110111",  "01100100",
    "01100101",  "01101000",  "01100111",  "011001100", "011001101", "011010010", "011010011",
    "011010100", "011010101", "011010110", "011010111", "011011000", "011011001", "011011010",
    "011011011", "010011000", "010011001", "010011010", "011000",    "010011011"};

constexpr MakeUp black_make_up{"0000001111",    "000011001000",  "000011001001",  "000001011011",
                               "000000110011",  "000000110100",  "000000110101",  "0000001101100",
                               "0000001101101", "0000001001010", "0000001001011", "0000001001100",
                               "0000001001101", "0000001110010", "0000001110011", "0000001110100",
                               "0000001110101", "0000001110110", "0000001110111", "0000001010010",
                               "0000001010011", "0000001010100", "0000001010101", "0000001011010",
                               "0000001011011", "0000001100100", "0000001100101"};

/// Runs of 1792, 1856, ... 2560, of either color.
constexpr std::array<std::string_view, 13> long_make_up{
    "00000001000",  "00000001100",  "00000001101",  "000000010010", "000000010011",
    "000000010100", "000000010101", "000000010110", "000000010111", "000000011100",
    "000000011101", "000000011110", "000000011111"};

constexpr int longest_make_up = 2560;
constexpr int first_long_make_up = 1792;

constexpr std::string_view pass_mode = "0001";
constexpr std::string_view horizontal_mode = "001";
/// By the distance of a change from the one above, -3 to 3.
constexpr std::array<std::string_view, 7> vertical_mode{"0000010", "000010", "010",    "1",
                                                        "011",     "000011", "0000011"};
constexpr std::string_view end_of_block = "000000000001000000000001";

class Bits {
  public:
    void put(std::string_view code) {
        for (const char bit : code) {
            if (used_ == 0) bytes_.push_back(0);
            if (bit == '1') bytes_.back() |= static_cast<std::uint8_t>(0x80U >> used_);
            used_ = (used_ + 1) % 8;
        }
    }
    void put_run(int length, bool black) {
        for (; length > longest_make_up; length -= longest_make_up) put(long_make_up.back());
        if (length >= first_long_make_up) {
            put(long_make_up[static_cast<std::size_t>((length - first_long_make_up) / 64)]);
            length %= 64;
        } else if (length >= 64) {
            const auto step = static_cast<std::size_t>(length / 64 - 1);
            put(black ? black_make_up[step] : white_make_up[step]);
            length %= 64;
        }
        const auto rest = static_cast<std::size_t>(length);
        put(black ? black_terminating[rest] : white_terminating[rest]);
    }
    [[nodiscard]] std::vector<std::uint8_t> take() { return std::move(bytes_); }

  private:
    std::vector<std::uint8_t> bytes_;
    unsigned used_ = 0;
};

/// Where a row changes color: at even entries to black, at odd ones back to paper; `width` three
/// times at the end, so that looking ahead needs no check.
void find_changes(const std::uint8_t* row, int width, std::vector<int>& changes) {
    changes.clear();
    std::uint8_t color = 255;
    for (int x = 0; x < width; ++x) {
        if (row[x] == color) continue;
        color = row[x];
        changes.push_back(x);
    }
    for (int i = 0; i < 3; ++i) changes.push_back(width);
}

/// T.6, 2.2.1 and 2.2.5: a0 to a2 on this row, b1 and b2 on the row above.
void put_row(const std::vector<int>& row, const std::vector<int>& above, int width, Bits& bits) {
    int a0 = -1;
    bool black = false;
    std::size_t next = 0;  // a1 in `row`: its parity is the color before it
    std::size_t b = 0;     // b1 in `above`
    while (a0 < width) {
        // b1: the first change above, right of a0, to the other color than a0's.
        while (b >= 2 && above[b - 2] > a0) b -= 2;
        b = (b & ~std::size_t{1}) + (black ? 1U : 0U);
        while (b >= 2 && above[b - 2] > a0) b -= 2;
        while (above[b] <= a0 && above[b] < width) b += 2;
        const int b1 = above[b];
        const int b2 = b1 < width ? above[b + 1] : width;
        const int a1 = row[next];
        if (b2 < a1) {
            bits.put(pass_mode);
            a0 = b2;
            continue;
        }
        if (const int distance = a1 - b1; std::abs(distance) <= 3) {
            bits.put(vertical_mode[static_cast<std::size_t>(distance + 3)]);
            a0 = a1;
            black = !black;
            if (next + 1 < row.size()) ++next;
            continue;
        }
        const int a2 = a1 < width ? row[next + 1] : width;
        bits.put(horizontal_mode);
        bits.put_run(a1 - (a0 < 0 ? 0 : a0), black);
        bits.put_run(a2 - a1, !black);
        a0 = a2;
        next = next + 2 < row.size() ? next + 2 : row.size() - 1;
    }
}

}  // namespace

std::vector<std::uint8_t> group4(const Image& image) {
    if (image.empty() || image.encoding() != Encoding::bilevel) {
        throw Error(ErrorKind::internal, "group4", "expected a bilevel picture, found another one");
    }
    const int width = image.width();
    Bits bits;
    std::vector<int> row;
    std::vector<int> above(3, width);
    for (int y = 0; y < image.height(); ++y) {
        find_changes(image.row(y), width, row);
        put_row(row, above, width, bits);
        row.swap(above);
    }
    bits.put(end_of_block);
    return bits.take();
}

}  // namespace paleproof::codec
