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
     {{{0, 0, 0, -2.89465F},
       {0, 17, 31, -1.98302F},
       {1, 20, 40, -5.49233F},
       {0, 47, 79, -1.43491F},
       {1, 5, 66, -6.89239F}}}},
    {96,
     160,
     {{{0, 0, 0, -2.89515F},
       {0, 17, 31, -1.90412F},
       {1, 20, 40, -5.53921F},
       {0, 47, 79, -1.55185F},
       {1, 5, 66, -5.51189F}}}},
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
