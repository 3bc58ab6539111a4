// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "core/geometry.h"
#include "sheet/imposition.h"

namespace paleproof::sheet {

/// Two pages to be printed on one sheet, to measure scale and front-to-back shift of a printer:
/// bars, a frame at the printer's margin, two scales that meet in the middle of the front, a cross
/// in the middle of the back, instructions. Held against the light, the back's cross is read on the
/// front's scales, whose numbers are those of `back_shift`, sign included.
///
/// `size`: the sheet as it lies in the edition; `options`: margin and duplex count. A shift that is
/// set already is left out, so that the numbers replace it.
[[nodiscard]] Imposition test_page(const Paper& paper, SizeMm size, const SheetOptions& options);

}  // namespace paleproof::sheet
