// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include <doctest/doctest.h>

#include <array>
#include <opencv2/dnn.hpp>
#include <string>

namespace {

struct Expected {
    int channel, row, column;
    float logit;
};

struct Pattern {
    int rows, columns;
    std::array<Expected, 5> cells;
};

// Logits of PyTorch on the net before its export, by src/survey/train/check_net.py.
constexpr std::array<Pattern, 2> patterns = {{
    {528,
     384,
     {{{0, 0, 0, -4.01505F},
       {0, 17, 31, -2.21681F},
       {1, 20, 40, -4.30183F},
       {0, 47, 79, -0.68522F},
       {1, 5, 66, -4.43540F}}}},
    {96,
     160,
     {{{0, 0, 0, -4.01554F},
       {0, 17, 31, -1.87075F},
       {1, 20, 40, -3.83788F},
       {0, 47, 79, -3.10148F},
       {1, 5, 66, -4.27002F}}}},
}};

cv::Mat drawn(const Pattern& p) {
    cv::Mat out(p.rows, p.columns, CV_32F);
    for (int i = 0; i < p.rows; ++i)
        for (int j = 0; j < p.columns; ++j)
            out.at<float>(i, j) = static_cast<float>(((i * 7 + j * 13) ^ (i * j / 5)) % 256) / 255;
    return out;
}

}  // namespace

TEST_CASE("the text-line net answers as PyTorch does, at two sizes") {
    cv::dnn::Net net =
        cv::dnn::readNetFromONNX(std::string(PALEPROOF_ROOT) + "/src/survey/text/text_net.onnx");
    for (const Pattern& p : patterns) {
        CAPTURE(p.rows);
        net.setInput(cv::dnn::blobFromImage(drawn(p)));
        const cv::Mat out = net.forward();
        REQUIRE(out.dims == 4);
        CHECK(out.size[1] == 2);
        CHECK(out.size[2] == p.rows / 2);
        CHECK(out.size[3] == p.columns / 2);
        for (const Expected& e : p.cells) {
            const std::array<int, 4> at = {0, e.channel, e.row, e.column};
            CHECK(out.at<float>(at.data()) == doctest::Approx(e.logit).epsilon(0.0005));
        }
    }
}
