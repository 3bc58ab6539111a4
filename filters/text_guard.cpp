// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/text_guard.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <utility>

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

void require_gray(const Image& proof) {
    if (proof.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "text_guard", "expected a gray picture, got color");
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

Image letters_on(Image proof, std::span<const Letters> letters, const TextGuard& p) {
    check_fields(p, text_guard_fields);
    require_gray(proof);
    for (const Letters& line : letters) {
        const double ink = line.strong ? std::min(1.0, p.ink / TextGuard{}.ink) : p.ink;
        std::array<std::uint8_t, 256> inked{};
        for (std::size_t i = 0; i < inked.size(); ++i) {
            inked[i] = static_cast<std::uint8_t>(
                255 - static_cast<int>(std::lround(ink * static_cast<double>(i))));
        }
        for (int y = 0; y < line.part.height; ++y) {
            const std::uint8_t* letter = line.strength.row(y);
            std::uint8_t* row = proof.row(line.part.y + y) + line.part.x;
            for (int x = 0; x < line.part.width; ++x) row[x] = std::min(row[x], inked[letter[x]]);
        }
    }
    return proof;
}

Image text_guard(const Image& proof, std::span<const Letters> letters, const TextGuard& p) {
    if (!letters.empty()) return text_guard(proof, letters, text_halo(proof.size(), letters, p), p);
    check_fields(p, text_guard_fields);
    require_gray(proof);
    return proof;
}

Image text_guard(const Image& proof, std::span<const Letters> letters, const Image& halo,
                 const TextGuard& p) {
    require_gray(proof);
    if (halo.size() != proof.size()) {
        throw Error(ErrorKind::format, "text_guard", "expected a halo as large as the proof");
    }
    Image result = proof;
    const auto out = result.bytes();
    std::uint8_t* code = out.data();
    const std::uint8_t* paper = halo.bytes().data();
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto product = static_cast<std::uint16_t>((255 - code[i]) * paper[i] + 127);
        code[i] = static_cast<std::uint8_t>(code[i] + product / 255);
    }
    return letters_on(std::move(result), letters, p);
}

}  // namespace paleproof::filters
