// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/stroke_flow.h"

#include <algorithm>
#include <cmath>
#include <opencv2/imgproc.hpp>

namespace paleproof::filters {
namespace {

constexpr float least_sure = 0.08F;
constexpr float least_energy = 0.05F;  // squared codes per pixel: below, rounding decides
constexpr float most_turn = 0.5F;      // cosine of 60 degrees
/// Pixels of a step along the flow: as wide as a cell of it. What is smoothed has been through a
/// Gaussian of a pixel and has nothing finer to miss.
constexpr float stride = 2.0F;

/// Mean of the gradient's products over cells of 2 x 2 pixels: xx, xy, yy.
cv::Mat tensor_cells(const Plane& picture) {
    const int cells_x = (picture.width + 1) / 2;
    const int cells_y = (picture.height + 1) / 2;
    cv::Mat result = cv::Mat::zeros(cells_y, cells_x, CV_32FC3);
    for (int y = 0; y < picture.height; ++y) {
        const float* above = picture.row(std::max(y - 1, 0));
        const float* here = picture.row(y);
        const float* below = picture.row(std::min(y + 1, picture.height - 1));
        auto* out = result.ptr<cv::Vec3f>(y / 2);
        for (int x = 0; x < picture.width; ++x) {
            const float gx = here[std::min(x + 1, picture.width - 1)] - here[std::max(x - 1, 0)];
            const float gy = below[x] - above[x];
            out[x / 2] += cv::Vec3f(gx * gx, gx * gy, gy * gy);
        }
    }
    return result;
}

}  // namespace

StrokeFlow stroke_flow(const Plane& picture, double reach) {
    cv::Mat tensor = tensor_cells(picture);
    const int size = 2 * static_cast<int>(std::ceil(2.5 * reach / 2.0)) + 1;
    cv::GaussianBlur(tensor, tensor, {size, size}, reach / 2.0, reach / 2.0, cv::BORDER_REPLICATE);
    StrokeFlow flow;
    flow.width = tensor.cols;
    flow.height = tensor.rows;
    flow.cells.resize(static_cast<std::size_t>(flow.width) * static_cast<std::size_t>(flow.height));
    std::size_t cell = 0;
    for (int y = 0; y < tensor.rows; ++y) {
        const auto* row = tensor.ptr<cv::Vec3f>(y);
        for (int x = 0; x < tensor.cols; ++x, ++cell) {
            const float xx = row[x][0];
            const float xy = row[x][1];
            const float yy = row[x][2];
            const float sum = xx + yy;
            if (sum < least_energy) continue;
            const float spread = std::sqrt((xx - yy) * (xx - yy) + 4.0F * xy * xy);
            // Eigenvector of the smaller eigenvalue l = (sum - spread) / 2: (l - yy, xy), or
            // (xy, l - xx), whichever is longer.
            const float l = 0.5F * (sum - spread);
            float tx = l - yy;
            float ty = xy;
            if (std::abs(l - xx) > std::abs(tx)) {
                tx = xy;
                ty = l - xx;
            }
            const float length = std::sqrt(tx * tx + ty * ty);
            if (length <= 0.0F) continue;
            flow.cells[cell] = {tx / length, ty / length, spread / sum};
        }
    }
    return flow;
}

Plane along_flow(const Plane& values, const StrokeFlow& flow, double deviation, float active) {
    const int steps =
        std::max(1, static_cast<int>(std::lround(2.0 * deviation / static_cast<double>(stride))));
    std::vector<float> weight(static_cast<std::size_t>(steps) + 1);
    for (int i = 0; i <= steps; ++i) {
        const double way = i * static_cast<double>(stride) / deviation;
        weight[static_cast<std::size_t>(i)] = static_cast<float>(std::exp(-0.5 * way * way));
    }
    const auto right = static_cast<float>(values.width - 1);
    const auto bottom = static_cast<float>(values.height - 1);
    const auto walk = [&](int x0, int y0, float sign, float& sum, float& weights) {
        auto x = static_cast<float>(x0);
        auto y = static_cast<float>(y0);
        StrokeFlow::Along along = flow.at(x0, y0);
        float dx = sign * stride * along.x;
        float dy = sign * stride * along.y;
        for (int i = 1; i <= steps; ++i) {
            x += dx;
            y += dy;
            if (x < 0.0F || y < 0.0F || x >= right || y >= bottom) return;
            const int ix = static_cast<int>(x);
            const int iy = static_cast<int>(y);
            const float fx = x - static_cast<float>(ix);
            const float fy = y - static_cast<float>(iy);
            const float* a = values.row(iy) + ix;
            const float* b = a + values.width;
            const float w = weight[static_cast<std::size_t>(i)];
            sum += w * ((1.0F - fy) * ((1.0F - fx) * a[0] + fx * a[1]) +
                        fy * ((1.0F - fx) * b[0] + fx * b[1]));
            weights += w;
            along = flow.at(ix, iy);
            if (along.sure < least_sure) return;
            const float dot = dx * along.x + dy * along.y;
            if (std::abs(dot) < stride * most_turn) return;
            const float turn = dot < 0.0F ? -stride : stride;
            dx = turn * along.x;
            dy = turn * along.y;
        }
    };
    Plane result = values;
    for (int y = 0; y < values.height; ++y) {
        const float* in = values.row(y);
        float* out = result.row(y);
        for (int x = 0; x < values.width; ++x) {
            if (in[x] >= active || flow.at(x, y).sure < least_sure) continue;
            float sum = in[x];
            float weights = 1.0F;
            walk(x, y, 1.0F, sum, weights);
            walk(x, y, -1.0F, sum, weights);
            out[x] = sum / weights;
        }
    }
    return result;
}

}  // namespace paleproof::filters
