// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "edition_runs.h"

#include <fmt/core.h>
#include <png.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdint>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <map>
#include <stdexcept>
#include <system_error>
#include <thread>

namespace paleproof::bench {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t copied_faces = 54;

struct Picture {
    std::vector<std::uint8_t> pixels;
    std::uint32_t width = 0;
    std::uint32_t height = 0;
};

Picture decoded(const fs::path& file) {
    png_image png{};
    png.version = PNG_IMAGE_VERSION;
    if (png_image_begin_read_from_file(&png, file.c_str()) == 0)
        throw std::runtime_error(png.message);
    png.format = PNG_FORMAT_RGB;
    Picture picture{std::vector<std::uint8_t>(PNG_IMAGE_SIZE(png)), png.width, png.height};
    if (png_image_finish_read(&png, nullptr, picture.pixels.data(), 0, nullptr) == 0) {
        throw std::runtime_error(png.message);
    }
    return picture;
}

/// At level 1; `channels` of the picture's three are written.
void encode(const Picture& picture, std::uint32_t channels, const fs::path& file) {
    FILE* stream = fopen(file.c_str(), "wb");
    if (stream == nullptr) throw std::runtime_error("cannot write " + file.string());
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
    png_infop info = png_create_info_struct(png);
    png_init_io(png, stream);
    png_set_compression_level(png, 1);
    png_set_IHDR(png, info, picture.width, picture.height, 8,
                 channels == 1 ? PNG_COLOR_TYPE_GRAY : PNG_COLOR_TYPE_RGB, PNG_INTERLACE_NONE,
                 PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    constexpr png_uint_32 per_meter_300_ppi = 11811;
    png_set_pHYs(png, info, per_meter_300_ppi, per_meter_300_ppi, PNG_RESOLUTION_METER);
    png_write_info(png, info);
    std::vector<std::uint8_t> row(std::size_t{picture.width} * channels);
    for (std::uint32_t y = 0; y < picture.height; ++y) {
        const std::uint8_t* in = picture.pixels.data() + std::size_t{y} * picture.width * 3;
        for (std::size_t i = 0; i < row.size(); ++i) row[i] = channels == 1 ? in[3 * i + 1] : in[i];
        png_write_row(png, row.data());
    }
    png_write_end(png, nullptr);
    png_destroy_write_struct(&png, &info);
    fclose(stream);
}

double processor_of(const rusage& usage) {
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
    };
    return seconds(usage.ru_utime) + seconds(usage.ru_stime);
}

double processor_now(int who) {
    rusage usage{};
    getrusage(who, &usage);
    return processor_of(usage);
}

double seconds_since(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

std::map<std::string, std::string> content_of(const fs::path& folder) {
    std::map<std::string, std::string> content;
    for (auto i = fs::recursive_directory_iterator(folder); i != fs::end(i); ++i) {
        if (i->path().filename() == ".paleproof-cache") {
            i.disable_recursion_pending();
        } else if (i->is_regular_file()) {
            std::ifstream stream(i->path(), std::ios::binary);
            content[i->path().lexically_relative(folder).string()] = {
                std::istreambuf_iterator<char>(stream), {}};
        }
    }
    return content;
}

bool installed(const std::string& programs) {
    const std::string ask = "command -v " + programs + " >/dev/null 2>&1";
    return std::system(ask.c_str()) == 0;
}

}  // namespace

Taken best(const Taken& a, const Taken& b) {
    return {std::min(a.seconds, b.seconds), std::min(a.processor, b.processor),
            std::max(a.peak_mib, b.peak_mib)};
}

std::vector<fs::path> bench_deck(const fs::path& deck, const fs::path& folder, std::size_t count) {
    std::vector<fs::path> pictures;
    for (const auto& entry : fs::directory_iterator(deck)) {
        if (entry.path().extension() == ".png") pictures.push_back(entry.path());
    }
    std::ranges::sort(pictures);
    if (pictures.empty()) throw std::runtime_error("no PNG faces in " + deck.string());
    fs::create_directories(folder);
    std::vector<fs::path> files;
    for (std::size_t i = 0; i < count; ++i) {
        files.push_back(folder / fmt::format("face-{:04}.png", i));
        const fs::path& picture = pictures[i % pictures.size()];
        std::error_code fault;
        if (count > copied_faces) fs::create_hard_link(picture, files.back(), fault);
        if (count <= copied_faces || fault) fs::copy_file(picture, files.back());
    }
    return files;
}

Taken floor_run(const std::vector<fs::path>& files, const fs::path& scratch, bool with_encoding) {
    fs::create_directories(scratch);
    const double before = processor_now(RUSAGE_SELF);
    const auto start = std::chrono::steady_clock::now();
    std::atomic<std::size_t> next{0};
    std::vector<std::jthread> pool;
    for (unsigned t = 0; t < std::max(1U, std::thread::hardware_concurrency()); ++t) {
        pool.emplace_back([&] {
            for (std::size_t i = next++; i < files.size(); i = next++) {
                const Picture picture = decoded(files[i]);
                if (with_encoding) encode(picture, 1, scratch / (std::to_string(i) + ".png"));
            }
        });
    }
    pool.clear();
    return {seconds_since(start), processor_now(RUSAGE_SELF) - before, 0};
}

Taken tool_run(const std::vector<std::string>& arguments) {
    const auto start = std::chrono::steady_clock::now();
    const pid_t child = fork();
    if (child == 0) {
        std::vector<char*> argv{const_cast<char*>(PALEPROOF_BINARY)};
        for (const std::string& argument : arguments)
            argv.push_back(const_cast<char*>(argument.c_str()));
        argv.push_back(nullptr);
        if (freopen("/dev/null", "w", stdout) == nullptr) _exit(127);
        execv(PALEPROOF_BINARY, argv.data());
        _exit(127);
    }
    int status = 0;
    rusage usage{};
    wait4(child, &status, 0, &usage);
    const int code = WIFEXITED(status) ? WEXITSTATUS(status) : 128;
    if (code != 0 && code != 3)
        throw std::runtime_error("paleproof ended with " + std::to_string(code));
    return {seconds_since(start), processor_of(usage),
            static_cast<double>(usage.ru_maxrss) / 1024.0};
}

std::optional<Taken> vips_loop(const fs::path& cards, const fs::path& scratch) {
    if (!installed("vips") || !installed("vipsheader")) return std::nullopt;
    fs::create_directories(scratch);
    const std::string loop = fmt::format(
        "cd '{}' && for f in '{}'/*.png; do "
        "w=$(vipsheader -f width \"$f\"); h=$(vipsheader -f height \"$f\"); "
        "vips colourspace \"$f\" gray.v b-w && "
        "vips embed gray.v \"$(basename \"$f\")[compression=1]\" 36 36 $((w + 72)) $((h + 72)) "
        "--extend mirror || exit 1; done",
        scratch.string(), cards.string());
    const double before = processor_now(RUSAGE_CHILDREN);
    const auto start = std::chrono::steady_clock::now();
    if (std::system(loop.c_str()) != 0) throw std::runtime_error("the vips loop failed");
    return Taken{seconds_since(start), processor_now(RUSAGE_CHILDREN) - before, 0};
}

void change_words(const fs::path& face) {
    // Shares of the height: the two lines of rules on the first face of the demo deck.
    constexpr double first = 0.784, second = 0.823, height = 0.036;
    Picture picture = decoded(face);
    const std::size_t stride = std::size_t{picture.width} * 3;
    const auto row = [&](double share) {
        return picture.pixels.begin() +
               static_cast<std::ptrdiff_t>(static_cast<std::size_t>(share * picture.height) *
                                           stride);
    };
    const auto bytes =
        static_cast<std::ptrdiff_t>(static_cast<std::size_t>(height * picture.height) * stride);
    std::swap_ranges(row(first), row(first) + bytes, row(second));
    fs::remove(face);  // it may be a hard link
    encode(picture, 3, face);
}

bool same_edition(const fs::path& a, const fs::path& b) { return content_of(a) == content_of(b); }

std::optional<PdfCheck> pdf_check(const fs::path& edition) {
    if (!installed("qpdf")) return std::nullopt;
    PdfCheck check;
    for (const auto& entry : fs::directory_iterator(edition)) {
        if (entry.path().extension() != ".pdf") continue;
        ++check.all;
        const std::string ask = "qpdf --check '" + entry.path().string() + "' >/dev/null 2>&1";
        if (std::system(ask.c_str()) == 0) ++check.sound;
    }
    return check;
}

}  // namespace paleproof::bench
