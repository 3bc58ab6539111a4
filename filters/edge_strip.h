// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <algorithm>
#include <cmath>
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

/// How many of the `most` outermost rows look like the outermost one: a border that the proof
/// shades toward its frame ends where the shading begins. Noise of the border's own does not end
/// it.
[[nodiscard]] inline int even_rows(const EdgeStrip& strip, int most) {
    constexpr int sample = 3;        // rows that tell the noise
    constexpr double visible = 2.0;  // codes, in the mean of a row
    const auto difference = [&strip](int r) {
        const std::size_t count = static_cast<std::size_t>(strip.length * strip.channels);
        double sum = 0.0;
        for (std::size_t i = 0; i < count; ++i) {
            sum += std::abs(static_cast<double>(strip.row(r)[i] - strip.row(0)[i]));
        }
        return count > 0 ? sum / static_cast<double>(count) : 0.0;
    };
    double noise = 0.0;
    for (int r = 1; r < most; ++r) {
        const double found = difference(r);
        if (r <= sample) {
            noise = std::max(noise, found);
        } else if (found > 1.5 * noise + visible) {
            return r;
        }
    }
    return most;
}

}  // namespace paleproof::filters
