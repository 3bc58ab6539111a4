// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// Promises that hold for whole editions: the ink budget of each face, and that nothing but text and
// lines gets darker. On faces that no style was made for, and on the demo deck.
#include <doctest/doctest.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <fstream>
#include <string>
#include <utility>
#include <vector>

#include "cli/tool.h"
#include "codec/pack.h"
#include "codec/read_face.h"
#include "support/pictures.h"
#include "unit/codec/png_maker.h"

using namespace paleproof;
using namespace paleproof::test;
namespace fs = std::filesystem;

namespace {

constexpr int width = 375;  // 2.5 x 3.5 in at 150 ppi: small, so that the test is quick
constexpr int height = 525;
constexpr std::array styles{"gray", "tint", "line", "hatch"};

void write(const fs::path& file, Image image) {
    image.set_ppi(Ppi{150});
    codec::write_png(file, codec::packed(image));
}

Image filled(Encoding encoding, std::uint8_t code) {
    Image face(width, height, encoding);
    std::ranges::fill(face.bytes(), code);
    return face;
}

/// From black at the top left to full color at the bottom right.
Image gradient() {
    Image face(width, height, Encoding::srgb);
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            face.row(y)[3 * x] = static_cast<std::uint8_t>(255 * x / (width - 1));
            face.row(y)[3 * x + 1] = static_cast<std::uint8_t>(255 * y / (height - 1));
            face.row(y)[3 * x + 2] = static_cast<std::uint8_t>(128 * (x + y) / (width + height));
        }
    }
    return face;
}

bool in_hole(int x, int y) {
    const int dx = x % 125 - 62;
    const int dy = y % 125 - 62;
    return dx * dx + dy * dy < 40 * 40;
}

/// The gradient with transparent holes, as PNG stores it: color type 6, eight bits.
std::string with_holes() {
    const Image colors = gradient();
    Bytes rows;
    for (int y = 0; y < height; ++y) {
        rows.push_back(0);  // no filter
        for (int x = 0; x < width; ++x) {
            for (int c = 0; c < 3; ++c) rows.push_back(colors.row(y)[3 * x + c]);
            rows.push_back(in_hole(x, y) ? 0 : 255);
        }
    }
    Bytes meter = numbers({5906, 5906});  // pixels a meter: 150 ppi
    meter.push_back(1);
    const Bytes file = PngMaker(width, height, 8, 6).chunk("pHYs", meter).pixels(rows).bytes();
    return {file.begin(), file.end()};
}

/// A face of the demo deck in gray at half its size, as a scan would have it.
Image gray_face(const char* name) {
    const Image face = codec::read_face(fs::path(PALEPROOF_DEMO_DECK) / name, {}).face.image;
    Image result(width, height, Encoding::gray);
    for (int y = 0; y < height; ++y) {
        for (int x = 0; x < width; ++x) {
            int sum = 0;
            for (const auto& [dx, dy] : {std::pair{0, 0}, {1, 0}, {0, 1}, {1, 1}}) {
                const std::uint8_t* p = face.row(2 * y + dy) + (2 * x + dx) * 3;
                sum += (54 * p[0] + 183 * p[1] + 19 * p[2]) / 256;
            }
            result.row(y)[x] = static_cast<std::uint8_t>(sum / 4);
        }
    }
    return result;
}

Image one_bit(const Image& gray) {
    Image result(gray.width(), gray.height(), Encoding::bilevel);
    for (std::size_t i = 0; i < gray.bytes().size(); ++i)
        result.bytes()[i] = gray.bytes()[i] < 128 ? 0 : 255;
    return result;
}

void write_odd_deck(const fs::path& deck) {
    fs::create_directories(deck);
    write(deck / "black.png", filled(Encoding::srgb, 0));
    write(deck / "white.png", filled(Encoding::srgb, 255));
    write(deck / "gradient.png", gradient());
    write(deck / "noise.png", noise(width, height, Encoding::srgb, 7));
    write(deck / "noise-one-bit.png", noise(width, height, Encoding::bilevel, 8));
    write(deck / "scan.png", one_bit(gray_face("rosy-underleaf.jpg")));
    write(deck / "gray.png", gray_face("sugar-and-smoke.png"));
    std::ofstream(deck / "holes.png", std::ios::binary) << with_holes();
}

nlohmann::json edition(const fs::path& source, const fs::path& out, const std::string& options) {
    const auto made = run_tool("make " + quoted(source.string()) + " -o " + quoted(out.string()) +
                               " --bleed 0mm --papers a4 " + options);
    REQUIRE_MESSAGE((made.status == 0 || made.status == 3), made.output);
    return json_of(out / "report.json");
}

