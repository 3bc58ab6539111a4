// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/image.h"
#include "core/text_line.h"
#include "survey/text/plane.h"

namespace paleproof::survey {

/// Places along (u) and across (v) a line, by whole quarter turns: its slant is left to the reader.
class Upright {
  public:
    explicit Upright(int quarter_turns);

    [[nodiscard]] double u(double x, double y) const { return x * c_ + y * s_; }
    [[nodiscard]] double v(double x, double y) const { return y * c_ - x * s_; }
    [[nodiscard]] double x(double u, double v) const { return u * c_ - v * s_; }
    [[nodiscard]] double y(double u, double v) const { return u * s_ + v * c_; }
    /// A box of the face in u and v, and the other way.
    [[nodiscard]] RectPx turned(const RectPx& box) const;
    [[nodiscard]] RectPx back(const RectPx& box) const;

  private:
    int c_, s_;
};

/// 255 where a part of the face is nearer to the line's ink than to its ground, on the way between
/// the two and not far beside it; 0 elsewhere and outside of the face. `part` is in u and v.
[[nodiscard]] Plane8 own_ink(const Image& face, const TextLine& line, const Upright& upright,
                             const RectPx& part);

}  // namespace paleproof::survey
