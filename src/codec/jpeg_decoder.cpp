// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "codec/jpeg_decoder.h"

#include <algorithm>
#include <array>
#include <csetjmp>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <new>

// clang-format off: jpeglib.h needs the types of <cstdio> before it, jerror.h those of jpeglib.h.
#include <jerror.h>
#include <jpeglib.h>
// clang-format on

#include "codec/exif.h"
#include "codec/jpeg_segments.h"
#include "codec/source_facts.h"
#include "core/error.h"

namespace paleproof::codec {
namespace {

/// A profile has at most 255 parts; whatever else comes in APP1 and APP2 is not needed.
constexpr std::size_t most_segments = 512;

/// All that libjpeg and its callbacks touch. Trivial on purpose: a jump out of libjpeg passes over
/// no destructor.
struct Libjpeg {
    jpeg_decompress_struct info;
    jpeg_error_mgr errors;
    jpeg_source_mgr source;
    jpeg_progress_mgr progress;
    std::jmp_buf escape;
    char message[JMSG_LENGTH_MAX];
    std::array<JpegSegment, most_segments> segments;
    std::size_t segment_count;
    int code;         ///< of the error that ended the work
    int scan_limit;   ///< passes over the picture
    bool ran_out;     ///< more bytes were asked for than there are
    bool damaged;     ///< pixels were made up
    bool stray;       ///< bytes that belong to nothing
    bool odd_scans;   ///< a progression that no encoder should write
    bool many_scans;  ///< more than scan_limit
};

Libjpeg& owner(j_common_ptr info) { return *static_cast<Libjpeg*>(info->client_data); }

extern "C" {

[[noreturn]] static void leave_libjpeg(j_common_ptr info) {
    Libjpeg& lib = owner(info);
    lib.code = info->err->msg_code;
    info->err->format_message(info, lib.message);
    std::longjmp(lib.escape, 1);
}

static void note_warning(j_common_ptr info, int level) {
    if (level >= 0) {
        return;
    }
    Libjpeg& lib = owner(info);
    switch (info->err->msg_code) {
        case JWRN_EXTRANEOUS_DATA:
            lib.stray = true;
            break;
        case JWRN_BOGUS_PROGRESSION:
            lib.odd_scans = true;
            break;
        case JWRN_ADOBE_XFORM:
        case JWRN_JFIF_MAJOR:
        case JWRN_NOT_SEQUENTIAL:
            break;
        default:  // bad codes, missing restart markers, segments that end too soon
            if (!lib.damaged) {
                info->err->format_message(info, lib.message);
            }
            lib.damaged = true;
            break;
    }
}

static void count_scans(j_common_ptr info) {
    Libjpeg& lib = owner(info);
    if (lib.info.input_scan_number > lib.scan_limit) {
        lib.many_scans = true;
        std::longjmp(lib.escape, 1);
    }
}

static void begin_source(j_decompress_ptr /*info*/) {}

/// The bytes are all there from the start: whoever asks for more gets an end marker.
static boolean past_the_end(j_decompress_ptr info) {
    static const JOCTET end_marker[2] = {0xFF, JPEG_EOI};
    owner(reinterpret_cast<j_common_ptr>(info)).ran_out = true;
    info->src->next_input_byte = end_marker;
    info->src->bytes_in_buffer = 2;
    return TRUE;
}

static void skip_bytes(j_decompress_ptr info, long count) {
    if (count > 0) {
        const auto step = std::min(static_cast<std::size_t>(count), info->src->bytes_in_buffer);
        info->src->next_input_byte += step;
        info->src->bytes_in_buffer -= step;
    }
}

/// Remembers where an APP1 or APP2 segment lies. libjpeg would copy each one, and a large file can
/// hold millions.
static boolean keep_segment(j_decompress_ptr info) {
    auto* common = reinterpret_cast<j_common_ptr>(info);
    Libjpeg& lib = owner(common);
    jpeg_source_mgr& source = *info->src;
    constexpr std::size_t length_bytes = 2;
    const std::size_t left = source.bytes_in_buffer;
    const std::size_t length = left < length_bytes ? 0
                                                   : std::size_t{source.next_input_byte[0]} << 8U |
                                                         source.next_input_byte[1];
    if (left < length_bytes || left < length) {
        lib.ran_out = true;
        ERREXIT(info, JERR_INPUT_EOF);
    }
    if (length < length_bytes) {
        ERREXIT(info, JERR_BAD_LENGTH);
    }
    if (lib.segment_count < most_segments) {
        lib.segments[lib.segment_count++] = {
            info->unread_marker - JPEG_APP0,
            {source.next_input_byte + length_bytes, length - length_bytes}};
    }
    source.next_input_byte += length;
    source.bytes_in_buffer -= length;
    return TRUE;
}

static void end_source(j_decompress_ptr /*info*/) {}

}  // extern "C"

/// Runs `work`, which may call libjpeg; false when it ended in an error. Nothing that `work` keeps
/// on its stack across a call of libjpeg may need a destructor.
template <class Work>
[[nodiscard]] bool without_error(Libjpeg& lib, const Work& work) {
    if (setjmp(lib.escape) != 0) {
        return false;
    }
    work();
    return true;
}

/// Whether a progressive file never sent some coefficient to its last bit: libjpeg keeps count of
/// the bits that are open, -1 for all.
bool lacks_detail(const jpeg_decompress_struct& info) {
    if (info.progressive_mode == 0 || info.coef_bits == nullptr) {
        return false;
    }
    for (int component = 0; component < info.num_components; ++component) {
        for (const int open_bits : info.coef_bits[component]) {
            if (open_bits != 0) {
                return true;
            }
        }
    }
    return false;
}

ErrorKind kind_of(int code) {
    switch (code) {
        case JERR_BAD_PRECISION:
        case JERR_SOF_UNSUPPORTED:
        case JERR_ARITH_NOTIMPL:
        case JERR_NOTIMPL:
        case JERR_NOT_COMPILED:
        case JERR_CCIR601_NOTIMPL:
        case JERR_FRACT_SAMPLE_NOTIMPL:
        case JERR_CONVERSION_NOTIMPL:
        case JERR_COMPONENT_COUNT:
        case JERR_EMPTY_IMAGE:
            return ErrorKind::unsupported;
        case JERR_IMAGE_TOO_BIG:
            return ErrorKind::range;
        default:
            return ErrorKind::format;
    }
}

}  // namespace

struct JpegDecoder::State {
    Libjpeg lib{};
    std::string subject;
    std::vector<std::string>* notes = nullptr;
    FileFacts facts;
    color::SourceSpace space = color::SourceSpace::rgb;
    std::vector<std::uint8_t> profile;

