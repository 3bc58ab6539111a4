// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// A whole edition of 54 faces against its floor: libpng decoding of the sources plus libpng
// encoding of gray pictures of the same pixels at level 1, on the same cores, in the same run. Each
// ratio is given by the clock and by processor time; the first counts on a quiet machine, the
// second also on a busy one.
//     edition_bench DECK_FOLDER SCRATCH [--rounds N] [--faces N,N...] [--threads N,N...]
// --faces makes gray editions of so many faces, too: time a face against 54, memory, PDFs, report.
// --threads makes the edition with so many threads and compares every byte.
#include <fmt/core.h>

#include <filesystem>
#include <sstream>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "edition_runs.h"

namespace fs = std::filesystem;
using namespace paleproof::bench;

namespace {

constexpr std::size_t deck_size = 54;

struct Wish {
    fs::path deck, scratch;
    int rounds = 3;
    std::vector<std::size_t> faces, threads;
};

std::vector<std::size_t> numbers(const std::string& text) {
    std::vector<std::size_t> result;
    std::istringstream stream(text);
    for (std::string part; std::getline(stream, part, ',');) result.push_back(std::stoul(part));
    return result;
}

Wish wish_of(int argc, char** argv) {
    if (argc < 3 || argc % 2 == 0) {
        throw std::runtime_error(
            "usage: edition_bench DECK_FOLDER SCRATCH [--rounds N] [--faces N,N...] "
            "[--threads N,N...]");
    }
    Wish wish{.deck = argv[1], .scratch = argv[2]};
    for (int i = 3; i + 1 < argc; i += 2) {
        const std::string option = argv[i];
        if (option == "--rounds") {
            wish.rounds = std::stoi(argv[i + 1]);
        } else if (option == "--faces") {
            wish.faces = numbers(argv[i + 1]);
        } else if (option == "--threads") {
            wish.threads = numbers(argv[i + 1]);
        } else {
            throw std::runtime_error("no option " + option);
        }
    }
    return wish;
}

void print(const std::string& what, const Taken& taken, const Taken& floor) {
    fmt::print("| {:<34} | {:8.3f} | {:9.3f} | {:8.1f} | {:6.2f} | {:9.2f} | {:>8} |\n", what,
               taken.seconds, taken.processor, deck_size / taken.seconds,
               taken.seconds / floor.seconds, taken.processor / floor.processor,
               taken.peak_mib > 0 ? fmt::format("{:.0f}", taken.peak_mib) : "");
}

void print_aim(const std::string& what, const std::string& wanted, const Taken& a, const Taken& b) {
    fmt::print("| {:<44} | {:>7} | {:6.2f} | {:9.2f} |\n", what, wanted, a.seconds / b.seconds,
               a.processor / b.processor);
}

/// The edition of 54 faces in its ways, in turns, so that a busy moment of the machine hits all.
Taken table(const Wish& wish) {
    const fs::path cards = wish.scratch / "cards", out = wish.scratch / "out";
    const fs::path clean = wish.scratch / "clean", earlier = wish.scratch / "earlier";
    const auto files = bench_deck(wish.deck, cards, deck_size);
    const fs::path original = wish.scratch / "original.png";
    fs::copy_file(files[0], original);
    const auto make = [&](const fs::path& to, const std::string& style) {
        return tool_run({"make", cards.string(), "-o", to.string(), "--style", style, "-q"});
    };
    const auto make_since = [&](const fs::path& to) {
        return tool_run(
            {"make", cards.string(), "-o", to.string(), "-q", "--changed-since", earlier.string()});
    };
    Taken decoding, floor, check, gray, again, words, art, art_since, line;
    std::optional<Taken> vips;
    bool same = true;
    for (int round = 0; round < wish.rounds; ++round) {
        decoding = best(decoding, floor_run(files, wish.scratch / "floor", false));
        floor = best(floor, floor_run(files, wish.scratch / "floor", true));
        check = best(check, tool_run({"check", cards.string(), "-q"}));
        fs::remove_all(out);  // else the run would take over what it finds
        line = best(line, make(out, "line"));
        fs::remove_all(out);
        gray = best(gray, make(out, "gray"));
        again = best(again, make(out, "gray"));
        change_words(files[0]);
        words = best(words, make(out, "gray"));
        const bool first = round == 0;  // the comparison is no part of what is timed
        if (first) (void)make(clean, "gray");
        if (first) same = same_edition(out, clean);
        fs::copy_file(files[static_cast<std::size_t>(round) + 3], files[0],
                      fs::copy_options::overwrite_existing);
        art = best(art, make(out, "gray"));
        if (first) fs::remove_all(clean);
        if (first) (void)make(clean, "gray");
        if (first) same = same_edition(out, clean) && same;
        fs::copy_file(original, files[0], fs::copy_options::overwrite_existing);
        (void)make(out, "gray");
        fs::remove_all(earlier);
        fs::copy(out, earlier, fs::copy_options::recursive);
        fs::copy_file(files[static_cast<std::size_t>(round) + 3], files[0],
                      fs::copy_options::overwrite_existing);
        art_since = best(art_since, make_since(out));
        if (first) fs::remove_all(clean);
        if (first) (void)make_since(clean);
        if (first) same = same_edition(out, clean) && same;
        fs::copy_file(original, files[0], fs::copy_options::overwrite_existing);
        if (const auto v = vips_loop(cards, wish.scratch / "vips")) {
            vips = best(*v, vips.value_or(*v));
        }
    }
    fmt::print("{} faces, {} cores, best of {}\n\n", deck_size, std::thread::hardware_concurrency(),
               wish.rounds);
    fmt::print(
        "| {:<34} | {:>8} | {:>9} | {:>8} | {:>6} | {:>9} | {:>8} |\n| {:-<34} | {:->8} | {:->9} | "
        "{:->8} | {:->6} | {:->9} | {:->8} |\n",
        "", "clock s", "processor", "faces/s", "floor", "processor", "peak MiB", "", ":", ":", ":",
        ":", ":", ":");
    print("decoding (libpng)", decoding, floor);
    print("floor: decode and encode", floor, floor);
    print("check", check, floor);
    print("make --style gray", gray, floor);
    print("the same, nothing changed", again, floor);
    print("the same, words of a face changed", words, floor);
    print("the same, another face in its place", art, floor);
    print("the same, with the grays of the last", art_since, floor);
    print("make --style line, 600 ppi", line, floor);
    if (vips) print("libvips in a loop: gray, border, save", *vips, floor);
    fmt::print("\n| {:<44} | {:>7} | {:>6} | {:>9} |\n| {:-<44} | {:->7} | {:->6} | {:->9} |\n",
               "aim", "wanted", "clock", "processor", "", ":", ":", ":");
    print_aim("check over the decoding", "2.5", check, decoding);
    print_aim("make gray over the floor", "2.5", gray, floor);
    print_aim("make line at 600 ppi over the floor", "6", line, floor);
    print_aim("words of one face changed over make", "0.15", words, gray);
    print_aim("another face in one's place over make", "0.15", art, gray);
    print_aim("the same with --changed-since", "0.15", art_since, gray);
    if (vips) print_aim("make gray over the loop of libvips", "under 1", gray, *vips);
    fmt::print("\nmade again after a change, the same bytes as made anew: {}\n",
               same ? "yes" : "NO");
    if (!same) throw std::runtime_error("an edition made again is not that of a clean run");
    return gray;
}

/// Gray editions of many faces: the time a face against `few` of 54.
void scale(const Wish& wish, const Taken& few) {
    for (const std::size_t count : wish.faces) {
        const fs::path cards = wish.scratch / fmt::format("cards-{}", count);
        const fs::path out = wish.scratch / "out-many";
        (void)bench_deck(wish.deck, cards, count);
        const Taken many = tool_run({"make", cards.string(), "-o", out.string(), "-q"});
        const auto per_face = [&](double a, double b) {
            return a / static_cast<double>(count) / (b / static_cast<double>(deck_size));
        };
        const auto pdfs = pdf_check(out);
        std::size_t pictures = 0;
        std::error_code fault;
        for (const auto& entry : fs::directory_iterator(out / "report-pictures", fault)) {
            if (entry.is_regular_file()) ++pictures;
        }
        fmt::print(
            "{} faces: {:.1f} s; a face {:.2f} x that of {} by the clock, {:.2f} x by processor "
            "time (wanted 1.15); {:.0f} MiB peak (wanted 450); {}; report.html {:.1f} MiB and {} "
            "pictures\n",
            count, many.seconds, per_face(many.seconds, few.seconds), deck_size,
            per_face(many.processor, few.processor), many.peak_mib,
            pdfs ? fmt::format("{} of {} PDFs sound", pdfs->sound, pdfs->all) : "qpdf is missing",
            static_cast<double>(fs::file_size(out / "report.html")) / 1048576.0, pictures);
        fs::remove_all(out);
        fs::remove_all(cards);
    }
}

void threads(const Wish& wish) {
    const fs::path first = wish.scratch / "threads-first", other = wish.scratch / "threads-other";
    for (std::size_t i = 0; i < wish.threads.size(); ++i) {
        const fs::path& out = i == 0 ? first : other;
        fs::remove_all(out);
        (void)tool_run({"make", (wish.scratch / "cards").string(), "-o", out.string(), "--threads",
                        std::to_string(wish.threads[i]), "-q"});
        if (i == 0) continue;
        const bool same = same_edition(first, other);
        fmt::print("{} threads and {}: {}\n", wish.threads[0], wish.threads[i],
                   same ? "the same bytes" : "OTHER BYTES");
        if (!same) throw std::runtime_error("the number of threads changed the edition");
    }
}

}  // namespace

int main(int argc, char** argv) {
    try {
        const Wish wish = wish_of(argc, argv);
        fs::remove_all(wish.scratch);
        fs::create_directories(wish.scratch);
        const Taken gray = table(wish);
        scale(wish, gray);
        threads(wish);
        fs::remove_all(wish.scratch);
        return 0;
    } catch (const std::exception& fault) {
        fmt::print(stderr, "edition_bench: {}\n", fault.what());
        return 2;
    }
}
