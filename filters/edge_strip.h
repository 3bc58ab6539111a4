// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <vector>

namespace paleproof::filters {

/// The part of a picture along one edge, turned so that all four edges look alike: row 0 is the
/// outermost, rows run along the edge, values are 8-bit codes not yet rounded, channels
/// interleaved.
struct EdgeStrip {
    int length = 0;
    int rows = 0;
    int channels = 1;
    std::vector<float> values;

    EdgeStrip() = default;
    EdgeStrip(int along, int deep, int planes)
        : length(along),
          rows(deep),
          channels(planes),
          values(static_cast<std::size_t>(along) * static_cast<std::size_t>(deep) *
                 static_cast<std::size_t>(planes)) {}

    /// Takes another shape and keeps the memory; the values are then anything.
    void reshape(int along, int deep, int planes) {
        length = along;
        rows = deep;
        channels = planes;
        values.resize(static_cast<std::size_t>(along) * static_cast<std::size_t>(deep) *
                      static_cast<std::size_t>(planes));
    }

    [[nodiscard]] float* row(int r) {
        return values.data() +
               static_cast<std::size_t>(r) * static_cast<std::size_t>(length * channels);
    }
    [[nodiscard]] const float* row(int r) const {
        return values.data() +
               static_cast<std::size_t>(r) * static_cast<std::size_t>(length * channels);
    }
};

}  // namespace paleproof::filters
