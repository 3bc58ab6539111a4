// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>

#include "core/text_line.h"

namespace paleproof::survey {

/// The median of each channel over the pixels that were added.
class MedianColor {
  public:
    void add(const std::uint8_t* rgb) {
        for (std::size_t c = 0; c < 3; ++c) {
            ++counts_[c][rgb[c]];
        }
        ++total_;
    }
    void add(const MedianColor& other) {
        for (std::size_t c = 0; c < 3; ++c) {
            for (std::size_t i = 0; i < 256; ++i) {
                counts_[c][i] += other.counts_[c][i];
            }
        }
        total_ += other.total_;
    }
    [[nodiscard]] int total() const { return total_; }
    /// The median, or another share of the pixels that a channel's value is to exceed.
    [[nodiscard]] RgbCode value(double share = 0.5) const {
        RgbCode result{};
        for (std::size_t c = 0; c < 3; ++c) {
            int seen = 0;
            for (std::size_t i = 0; i < 256; ++i) {
                seen += counts_[c][i];
                if (seen >= share * total_) {
                    result[c] = static_cast<std::uint8_t>(i);
                    break;
                }
            }
        }
        return result;
    }

  private:
    std::array<std::array<int, 256>, 3> counts_{};
    int total_ = 0;
};

}  // namespace paleproof::survey