    ~State() { jpeg_destroy_decompress(&lib.info); }
    [[noreturn]] void fail(const char* expected) const;
    void set_up(std::span<const std::uint8_t> bytes);
    void read_segments();
    void choose_colors();
};

void JpegDecoder::State::fail(const char* expected) const {
    if (lib.code == JERR_OUT_OF_MEMORY) {
        throw std::bad_alloc();
    }
    if (lib.many_scans) {
        throw Error(ErrorKind::range, subject,
                    "expected at most " + std::to_string(lib.scan_limit) +
                        " passes over a progressive JPEG of this size, found more; save it again");
    }
    const ErrorKind kind = kind_of(lib.code);
    if (kind == ErrorKind::range) {
        throw Error(kind, subject, "expected sides of at most 65500 pixels, found more");
    }
    if (kind == ErrorKind::unsupported) {
        throw Error(kind, subject,
                    std::string("expected a baseline or progressive JPEG of 8 bits, found another "
                                "kind (") +
                        lib.message + "); save it again");
    }
    const std::string found = lib.ran_out ? "found the end of the file: it is cut short"
                                          : "found damaged data: " + std::string(lib.message);
    throw Error(kind, subject, std::string("expected ") + expected + ", " + found);
}

void JpegDecoder::State::set_up(std::span<const std::uint8_t> bytes) {
    lib.info.err = jpeg_std_error(&lib.errors);
    lib.errors.error_exit = leave_libjpeg;
    lib.errors.emit_message = note_warning;
    lib.info.client_data = &lib;
    lib.source.init_source = begin_source;
    lib.source.fill_input_buffer = past_the_end;
    lib.source.skip_input_data = skip_bytes;
    lib.source.resync_to_restart = jpeg_resync_to_restart;
    lib.source.term_source = end_source;
    lib.source.next_input_byte = bytes.data();
    lib.source.bytes_in_buffer = bytes.size();
    lib.progress.progress_monitor = count_scans;
    lib.scan_limit = 1;
    if (!without_error(lib, [&] {
            jpeg_create_decompress(&lib.info);
            lib.info.src = &lib.source;
            jpeg_set_marker_processor(&lib.info, JPEG_APP0 + 1, keep_segment);
            jpeg_set_marker_processor(&lib.info, JPEG_APP0 + 2, keep_segment);
            jpeg_read_header(&lib.info, TRUE);
        })) {
        fail("a JPEG header");
    }
}

void JpegDecoder::State::read_segments() {
    const std::span<const JpegSegment> segments(lib.segments.data(), lib.segment_count);
    const Exif block = exif(exif_block(segments));
    facts.orientation = block.orientation;
    double x_ppi = block.x_ppi;
    double y_ppi = block.y_ppi;
    if (lib.info.saw_JFIF_marker != 0 &&
        (lib.info.density_unit == 1 || lib.info.density_unit == 2)) {
        constexpr double cm_per_inch = 2.54;
        const double per_inch = lib.info.density_unit == 1 ? 1.0 : cm_per_inch;
        x_ppi = lib.info.X_density * per_inch;
        y_ppi = lib.info.Y_density * per_inch;
    }
    facts.ppi = usable_ppi(x_ppi, y_ppi, *notes);
    profile = icc_profile(segments, facts.had_profile, *notes);
}

void JpegDecoder::State::choose_colors() {
    switch (lib.info.jpeg_color_space) {
        case JCS_GRAYSCALE:
            space = color::SourceSpace::gray;
            lib.info.out_color_space = JCS_GRAYSCALE;
            break;
        case JCS_RGB:
        case JCS_YCbCr:
            space = color::SourceSpace::rgb;
            lib.info.out_color_space = JCS_RGB;
            break;
        case JCS_CMYK:
        case JCS_YCCK:
            space = color::SourceSpace::cmyk;
            lib.info.out_color_space = JCS_CMYK;
            break;
        default:
            throw Error(ErrorKind::unsupported, subject,
                        "expected a JPEG of 1, 3 or 4 channels, found " +
                            std::to_string(lib.info.num_components));
    }
}

bool is_jpeg(std::span<const std::uint8_t> bytes) {
    return bytes.size() >= 3 && bytes[0] == 0xFF && bytes[1] == 0xD8 && bytes[2] == 0xFF;
}

JpegDecoder::JpegDecoder(std::span<const std::uint8_t> bytes, const std::string& subject,
                         const ReadLimits& limits, std::vector<std::string>& notes)
    : state_(std::make_unique<State>()) {
    state_->subject = subject;
    state_->notes = &notes;
    state_->set_up(bytes);
    const jpeg_decompress_struct& info = state_->lib.info;
    check_size(info.image_width, info.image_height, limits, subject);
    const std::uint64_t affordable =
        limits.max_scan_pixels / (std::uint64_t{info.image_width} * info.image_height);
    state_->lib.scan_limit = static_cast<int>(
        std::min<std::uint64_t>(static_cast<std::uint64_t>(limits.max_scans), affordable));
    state_->facts.format = "JPEG";
    state_->facts.stored = {static_cast<int>(info.image_width),
                            static_cast<int>(info.image_height)};
    state_->facts.bits = info.data_precision;
    state_->facts.channels = info.num_components;
    state_->choose_colors();
    state_->read_segments();
}

JpegDecoder::~JpegDecoder() = default;

const FileFacts& JpegDecoder::facts() const { return state_->facts; }

color::ToSrgb JpegDecoder::conversion() const {
    if (!state_->profile.empty()) {
        if (const auto conversion =
                profile_conversion(state_->profile, state_->space, *state_->notes)) {
            return *conversion;
        }
    }
    return state_->space == color::SourceSpace::cmyk ? color::ToSrgb::default_cmyk()
                                                     : color::ToSrgb::srgb(state_->space);
}

void JpegDecoder::decode(FaceRows& rows) {
    Libjpeg& lib = state_->lib;
    jpeg_decompress_struct& info = lib.info;
    info.dct_method = JDCT_ISLOW;
    info.do_fancy_upsampling = TRUE;
    info.progress = &lib.progress;
    // With the Adobe marker, CMYK is stored inverted: 0 = full ink (libjpeg.txt, "Special color
    // spaces"). Without it, 0 = no ink.
    const bool inverted = state_->space == color::SourceSpace::cmyk && info.saw_Adobe_marker != 0;
    const bool direct = rows.direct() && !inverted;
    std::vector<std::uint8_t> buffer(
        direct ? 0 : info.image_width * static_cast<std::size_t>(info.num_components));
    bool one_scan = false;
    bool coarse = false;
    const bool done = without_error(lib, [&] {
        jpeg_start_decompress(&info);
        one_scan = jpeg_has_multiple_scans(&info) == 0 && info.arith_code == 0;
        while (info.output_scanline < info.output_height) {
            const auto y = static_cast<int>(info.output_scanline);
            JSAMPROW row = direct ? rows.row(y) : buffer.data();
            jpeg_read_scanlines(&info, &row, 1);
            if (direct) {
                rows.settle(y);
                continue;
            }
            if (inverted) {
                for (std::uint8_t& sample : buffer) {
                    sample = static_cast<std::uint8_t>(255 - sample);
                }
            }
            rows.put(y, buffer.data());
        }
        coarse = lacks_detail(info);
        jpeg_finish_decompress(&info);
    });
    if (!done) {
        state_->fail("JPEG pixels");
    }
    // A picture in one Huffman-coded scan whose pixels are all there may lack its end marker; in
    // any other kind of file what is missing may have been pixels.
    if (lib.damaged || (lib.ran_out && !one_scan)) {
        state_->fail("JPEG pixels");
    }
    if (lib.ran_out) {
        state_->notes->emplace_back("the file ends without its end marker (EOI)");
    }
    if (coarse) {
        state_->notes->emplace_back(
            "the file holds a coarse version of the picture only: it may have been cut short");
    }
    if (lib.stray) {
        state_->notes->emplace_back(
            "the file has bytes that belong to none of its parts: look whether the picture is "
            "whole");
    }
    if (lib.odd_scans) {
        state_->notes->emplace_back("the passes of this progressive file come in an odd order");
    }
}

}  // namespace paleproof::codec