const nlohmann::json* budget_missed(const nlohmann::json& face) {
    for (const auto& finding : face.at("findings")) {
        if (finding.at("rule") == "budget-missed") return &finding;
    }
    return nullptr;
}

Image proof_of(const fs::path& out, const nlohmann::json& face) {
    return codec::read_face(out / face.at("proof_file").get<std::string>(), {}).face.image;
}

/// Where neither text nor a symbol lies, nor anything within 1 mm of one: 255. The corners do not
/// count: where they are cut round, the art is continued.
Image away_from_signs(const nlohmann::json& face, const Image& picture, double scale) {
    Image away(picture.width(), picture.height(), Encoding::gray);
    const auto trim = face.at("trim_px").get<std::array<int, 4>>();
    const int reach = static_cast<int>(face.at("ppi").get<double>() / 25.4);
    const auto at = [scale](int px) { return static_cast<int>(std::floor(scale * px)); };
    for (const char* kind : {"text", "symbols"}) {
        for (const auto& sign : face.at(kind)) {
            const auto b = sign.at("box_px").get<std::array<int, 4>>();
            const RectPx part =
                intersection({at(b[0] - trim[0] - reach), at(b[1] - trim[1] - reach),
                              at(b[2] + 2 * reach), at(b[3] + 2 * reach)},
                             away.bounds());
            for (int y = part.y; y < part.bottom(); ++y)
                std::fill_n(away.row(y) + part.x, part.width, std::uint8_t{0});
        }
    }
    const int corner = at(4 * reach);
    for (const int x : {0, away.width() - corner}) {
        for (int y = 0; y < corner; ++y) {
            std::fill_n(away.row(y) + x, corner, std::uint8_t{0});
            std::fill_n(away.row(away.height() - 1 - y) + x, corner, std::uint8_t{0});
        }
    }
    return away;
}

/// Share of the pixels away from signs of which a channel is darker in the proof.
double darker_share(const Image& source, const Image& proof, const Image& away) {
    REQUIRE(source.size() == proof.size());
    REQUIRE(source.channels() == proof.channels());
    const auto channels = static_cast<std::size_t>(source.channels());
    std::size_t darker = 0;
    for (std::size_t i = 0; i < away.bytes().size(); ++i) {
        if (away.bytes()[i] == 0) continue;
        bool is = false;
        for (std::size_t c = 0; c < channels; ++c)
            is = is || proof.bytes()[channels * i + c] < source.bytes()[channels * i + c];
        darker += is ? 1 : 0;
    }
    return static_cast<double>(darker) / static_cast<double>(away.bytes().size());
}

/// Share of the pixels away from signs around which a drawn proof is solid black over 0.7 mm, while
/// the source is light there. Lines and patterns are finer; a black field on a light ground is
/// neither.
double solid_share(const Image& source, const Image& proof, const Image& away) {
    constexpr int radius = 8;   // pixels at 600 ppi
    constexpr int light = 128;  // code of the source
    const double scale = static_cast<double>(source.width()) / proof.width();
    std::size_t solid = 0;
    std::vector<int> run(static_cast<std::size_t>(proof.width()), 0);
    for (int y = 0; y < proof.height(); ++y) {
        // run[x]: black pixels above and at (x, y).
        for (int x = 0; x < proof.width(); ++x) {
            auto& length = run[static_cast<std::size_t>(x)];
            length = proof.row(y)[x] == 0 ? length + 1 : 0;
        }
        int wide = 0;
        for (int x = 0; x < proof.width(); ++x) {
            wide = run[static_cast<std::size_t>(x)] > 2 * radius ? wide + 1 : 0;
            if (wide <= 2 * radius || away.row(y - radius)[x - radius] == 0) continue;
            const std::uint8_t there = source.row(
                static_cast<int>((y - radius) * scale))[static_cast<int>((x - radius) * scale)];
            solid += there > light ? 1 : 0;
        }
    }
    return static_cast<double>(solid) / static_cast<double>(away.bytes().size());
}

}  // namespace

