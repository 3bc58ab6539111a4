// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "color/separation.h"
#include "core/image.h"
#include "core/result.h"

namespace paleproof::app {

/// Total coverage over a picture for the report: one pixel a patch of about 1 mm (the picture
/// divided evenly), code = total / 4 * 255 rounded. The frame is left empty. Without resolution
/// 300 ppi is assumed. Error{internal} for an empty picture.
[[nodiscard]] Thumbnail heat_of(const Image& picture, const color::Separation& separation);

}  // namespace paleproof::app
