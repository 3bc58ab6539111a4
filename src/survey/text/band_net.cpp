// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/band_net.h"

#include <algorithm>
#include <cmath>
#include <mutex>
#include <opencv2/dnn.hpp>
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
constexpr int multiple = 16;       // the net halves its input four times
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

int padded(int n) { return (n + multiple - 1) / multiple * multiple; }

/// One copy of the net. What our own layers do not know is left to OpenCV.
struct Runner {
    std::optional<ConvNet> own;
    cv::dnn::Net general;
};

Runner loaded(const std::vector<std::uint8_t>& onnx) {
    Runner result;
    result.own = ConvNet::read(onnx);
    if (!result.own) {
        result.general =
            cv::dnn::readNetFromONNX(reinterpret_cast<const char*>(onnx.data()), onnx.size());
        result.general.setPreferableBackend(cv::dnn::DNN_BACKEND_OPENCV);
        result.general.setPreferableTarget(cv::dnn::DNN_TARGET_CPU);
    }
    return result;
}

/// (h, w) pixels of 1 or 3 channels -> maps of (h / 2, w / 2) logits.
std::vector<PlaneF> forward(cv::dnn::Net& net, const cv::Mat& pixels) {
    cv::Mat whole;
    cv::copyMakeBorder(pixels, whole, 0, padded(pixels.rows) - pixels.rows, 0,
                       padded(pixels.cols) - pixels.cols, cv::BORDER_REPLICATE);
    net.setInput(cv::dnn::blobFromImage(whole, 1.0 / 255.0, whole.size()));
    const cv::Mat out = net.forward();
    std::vector<PlaneF> maps;
    for (int c = 0; c < std::min(2, out.size[1]); ++c) {
        const cv::Mat map(out.size[2], out.size[3], CV_32F,
                          const_cast<float*>(out.ptr<float>(0, c)));
        const int h = std::min(map.rows, (pixels.rows + net_cell - 1) / net_cell);
        const int w = std::min(map.cols, (pixels.cols + net_cell - 1) / net_cell);
        PlaneF& to = maps.emplace_back(w, h);
        for (int y = 0; y < h; ++y) {
            std::copy_n(map.ptr<float>(y), w, to.row(y));
        }
    }
    return maps;
}

}  // namespace

struct BandNet::Pool {
    std::vector<std::uint8_t> onnx;
    int channels = 1;
    std::mutex mutex;
    std::vector<std::unique_ptr<Runner>> free;

    std::unique_ptr<Runner> take() {
        {
            const std::scoped_lock lock(mutex);
            if (!free.empty()) {
                auto runner = std::move(free.back());
                free.pop_back();
                return runner;
            }
        }
        return std::make_unique<Runner>(loaded(onnx));
    }

    void give(std::unique_ptr<Runner> runner) {
        const std::scoped_lock lock(mutex);
        free.push_back(std::move(runner));
    }

    /// Rows [top, bottom): `gray` for a net of one channel, else `pixels`.
    std::vector<PlaneF> forward(const Plane8& gray, const cv::Mat& pixels, int top, int bottom) {
        auto runner = take();
        std::vector<PlaneF> maps =
            runner->own     ? runner->own->forward(gray, top, bottom)
            : channels == 1 ? survey::forward(runner->general,
                                              cv::Mat(bottom - top, gray.width, CV_8UC1,
                                                      const_cast<std::uint8_t*>(gray.row(top))))
                            : survey::forward(runner->general, pixels.rowRange(top, bottom));
        give(std::move(runner));
        return maps;
    }
};

BandNet::BandNet(std::span<const std::uint8_t> onnx) : pool_(std::make_unique<Pool>()) {
    pool_->onnx.assign(onnx.begin(), onnx.end());
    const Plane8 gray(32, 32, 1, 255);
    for (const int channels : {1, 3}) {
        pool_->channels = channels;
        try {
            const auto maps =
                pool_->forward(gray, cv::Mat(32, 32, CV_8UC3, cv::Scalar::all(255)), 0, 32);
            if (!maps.empty() && maps[0].height == 16 && maps[0].width == 16) {
                return;
            }
        } catch (const cv::Exception&) {
            pool_->free.clear();
        }
    }
    throw Error(ErrorKind::format, "text net",
                "expected ONNX with an input of 1 or 3 channels and logits at half its size");
}

BandNet::~BandNet() = default;
BandNet::BandNet(BandNet&&) noexcept = default;
BandNet& BandNet::operator=(BandNet&&) noexcept = default;

BandMap BandNet::bands(const Image& image, Ppi ppi) const {
    const double factor = reduction(ppi.value);
    cv::Mat plane = reduced(whole_part(mat(image), factor), factor);
    Plane8 gray = luminance(plane);
    if (pool_->channels == 3 && plane.channels() == 1) {
        cv::cvtColor(plane, plane, cv::COLOR_GRAY2RGB);
    }
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
        const auto maps = pool_->forward(gray, plane, top, bottom);
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
