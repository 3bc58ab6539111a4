// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <functional>
#include <vector>

// clang-format off: jpeglib.h needs the types of <cstdio> before it.
#include <jpeglib.h>
// clang-format on

// JPEG files written by libjpeg-turbo, with what a test wants to be special about them.
namespace paleproof::test {

/// `samples`: rows of interleaved samples in `space`. `adjust` runs after the defaults are set and
/// before the first row, `mark` after the header was begun (for APPn segments).
inline std::vector<std::uint8_t> jpeg_file(
    int width, int height, const std::vector<std::uint8_t>& samples, J_COLOR_SPACE space,
    const std::function<void(jpeg_compress_struct&)>& adjust = {},
    const std::function<void(jpeg_compress_struct&)>& mark = {}) {
    jpeg_compress_struct info{};
    jpeg_error_mgr errors{};
    info.err = jpeg_std_error(&errors);
    jpeg_create_compress(&info);
    unsigned char* bytes = nullptr;
    unsigned long size = 0;
    jpeg_mem_dest(&info, &bytes, &size);
    info.image_width = static_cast<JDIMENSION>(width);
    info.image_height = static_cast<JDIMENSION>(height);
    info.input_components = static_cast<int>(samples.size() / static_cast<std::size_t>(width) /
                                             static_cast<std::size_t>(height));
    info.in_color_space = space;
    jpeg_set_defaults(&info);
    jpeg_set_quality(&info, 92, TRUE);
    if (adjust) {
        adjust(info);
    }
    jpeg_start_compress(&info, TRUE);
    if (mark) {
        mark(info);
    }
    const std::size_t stride = static_cast<std::size_t>(width * info.input_components);
    while (info.next_scanline < info.image_height) {
        auto* row = const_cast<JSAMPROW>(samples.data() + info.next_scanline * stride);
        jpeg_write_scanlines(&info, &row, 1);
    }
    jpeg_finish_compress(&info);
    jpeg_destroy_compress(&info);
    std::vector<std::uint8_t> file(bytes, bytes + size);
    std::free(bytes);
    return file;
}

/// A gray file of one tone, with a say in its head.
inline std::vector<std::uint8_t> flat_jpeg(
    int width, int height, std::uint8_t tone,
    const std::function<void(jpeg_compress_struct&)>& adjust = {},
    const std::function<void(jpeg_compress_struct&)>& mark = {}) {
    const std::vector<std::uint8_t> samples(static_cast<std::size_t>(width * height), tone);
    return jpeg_file(width, height, samples, JCS_GRAYSCALE, adjust, mark);
}

inline void write_segment(jpeg_compress_struct& info, int app,
                          const std::vector<std::uint8_t>& data) {
    jpeg_write_marker(&info, JPEG_APP0 + app, data.data(), static_cast<unsigned>(data.size()));
}

}  // namespace paleproof::test
