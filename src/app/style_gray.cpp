// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <algorithm>
#include <cstdint>
#include <cstdlib>
#include <utility>
#include <vector>

#include "app/guarded_text.h"
#include "app/styles.h"
#include "core/combine.h"
#include "filters/gray.h"
#include "filters/lighten.h"
#include "filters/panel_flip.h"

namespace paleproof::app {
namespace {

/// Ink of a cream or pale blue ground, on which the halos of letters would show: paper is white.
constexpr double film = 0.05;

/// A gray picture with ink laid over it, where it has less.
Image inked(Image gray, const Image& ink) {
    combine(gray, ink, [](std::uint8_t code, std::uint8_t i) {
        return std::min(code, static_cast<std::uint8_t>(255 - i));
    });
    return gray;
}

bool is_near(const std::uint8_t* rgb, color::Rgb8 color) {
    constexpr int near = 24;  // codes, of each channel: storage and soft edges
    return std::abs(rgb[0] - color.r) <= near && std::abs(rgb[1] - color.g) <= near &&
           std::abs(rgb[2] - color.b) <= near;
}

/// The tones of the code areas of a face on paper: its pixels there that have the area's color, and
/// in areas that mostly fill their box what lies within them, as a sign on a pennant.
Image code_tones(const StyleInput& face, const Image& gray) {
    Image tones(gray.width(), gray.height(), Encoding::gray);
    if (face.source.encoding() != Encoding::srgb) return tones;
    for (const CodeArea& area : face.codes) {
        const RectPx box = intersection(area.box_px, gray.bounds());
        std::vector<std::pair<int, int>> spans;  // first and last pixel of the color in each row
        int count = 0;
        for (int y = box.y; y < box.bottom(); ++y) {
            const std::uint8_t* in = face.source.row(y);
            std::pair<int, int> span{box.right(), box.x - 1};
            for (int x = box.x; x < box.right(); ++x) {
                if (!is_near(in + 3 * x, area.color)) continue;
                tones.row(y)[x] = gray.row(y)[x];
                span = {std::min(span.first, x), x};
                ++count;
            }
            spans.push_back(span);
        }
        if (2 * count < box.width * box.height) continue;
        for (int y = box.y; y < box.bottom(); ++y) {
            const auto [first, last] = spans[static_cast<std::size_t>(y - box.y)];
            for (int x = first; x <= last; ++x) tones.row(y)[x] = gray.row(y)[x];
        }
    }
    return tones;
}

}  // namespace

Image gray_proof(const StyleInput& face) {
    const Image own = face.gray != nullptr ? Image() : filters::gray(face.source);
    const Image& gray = face.gray != nullptr ? *face.gray : own;
    if (face.ink_budget >= 1.0) return gray;
    // The text is served first; the picture gets what is left of the budget.
    GuardedText text(face);
    double fixed_ink = text.fit(face.ink_budget, face.trimmed);
    const Image cleared = text.cleared(gray);
    filters::Panels panels = filters::panel_flip(cleared, face.text);
    if (panels.count > 0) {
        const Image paper(gray.width(), gray.height(), Encoding::gray);
        const double ruled =
            filters::coverage(text.set_on(inked(paper, panels.rules)), face.trimmed);
        if (ruled <= face.ink_budget) {
            fixed_ink = ruled;
        } else {
            panels.count = 0;
        }
    }
    // What tells colors apart comes next, while it leaves the picture half of what is left.
    const Image codes = code_tones(face, gray);
    const double code_ink = face.codes.empty() ? 0.0 : filters::coverage(codes, face.trimmed);
    const bool coded = code_ink > 0.0 && code_ink <= 0.5 * (face.ink_budget - fixed_ink);
    if (coded) fixed_ink += code_ink;
    Image free = text.halo();
    if (panels.count > 0) free = lighter(std::move(free), panels.paper);
    Image picture =
        filters::lighten(cleared, {.ink_budget = std::max(0.0, face.ink_budget - fixed_ink),
                                   .area = face.trimmed,
                                   .clean = film,
                                   .paper = &free});
    if (panels.count > 0) picture = inked(picture, panels.rules);
    if (coded) picture = darker(std::move(picture), codes);
    return text.set_on(picture);
}

double least_text_coverage(const StyleInput& face) {
    return GuardedText(face).fit(0.0, face.trimmed);
}

}  // namespace paleproof::app
