// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// A whole edition of 54 faces against its floor: libpng decoding of the sources plus libpng
// encoding of gray pictures of the same pixels at level 1, on the same cores, in the same run.
// Then the same edition again with one face changed, and a shell loop of libvips' command-line tool
// that does only grayscale, a mirrored border and save.
//     edition_bench DECK_FOLDER SCRATCH [STYLE [FACES]]
// FACES: makes an edition of that many as well, and compares the time a face and the memory.
#include <fmt/core.h>
#include <png.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <optional>
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

/// PNG faces: the deck's own, again and again.
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
        if (count > deck_size) fs::create_hard_link(picture, files.back(), fault);
        if (count <= deck_size || fault) fs::copy_file(picture, files.back());
    }
    return files;
}

/// libvips: gray, 3 mm of mirrored border at 300 ppi, PNG; none when vips is not installed.
std::optional<double> vips_loop(const fs::path& cards, const fs::path& scratch) {
    if (std::system("command -v vips vipsheader >/dev/null 2>&1") != 0) return std::nullopt;
    fs::create_directories(scratch);
    const std::string loop = fmt::format(
        "cd '{}' && for f in '{}'/*.png; do "
        "w=$(vipsheader -f width \"$f\"); h=$(vipsheader -f height \"$f\"); "
        "vips colourspace \"$f\" gray.v b-w && "
        "vips embed gray.v \"$(basename \"$f\")[compression=1]\" 36 36 $((w + 72)) $((h + 72)) "
        "--extend mirror || exit 1; done",
        scratch.string(), cards.string());
    const auto start = std::chrono::steady_clock::now();
    if (std::system(loop.c_str()) != 0) throw std::runtime_error("the vips loop failed");
    return seconds_since(start);
}

void print(const std::string& what, double seconds, double floor, double peak_mib) {
    fmt::print("{:34} {:7.3f} s {:8.1f} faces/s {:7.2f} x floor", what, seconds,
               deck_size / seconds, seconds / floor);
    if (peak_mib > 0) fmt::print(" {:7.0f} MiB peak", peak_mib);
    fmt::print("\n");
}

/// Edition of `count` faces: seconds a face and peak memory.
ToolRun scaled_run(const fs::path& deck, const fs::path& scratch, const std::string& style,
                   std::size_t count) {
    const fs::path cards = scratch / fmt::format("cards-{}", count);
    bench_deck(deck, cards, count);
    const std::string out = (scratch / "out-scaled").string();
    fs::remove_all(out);
    ToolRun run = tool_run({"make", cards.string(), "-o", out, "--style", style, "-q"});
    run.seconds /= static_cast<double>(count);
    fs::remove_all(out);
    fs::remove_all(cards);
    return run;
}

}  // namespace

int main(int argc, char** argv) {
    try {
        if (argc < 3) {
            throw std::runtime_error("usage: edition_bench DECK_FOLDER SCRATCH [STYLE [FACES]]");
        }
        const fs::path scratch = argv[2];
        const std::string style = argc > 3 ? argv[3] : "gray";
        fs::remove_all(scratch);
        fs::create_directories(scratch / "floor");
        const auto files = bench_deck(argv[1], scratch / "cards", deck_size);
        const unsigned threads = std::max(1U, std::thread::hardware_concurrency());
        const std::string cards = (scratch / "cards").string();
        const std::string out = (scratch / "out").string();
        const std::vector<std::string> make_it{"make", cards, "-o", out, "--style", style, "-q"};

        // The best of three, taken in turns, so that a busy moment of the machine hits all alike.
        Floor floor{1e9, 1e9};
        ToolRun make{1e9, 0};
        ToolRun again{1e9, 0};
        ToolRun check{1e9, 0};
        std::optional<double> vips;
        for (int round = 0; round < 3; ++round) {
            const Floor f = floor_of(files, scratch / "floor", threads);
            floor = {std::min(floor.decode, f.decode), std::min(floor.both, f.both)};
            fs::remove_all(out);  // else the run would take over what it finds
            const ToolRun m = tool_run(make_it);
            make = {std::min(make.seconds, m.seconds), std::max(make.peak_mib, m.peak_mib)};
            const ToolRun c = tool_run({"check", cards, "-q"});
            check = {std::min(check.seconds, c.seconds), std::max(check.peak_mib, c.peak_mib)};
            fs::copy_file(files[static_cast<std::size_t>(round) + 1], files[0],
                          fs::copy_options::overwrite_existing);
            const ToolRun a = tool_run(make_it);
            again = {std::min(again.seconds, a.seconds), std::max(again.peak_mib, a.peak_mib)};
            if (const auto v = vips_loop(cards, scratch / "vips"))
                vips = std::min(*v, vips.value_or(*v));
        }
        fmt::print("{} faces, {} threads, style {}\n", deck_size, threads, style);
        print("decode floor (libpng)", floor.decode, floor.both, 0);
        print("floor: decode + encode level 1", floor.both, floor.both, 0);
        print("paleproof check", check.seconds, floor.both, check.peak_mib);
        print("paleproof make", make.seconds, floor.both, make.peak_mib);
        print("paleproof make, one face changed", again.seconds, floor.both, again.peak_mib);
        if (vips) {
            print("vips in a loop: gray, border, save", *vips, floor.both, 0);
        } else {
            fmt::print("vips is not installed (libvips-tools): not compared\n");
        }
        fmt::print(
            "check / decode floor {:.2f}   make / floor {:.2f}   one face changed / make {:.3f}",
            check.seconds / floor.decode, make.seconds / floor.both, again.seconds / make.seconds);
        if (vips) fmt::print("   make / vips {:.2f}", make.seconds / *vips);
        fmt::print("\n");
        if (argc > 4) {
            const auto count = static_cast<std::size_t>(std::stoul(argv[4]));
            const ToolRun few = scaled_run(argv[1], scratch, style, deck_size);
            const ToolRun many = scaled_run(argv[1], scratch, style, count);
            fmt::print(
                "{} faces: {:.1f} ms a face, {:.2f} x that of {}, {:.0f} MiB peak ({:.0f})\n",
                count, many.seconds * 1000.0, many.seconds / few.seconds, deck_size, many.peak_mib,
                few.peak_mib);
        }
        fs::remove_all(scratch);
        return 0;
    } catch (const std::exception& fault) {
        fmt::print(stderr, "edition_bench: {}\n", fault.what());
        return 2;
    }
}
