// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "core/wide.h"

namespace paleproof::survey {

/// sum / count, rounded to the nearest, without a division: exact while sum x count stays below
/// 2^32, as sums of bytes of up to 4000 pixels do.
class Mean {
  public:
    explicit Mean(std::uint32_t count)
        : count_(count), inverse_((std::uint64_t{1} << 32U) / count + 1) {}
    [[nodiscard]] std::uint8_t operator()(std::uint32_t sum) const {
        const std::uint32_t raised = sum + count_ / 2;
        return static_cast<std::uint8_t>(count_ <= 4000 ? raised * inverse_ >> 32U
                                                        : raised / count_);
    }

  private:
    std::uint32_t count_;
    std::uint64_t inverse_;
};

/// Adds a row of bytes to sums of up to 255 rows.
inline void add_row(const std::uint8_t* row, std::vector<std::uint16_t>& sums) {
    std::uint16_t* out = sums.data();
    const std::size_t count = sums.size();
    wide([=] {
        for (std::size_t x = 0; x < count; ++x) {
            out[x] = static_cast<std::uint16_t>(out[x] + row[x]);
        }
    });
}

}  // namespace paleproof::survey
