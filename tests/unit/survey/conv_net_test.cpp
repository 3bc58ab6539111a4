// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Against OpenCV's dnn, which runs the same file.
#include "survey/text/conv_net.h"

#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <opencv2/dnn.hpp>
#include <utility>
#include <vector>

#include "core/error.h"
#include "survey/text/builtin_net.h"
#include "survey/text/net_kernels.h"

using namespace paleproof;
using survey::ConvNet;
using survey::Plane8;
using survey::PlaneF;

namespace {

Plane8 drawn(int width, int height) {
    Plane8 plane(width, height);
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            plane.at(x, y) = static_cast<std::uint8_t>(((y * 7 + x * 13) ^ (x * y / 5)) % 256);
        }
    }
    return plane;
}

/// Numbers of a layer with its margin of two pixels.
struct Numbers {
    std::vector<float> data;
    survey::Layer layer;

    Numbers(int width, int height, int channels)
        : data(static_cast<std::size_t>((width + 4) * (height + 4) * channels)) {
        const int row = (width + 4) * channels;
        layer = {data.data() + 2 * row + 2 * channels, width, height, channels, row};
    }
    void fill(int seed) {
        for (int y = 0; y < layer.height; ++y) {
            for (int i = 0; i < layer.width * layer.channels; ++i) {
                layer.at[y * layer.row + i] =
                    static_cast<float>((y * 31 + i * 17 + seed) % 64 - 32) / 32;
            }
        }
    }
};

double difference(const Numbers& a, const Numbers& b) {
    double most = 0;
    for (std::size_t i = 0; i < a.data.size(); ++i) {
        most = std::max(most, std::abs(static_cast<double>(a.data[i]) - b.data[i]));
    }
    return most;
}

}  // namespace

TEST_CASE("the net's layers give what OpenCV's dnn gives, at odd sizes too") {
    const auto bytes = survey::builtin_text_net();
    auto own = ConvNet::read(bytes);
    REQUIRE(own);
    cv::dnn::Net reference =
        cv::dnn::readNetFromONNX(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    for (const auto& [a_width, height] :
         std::vector<std::pair<int, int>>{{384, 528}, {375, 525}, {1, 1}, {17, 3}, {375, 525}}) {
        const auto& width = a_width;  // clang 14 captures no bindings
        CAPTURE(width);
        const Plane8 plane = drawn(width, height);
        const std::vector<PlaneF> maps = own->forward(plane, 0, height);
        REQUIRE(maps.size() == 2);
        REQUIRE(maps[0].width == (width + 1) / 2);
        REQUIRE(maps[1].height == (height + 1) / 2);
        cv::Mat whole;
        const cv::Mat pixels(height, width, CV_8UC1, const_cast<std::uint8_t*>(plane.row(0)));
        cv::copyMakeBorder(pixels, whole, 0, (16 - height % 16) % 16, 0, (16 - width % 16) % 16,
                           cv::BORDER_REPLICATE);
        reference.setInput(cv::dnn::blobFromImage(whole, 1.0 / 255.0, whole.size()));
        const cv::Mat out = reference.forward();
        double most = 0;
        double range = 0;
        for (int c = 0; c < 2; ++c) {
            for (int y = 0; y < maps[0].height; ++y) {
                for (int x = 0; x < maps[0].width; ++x) {
                    const std::array<int, 4> at{0, c, y, x};
                    const float here = maps[static_cast<std::size_t>(c)].at(x, y);
                    const double there = out.at<float>(at.data());
                    most = std::max(most, std::abs(static_cast<double>(here) - there));
                    range = std::max(range, std::abs(there));
                }
            }
        }
        // Ours count in whole numbers of 14 bits. Logits go to 5 and more, and a band is told apart
        // from its ground by ones.
        CHECK(most < 0.05);
        CHECK(range > 2.0);
    }
}

TEST_CASE("rows of a plane are a plane of their own") {
    auto net = ConvNet::read(survey::builtin_text_net());
    REQUIRE(net);
    const Plane8 plane = drawn(64, 96);
    Plane8 part(64, 48);
    std::copy_n(plane.row(32), 64 * 48, part.data.begin());
    CHECK(net->forward(plane, 32, 80)[0].data == net->forward(part, 0, 48)[0].data);
}

TEST_CASE("the kernels of all processors agree") {
    const survey::NetKernels &fast = survey::net_kernels(), &plain = survey::plain_net_kernels();
    for (const int channels : {8, 16, 24, 32, 48}) {
        for (const int width : {1, 5, 13, 24}) {
            CAPTURE(channels);
            CAPTURE(width);
            Numbers in(2 * width, 6, channels), other(width, 3, channels), a(width, 3, channels),
                b(width, 3, channels);
            in.fill(1);
            other.fill(2);
            std::vector<float> weights(static_cast<std::size_t>(9 * channels * channels)),
                bias(static_cast<std::size_t>(channels));
            for (std::size_t i = 0; i < weights.size(); ++i) {
                weights[i] = static_cast<float>(i % 23) / 100 - 0.1F;
            }
            std::vector<short> codes(weights.size()), room(in.data.size() + 2);
            for (std::size_t i = 0; i < codes.size(); ++i) {
                codes[i] = static_cast<short>(static_cast<int>(i % 4001) - 2000);
            }
            const std::vector<float> units(static_cast<std::size_t>(channels), 1e-4F);
            const survey::Filter filter{.weights = weights.data(),
                                        .codes = codes.data(),
                                        .units = units.data(),
                                        .most = 2000.0F,
                                        .bias = bias.data(),
                                        .side = 3,
                                        .stride = 2,
                                        .relu = true};
            fast.dense(in.layer, filter, room.data(), a.layer);
            plain.dense(in.layer, filter, room.data(), b.layer);
            CHECK(difference(a, b) < 1e-5);
            CHECK(*std::max_element(a.data.begin(), a.data.end()) > 0);
            fast.depthwise(in.layer, filter, a.layer);
            plain.depthwise(in.layer, filter, b.layer);
            CHECK(difference(a, b) < 1e-5);
            Numbers sum(2 * width, 6, channels), again(2 * width, 6, channels);
            fast.add(in.layer, other.layer, false, sum.layer);
            plain.add(in.layer, other.layer, false, again.layer);
            CHECK(difference(sum, again) == 0);
        }
    }
}

TEST_CASE("a net of other layers is left to others, broken bytes are refused") {
    const auto bytes = survey::builtin_text_net();
    CHECK_THROWS_AS(std::ignore = ConvNet::read(bytes.first(bytes.size() / 2)), Error);
    CHECK_FALSE(ConvNet::read({}));
}
