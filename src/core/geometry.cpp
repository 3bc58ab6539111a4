// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "core/geometry.h"

#include <algorithm>

namespace paleproof {

RectPx intersection(RectPx a, RectPx b) {
    const int x = std::max(a.x, b.x);
    const int y = std::max(a.y, b.y);
    const int right = std::min(a.right(), b.right());
    const int bottom = std::min(a.bottom(), b.bottom());
    return {x, y, std::max(0, right - x), std::max(0, bottom - y)};
}

}  // namespace paleproof
