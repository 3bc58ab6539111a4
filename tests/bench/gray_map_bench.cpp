// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// The gray map of a deck against gray by lightness and against cv::decolor run on each picture:
// CCPR (Lu, Xu, Jia, ICCP 2012: of the neighboring pixels that differ by a threshold or more in
// CIELAB, the share that does so in gray; thresholds 1 to 15) and processor time. Then drawn decks
// with known suits: which twins are found, and what the map makes of them.
//     gray_map_bench FOLDER...      each folder is a deck; larger pictures are scaled to 1050 px
#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <ctime>
#include <filesystem>
#include <opencv2/imgproc.hpp>
#include <opencv2/photo.hpp>
#include <random>
#include <string>
#include <vector>

#include "codec/read_face.h"
#include "color/difference.h"
#include "filters/gray.h"
#include "filters/tone.h"
#include "plan/gray_map.h"
#include "plan/twins.h"

namespace fs = std::filesystem;
using namespace paleproof;

namespace {

constexpr int longest = 1050;

double processor_ms() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

cv::Mat view(Image& image) {
    return {image.height(), image.width(), CV_8UC(image.channels()), image.bytes().data()};
}

std::vector<Image> pictures_of(const fs::path& folder) {
    std::vector<fs::path> files;
    for (const auto& entry : fs::directory_iterator(folder)) {
        const std::string type = entry.path().extension();
        if (type == ".png" || type == ".jpg" || type == ".jpeg") files.push_back(entry.path());
    }
    std::ranges::sort(files);
    std::vector<Image> pictures;
    for (const fs::path& file : files) {
        Image image = codec::read_face(file, {}).face.image;
        if (image.encoding() != Encoding::srgb) continue;
        const double scale =
            std::min(1.0, static_cast<double>(longest) / std::max(image.width(), image.height()));
        Image scaled(static_cast<int>(image.width() * scale),
                     static_cast<int>(image.height() * scale), Encoding::srgb, Ppi{300});
        cv::Mat out = view(scaled);
        cv::resize(view(image), out, out.size(), 0, 0, cv::INTER_AREA);
        pictures.push_back(std::move(scaled));
    }
    return pictures;
}

survey::FaceSurvey surveyed(const Image& image, std::size_t number) {
    survey::FaceSurvey face;
    face.name = "face " + std::to_string(number);
    face.image = image.size();
    face.place.placement = {{}, image.ppi(), image.bounds(), {}};
    face.palette = survey::palette(image, image.bounds(), image.ppi(), {});
    return face;
}

double ccpr(const std::vector<color::Lab>& lab, const Image& gray) {
    std::array<double, 16> pairs{}, kept{};
    const auto add = [&](std::size_t i, std::size_t j) {
        const double distance = color::delta_e76(lab[i], lab[j]);
        const double seen = std::abs(color::lightness_of_gray(gray.bytes()[i]) -
                                     color::lightness_of_gray(gray.bytes()[j]));
        for (std::size_t t = 1; t < pairs.size() && static_cast<double>(t) <= distance; ++t) {
            pairs[t] += 1.0;
            if (seen >= static_cast<double>(t)) kept[t] += 1.0;
        }
    };
    const auto width = static_cast<std::size_t>(gray.width());
    for (std::size_t i = 0; i < lab.size(); ++i) {
        if ((i + 1) % width != 0) add(i, i + 1);
        if (i + width < lab.size()) add(i, i + width);
    }
    double sum = 0.0;
    for (std::size_t t = 1; t < pairs.size(); ++t) sum += pairs[t] > 0.0 ? kept[t] / pairs[t] : 1.0;
    return sum / 15.0;
}

/// The four measures of one deck, as a line of the table.
bool bench_deck(const fs::path& folder) {
    std::vector<Image> pictures = pictures_of(folder);
    if (pictures.empty()) return true;
    std::vector<survey::FaceSurvey> surveys;
    for (const Image& picture : pictures) surveys.push_back(surveyed(picture, surveys.size()));
    const double begin = processor_ms();
    const plan::DeckPalette palette = plan::deck_palette(surveys);
    const color::GrayTable map = plan::gray_map(palette, plan::art_tones(surveys), {});
    const double planned = processor_ms();
    std::vector<Image> toned;
    for (const Image& picture : pictures) toned.push_back(filters::tone(picture, map));
    const double applied = processor_ms();
    double plain_sum = 0.0, plan_sum = 0.0, decolor_sum = 0.0, decolor_ms = 0.0;
    for (std::size_t i = 0; i < pictures.size(); ++i) {
        Image& picture = pictures[i];
        std::vector<color::Lab> lab;
        lab.reserve(picture.bytes().size() / 3);
        for (std::size_t k = 0; k < picture.bytes().size(); k += 3) {
            const auto* p = picture.bytes().data() + k;
            lab.push_back(color::lab({p[0], p[1], p[2]}));
        }
        plain_sum += ccpr(lab, filters::gray(picture));
        plan_sum += ccpr(lab, toned[i]);
        cv::Mat bgr, gray, boosted;
        cv::cvtColor(view(picture), bgr, cv::COLOR_RGB2BGR);
        const double start = processor_ms();
        cv::decolor(bgr, gray, boosted);
        decolor_ms += processor_ms() - start;
        Image decolored(picture.width(), picture.height(), Encoding::gray);
        cv::Mat out = view(decolored);
        gray.copyTo(out);
        decolor_sum += ccpr(lab, decolored);
    }
    const auto n = static_cast<double>(pictures.size());
    const double gain = (plan_sum - plain_sum) / n;
    const double share = (applied - begin) / decolor_ms;
    fmt::print(
        "| {} | {} | {:.3f} | {:.3f} | {:+.3f} | {:.3f} | {:.0f} | {:.1f} | {:.0f} | {:.2f} |\n",
        folder.filename().string(), pictures.size(), plain_sum / n, plan_sum / n, gain,
        decolor_sum / n, planned - begin, (applied - planned) / n, decolor_ms / n, share);
    return gain >= 0.04 && plan_sum > decolor_sum && share < 0.1;
}

Image plain_face() {
    Image face(744, 1040, Encoding::srgb, Ppi{300});
    for (std::size_t i = 0; i < face.bytes().size(); i += 3) {
        face.bytes()[i] = 250, face.bytes()[i + 1] = 247, face.bytes()[i + 2] = 240;
    }
    return face;
}

void fill(Image& face, RectPx box, color::Rgb8 c) {
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = box.x; x < box.right(); ++x) {
            std::uint8_t* p = face.row(y) + 3 * x;
            p[0] = c.r, p[1] = c.g, p[2] = c.b;
        }
    }
}

