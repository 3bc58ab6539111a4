// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "core/format.h"
#include "report/html_parts.h"

namespace paleproof::report {

namespace {

/// What surrounds the place tells which one it is; nothing smaller than a thumb's nail is shown,
/// and nothing taller than a third of a card.
constexpr Mm surrounding{1.5};
constexpr Mm least_width{16.0};
constexpr Mm least_height{6.0};
constexpr Mm most_width{64.0};
constexpr Mm most_height{26.0};

/// One side of the crop: at least `least`, at most `most` pixels, around the middle of the place,
/// inside of the picture where it is large enough.
void widen(int& start, int& length, int least, int most, int whole) {
    const int middle = start + length / 2;
    length = std::min(std::clamp(length, least, std::max(least, most)), whole);
    start = std::clamp(middle - length / 2, 0, std::max(0, whole - length));
}

}  // namespace

std::string crop_html(const PageContext& page, std::size_t index, RectPx box) {
    const FaceResult& face = page.edition.faces[index];
    const double ppi = face.placement.ppi.value;
    if (box.empty() || ppi <= 0.0 ||
        (face.source_thumbnail.empty() && face.proof_thumbnail.empty())) {
        return "";
    }
    const auto px = [&](Mm length) {
        return static_cast<int>(std::lround(length.value / mm_per_inch * ppi));
    };
    const int gap = px(surrounding);
    RectPx crop{box.x - gap, box.y - gap, box.width + 2 * gap, box.height + 2 * gap};
    widen(crop.x, crop.width, px(least_width), px(most_width), face.size_px.width);
    widen(crop.y, crop.height, px(least_height), px(most_height), face.size_px.height);
    return fmt::format(
        R"(<span class="crops" data-face="{}" data-crop="{} {} {} {}" style="--mm:{};--tall:{}" aria-hidden="true"></span>)",
        face_id(index), crop.x, crop.y, crop.width, crop.height,
        fixed(crop.width / ppi * mm_per_inch, 1),
        fixed(static_cast<double>(crop.height) / crop.width, 3));
}

}  // namespace paleproof::report
