// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>

#include "core/image.h"

namespace paleproof::test {

/// Deterministic numbers for drawn test pictures (xorshift of Marsaglia, 2003).
class Dice {
  public:
    explicit Dice(std::uint32_t seed) : state_(seed * 2654435761U + 1U) {}
    std::uint32_t next() {
        state_ ^= state_ << 13;
        state_ ^= state_ >> 17;
        state_ ^= state_ << 5;
        return state_;
    }
    /// Whole number from low to high, both included.
    int between(int low, int high) {
        return low + static_cast<int>(next() % static_cast<std::uint32_t>(high - low + 1));
    }

  private:
    std::uint32_t state_;
};

/// Every pixel its own value.
inline Image noise(int width, int height, Encoding encoding, std::uint32_t seed) {
    Dice dice(seed);
    Image image(width, height, encoding, Ppi{300});
    for (std::uint8_t& byte : image.bytes()) {
        byte = encoding == Encoding::bilevel ? (dice.next() & 1U ? 255 : 0)
                                             : static_cast<std::uint8_t>(dice.next() >> 24);
    }
    return image;
}

/// A picture as a face is: a soft ramp with hard-edged dark bars (letters) on it.
inline Image soft_card(int width, int height, Encoding encoding) {
    Image image(width, height, encoding, Ppi{300});
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            const bool bar = (x / 3) % 5 == 0 && (y / 12) % 3 == 1;
            for (int c = 0; c < image.channels(); ++c) {
                const int ramp = 40 + (170 * y) / height + 15 * c;
                image.row(y)[x * image.channels() + c] =
                    static_cast<std::uint8_t>(bar ? 20 + 10 * c : ramp);
            }
        }
    }
    return image;
}

inline Image flat(int width, int height, std::uint8_t code) {
    Image image(width, height, Encoding::gray, Ppi{300});
    for (std::uint8_t& byte : image.bytes()) byte = code;
    return image;
}

}  // namespace paleproof::test
