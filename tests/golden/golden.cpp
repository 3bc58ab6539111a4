// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "golden/golden.h"

#include <fmt/core.h>

#include <algorithm>
#include <cstdlib>
#include <filesystem>

#include "codec/pack.h"
#include "codec/read_face.h"

namespace paleproof::test {
namespace {

namespace fs = std::filesystem;

int codes(const Image& image) { return image.width() * image.channels(); }

/// Whether a pixel of a 1-bit picture has a neighbor of the other tone.
bool beside_edge(const Image& image, int x, int y) {
    for (int v = std::max(0, y - 1); v <= std::min(image.height() - 1, y + 1); ++v) {
        for (int u = std::max(0, x - 1); u <= std::min(image.width() - 1, x + 1); ++u) {
            if (image.row(v)[u] != image.row(y)[x]) return true;
        }
    }
    return false;
}

/// Expected, four times the difference from middle gray, and actual.
void write_side_by_side(const Image& expected, const Image& actual, const fs::path& file) {
    Image three(3 * actual.width(), actual.height(),
                actual.channels() == 3 ? Encoding::srgb : Encoding::gray, Ppi{300});
    for (int y = 0; y < actual.height(); ++y) {
        const int n = codes(actual);
        for (int i = 0; i < n; ++i) {
            const int e = expected.row(y)[i];
            const int a = actual.row(y)[i];
            three.row(y)[i] = static_cast<std::uint8_t>(e);
            three.row(y)[n + i] = static_cast<std::uint8_t>(std::clamp(128 + 4 * (a - e), 0, 255));
            three.row(y)[2 * n + i] = static_cast<std::uint8_t>(a);
        }
    }
    fs::create_directories(file.parent_path());
    codec::write_png(file, codec::packed(three));
}

}  // namespace

std::string golden_mismatch(const std::string& filter, const std::string& name, const Image& actual,
                            GoldenLimit limit) {
    const fs::path file = fs::path(PALEPROOF_FIXTURES) / "expected" / filter / (name + ".png");
    if (std::getenv("PALEPROOF_MAKE_GOLDEN") != nullptr) {
        fs::create_directories(file.parent_path());
        codec::write_png(file, codec::packed(actual, codec::PackLevel::small));
        return file.string() + " was written: look at it, then run without PALEPROOF_MAKE_GOLDEN";
    }
    if (!fs::exists(file)) return file.string() + " is missing";
    const Image expected = codec::read_face(file).face.image;
    if (expected.size() != actual.size() || expected.channels() != actual.channels()) {
        return fmt::format("expected {} x {} with {} channels, got {} x {} with {}",
                           expected.width(), expected.height(), expected.channels(), actual.width(),
                           actual.height(), actual.channels());
    }
    int worst = 0;
    int off = 0;
    int first_x = -1;
    int first_y = -1;
    bool beside = true;
    for (int y = 0; y < actual.height(); ++y) {
        for (int i = 0; i < codes(actual); ++i) {
            const int step = std::abs(int{expected.row(y)[i]} - int{actual.row(y)[i]});
            worst = std::max(worst, step);
            if (step <= limit.step) continue;
            ++off;
            if (limit.flipped > 0.0) beside = beside && beside_edge(expected, i, y);
            if (first_x < 0) {
                first_x = i / actual.channels();
                first_y = y;
            }
        }
    }
    const double share = static_cast<double>(off) / (codes(actual) * actual.height());
    if (off == 0 || (share <= limit.flipped && beside)) return "";
    const fs::path shown = fs::path(PALEPROOF_SCRATCH) / filter / (name + ".png");
    write_side_by_side(expected, actual, shown);
    return fmt::format("worst step {}, {:.3f} % of the values, first at ({}, {}); see {}", worst,
                       100.0 * share, first_x, first_y, shown.string());
}

}  // namespace paleproof::test
