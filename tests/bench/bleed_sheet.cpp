// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The contact sheet of docs/filters.md: 30 places around the trim at three times their size, bleed
// outside, to be judged by eye. Ticks in the white between the tiles stand where the trim is.
//
//     bleed_sheet SHEET.jpg FACES
//
// FACES are the color proofs of the demo deck with 3 mm of bleed at 300 ppi; the other places are
// of the drawn art of the benchmark.
#include <algorithm>
#include <array>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <vector>

#include <fmt/core.h>

#include "bleed_art.h"
#include "bleed_automatic.h"
#include "codec/jpeg_encoder.h"
#include "codec/read_face.h"

namespace {

using namespace paleproof;

constexpr int margin = 36;  // 3 mm at 300 ppi, whole pixels
constexpr int tile = 84;    // px of the picture
constexpr int times = 3;
constexpr int gap = 8;  // px of the sheet
constexpr int columns = 6;
constexpr std::size_t corners = 20;
constexpr std::size_t places = 30;

void put(Image& sheet, int x, int y, const std::uint8_t* color) {
    std::copy_n(color, 3, sheet.row(y) + static_cast<std::ptrdiff_t>(x) * 3);
}

/// The part of a picture around a point, `times` as large, with ticks at the trim.
void put_tile(Image& sheet, int left, int top, const Image& picture, RectPx trim, int cx, int cy) {
    const int x0 = std::clamp(cx - tile / 2, 0, picture.width() - tile);
    const int y0 = std::clamp(cy - tile / 2, 0, picture.height() - tile);
    for (int y = 0; y < tile * times; ++y) {
        const std::uint8_t* row = picture.row(y0 + y / times);
        for (int x = 0; x < tile * times; ++x) {
            put(sheet, left + x, top + y,
                row + static_cast<std::ptrdiff_t>(x0 + x / times) * picture.channels());
        }
    }
    constexpr std::array<std::uint8_t, 3> black{0, 0, 0};
    const auto tick = [&](int x, int y, int w, int h) {
        for (int j = y; j < y + h; ++j) {
            for (int i = x; i < x + w; ++i) put(sheet, i, j, black.data());
        }
    };
    for (const int at : {trim.x, trim.right()}) {
        if (at < x0 || at > x0 + tile) continue;
        tick(left + (at - x0) * times - 1, top - gap + 2, 2, gap - 3);
        tick(left + (at - x0) * times - 1, top + tile * times + 1, 2, gap - 3);
    }
    for (const int at : {trim.y, trim.bottom()}) {
        if (at < y0 || at > y0 + tile) continue;
        tick(left - gap + 2, top + (at - y0) * times - 1, gap - 3, 2);
        tick(left + tile * times + 1, top + (at - y0) * times - 1, gap - 3, 2);
    }
}

/// How busy the art inside the trim is around a point: sum of the steps between neighbors.
long busy(const Image& picture, RectPx trim, int cx, int cy) {
    const RectPx seen = intersection(trim, {cx - tile / 2, cy - tile / 2, tile, tile});
    long sum = 0;
    for (int y = seen.y; y + 1 < seen.bottom(); ++y) {
        const int channels = picture.channels();
        for (int i = seen.x * channels; i < (seen.right() - 1) * channels; ++i) {
            sum += std::abs(picture.row(y)[i + channels] - picture.row(y)[i]) +
                   std::abs(picture.row(y + 1)[i] - picture.row(y)[i]);
        }
    }
    return sum;
}

struct Point {
    int x = 0, y = 0;
};

/// The busiest corner, or the busiest place of the sides.
Point busiest(const Image& picture, RectPx trim, bool corner) {
    std::vector<Point> points;
    if (corner) {
        points = {{trim.x, trim.y},
                  {trim.right(), trim.y},
                  {trim.right(), trim.bottom()},
                  {trim.x, trim.bottom()}};
    } else {
        for (int x = trim.x + tile; x < trim.right() - tile; x += tile / 4) {
            points.push_back({x, trim.y});
            points.push_back({x, trim.bottom()});
        }
        for (int y = trim.y + tile; y < trim.bottom() - tile; y += tile / 4) {
            points.push_back({trim.x, y});
            points.push_back({trim.right(), y});
        }
    }
    return *std::ranges::max_element(
        points, {}, [&](const Point& point) { return busy(picture, trim, point.x, point.y); });
}

}  // namespace

int main(int argc, char** argv) {
    if (argc < 3) {
        fmt::print(stderr, "usage: bleed_sheet SHEET.jpg FACES\n");
        return 2;
    }
    std::vector<Image> pictures;
    std::vector<std::filesystem::path> files;
    for (const auto& entry : std::filesystem::directory_iterator(argv[2])) {
        if (entry.path().extension() == ".png") files.push_back(entry.path());
    }
    std::ranges::sort(files);
    const std::vector<bench::OpenArt> drawn =
        bench::drawn_art({750 + 2 * margin, 1050 + 2 * margin});
    for (const bench::OpenArt& art : drawn) {
        if (pictures.size() == corners) break;
        const Image card = crop(art.image, {margin, margin, 750, 1050});
        pictures.push_back(bench::automatic_bleed(card, margin));
    }
    for (const auto& file : files) {
        Image proof = codec::read_face(file).face.image;
        if (pictures.size() == places) break;
        if (proof.channels() == 3 && proof.width() == 750 + 2 * margin) {
            pictures.push_back(std::move(proof));
        }
    }
    if (pictures.size() < places) {
        fmt::print(stderr, "{} pictures, {} are needed\n", pictures.size(), places);
        return 2;
    }
    const int step = tile * times + gap;
    const int rows = (static_cast<int>(places) + columns - 1) / columns;
    Image sheet(columns * step + gap, rows * step + gap, Encoding::srgb);
    for (std::size_t i = 0; i < places; ++i) {
        const Image& picture = pictures[i];
        const RectPx trim{margin, margin, picture.width() - 2 * margin,
                          picture.height() - 2 * margin};
        const auto [x, y] = busiest(picture, trim, i < corners);
        const int column = static_cast<int>(i) % columns;
        const int row = static_cast<int>(i) / columns;
        put_tile(sheet, gap + column * step, gap + row * step, picture, trim, x, y);
    }
    std::ofstream out(argv[1], std::ios::binary);
    out << codec::encoded_jpeg(sheet, 72);
    return out.good() ? 0 : 2;
}
