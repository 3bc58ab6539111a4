// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/read_face.h"

#include <utility>

#include "codec/exif.h"
#include "codec/face_rows.h"
#include "codec/file_bytes.h"
#include "codec/jpeg_decoder.h"
#include "codec/orientation.h"
#include "codec/png_chunks.h"
#include "codec/png_pixels.h"
#include "codec/source_facts.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

using Bytes = std::span<const std::uint8_t>;

/// What the first bytes look like, for a message.
std::string looks_like(Bytes bytes) {
    if (bytes.empty()) {
        return "an empty file; save the picture again";
    }
    const auto begins = [&](std::string_view text, std::size_t at = 0) {
        if (bytes.size() < at + text.size()) {
            return false;
        }
        for (std::size_t i = 0; i < text.size(); ++i) {
            if (bytes[at + i] != static_cast<std::uint8_t>(text[i])) {
                return false;
            }
        }
        return true;
    };
    if (begins("GIF8")) {
        return "a GIF file; save the picture as PNG";
    }
    if (begins("RIFF") && begins("WEBP", 8)) {
        return "a WebP file; save the picture as PNG";
    }
    if (begins({"II*\0", 4}) || begins({"MM\0*", 4})) {
        return "a TIFF file; save the picture as PNG";
    }
    if (begins("%PDF")) {
        return "a PDF file; save the picture as PNG";
    }
    if (begins("8BPS")) {
        return "a layered file of an image editor; save the picture as PNG";
    }
    if (begins("BM")) {
        return "a BMP file; save the picture as PNG";
    }
    if (begins("<svg") || begins("<?xml")) {
        return "an SVG or XML file; save the picture as PNG";
    }
    if (begins("ftyp", 4)) {
        return "an AVIF, HEIF or video file; save the picture as PNG";
    }
    if (begins("version https://git-lfs")) {
        return "a pointer of Git LFS: the picture itself was not fetched";
    }
    return "another kind of file; save the picture as PNG";
}

[[noreturn]] void refuse(Bytes bytes, const std::string& subject) {
    throw Error(ErrorKind::format, subject,
                "expected a PNG or JPEG file, found " + looks_like(bytes));
}

FileFacts png_facts(const PngChunks& png, std::vector<std::string>& notes) {
    FileFacts facts;
    facts.format = "PNG";
    facts.stored = png.size();
    facts.bits = png.bits;
    facts.channels = png.channels();
    facts.had_profile = png.iccp.has_value();
    Exif block;
    if (png.exif) {
        block = exif(*png.exif);
    }
    facts.orientation = block.orientation;
    facts.ppi = png.x_ppi > 0.0 || png.y_ppi > 0.0 ? usable_ppi(png.x_ppi, png.y_ppi, notes)
                                                   : usable_ppi(block.x_ppi, block.y_ppi, notes);
    return facts;
}

ReadFace decoded(Bytes bytes, const std::string& subject, const ReadLimits& limits) {
    ReadFace result;
    if (is_png(bytes)) {
        const PngChunks png = png_chunks(bytes, subject, limits, true, result.notes);
        result.facts = png_facts(png, result.notes);
        FaceRows rows = png_rows(png, png_conversion(png, limits, result.facts, result.notes));
        decode_png(bytes, png, rows, subject);
        rows.move_into(result.face);
    } else if (is_jpeg(bytes)) {
        JpegDecoder jpeg(bytes, subject, limits, result.notes);
        result.facts = jpeg.facts();
        FaceRows rows(result.facts.stored, jpeg.conversion(), false);
        jpeg.decode(rows);
        rows.move_into(result.face);
    } else {
        refuse(bytes, subject);
    }
    Face& face = result.face;
    face.image = upright(std::move(face.image), result.facts.orientation);
    face.image.set_ppi(result.facts.ppi);
    if (face.mask) {
        face.mask = upright(std::move(*face.mask), result.facts.orientation);
        face.mask->set_ppi(result.facts.ppi);
    }
    return result;
}

FaceHeader header(Bytes bytes, const std::string& subject, const ReadLimits& limits) {
    FaceHeader result;
    if (is_png(bytes)) {
        const PngChunks png = png_chunks(bytes, subject, limits, false, result.notes);
        result.facts = png_facts(png, result.notes);
    } else if (is_jpeg(bytes)) {
        result.facts = JpegDecoder(bytes, subject, limits, result.notes).facts();
    } else {
        refuse(bytes, subject);
    }
    result.size = upright(result.facts.stored, result.facts.orientation);
    result.ppi = result.facts.ppi;
    return result;
}

}  // namespace

ReadFace read_face(const std::filesystem::path& file, const ReadLimits& limits) {
    const FileBytes bytes = file_bytes(file, limits.max_file_bytes);
    ReadFace result = decoded(bytes.span(), file.string(), limits);
    result.face.name = file.stem().string();
    return result;
}

ReadFace read_face(Bytes bytes, const std::string& name, const ReadLimits& limits) {
    ReadFace result = decoded(bytes, name, limits);
    result.face.name = name;
    return result;
}

FaceHeader read_face_header(const std::filesystem::path& file, const ReadLimits& limits) {
    const FileBytes bytes = file_bytes(file, limits.max_file_bytes);
    return header(bytes.span(), file.string(), limits);
}

FaceHeader read_face_header(Bytes bytes, const std::string& name, const ReadLimits& limits) {
    return header(bytes, name, limits);
}

}  // namespace paleproof::codec
