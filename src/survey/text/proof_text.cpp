// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/proof_text.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <vector>

#include "color/srgb.h"
#include "survey/text/letter_parts.h"
#include "survey/text/missing_letters.h"

namespace paleproof::survey {
namespace {

constexpr int fewest = 8;             // pixels of each that make a measure
constexpr double column_found = 0.6;  // share of a column's letter pixels
constexpr double tail = 0.04;         // of the letters' pixels left out at each end of an extent

/// Counts of codes, for their median: a stain at the line's end decides nothing.
struct Codes {
    std::array<int, 256> count{};
    int total = 0;
    void add(std::uint8_t code) {
        ++count[code];
        ++total;
    }
    [[nodiscard]] std::uint8_t median() const {
        int sum = 0;
        for (std::size_t code = 0; code < count.size(); ++code) {
            sum += count[code];
            if (2 * sum >= total) return static_cast<std::uint8_t>(code);
        }
        return 255;
    }
};

/// From which to which index the inner 92 % of the counts lie.
double extent(const std::vector<int>& counts) {
    double total = 0.0;
    for (const int n : counts) total += n;
    double before = 0.0;
    double first = -1.0;
    double last = 0.0;
    for (std::size_t i = 0; i < counts.size(); ++i) {
        before += counts[i];
        if (first < 0.0 && before >= tail * total) first = static_cast<double>(i);
        last = static_cast<double>(i);
        if (before >= (1.0 - tail) * total) break;
    }
    return last - first + 1.0;
}

double change(const std::vector<int>& was, const std::vector<int>& is) {
    const double before = extent(was);
    const double difference = std::abs(extent(is) - before);
    return difference <= 1.5 ? 0.0 : difference / before;  // a pixel and a half is no change
}

}  // namespace

std::optional<LineInProof> line_in_proof(const Image& source, const Image& proof,
                                         const TextLine& line) {
    const RectPx box = intersection(line.box_px, source.bounds());
    if (box.empty()) return std::nullopt;
    const Image parts = letter_parts(source, box, line);
    Codes letters;
    Codes around;
    for (int y = 0; y < box.height; ++y) {
        const std::uint8_t* part = parts.row(y);
        const std::uint8_t* code = proof.row(box.y + y) + box.x;
        for (int x = 0; x < box.width; ++x) {
            if (part[x] == letter_core) letters.add(code[x]);
            if (part[x] == letter_ground) around.add(code[x]);
        }
    }
    if (letters.total < fewest || around.total < fewest) return std::nullopt;
    const int letter = letters.median();
    const int ground = around.median();

    std::vector<int> row_was(static_cast<std::size_t>(box.height));
    std::vector<int> row_is(row_was.size());
    std::vector<int> column_was(static_cast<std::size_t>(box.width));
    std::vector<int> column_is(column_was.size());
    for (int y = 0; y < box.height; ++y) {
        const std::uint8_t* part = parts.row(y);
        const std::uint8_t* code = proof.row(box.y + y) + box.x;
        for (int x = 0; x < box.width; ++x) {
            if (part[x] != letter_core) continue;
            const int there = std::abs(code[x] - letter) <= std::abs(code[x] - ground) ? 1 : 0;
            const auto row = static_cast<std::size_t>(y);
            const auto column = static_cast<std::size_t>(x);
            ++row_was[row];
            ++column_was[column];
            row_is[row] += there;
            column_is[column] += there;
        }
    }
    // Across turned lines the columns of the text are rows of the picture.
    const bool turned = line.quarter_turns % 2 != 0;
    const auto& along_was = turned ? row_was : column_was;
    const auto& along_is = turned ? row_is : column_is;
    int cores = 0;
    int missing = 0;
    for (std::size_t i = 0; i < along_was.size(); ++i) {
        cores += along_was[i];
        missing += along_was[i] - along_is[i];
    }
    int columns = 0;
    int found = 0;
    for (std::size_t i = 0; i < along_was.size(); ++i) {
        if (along_was[i] < 2) continue;
        ++columns;
        if (along_is[i] >= column_found * along_was[i]) ++found;
    }
    LineInProof result;
    result.letters_missing = missing_letters(source, proof, line);
    result.contrast = color::contrast_ratio(color::linear(static_cast<std::uint8_t>(letter)),
                                            color::linear(static_cast<std::uint8_t>(ground)));
    int clear = 0;
    for (int code = 0; code < 256; ++code) {
        if (std::abs(code - letter) > std::abs(code - ground))
            clear += around.count[static_cast<std::size_t>(code)];
    }
    result.clear = static_cast<double>(clear) / around.total;
    result.found = columns > 0 ? static_cast<double>(found) / columns : 0.0;
    // A line of which a fortieth is missing has not shrunk by a twentieth, wherever its ends lie.
    result.size_change = std::min(std::max(change(row_was, row_is), change(column_was, column_is)),
                                  2.0 * missing / std::max(1, cores));
    return result;
}

}  // namespace paleproof::survey
