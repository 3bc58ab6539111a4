// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cstddef>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace paleproof::bench {

/// What something took: on the clock, and of all processors together.
struct Taken {
    double seconds = 1e9;
    double processor = 1e9;
    double peak_mib = 0;
};

/// The least of both times, the most memory.
[[nodiscard]] Taken best(const Taken& a, const Taken& b);

/// PNG faces: the deck's own, again and again, face-0000.png and on. Many are hard links.
[[nodiscard]] std::vector<std::filesystem::path> bench_deck(const std::filesystem::path& deck,
                                                            const std::filesystem::path& folder,
                                                            std::size_t count);

/// libpng decoding of the faces on all cores; with `encode` also libpng encoding, at level 1, of
/// gray pictures of the same pixels.
[[nodiscard]] Taken floor_run(const std::vector<std::filesystem::path>& files,
                              const std::filesystem::path& scratch, bool encode);

/// One run of the tool; status 0 or 3 (findings) is fine, another throws.
[[nodiscard]] Taken tool_run(const std::vector<std::string>& arguments);

/// libvips' command-line tool in a shell loop: gray, 3 mm of mirrored border at 300 ppi, PNG; none
/// when it is not installed.
[[nodiscard]] std::optional<Taken> vips_loop(const std::filesystem::path& cards,
                                             const std::filesystem::path& scratch);

/// Rewrites a face with other words: two bands of its rules change places.
void change_words(const std::filesystem::path& face);

/// All files of an edition but its cache, as one text to compare.
[[nodiscard]] bool same_edition(const std::filesystem::path& a, const std::filesystem::path& b);

/// How many PDFs of the folder `qpdf --check` finds sound, and how many there are; none when qpdf
/// is not installed.
struct PdfCheck {
    int sound = 0, all = 0;
};
[[nodiscard]] std::optional<PdfCheck> pdf_check(const std::filesystem::path& edition);

}  // namespace paleproof::bench
