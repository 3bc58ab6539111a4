// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "color/shaper.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "color/srgb.h"

namespace paleproof::color {
namespace {

// Linear light in units of 2^-16, matrix in units of 2^-14. The darkest sRGB code is 20 units wide.
constexpr int matrix_bits = 14;
constexpr std::int64_t one = 1 << 16;

const std::vector<std::uint8_t>& encode_table() {
    static const std::vector<std::uint8_t> table = [] {
        std::vector<std::uint8_t> codes(static_cast<std::size_t>(one) + 1);
        for (std::size_t i = 0; i < codes.size(); ++i) {
            codes[i] = code_of(static_cast<double>(i) / static_cast<double>(one));
        }
        return codes;
    }();
    return table;
}

double clamped(double light) { return light > 0.0 ? std::min(light, 1.0) : 0.0; }

}  // namespace

Shaper::Shaper(std::array<Curve, 3> curves, const Matrix3& matrix) : curves_(std::move(curves)) {
    for (std::size_t i = 0; i < 9; ++i) {
        matrix_[i] = std::llround(matrix[i / 3][i % 3] * (1 << matrix_bits));
    }
    tables_8_ = tables_of(256);
}

Shaper::Tables Shaper::tables_of(std::size_t size) const {
    Tables tables;
    for (std::size_t channel = 0; channel < 3; ++channel) {
        tables[channel].resize(size);
        for (std::size_t i = 0; i < size; ++i) {
            const double value = static_cast<double>(i) / static_cast<double>(size - 1);
            tables[channel][i] = static_cast<std::int32_t>(
                std::lround(clamped(curves_[channel](value)) * static_cast<double>(one)));
        }
    }
    return tables;
}

template <class Sample>
void Shaper::apply(const Tables& tables, const Sample* in, std::uint8_t* out,
                   std::size_t pixels) const {
    const std::uint8_t* encode = encode_table().data();
    const std::int32_t* red = tables[0].data();
    const std::int32_t* green = tables[1].data();
    const std::int32_t* blue = tables[2].data();
    const std::int64_t half = 1 << (matrix_bits - 1);
    for (std::size_t i = 0; i < pixels; ++i, in += 3, out += 3) {
        const std::int64_t r = red[in[0]], g = green[in[1]], b = blue[in[2]];
        for (std::size_t row = 0; row < 3; ++row) {
            const std::int64_t* m = &matrix_[row * 3];
            const std::int64_t light = (m[0] * r + m[1] * g + m[2] * b + half) >> matrix_bits;
            out[row] = encode[std::clamp<std::int64_t>(light, 0, one)];
        }
    }
}

void Shaper::convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const {
    apply(tables_8_, in, out, pixels);
}

void Shaper::convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const {
    std::call_once(made_16_, [this] { tables_16_ = tables_of(65536); });
    apply(tables_16_, in, out, pixels);
}

GrayShaper::GrayShaper(Shaper::Curve curve) : curve_(std::move(curve)), table_8_(table_of(256)) {}

std::vector<std::uint8_t> GrayShaper::table_of(std::size_t size) const {
    std::vector<std::uint8_t> table(size);
    for (std::size_t i = 0; i < size; ++i) {
        table[i] = code_of(curve_(static_cast<double>(i) / static_cast<double>(size - 1)));
    }
    return table;
}

void GrayShaper::convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const {
    for (std::size_t i = 0; i < pixels; ++i) out[i] = table_8_[in[i]];
}

void GrayShaper::convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const {
    std::call_once(made_16_, [this] { table_16_ = table_of(65536); });
    for (std::size_t i = 0; i < pixels; ++i) out[i] = table_16_[in[i]];
}

}  // namespace paleproof::color