/// Decks of four to seven suits in random colors, three faces a suit, over art of random tiles.
bool bench_suits() {
    std::mt19937 random(4);
    int twins = 0, found = 0, others = 0, falsely = 0, decks = 0, apart = 0;
    double least = 1e9;
    for (int deck = 0; deck < 40; ++deck) {
        std::vector<color::Rgb8> suits;
        const std::size_t count = 4 + random() % 4U;
        while (suits.size() < count) {
            const auto v = [&] { return static_cast<std::uint8_t>(30U + random() % 210U); };
            const color::Rgb8 c{v(), v(), v()};
            const color::Lab lab = color::lab(c);
            // A suit is colored, neither nearly black nor nearly white, and unlike the others.
            if (std::hypot(lab.a, lab.b) < 30.0 || lab.l < 25.0 || lab.l > 85.0) continue;
            if (std::ranges::all_of(suits, [&](color::Rgb8 o) {
                    return color::ciede2000(lab, color::lab(o)) > 25.0;
                })) {
                suits.push_back(c);
            }
        }
        std::vector<survey::FaceSurvey> surveys;
        for (const color::Rgb8 suit : suits) {
            for (int i = 0; i < 3; ++i) {
                Image face = plain_face();
                for (int tile = 0; tile < 12; ++tile) {
                    const auto v = [&] { return static_cast<std::uint8_t>(random() % 256U); };
                    fill(face,
                         {static_cast<int>(180U + random() % 400U),
                          static_cast<int>(250U + random() % 600U), 60, 60},
                         {v(), v(), v()});
                }
                fill(face, {40, 0, 106, 200}, suit);
                surveys.push_back(surveyed(face, surveys.size()));
            }
        }
        const plan::DeckPalette palette = plan::deck_palette(surveys);
        const plan::TwinLimits limits;
        const auto listed = plan::gray_twins(palette, limits);
        const color::GrayTable map = plan::gray_map(palette, plan::art_tones(surveys), limits);
        ++decks;
        for (std::size_t i = 0; i < suits.size(); ++i) {
            for (std::size_t j = i + 1; j < suits.size(); ++j) {
                const double by_lightness =
                    std::abs(color::lab(suits[i]).l - color::lab(suits[j]).l);
                const bool told = std::ranges::any_of(listed, [&](const plan::TwinPair& t) {
                    const auto is = [&](std::size_t pair) {
                        const auto& p = palette.pairs[pair];
                        const auto a = palette.clusters[p.a].lab, b = palette.clusters[p.b].lab;
                        const auto x = color::lab(suits[i]), y = color::lab(suits[j]);
                        const auto near = [](const color::Lab& s, const color::Lab& t2) {
                            return color::delta_e76(s, t2) < 3.0;
                        };
                        return (near(a, x) && near(b, y)) || (near(a, y) && near(b, x));
                    };
                    return is(t.pair) || std::ranges::any_of(t.also, is);
                });
                if (by_lightness < limits.min_gray_difference) {
                    ++twins;
                    found += told ? 1 : 0;
                    const double now = std::abs(color::lightness_of_gray(map(suits[i])) -
                                                color::lightness_of_gray(map(suits[j])));
                    least = std::min(least, now);
                    apart += now >= limits.min_gray_difference ? 1 : 0;
                } else if (by_lightness > 2.0 * limits.min_gray_difference) {
                    ++others;
                    falsely += told ? 1 : 0;
                }
            }
        }
    }
    fmt::print(
        "\n{} drawn decks of 4 to 7 suits: {} of {} twin pairs found; {} of {} pairs that differ "
        "by more "
        "than twice the limit named; {} of {} twins 10 L* or more apart after the map, the least "
        "{:.1f}\n",
        decks, found, twins, falsely, others, apart, twins, least);
    return found == twins && falsely == 0 && apart == twins;
}

}  // namespace

int main(int argc, char** argv) {
    fmt::print(
        "| deck | pictures | CCPR of L* | of the map | gain | of cv::decolor | plan ms | "
        "map ms a face | decolor ms a face | plan and map / decolor |\n"
        "| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |\n");
    bool met = true;
    for (int i = 1; i < argc; ++i) met = bench_deck(argv[i]) && met;
    met = bench_suits() && met;
    return met ? 0 : 1;
}
