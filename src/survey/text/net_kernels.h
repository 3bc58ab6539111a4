// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

namespace paleproof::survey {

/// Numbers of a layer as the kernels want them: rows of pixels of `channels` floats each, a margin
/// of zeros around. `at` is the first channel of pixel (0, 0).
struct Layer {
    float* at = nullptr;
    int width = 0, height = 0;
    int channels = 0;  ///< 1, or a multiple of 8
    int row = 0;       ///< floats from a row to the next
};

/// A convolution: out = relu(weights * in + bias).
struct Filter {
    const float* weights = nullptr;  ///< of a depthwise one, [ky][kx][channel]
    /// Of a dense one, in whole numbers: [ky][pair][out][2], where a pair is two neighbors of the
    /// row of [kx][in], the last one filled up with 0.
    const short* codes = nullptr;
    const float* units = nullptr;  ///< what a code of each output stands for
    float most = 0.0F;             ///< largest code of an input with which no sum overflows
    const float* bias = nullptr;
    int side = 1;    ///< 1, 3 or 5
    int stride = 1;  ///< 1 or 2
    bool relu = false;
};

/// The work of the net's layers. There are two builds of the same code: for any x86-64, and for
/// processors with AVX2 and FMA, twice as fast. Their sums differ in the last digits.
struct NetKernels {
    /// In whole numbers of 16 bits, sums in 32. `codes` has room for in.row * (in.height + 4) + 2.
    void (*dense)(const Layer& in, const Filter& filter, short* codes, const Layer& out);
    void (*depthwise)(const Layer& in, const Filter& filter, const Layer& out);
    /// out = a + b; `b` of half the size is enlarged by repetition.
    void (*add)(const Layer& a, const Layer& b, bool relu, const Layer& out);
};

/// The fastest build that this processor runs.
[[nodiscard]] const NetKernels& net_kernels();
/// The build for any processor.
[[nodiscard]] const NetKernels& plain_net_kernels();

}  // namespace paleproof::survey
