// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/text_guard.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>

namespace paleproof::filters {
namespace {

void add_halo(Image& halo, const Letters& line, double reach_share) {
    const int reach = std::max(2, static_cast<int>(std::lround(reach_share * line.reach_px)));
    const RectPx field = intersection({line.part.x - 2 * reach, line.part.y - 2 * reach,
                                       line.part.width + 4 * reach, line.part.height + 4 * reach},
                                      halo.bounds());
    cv::Mat around = cv::Mat::zeros(field.height, field.width, CV_8UC1);
    const cv::Mat strength(line.part.height, line.part.width, CV_8UC1,
                           const_cast<std::uint8_t*>(line.strength.bytes().data()));
    strength.copyTo(around(
        cv::Rect(line.part.x - field.x, line.part.y - field.y, line.part.width, line.part.height)));
    cv::dilate(around, around,
               cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * reach + 1, 2 * reach + 1}));
    cv::blur(around, around, {reach | 1, reach | 1}, {-1, -1}, cv::BORDER_REPLICATE);
    for (int y = 0; y < field.height; ++y) {
        std::uint8_t* out = halo.row(field.y + y) + field.x;
        const auto* in = around.ptr<std::uint8_t>(y);
        for (int x = 0; x < field.width; ++x) out[x] = std::max(out[x], in[x]);
    }
}

}  // namespace

Image text_halo(SizePx size, std::span<const Letters> letters, const TextGuard& p) {
    check_fields(p, text_guard_fields);
    Image halo(size.width, size.height, Encoding::gray);
    std::ranges::fill(halo.bytes(), std::uint8_t{0});
    for (const Letters& line : letters) add_halo(halo, line, line.strong ? p.strong_halo : p.halo);
    return halo;
}

Image text_guard(const Image& proof, std::span<const Letters> letters, const TextGuard& p) {
    check_fields(p, text_guard_fields);
    if (proof.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "text_guard", "expected a gray picture, got color");
    }
    Image result = proof;
    if (letters.empty()) return result;
    const Image halo = text_halo(proof.size(), letters, p);
    const auto paper = halo.bytes();
    const auto out = result.bytes();
    for (std::size_t i = 0; i < out.size(); ++i) {
        out[i] = static_cast<std::uint8_t>(out[i] + ((255 - out[i]) * paper[i] + 127) / 255);
    }
    for (const Letters& line : letters) {
        const double ink = line.strong ? std::min(1.0, p.ink / TextGuard{}.ink) : p.ink;
        for (int y = 0; y < line.part.height; ++y) {
            const std::uint8_t* letter = line.strength.row(y);
            std::uint8_t* row = result.row(line.part.y + y) + line.part.x;
            for (int x = 0; x < line.part.width; ++x) {
                const int inked = 255 - static_cast<int>(std::lround(ink * letter[x]));
                row[x] = static_cast<std::uint8_t>(std::min<int>(row[x], inked));
            }
        }
    }
    return result;
}

}  // namespace paleproof::filters
