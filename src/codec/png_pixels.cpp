// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/png_pixels.h"

#include <png.h>

#include <bit>
#include <csetjmp>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <memory>
#include <utility>

#include "core/error.h"

namespace paleproof::codec {
namespace {

/// What libpng's callbacks reach through their pointers. Trivial on purpose: a jump out of libpng
/// passes over no destructor.
struct Source {
    const std::uint8_t* next = nullptr;
    std::size_t left = 0;
    char message[160] = "";
};

extern "C" {

static void take_bytes(png_structp png, png_bytep out, std::size_t count) {
    auto* source = static_cast<Source*>(png_get_io_ptr(png));
    if (source->left < count) {
        png_error(png, "the file is cut short");
    }
    std::memcpy(out, source->next, count);
    source->next += count;
    source->left -= count;
}

[[noreturn]] static void jump_out(png_structp png, png_const_charp message) {
    auto* source = static_cast<Source*>(png_get_error_ptr(png));
    std::snprintf(source->message, sizeof source->message, "%s", message);
    png_longjmp(png, 1);
}

static void stay_silent(png_structp /*png*/, png_const_charp /*message*/) {}

}  // extern "C"

/// Owns libpng's reading state.
class PngReader {
  public:
    explicit PngReader(std::span<const std::uint8_t> file) {
        source.next = file.data();
        source.left = file.size();
        png = png_create_read_struct(PNG_LIBPNG_VER_STRING, &source, jump_out, stay_silent);
        info = png == nullptr ? nullptr : png_create_info_struct(png);
        if (info == nullptr) {
            png_destroy_read_struct(&png, nullptr, nullptr);
            throw std::bad_alloc();
        }
    }
    PngReader(const PngReader&) = delete;
    PngReader& operator=(const PngReader&) = delete;
    ~PngReader() { png_destroy_read_struct(&png, &info, nullptr); }

    png_structp png = nullptr;
    png_infop info = nullptr;
    Source source;
};

/// Runs `work`, which may call libpng; false when libpng reported an error. Nothing that `work`
/// keeps on its stack across a call of libpng may need a destructor.
template <class Work>
[[nodiscard]] bool without_error(PngReader& reader, const Work& work) {
    if (setjmp(png_jmpbuf(reader.png)) != 0) {
        return false;
    }
    work();
    return true;
}

void set_up(PngReader& reader, const PngChunks& chunks) {
    png_structp png = reader.png;
    png_set_read_fn(png, &reader.source, take_bytes);
    // The size was checked by the caller's own limits; chunks that are not needed are not opened.
    png_set_user_limits(png, chunks.width, chunks.height);
    png_set_keep_unknown_chunks(png, PNG_HANDLE_CHUNK_NEVER, nullptr, -1);
    png_set_chunk_cache_max(png, 8);
    png_set_chunk_malloc_max(png, 1U << 20U);
    png_read_info(png, reader.info);
    if (chunks.color == PngColor::palette) {
        png_set_packing(png);  // one index a byte
    } else {
        png_set_expand(png);  // 1 to 4 bits to 8, tRNS to alpha
    }
    if constexpr (std::endian::native == std::endian::little) {
        png_set_swap(png);
    }
}

}  // namespace

FaceRows png_rows(const PngChunks& png, color::ToSrgb conversion) {
    const bool alpha = png.color == PngColor::gray_alpha || png.color == PngColor::rgb_alpha ||
                       png.transparency.has_value();
    FaceRows rows(png.size(), std::move(conversion), alpha);
    if (png.color == PngColor::palette) {
        rows.set_palette(png.palette, png.transparency.value_or(std::span<const std::uint8_t>()));
    }
    return rows;
}

void decode_png_by_libpng(std::span<const std::uint8_t> file, const PngChunks& chunks,
                          FaceRows& rows, const std::string& subject) {
    PngReader reader(file);
    const auto fail = [&] {
        throw Error(ErrorKind::format, subject,
                    "expected " + std::to_string(chunks.height) +
                        " rows of PNG pixels, found damaged data: " + reader.source.message);
    };
    std::size_t row_bytes = 0;
    int passes = 1;
    if (!without_error(reader, [&] {
            set_up(reader, chunks);
            passes = png_set_interlace_handling(reader.png);
            png_read_update_info(reader.png, reader.info);
            row_bytes = png_get_rowbytes(reader.png, reader.info);
        })) {
        fail();
    }
    const auto height = static_cast<int>(chunks.height);
    const bool wide = chunks.bits == 16;
    // Both have read the chunks on their own; where they differ, rows would not fit.
    if (row_bytes != rows.samples() * chunks.width * (wide ? 2 : 1)) {
        throw Error(ErrorKind::format, subject,
                    "expected its transparency (tRNS) once and after its palette (PLTE), found "
                    "them in another order");
    }
    const bool direct = !wide && rows.direct();
    // Interlaced rows come together over several passes, so all must be kept.
    const std::size_t kept = direct ? 0 : passes > 1 ? chunks.height : 1;
    const auto buffer = std::make_unique_for_overwrite<std::uint8_t[]>(kept * row_bytes);
    std::uint8_t* const start = buffer.get();
    const auto place = [&](int y) {
        return direct ? rows.row(y)
                      : start + (passes > 1 ? static_cast<std::size_t>(y) * row_bytes : 0);
    };
    const bool indexed = chunks.color == PngColor::palette;
    bool indices_fit = true;
    const auto settle = [&](int y) {
        if (indexed) {
            indices_fit = rows.put_indices(y, place(y)) && indices_fit;
        } else if (direct) {
            rows.settle(y);
        } else if (wide) {
            rows.put(y, reinterpret_cast<const std::uint16_t*>(place(y)));
        } else {
            rows.put(y, place(y));
        }
    };
    if (!without_error(reader, [&] {
            for (int pass = 0; pass < passes; ++pass) {
                for (int y = 0; y < height; ++y) {
                    png_read_row(reader.png, place(y), nullptr);
                    if (passes == 1) {
                        settle(y);
                    }
                }
            }
        })) {
        fail();
    }
    for (int y = 0; passes > 1 && y < height; ++y) {
        settle(y);
    }
    if (!indices_fit) {
        throw Error(ErrorKind::format, subject,
                    "expected pixels of the " + std::to_string(chunks.palette.size() / 3) +
                        " colors in the palette, found others");
    }
}

void decode_png(std::span<const std::uint8_t> file, const PngChunks& png, FaceRows& rows,
                const std::string& subject) {
    if (!decode_png_at_once(png, rows)) {
        decode_png_by_libpng(file, png, rows, subject);
    }
}

}  // namespace paleproof::codec
