// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// A whole edition of 54 faces against its floor: libpng decoding of the sources plus libpng
// encoding of gray pictures of the same pixels at level 1, on the same cores, in the same run.
//     edition_bench DECK_FOLDER SCRATCH [STYLE]
#include <fmt/core.h>
#include <png.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <filesystem>
#include <string>
#include <thread>
#include <vector>

namespace fs = std::filesystem;

namespace {

constexpr std::size_t deck_size = 54;

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

void encode_gray(const Picture& picture, const fs::path& file) {
    std::vector<std::uint8_t> gray(picture.pixels.size() / 3);
    for (std::size_t i = 0; i < gray.size(); ++i) gray[i] = picture.pixels[3 * i + 1];
    FILE* stream = fopen(file.c_str(), "wb");
    if (stream == nullptr) throw std::runtime_error("cannot write " + file.string());
    png_structp png = png_create_write_struct(PNG_LIBPNG_VER_STRING, nullptr, nullptr, nullptr);
    png_infop info = png_create_info_struct(png);
    png_init_io(png, stream);
    png_set_compression_level(png, 1);
    png_set_IHDR(png, info, picture.width, picture.height, 8, PNG_COLOR_TYPE_GRAY,
                 PNG_INTERLACE_NONE, PNG_COMPRESSION_TYPE_DEFAULT, PNG_FILTER_TYPE_DEFAULT);
    png_write_info(png, info);
    for (std::uint32_t y = 0; y < picture.height; ++y) {
        png_write_row(png, gray.data() + static_cast<std::size_t>(y) * picture.width);
    }
    png_write_end(png, nullptr);
    png_destroy_write_struct(&png, &info);
    fclose(stream);
}

double seconds_since(std::chrono::steady_clock::time_point start) {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();
}

struct Floor {
    double decode = 0;
    double both = 0;
};

Floor floor_of(const std::vector<fs::path>& files, const fs::path& scratch, unsigned threads) {
    const auto run = [&](bool encode) {
        const auto start = std::chrono::steady_clock::now();
        std::atomic<std::size_t> next{0};
        std::vector<std::jthread> pool;
        for (unsigned t = 0; t < threads; ++t) {
            pool.emplace_back([&] {
                for (std::size_t i = next++; i < files.size(); i = next++) {
                    const Picture picture = decoded(files[i]);
                    if (encode) encode_gray(picture, scratch / (std::to_string(i) + ".png"));
                }
            });
        }
        pool.clear();
        return seconds_since(start);
    };
    return {run(false), run(true)};
}

struct ToolRun {
    double seconds = 0;
    double peak_mib = 0;
};

ToolRun tool_run(const std::vector<std::string>& arguments) {
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
    return {seconds_since(start), static_cast<double>(usage.ru_maxrss) / 1024.0};
}

/// 54 PNG faces: the deck's own, again and again.
std::vector<fs::path> bench_deck(const fs::path& deck, const fs::path& folder) {
    std::vector<fs::path> pictures;
    for (const auto& entry : fs::directory_iterator(deck)) {
        if (entry.path().extension() == ".png") pictures.push_back(entry.path());
    }
    std::ranges::sort(pictures);
    if (pictures.empty()) throw std::runtime_error("no PNG faces in " + deck.string());
    fs::create_directories(folder);
    std::vector<fs::path> files;
    for (std::size_t i = 0; i < deck_size; ++i) {
        files.push_back(folder / fmt::format("face-{:02}.png", i));
        fs::copy_file(pictures[i % pictures.size()], files.back(),
                      fs::copy_options::overwrite_existing);
    }
    return files;
}

void print(const std::string& what, double seconds, double floor, double peak_mib) {
    fmt::print("{:34} {:7.3f} s {:8.1f} faces/s {:7.2f} x floor", what, seconds,
               deck_size / seconds, seconds / floor);
    if (peak_mib > 0) fmt::print(" {:7.0f} MiB peak", peak_mib);
    fmt::print("\n");
}

}  // namespace

int main(int argc, char** argv) {
    try {
        if (argc < 3) throw std::runtime_error("usage: edition_bench DECK_FOLDER SCRATCH [STYLE]");
        const fs::path scratch = argv[2];
        const std::string style = argc > 3 ? argv[3] : "gray";
        fs::remove_all(scratch);
        fs::create_directories(scratch / "floor");
        const auto files = bench_deck(argv[1], scratch / "cards");
        const unsigned threads = std::max(1U, std::thread::hardware_concurrency());
        const std::string cards = (scratch / "cards").string();
        const std::string out = (scratch / "out").string();

        // The best of three, taken in turns, so that a busy moment of the machine hits all alike.
        Floor floor{1e9, 1e9};
        ToolRun make{1e9, 0};
        ToolRun check{1e9, 0};
        for (int round = 0; round < 3; ++round) {
            const Floor f = floor_of(files, scratch / "floor", threads);
            floor = {std::min(floor.decode, f.decode), std::min(floor.both, f.both)};
            const ToolRun m = tool_run({"make", cards, "-o", out, "--style", style, "-q"});
            make = {std::min(make.seconds, m.seconds), std::max(make.peak_mib, m.peak_mib)};
            const ToolRun c = tool_run({"check", cards, "-q"});
            check = {std::min(check.seconds, c.seconds), std::max(check.peak_mib, c.peak_mib)};
        }
        fmt::print("{} faces, {} threads, style {}\n", deck_size, threads, style);
        print("decode floor (libpng)", floor.decode, floor.both, 0);
        print("floor: decode + encode level 1", floor.both, floor.both, 0);
        print("paleproof check", check.seconds, floor.both, check.peak_mib);
        print("paleproof make", make.seconds, floor.both, make.peak_mib);
        fmt::print("check / decode floor {:.2f}   make / floor {:.2f}\n",
                   check.seconds / floor.decode, make.seconds / floor.both);
        fs::remove_all(scratch);
        return 0;
    } catch (const std::exception& fault) {
        fmt::print(stderr, "edition_bench: {}\n", fault.what());
        return 2;
    }
}