TEST_CASE("odd faces meet each budget in each style, or say the least that is possible") {
    const Scratch scratch("odd-deck");
    write_odd_deck(scratch / "deck");
    int missed = 0;
    for (const std::string style : styles) {
        for (const double budget : {0.005, 0.03, 0.12, 0.60}) {
            CAPTURE(style);
            CAPTURE(budget);
            const auto start = std::chrono::steady_clock::now();
            const auto report = edition(
                scratch / "deck", scratch / "edition",
                "--style " + style + " --ink-budget " + std::to_string(100.0 * budget) + "%");
            // A second and a half on one core, but for sanitizers.
            CHECK(std::chrono::steady_clock::now() - start < std::chrono::seconds(60));
            REQUIRE(report.at("faces").size() == 8);
            for (const auto& face : report.at("faces")) {
                CAPTURE(face.at("name").get<std::string>());
                const double taken = face.at("ink").at("proof").at("total").get<double>();
                const auto* finding = budget_missed(face);
                CHECK((taken <= budget + 0.002) == (finding == nullptr));
                if (finding == nullptr) continue;
                ++missed;
                CHECK(finding->at("measured").get<double>() ==
                      doctest::Approx(taken).epsilon(0.01).scale(0.0));  // rounded
                CHECK(finding->at("message").get<std::string>().find("text takes") !=
                      std::string::npos);
            }
            const Image proof = proof_of(scratch / "edition", report.at("faces").back());
            REQUIRE(report.at("faces").back().at("name") == "white");
            CHECK(std::ranges::all_of(proof.bytes(), [](std::uint8_t c) { return c == 255; }));
        }
    }
    CHECK(missed > 0);  // the scan's text takes more than half a percent: the check above can fail
}

TEST_CASE("what a missed budget is told to be set to is met") {
    const Scratch scratch("least-budget");
    fs::create_directories(scratch / "deck");
    fs::copy_file(fs::path(PALEPROOF_DEMO_DECK) / "rosy-underleaf.jpg",
                  scratch / "deck/rosy-underleaf.jpg");
    for (const std::string style : styles) {
        CAPTURE(style);
        const auto first = edition(scratch / "deck", scratch / "edition",
                                   "--style " + style + " --ink-budget 0.5%");
        const auto* finding = budget_missed(first.at("faces")[0]);
        REQUIRE(finding != nullptr);
        const auto message = finding->at("message").get<std::string>();
        const std::string before = "set the budget to ";
        const auto at = message.find(before);
        REQUIRE(at != std::string::npos);
        const std::string told =
            message.substr(at + before.size(), message.find(" or more") - at - before.size());
        std::string option = told;
        std::erase(option, ' ');
        const auto second = edition(scratch / "deck", scratch / "edition",
                                    "--style " + style + " --ink-budget " + option);
        CHECK_MESSAGE(budget_missed(second.at("faces")[0]) == nullptr, message);
    }
}

TEST_CASE("nothing but text and lines is darker in a proof than on its face") {
    // Gray is compared with the face in the gray of the deck's map, tint channel by channel with
    // its colors. Drawn proofs are black or white; there no field may be black on a light ground.
    const Scratch scratch("darker");
    write_odd_deck(scratch / "odd");
    for (const fs::path& deck : {scratch / "odd", fs::path(PALEPROOF_DEMO_DECK)}) {
        const auto plain = edition(deck, scratch / "plain", "--ink-budget 100%");
        for (const std::string style : styles) {
            const auto report = edition(deck, scratch / style, "--style " + style);
            for (std::size_t i = 0; i < report.at("faces").size(); ++i) {
                const auto& face = report.at("faces")[i];
                CAPTURE(style);
                CAPTURE(face.at("name").get<std::string>());
                const Image proof = proof_of(scratch / style, face);
                const Image gray = proof_of(scratch / "plain", plain.at("faces")[i]);
                const double scale = static_cast<double>(proof.width()) / gray.width();
                const Image away = away_from_signs(face, proof, scale);
                if (style == "gray") {
                    // The rules around panels that were dark, and no more: some 200 pixels of a
                    // face, a few more or less as the deck's gray map moves with its colors.
                    CHECK(darker_share(gray, proof, away) <= 3e-4);
                } else if (style == "tint") {
                    Image source = codec::read_face(deck / face.at("source").get<std::string>(), {})
                                       .face.image;
                    const auto trim = face.at("trim_px").get<std::array<int, 4>>();
                    if (source.channels() != 3 || source.size() != proof.size() || trim[0] != 0)
                        continue;  // gray ones are drawn as gray proofs are
                    CHECK(darker_share(source, proof, away) <= 2e-4);
                } else {
                    CHECK(solid_share(gray, proof, away) <= 2e-4);
                }
            }
        }
    }
}
