// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/band_net.h"

#include <algorithm>
#include <cmath>
#include <mutex>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <utility>
#include <vector>

#include "color/srgb.h"
#include "core/error.h"
#include "survey/text/conv_net.h"
#include "survey/text/mat_view.h"

namespace paleproof::survey {
namespace {

constexpr double net_ppi = 150.0;  // what the net was trained at
constexpr int net_cell = 2;        // net pixels for each cell of its answer
// Rows that one pass takes at most: bounds the memory of tall pictures. The passes overlap by more
// than the net sees around a cell.
constexpr int pass_rows = 1536;
constexpr int pass_overlap = 128;

/// Whole factors have a fast path when the picture is enlarged or reduced; text a tenth larger or
/// smaller is no other text.
double reduction(double ppi) {
    const double exact = ppi / net_ppi;
    const double whole = std::max(1.0, std::round(exact));
    return std::abs(exact / whole - 1.0) <= 0.13 ? whole : exact;
}

cv::Mat reduced(const cv::Mat& source, double factor) {
    if (factor == 1.0) {
        return source;
    }
    const auto side = [&](int n) { return std::max(1, static_cast<int>(std::lround(n / factor))); };
    cv::Mat result;
    cv::resize(source, result, {side(source.cols), side(source.rows)}, 0, 0,
               factor > 1.0 ? cv::INTER_AREA : cv::INTER_LINEAR);
    return result;
}

/// Pictures whose sides are not multiples of a whole factor lose up to factor - 1 pixels at the
/// right and bottom; that keeps the cells a whole number of pixels and the fast path.
cv::Mat whole_part(const cv::Mat& source, double factor) {
    const int k = static_cast<int>(factor);
    if (factor != k || k < 2 || source.cols < 4 * k || source.rows < 4 * k) {
        return source;
    }
    return source({0, 0, source.cols / k * k, source.rows / k * k});
}

Plane8 luminance(const cv::Mat& pixels) {
    Plane8 result(pixels.cols, pixels.rows);
    const color::GrayCodes& gray = color::gray_codes();
    for (int y = 0; y < pixels.rows; ++y) {
        const std::uint8_t* from = pixels.ptr(y);
        std::uint8_t* to = result.row(y);
        if (pixels.channels() == 1) {
            std::copy_n(from, pixels.cols, to);
            continue;
        }
        for (int x = 0; x < pixels.cols; ++x, from += 3) {
            to[x] = gray(from[0], from[1], from[2]);
        }
    }
    return result;
}

ConvNet loaded(std::span<const std::uint8_t> onnx) {
    std::optional<ConvNet> net = ConvNet::read(onnx);
    if (!net) {
        throw Error(ErrorKind::unsupported, "text net",
                    "expected ONNX of the layers that conv_net.h names");
    }
    return *std::move(net);
}

}  // namespace

struct BandNet::Pool {
    std::vector<std::uint8_t> onnx;
    std::mutex mutex;
    std::vector<ConvNet> free;

    ConvNet take() {
        {
            const std::scoped_lock lock(mutex);
            if (!free.empty()) {
                ConvNet net = std::move(free.back());
                free.pop_back();
                return net;
            }
        }
        return loaded(onnx);
    }

    void give(ConvNet net) {
        const std::scoped_lock lock(mutex);
        free.push_back(std::move(net));
    }

    std::vector<PlaneF> forward(const Plane8& gray, int top, int bottom) {
        ConvNet net = take();
        std::vector<PlaneF> maps = net.forward(gray, top, bottom);
        give(std::move(net));
        return maps;
    }
};

BandNet::BandNet(std::span<const std::uint8_t> onnx) : pool_(std::make_unique<Pool>()) {
    pool_->onnx.assign(onnx.begin(), onnx.end());
    pool_->give(loaded(onnx));
}

BandNet::~BandNet() = default;
BandNet::BandNet(BandNet&&) noexcept = default;
BandNet& BandNet::operator=(BandNet&&) noexcept = default;

BandMap BandNet::bands(const Image& image, Ppi ppi) const {
    const double factor = reduction(ppi.value);
    const cv::Mat plane = reduced(whole_part(mat(image), factor), factor);
    Plane8 gray = luminance(plane);
    const int rows = (plane.rows + net_cell - 1) / net_cell;
    const int cols = (plane.cols + net_cell - 1) / net_cell;
    BandMap result;
    result.cell_x = net_cell * factor;
    result.cell_y = net_cell * factor;
    const auto copy = [&](const PlaneF& map, PlaneF& to, int from_row, int to_row) {
        if (to.empty()) {
            to = PlaneF(cols, rows, 1, -20.0F);
        }
        for (int y = from_row; y < map.height && to_row < rows; ++y, ++to_row) {
            std::copy_n(map.row(y), std::min(cols, map.width), to.row(to_row));
        }
    };
    for (int top = 0; top < plane.rows; top += pass_rows - 2 * pass_overlap) {
        const int bottom = std::min(plane.rows, top + pass_rows);
        const auto maps = pool_->forward(gray, top, bottom);
        const int skip = top == 0 ? 0 : pass_overlap / net_cell;
        copy(maps[0], result.lines, skip, top / net_cell + skip);
        if (maps.size() > 1) {
            copy(maps[1], result.marks, skip, top / net_cell + skip);
        }
        if (bottom == plane.rows) {
            break;
        }
    }
    result.luminance = std::move(gray);
    return result;
}

}  // namespace paleproof::survey
