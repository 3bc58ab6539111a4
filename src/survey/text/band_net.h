// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstdint>
#include <memory>
#include <span>

#include "core/image.h"
#include "survey/text/plane.h"

namespace paleproof::survey {

/// What the net answered for a face.
struct BandMap {
    PlaneF lines;      ///< logits: is this cell between base line and x-height of a line
    PlaneF marks;      ///< the same for single glyphs; empty when the net does not tell
    Plane8 luminance;  ///< what the net saw, sRGB-encoded; two pixels for each cell
    double cell_x = 4.0, cell_y = 4.0;  ///< pixels of the face for each cell
};

/// The net that proposes text bands, kept loaded. A forward pass changes the net, so each pass
/// borrows one of a pool that grows to the number of threads.
class BandNet {
  public:
    /// Error{format} when the model cannot be read, Error{unsupported} when conv_net.h does not know
    /// its layers.
    explicit BandNet(std::span<const std::uint8_t> onnx);
    ~BandNet();
    BandNet(BandNet&&) noexcept;
    BandNet& operator=(BandNet&&) noexcept;

    [[nodiscard]] BandMap bands(const Image& image, Ppi ppi) const;

  private:
    struct Pool;
    std::unique_ptr<Pool> pool_;
};

}  // namespace paleproof::survey
