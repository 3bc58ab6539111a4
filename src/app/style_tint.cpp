// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>

#include "app/guarded_text.h"
#include "app/styles.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "filters/tint.h"

namespace paleproof::app {
namespace {

constexpr double drawing_budget = 0.08;  // of one ink; the colors need room too
constexpr int halvings = 7;
constexpr int corrections = 6;

/// Every n-th pixel of every n-th row within `area`: enough to count ink by.
Image sample(const Image& image, RectPx area, int n) {
    const auto channels = static_cast<std::size_t>(image.channels());
    Image result((area.width + n - 1) / n, (area.height + n - 1) / n, image.encoding(),
                 image.ppi());
    for (int y = 0; y < result.height(); ++y) {
        const std::uint8_t* in = image.row(area.y + n * y);
        for (int x = 0; x < result.width(); ++x) {
            std::copy_n(in + static_cast<std::size_t>(area.x + n * x) * channels, channels,
                        result.row(y) + static_cast<std::size_t>(x) * channels);
        }
    }
    return result;
}

/// The layers of a tint proof; strength 1 is the full wash and drawing, 0 the text alone.
struct Layers {
    Image card;
    Image drawing;
    Image text;  ///< letters on paper

    [[nodiscard]] Image at(double strength) const {
        const filters::Tint full{};
        Image result = filters::tint(
            card, drawing, {.wash = full.wash * strength, .drawing = full.drawing * strength});
        std::uint8_t* out = result.bytes().data();
        for (const std::uint8_t code : text.bytes()) {
            for (int c = 0; c < 3; ++c, ++out) *out = std::min(*out, code);
        }
        return result;
    }
};

Image in_color(const Image& image) {
    if (image.encoding() == Encoding::srgb) return image;
    Image result(image.width(), image.height(), Encoding::srgb, image.ppi());
    std::uint8_t* out = result.bytes().data();
    for (const std::uint8_t code : image.bytes()) {
        for (int c = 0; c < 3; ++c) *out++ = code;
    }
    return result;
}

/// Total coverage of solid black.
double solid_inks(const color::Separation& inks) {
    Image black(8, 8, Encoding::srgb, Ppi{300.0});
    std::ranges::fill(black.bytes(), std::uint8_t{0});
    return std::max(1.0, inks.ink(black, black.bounds(), black.ppi()).total);
}

}  // namespace

Image tint_proof(const StyleInput& face) {
    if (face.ink_budget >= 1.0) return face.source;
    const color::Separation& inks = *face.inks;
    const auto ink_of = [&](const Image& image, RectPx area) {
        return inks.ink(image, area, image.ppi()).total;
    };
    // Letters are counted in one ink; printed in several they take as many times more.
    StyleInput in_one_ink = face;
    in_one_ink.ink_budget = face.ink_budget / solid_inks(inks);
    GuardedText text(in_one_ink);
    const Image paper(face.source.width(), face.source.height(), Encoding::gray, face.source.ppi());
    (void)text.fit(in_one_ink.ink_budget, face.trimmed);
    const Image own = face.gray != nullptr ? Image() : filters::gray(face.source);
    const Image& gray = face.gray != nullptr ? *face.gray : own;
    Layers layers{in_color(face.source),
                  filters::lighten(
                      text.cleared(gray),
                      {.ink_budget = drawing_budget, .area = face.trimmed, .paper = &text.halo()}),
                  text.set_on(paper)};
    const int n = std::max(1, std::min(face.trimmed.width, face.trimmed.height) / 200);
    const Layers few{sample(layers.card, face.trimmed, n), sample(layers.drawing, face.trimmed, n),
                     sample(layers.text, face.trimmed, n)};
    double low = 0.0;
    double high = 1.0;
    if (ink_of(few.at(1.0), few.card.bounds()) <= face.ink_budget) low = 1.0;
    for (int i = 0; i < halvings && low < 1.0; ++i) {
        const double middle = (low + high) / 2.0;
        (ink_of(few.at(middle), few.card.bounds()) <= face.ink_budget ? low : high) = middle;
    }
    // The sample is off by a little; the promise holds for the whole. Ink over that of the text
    // goes nearly in proportion to the strength.
    const double of_text = ink_of(layers.at(0.0), face.trimmed);
    Image proof = layers.at(low);
    for (int i = 0; i < corrections && low > 0.0; ++i) {
        const double taken = ink_of(proof, face.trimmed);
        if (taken <= face.ink_budget) break;
        const double room = std::max(0.0, face.ink_budget - of_text);
        low *= std::min(0.98, 0.995 * room / (taken - of_text));
        proof = layers.at(low);
    }
    return proof;
}

}  // namespace paleproof::app
