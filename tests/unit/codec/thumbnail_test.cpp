// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/thumbnail.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <vector>

#include "codec/read_face.h"
#include "core/error.h"
#include "support/pictures.h"

using namespace paleproof;

namespace {

codec::ReadFace opened(const Thumbnail& thumbnail) {
    const auto* bytes = reinterpret_cast<const std::uint8_t*>(thumbnail.jpeg.data());
    return codec::read_face(std::span(bytes, thumbnail.jpeg.size()), "thumbnail");
}

/// The mean of the area under each pixel of a smaller picture, the slow way.
std::vector<double> means(const Image& image, SizePx size) {
    std::vector<double> result;
    const double step_x = static_cast<double>(image.width()) / size.width;
    const double step_y = static_cast<double>(image.height()) / size.height;
    const auto overlap = [](double begin, double end, int i) {
        return std::max(0.0, std::min(end, i + 1.0) - std::max(begin, static_cast<double>(i)));
    };
    for (int y = 0; y < size.height; ++y) {
        for (int x = 0; x < size.width; ++x) {
            for (int c = 0; c < image.channels(); ++c) {
                double sum = 0;
                const int top = static_cast<int>(y * step_y);
                const int left = static_cast<int>(x * step_x);
                const int bottom = std::min(image.height(), static_cast<int>((y + 1) * step_y) + 1);
                const int right = std::min(image.width(), static_cast<int>((x + 1) * step_x) + 1);
                for (int v = top; v < bottom; ++v) {
                    for (int u = left; u < right; ++u) {
                        sum += image.row(v)[u * image.channels() + c] *
                               overlap(y * step_y, (y + 1) * step_y, v) *
                               overlap(x * step_x, (x + 1) * step_x, u);
                    }
                }
                result.push_back(sum / (step_x * step_y));
            }
        }
    }
    return result;
}

/// A thumbnail against the slow means: how far a value may be off, and all of them on average.
void check_means(const Image& image, int max_width, double most, double mean) {
    const Thumbnail t = codec::thumbnail(image, max_width);
    const std::vector<double> want = means(image, {t.width, t.height});
    const Image got = opened(t).face.image;
    REQUIRE(got.bytes().size() == want.size());
    double worst = 0;
    double sum = 0;
    for (std::size_t i = 0; i < want.size(); ++i) {
        worst = std::max(worst, std::abs(got.bytes()[i] - want[i]));
        sum += std::abs(got.bytes()[i] - want[i]);
    }
    CHECK(worst < most);
    CHECK(sum / static_cast<double>(want.size()) < mean);
}

}  // namespace

TEST_CASE("a thumbnail is as wide as asked, keeps its shape and is never enlarged") {
    const auto size = [](int w, int h, int max_width) {
        const Thumbnail t = codec::thumbnail(test::soft_card(w, h, Encoding::gray), max_width);
        CHECK(opened(t).face.image.size() == SizePx{t.width, t.height});
        CHECK(t.frame.empty());
        return SizePx{t.width, t.height};
    };
    CHECK(size(750, 1050, 360) == SizePx{360, 504});
    CHECK(size(100, 40, 360) == SizePx{100, 40});
    CHECK(size(361, 1, 360) == SizePx{360, 1});
    CHECK(size(1000, 1, 10) == SizePx{10, 1});
    CHECK(size(7, 900, 3) == SizePx{3, 386});
}

TEST_CASE("each pixel is the mean of the area that it covers") {
    // Against the slow mean above. The weights have 7 and 14 bits: a code; a smooth picture
    // at quality 76 adds up to 4 codes of JPEG.
    for (const auto& [w, h, max_width] :
         {std::tuple{750, 1050, 360}, {64, 64, 32}, {100, 77, 37}, {333, 200, 332}}) {
        Image image(w, h, Encoding::gray);
        for (int y = 0; y < h; ++y) {
            for (int x = 0; x < w; ++x) {
                const double soft = 128 + 100 * std::sin(0.02 * x) * std::cos(0.015 * y);
                image.row(y)[x] = static_cast<std::uint8_t>(soft);
            }
        }
        check_means(image, max_width, 5.0, 1.0);
    }
}

TEST_CASE("each channel of a color picture is a mean of its own") {
    // The slow mean again. JPEG keeps color at half the resolution, hence a picture of slow
    // changes.
    for (const auto& [w, h, max_width] :
         {std::tuple{750, 1050, 320}, {300, 420, 299}, {2000, 500, 40}, {61, 90, 17}}) {
        Image image(w, h, Encoding::srgb);
        for (int y = 0; y < h; ++y) {
            for (int x = 0; x < w; ++x) {
                const double at = 0.6 * x / w + 0.4 * y / h;
                std::uint8_t* p = image.row(y) + 3 * x;
                p[0] = static_cast<std::uint8_t>(128 + 90 * std::sin(at));
                p[1] = static_cast<std::uint8_t>(128 + 90 * std::cos(at));
                p[2] = static_cast<std::uint8_t>(128 - 60 * std::sin(at));
            }
        }
        check_means(image, max_width, 12.0, 2.0);
    }
}

TEST_CASE("flat pictures stay flat and keep their tone") {
    for (const int code : {0, 1, 127, 254, 255}) {
        for (const int width : {101, 257, 359, 361, 719, 5000}) {
            const Image flat = test::flat(width, 50, static_cast<std::uint8_t>(code));
            const Image got = opened(codec::thumbnail(flat, 360)).face.image;
            bool same = true;
            for (const std::uint8_t byte : got.bytes()) {
                same = same && byte == code;
            }
            CHECK(same);
        }
    }
}

TEST_CASE("gray and line art give gray thumbnails, color gives color") {
    CHECK(opened(codec::thumbnail(test::soft_card(50, 70, Encoding::gray), 20)).facts.channels ==
          1);
    const auto lines = opened(codec::thumbnail(test::noise(900, 900, Encoding::bilevel, 1), 9));
    CHECK(lines.facts.channels == 1);
    for (const std::uint8_t byte : lines.face.image.bytes()) {
        CHECK(std::abs(byte - 128) < 12);  // half of the dots are ink
    }
    CHECK(opened(codec::thumbnail(test::soft_card(50, 70, Encoding::srgb), 20)).facts.channels ==
          3);
}

TEST_CASE("the same picture gives the same thumbnail") {
    const Image image = test::soft_card(300, 400, Encoding::srgb);
    CHECK(codec::thumbnail(image, 123).jpeg == codec::thumbnail(image, 123).jpeg);
}

TEST_CASE("no picture or no width is our own mistake") {
    CHECK_THROWS_AS((void)codec::thumbnail(Image(), 10), Error);
    CHECK_THROWS_AS((void)codec::thumbnail(test::flat(1, 1, 0), 0), Error);
}
