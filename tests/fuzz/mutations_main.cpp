// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The same target without libFuzzer: every file of the folders given, then mutations of them from a
// fixed seed until the time is up.
//
//     fuzz_NAME SECONDS FOLDER...
#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <vector>

#include "png_checksums.h"
#include "targets.h"

namespace {

using Bytes = std::vector<std::uint8_t>;

Bytes mutated(Bytes bytes, const std::vector<Bytes>& corpus, std::mt19937& dice) {
    const auto below = [&dice](std::size_t n) { return n == 0 ? 0 : dice() % n; };
    const std::size_t changes = 1 + below(6);
    for (std::size_t i = 0; i < changes; ++i) {
        const std::size_t at = below(bytes.size());
        const std::size_t count = std::min(bytes.size() - at, 1 + below(16));
        const auto begin = bytes.begin() + static_cast<std::ptrdiff_t>(at);
        switch (below(7)) {
            case 0:
                if (!bytes.empty()) bytes[at] ^= static_cast<std::uint8_t>(1U << below(8));
                break;
            case 1:
                if (!bytes.empty()) bytes[at] = static_cast<std::uint8_t>(dice());
                break;
            case 2:
                bytes.erase(begin, begin + static_cast<std::ptrdiff_t>(count));
                break;
            case 3: {
                const Bytes part(begin, begin + static_cast<std::ptrdiff_t>(count));
                bytes.insert(bytes.begin() + static_cast<std::ptrdiff_t>(below(bytes.size() + 1)),
                             part.begin(), part.end());
                break;
            }
            case 4:
                for (std::size_t k = 0; k < std::min<std::size_t>(count, 4); ++k) {
                    bytes[at + k] = below(2) == 0 ? 0xFF : 0x00;
                }
                break;
            case 5:
                bytes.resize(at);
                break;
            default: {
                const Bytes& other = corpus[below(corpus.size())];
                const std::size_t from = below(other.size());
                bytes.resize(at);
                bytes.insert(bytes.end(), other.begin() + static_cast<std::ptrdiff_t>(from),
                             other.end());
            }
        }
    }
    return bytes;
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        std::fprintf(stderr, "usage: fuzz_NAME SECONDS FOLDER...\n");
        return 2;
    }
    std::vector<std::filesystem::path> files;
    for (int i = 2; i < argc; ++i) {
        for (const auto& entry : std::filesystem::directory_iterator(argv[i])) {
            if (entry.is_regular_file()) files.push_back(entry.path());
        }
    }
    std::ranges::sort(files);
    std::vector<Bytes> corpus;
    for (const auto& file : files) {
        std::ifstream stream(file, std::ios::binary);
        corpus.emplace_back(std::istreambuf_iterator<char>(stream),
                            std::istreambuf_iterator<char>());
        paleproof::fuzz::PALEPROOF_FUZZ_TARGET(corpus.back());
    }
    if (corpus.empty()) {
        std::fprintf(stderr, "no file to begin with\n");
        return 2;
    }
    std::mt19937 dice(1);
    const auto end = std::chrono::steady_clock::now() + std::chrono::seconds(std::atoi(argv[1]));
    long tried = 0;
    while (std::chrono::steady_clock::now() < end) {
        Bytes input = mutated(corpus[dice() % corpus.size()], corpus, dice);
        if (tried % 8 != 0) paleproof::fuzz::mend_png_checksums(input);
        // What stops the program lies here afterwards.
        std::ofstream("last-" + std::filesystem::path(argv[0]).filename().string(),
                      std::ios::binary)
            .write(reinterpret_cast<const char*>(input.data()),
                   static_cast<std::streamsize>(input.size()));
        paleproof::fuzz::PALEPROOF_FUZZ_TARGET(input);
        ++tried;
    }
    std::printf("%zu files and %ld mutations of them\n", corpus.size(), tried);
    return 0;
}
