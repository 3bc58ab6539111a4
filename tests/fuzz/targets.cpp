// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "targets.h"

#include <unistd.h>

#include <array>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>

#include "app/edition_record.h"
#include "app/job_file.h"
#include "app/source.h"
#include "codec/exif.h"
#include "codec/read_face.h"
#include "color/source_profile.h"
#include "core/error.h"

namespace paleproof::fuzz {
namespace {

namespace fs = std::filesystem;

template <class F>
void guarded(const F& read) {
    try {
        read();
    } catch (const Error& error) {
        if (error.kind() == ErrorKind::internal || error.detail().empty()) {
            std::fprintf(stderr, "an input led to: %s\n", error.what());
            std::abort();
        }
    }
}

/// A folder of this process alone, in memory where there is such a place.
const fs::path& folder() {
    static const fs::path path = [] {
        const fs::path base = fs::exists("/dev/shm") ? "/dev/shm" : fs::temp_directory_path();
        const fs::path made = base / ("paleproof-fuzz-" + std::to_string(getpid()));
        fs::create_directories(made);
        std::atexit([] {
            std::error_code none;
            fs::remove_all(folder(), none);
        });
        return made;
    }();
    return path;
}

fs::path written(const char* name, std::span<const std::uint8_t> bytes) {
    const fs::path file = folder() / name;
    std::ofstream stream(file, std::ios::binary | std::ios::trunc);
    stream.write(reinterpret_cast<const char*>(bytes.data()),
                 static_cast<std::streamsize>(bytes.size()));
    return file;
}

void picture(std::span<const std::uint8_t> bytes) {
    codec::ReadLimits limits;
    limits.max_pixels = 1'000'000;
    limits.max_scan_pixels = 20'000'000;
    guarded([&] {
        const codec::ReadFace got = codec::read_face(bytes, "input", limits);
        if (got.face.image.empty()) std::abort();
        if (got.face.mask && got.face.mask->size() != got.face.image.size()) std::abort();
    });
    guarded([&] { (void)codec::read_face_header(bytes, "input", limits); });
}

}  // namespace

void png(std::span<const std::uint8_t> bytes) { picture(bytes); }
void jpeg(std::span<const std::uint8_t> bytes) { picture(bytes); }

void icc(std::span<const std::uint8_t> bytes) {
    using color::SourceSpace;
    for (const SourceSpace space : {SourceSpace::gray, SourceSpace::rgb, SourceSpace::cmyk}) {
        guarded([&] {
            const color::ToSrgb table = color::ToSrgb::from_icc(bytes, space);
            std::array<std::uint8_t, 12> in{0, 1, 2, 40, 80, 120, 160, 200, 250, 253, 254, 255};
            std::array<std::uint8_t, 12> out{};
            table.convert(in.data(), out.data(), 3);
        });
    }
}

void exif(std::span<const std::uint8_t> bytes) {
    const codec::Exif found = codec::exif(bytes);
    if (found.orientation < 1 || found.orientation > 8) std::abort();
    if (!(found.x_ppi >= 0.0) || !(found.y_ppi >= 0.0)) std::abort();
}

void csv(std::span<const std::uint8_t> bytes) {
    const fs::path list = written("deck.csv", bytes);
    guarded([&] {
        const Deck deck = app::deck_of_list(list);
        for (const DeckFace& face : deck.faces) {
            if (face.back && *face.back >= deck.faces.size()) std::abort();
            if (face.copies < 0) std::abort();
        }
    });
}

void toml(std::span<const std::uint8_t> bytes) {
    const fs::path file = written("job.toml", bytes);
    guarded([&] {
        app::Job job;
        app::read_job_file(file, job);
        (void)app::job_file_text(job);
    });
}

void record(std::span<const std::uint8_t> bytes) {
    written("edition.json", bytes);
    guarded([&] {
        const app::EditionRecord found = app::read_record(folder());
        for (const app::RecordedFace& face : found.faces) {
            if (face.back && *face.back >= found.faces.size()) std::abort();
        }
    });
}

}  // namespace paleproof::fuzz
