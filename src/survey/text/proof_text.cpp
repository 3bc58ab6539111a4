// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/proof_text.h"

#include <array>
#include <cstdint>

#include "color/srgb.h"

namespace paleproof::survey {
namespace {

constexpr double letter_from = 0.8;  // of the way from ground to text: core of a letter
constexpr double ground_until = 0.15;
constexpr int fewest = 8;  // pixels of each that make a measure

/// Counts of codes, for their median: a stain at the line's end decides nothing.
struct Codes {
    std::array<int, 256> count{};
    int total = 0;
    void add(std::uint8_t code) {
        ++count[code];
        ++total;
    }
    [[nodiscard]] double median_light() const {
        int sum = 0;
        for (std::size_t code = 0; code < count.size(); ++code) {
            sum += count[code];
            if (2 * sum >= total) return color::linear(static_cast<std::uint8_t>(code));
        }
        return 1.0;
    }
};

}  // namespace

std::optional<double> contrast_in_proof(const Image& source, const Image& proof,
                                        const TextLine& line) {
    const auto gray = [](RgbCode c) { return color::gray_code(c[0], c[1], c[2]); };
    const double ground = gray(line.ground_color);
    const double step = gray(line.text_color) - ground;
    if (step == 0.0) return std::nullopt;
    const RectPx box = intersection(line.box_px, source.bounds());
    Codes letters;
    Codes around;
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = box.x; x < box.right(); ++x) {
            const double way = (source.row(y)[x] - ground) / step;
            if (way >= letter_from) {
                letters.add(proof.row(y)[x]);
            } else if (way <= ground_until) {
                around.add(proof.row(y)[x]);
            }
        }
    }
    if (letters.total < fewest || around.total < fewest) return std::nullopt;
    return color::contrast_ratio(letters.median_light(), around.median_light());
}

}  // namespace paleproof::survey
