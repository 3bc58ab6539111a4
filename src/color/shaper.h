// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <mutex>
#include <vector>

#include "color/primaries.h"

namespace paleproof::color {

/// A curve per channel, a matrix, the sRGB curve: RGB of a matrix profile to 8-bit sRGB in
/// integers. Within 0.55 codes of the same in floating point.
class Shaper {
  public:
    /// Sample value 0..1 -> linear light; results are clamped to 0..1.
    using Curve = std::function<double(double)>;

    /// `matrix`: linear light of the source -> linear sRGB.
    Shaper(std::array<Curve, 3> curves, const Matrix3& matrix);

    void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const;
    /// The tables for 16 bits are made at the first call.
    void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const;

  private:
    using Tables = std::array<std::vector<std::int32_t>, 3>;
    [[nodiscard]] Tables tables_of(std::size_t size) const;
    template <class Sample>
    void apply(const Tables& tables, const Sample* in, std::uint8_t* out, std::size_t pixels) const;

    std::array<Curve, 3> curves_;
    std::array<std::int64_t, 9> matrix_{};
    Tables tables_8_;
    mutable std::once_flag made_16_;
    mutable Tables tables_16_;
};

/// One channel of gray through a table: value 0..1 -> linear light, then the sRGB curve.
class GrayShaper {
  public:
    explicit GrayShaper(Shaper::Curve curve);
    void convert(const std::uint8_t* in, std::uint8_t* out, std::size_t pixels) const;
    void convert(const std::uint16_t* in, std::uint8_t* out, std::size_t pixels) const;

  private:
    [[nodiscard]] std::vector<std::uint8_t> table_of(std::size_t size) const;

    Shaper::Curve curve_;
    std::vector<std::uint8_t> table_8_;
    mutable std::once_flag made_16_;
    mutable std::vector<std::uint8_t> table_16_;
};

}  // namespace paleproof::color
