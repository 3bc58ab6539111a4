// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "unit/report/sample_art.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/core.hpp>
#include <opencv2/imgproc.hpp>

#include "codec/thumbnail.h"

namespace paleproof::report_sample {

namespace {

constexpr int font = cv::FONT_HERSHEY_COMPLEX;

cv::Scalar mixed(const cv::Scalar& a, const cv::Scalar& b, double t) { return a * (1 - t) + b * t; }

void tree(cv::Mat& art, cv::RNG& random, cv::Point foot, double length, double angle, int depth,
          const cv::Scalar& bark, const cv::Scalar& leaf) {
    const cv::Point tip(foot.x + static_cast<int>(length * std::sin(angle)),
                        foot.y - static_cast<int>(length * std::cos(angle)));
    cv::line(art, foot, tip, bark, std::max(1, depth * 2 - 1), cv::LINE_AA);
    if (depth == 0) {
        cv::circle(art, tip, random.uniform(5, 13), leaf, cv::FILLED, cv::LINE_AA);
        return;
    }
    for (const double turn : {-0.5, 0.42}) {
        tree(art, random, tip, length * random.uniform(0.66, 0.82),
             angle + turn + random.uniform(-0.18, 0.18), depth - 1, bark, leaf);
    }
}

void moth(cv::Mat& art, cv::Point at, int size, const cv::Scalar& wing) {
    for (const int side : {-1, 1}) {
        const cv::Point upper(at.x + side * size * 6 / 10, at.y - size / 3);
        const cv::Point lower(at.x + side * size * 4 / 10, at.y + size / 3);
        cv::ellipse(art, upper, {size * 6 / 10, size / 3}, side * -28, 0, 360, wing, cv::FILLED,
                    cv::LINE_AA);
        cv::ellipse(art, lower, {size * 4 / 10, size / 4}, side * 32, 0, 360, wing * 0.85,
                    cv::FILLED, cv::LINE_AA);
        cv::circle(art, upper, size / 9, {40, 30, 30}, cv::FILLED, cv::LINE_AA);
    }
    cv::ellipse(art, at, {size / 12, size / 2}, 0, 0, 360, {30, 26, 32}, cv::FILLED, cv::LINE_AA);
}

cv::Mat draw(const SampleCard& card) {
    static const std::array<cv::Scalar, 4> lights{
        cv::Scalar(120, 190, 245), cv::Scalar(190, 200, 120), cv::Scalar(200, 130, 190),
        cv::Scalar(110, 150, 120)};
    const cv::Scalar light = lights.at(static_cast<std::size_t>(card.hue));
    cv::RNG random(static_cast<std::uint64_t>(card.seed) * 7919U + 17U);
    cv::Mat art(card_px.height, card_px.width, CV_8UC3);
    for (int y = 0; y < art.rows; ++y) {
        const double t = static_cast<double>(y) / art.rows;
        art.row(y) = mixed({72, 38, 26}, mixed({92, 70, 58}, light, 0.35), t);
    }
    const cv::Point moon(random.uniform(170, 580), random.uniform(190, 300));
    constexpr int coarser = 8;  // a wide blur needs no more
    cv::Mat glow = cv::Mat::zeros(art.rows / coarser, art.cols / coarser, CV_8UC3);
    cv::circle(glow, moon / coarser, 210 / coarser, mixed({0, 0, 0}, light, 0.55), cv::FILLED);
    cv::GaussianBlur(glow, glow, {0, 0}, 70.0 / coarser);
    cv::resize(glow, glow, art.size(), 0, 0, cv::INTER_CUBIC);
    art += glow;
    cv::circle(art, moon, 84, mixed({235, 245, 250}, light, 0.2), cv::FILLED, cv::LINE_AA);
    for (int hill = 0; hill < 4; ++hill) {
        std::vector<cv::Point> outline{{0, art.rows}};
        const double phase = random.uniform(0.0, 6.0);
        for (int x = 0; x <= art.cols; x += 12) {
            outline.emplace_back(
                x, static_cast<int>(480 + hill * 85 + 38 * std::sin(phase + x / 115.0) +
                                    14 * std::sin(x / 31.0 + hill)));
        }
        outline.emplace_back(art.cols, art.rows);
        cv::fillPoly(art, std::vector<std::vector<cv::Point>>{outline},
                     mixed(mixed({70, 62, 50}, light, 0.3), {24, 18, 16}, hill / 3.2), cv::LINE_AA);
        tree(art, random, {random.uniform(60, 680), 560 + hill * 80}, 62 + hill * 9, 0.05, 5,
             mixed({50, 44, 44}, {16, 12, 14}, hill / 3.0), mixed({60, 80, 70}, light, 0.35));
    }
    moth(art, {random.uniform(230, 520), random.uniform(400, 500)}, random.uniform(90, 150),
         mixed({230, 235, 240}, light, 0.3));
    cv::Mat grain(art.size(), CV_8UC3);
    random.fill(grain, cv::RNG::NORMAL, 128, 7);
    cv::addWeighted(art, 1.0, grain, 1.0, -128.0, art);
    if (card.panel) {
        cv::rectangle(art, {62, 690}, {682, 965}, mixed({226, 234, 238}, light, 0.12), cv::FILLED);
    }
    for (const SampleLine& line : card.lines) {
        cv::putText(art, line.words, {line.x, line.baseline}, font, line.scale,
                    cv::Scalar::all(line.gray), std::max(1, static_cast<int>(line.scale * 1.8)),
                    cv::LINE_AA);
    }
    return art;
}

/// Pale gray with black words: what the sample shows as a proof.
cv::Mat proof(const SampleCard& card, const cv::Mat& source) {
    cv::Mat gray;
    cv::cvtColor(source, gray, cv::COLOR_BGR2GRAY);
    cv::Mat base;
    cv::GaussianBlur(gray, base, {0, 0}, 6);
    cv::Mat pale;
    cv::addWeighted(gray, 0.75, base, -0.57, 208.0, pale);
    for (const SampleLine& line : card.lines) {
        const RectPx box = line_box(line);
        cv::rectangle(pale, cv::Rect(box.x - 6, box.y - 6, box.width + 12, box.height + 12), {245},
                      cv::FILLED);
        cv::putText(pale, line.words, {line.x, line.baseline}, font, line.scale, {20},
                    std::max(1, static_cast<int>(line.scale * 1.8)), cv::LINE_AA);
    }
    return pale;
}

Thumbnail framed(const cv::Mat& picture, RectPx frame, int width) {
    Image image(picture.cols, picture.rows,
                picture.channels() == 1 ? Encoding::gray : Encoding::srgb);
    cv::Mat view(picture.rows, picture.cols, picture.type(), image.bytes().data());
    if (picture.channels() == 1) {
        picture.copyTo(view);
    } else {
        cv::cvtColor(picture, view, cv::COLOR_BGR2RGB);
    }
    Thumbnail result = codec::thumbnail(image, width);
    result.frame = frame;
    return result;
}

/// Stands for total coverage: the darker, the more; a dark place of the source takes about 300 %.
Thumbnail heat(const cv::Mat& picture, double full, RectPx frame) {
    cv::Mat gray = picture;
    if (picture.channels() == 3) cv::cvtColor(picture, gray, cv::COLOR_BGR2GRAY);
    cv::Mat small;
    cv::resize(gray, small, {63, 88}, 0, 0, cv::INTER_AREA);
    small.convertTo(small, CV_8U, -full / 4.0, 255.0 * full / 4.0);
    return framed(small, frame, 63);
}

}  // namespace

RectPx line_box(const SampleLine& line) {
    int below = 0;
    const cv::Size size = cv::getTextSize(line.words, font, line.scale,
                                          std::max(1, static_cast<int>(line.scale * 1.8)), &below);
    return {line.x, line.baseline - size.height, size.width, size.height + below / 2};
}

SampleThumbnails sample_thumbnails(const SampleCard& card, int bleed_px, int width) {
    const cv::Mat source = draw(card);
    cv::Mat bled;
    cv::copyMakeBorder(proof(card, source), bled, bleed_px, bleed_px, bleed_px, bleed_px,
                       cv::BORDER_REFLECT);
    const RectPx trim{0, 0, card_px.width, card_px.height};
    const RectPx wide{-bleed_px, -bleed_px, card_px.width + 2 * bleed_px,
                      card_px.height + 2 * bleed_px};
    return {framed(source, trim, width), framed(bled, wide, width), heat(source, 3.2, trim),
            heat(bled, 1.0, wide)};
}

}  // namespace paleproof::report_sample
