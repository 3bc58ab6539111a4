// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/jpeg_encoder.h"

#include <csetjmp>
#include <cstdio>
#include <cstdlib>
#include <new>

// clang-format off: jpeglib.h needs the types of <cstdio> before it, jerror.h those of jpeglib.h.
#include <jerror.h>
#include <jpeglib.h>
// clang-format on

#include "core/error.h"

namespace paleproof::codec {
namespace {

/// Trivial on purpose: a jump out of libjpeg passes over no destructor.
struct Libjpeg {
    jpeg_compress_struct info;
    jpeg_error_mgr errors;
    std::jmp_buf escape;
    char message[JMSG_LENGTH_MAX];
    unsigned char* bytes;
    unsigned long size;
};

extern "C" {

[[noreturn]] static void leave_libjpeg(j_common_ptr info) {
    auto* lib = static_cast<Libjpeg*>(info->client_data);
    info->err->format_message(info, lib->message);
    std::longjmp(lib->escape, 1);
}

static void stay_silent(j_common_ptr /*info*/, int /*level*/) {}

}  // extern "C"

/// Frees what libjpeg holds.
struct Encoder {
    Libjpeg lib{};
    Encoder() = default;
    Encoder(const Encoder&) = delete;
    Encoder& operator=(const Encoder&) = delete;
    ~Encoder() {
        jpeg_destroy_compress(&lib.info);
        std::free(lib.bytes);
    }
};

bool encode(Libjpeg& lib, const Image& image, int quality) {
    if (setjmp(lib.escape) != 0) {
        return false;
    }
    jpeg_compress_struct& info = lib.info;
    jpeg_create_compress(&info);
    jpeg_mem_dest(&info, &lib.bytes, &lib.size);
    info.image_width = static_cast<JDIMENSION>(image.width());
    info.image_height = static_cast<JDIMENSION>(image.height());
    info.input_components = image.channels();
    info.in_color_space = image.channels() == 3 ? JCS_RGB : JCS_GRAYSCALE;
    jpeg_set_defaults(&info);
    jpeg_set_quality(&info, quality, TRUE);
    info.dct_method = JDCT_ISLOW;
    jpeg_start_compress(&info, TRUE);
    while (info.next_scanline < info.image_height) {
        // libjpeg takes rows to change and leaves them as they are.
        auto* row = const_cast<JSAMPROW>(image.row(static_cast<int>(info.next_scanline)));
        jpeg_write_scanlines(&info, &row, 1);
    }
    jpeg_finish_compress(&info);
    return true;
}

}  // namespace

std::string encoded_jpeg(const Image& image, int quality) {
    Encoder encoder;
    Libjpeg& lib = encoder.lib;
    lib.info.err = jpeg_std_error(&lib.errors);
    lib.errors.error_exit = leave_libjpeg;
    lib.errors.emit_message = stay_silent;
    lib.info.client_data = &lib;
    if (!encode(lib, image, quality)) {
        if (lib.errors.msg_code == JERR_OUT_OF_MEMORY) {
            throw std::bad_alloc();
        }
        throw Error(ErrorKind::range, "JPEG", std::string("cannot be made: ") + lib.message);
    }
    return {reinterpret_cast<const char*>(lib.bytes), lib.size};
}

}  // namespace paleproof::codec
