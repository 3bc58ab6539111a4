// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace paleproof::survey {

/// Connected pixels (by their sides) of one label get one number, from 0, in the order of their
/// first pixels; -1 where there is no label or fewer than `least` of them.
[[nodiscard]] std::vector<int> components(const std::vector<std::uint8_t>& label, std::size_t width,
                                          int least, int& count);

}  // namespace paleproof::survey
