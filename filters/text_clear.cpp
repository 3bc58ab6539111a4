// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/text_clear.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>

#include "core/error.h"

namespace paleproof::filters {
namespace {

// Of that by which the halo is measured, which is to cover it: what a letter's outline or shadow
// may take around it.
constexpr double rim = 0.2;
constexpr double around = 0.9;   // x-heights from which the fill is taken
constexpr int letter_code = 40;  // strength from which a pixel is no longer clean ground

void clear_line(Image& face, const Letters& line) {
    const int reach = std::max(3, static_cast<int>(std::lround(around * line.reach_px)));
    const int grown = std::max(
        2,
        static_cast<int>(std::lround(rim * (line.halo_px > 0.0 ? line.halo_px : line.reach_px))));
    const RectPx field = intersection({line.part.x - reach, line.part.y - reach,
                                       line.part.width + 2 * reach, line.part.height + 2 * reach},
                                      face.bounds());
    const cv::Mat whole(face.height(), face.width(), CV_8UC1, face.bytes().data());
    cv::Mat view = whole(cv::Rect(field.x, field.y, field.width, field.height));
    const cv::Mat strength(line.part.height, line.part.width, CV_8UC1,
                           const_cast<std::uint8_t*>(line.strength.bytes().data()));
    cv::Mat letter = cv::Mat::zeros(view.size(), CV_8UC1);
    letter(
        cv::Rect(line.part.x - field.x, line.part.y - field.y, line.part.width, line.part.height))
        .setTo(1, strength > letter_code);
    cv::dilate(letter, letter,
               cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * grown + 1, 2 * grown + 1}));
    cv::Mat weight;
    cv::Mat(1 - letter).convertTo(weight, CV_32F);
    cv::Mat value;
    view.convertTo(value, CV_32F);
    value = value.mul(weight);
    const cv::Size window(2 * reach + 1, 2 * reach + 1);
    cv::boxFilter(value, value, CV_32F, window, {-1, -1}, false, cv::BORDER_REPLICATE);
    cv::boxFilter(weight, weight, CV_32F, window, {-1, -1}, false, cv::BORDER_REPLICATE);
    for (int y = 0; y < view.rows; ++y) {
        const auto* inside = letter.ptr<std::uint8_t>(y);
        const auto* sum = value.ptr<float>(y);
        const auto* count = weight.ptr<float>(y);
        auto* out = view.ptr<std::uint8_t>(y);
        for (int x = 0; x < view.cols; ++x) {
            if (inside[x] != 0 && count[x] > 0.5F) {
                out[x] =
                    static_cast<std::uint8_t>(std::clamp(sum[x] / count[x] + 0.5F, 0.F, 255.F));
            }
        }
    }
}

}  // namespace

Image text_clear(const Image& gray, std::span<const Letters> letters) {
    if (gray.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "text_clear", "expected a gray picture, got color");
    }
    Image result = gray;
    for (const Letters& line : letters) clear_line(result, line);
    return result;
}

}  // namespace paleproof::filters
