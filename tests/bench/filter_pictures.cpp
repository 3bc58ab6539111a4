// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// What each filter of the styles costs on a whole face, and its pictures for docs/filters.md.
//     filter_pictures DECK [PICTURES]      PICTURES gets NAME.png: a crop before and after, at 1:1
#include <fmt/core.h>
#include <malloc.h>

#include <algorithm>
#include <cmath>
#include <ctime>
#include <filesystem>
#include <functional>
#include <limits>
#include <string>
#include <vector>

#include "codec/pack.h"
#include "codec/read_face.h"
#include "color/separation.h"
#include "core/patches.h"
#include "filters/dark_field.h"
#include "filters/edge_keep.h"
#include "filters/gray.h"
#include "filters/hatch.h"
#include "filters/letters.h"
#include "filters/lighten.h"
#include "filters/line_art.h"
#include "filters/line_choice.h"
#include "filters/line_rank.h"
#include "filters/panel_flip.h"
#include "filters/rescale.h"
#include "filters/stroke_flow.h"
#include "filters/symbols.h"
#include "filters/text_clear.h"
#include "filters/text_guard.h"
#include "filters/tint.h"
#include "filters/xdog.h"
#include "survey/face_survey.h"
#include "survey/symbols.h"

namespace fs = std::filesystem;
using namespace paleproof;

namespace {

constexpr RectPx shown{40, 620, 230, 190};  // of the face "lampwing": art, panel, text, icons

double processor_ms() {
    timespec t{};
    clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
    return 1e3 * static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_nsec);
}

/// Best of five; prints one row of the table.
void timed(const char* name, double pixels, const std::function<void()>& work) {
    double best = std::numeric_limits<double>::max();
    for (int i = 0; i < 5; ++i) {
        const double start = processor_ms();
        work();
        best = std::min(best, processor_ms() - start);
    }
    fmt::print("| {} | {:.1f} | {:.0f} |\n", name, best, pixels / (1e3 * best));
}

Image part(const Image& image, RectPx box) {
    const RectPx b = intersection(box, image.bounds());
    Image result(b.width, b.height, image.channels() == 3 ? Encoding::srgb : Encoding::gray,
                 image.ppi());
    for (int y = 0; y < b.height; ++y) {
        std::copy_n(image.row(b.y + y) + static_cast<std::ptrdiff_t>(b.x) * image.channels(),
                    b.width * image.channels(), result.row(y));
    }
    return result;
}

std::uint8_t code_of(const Image& image, int x, int y, int channel) {
    return image.row(y)[image.channels() == 3 ? 3 * x + channel : x];
}

/// Two crops beside each other, in color when one is.
void write_pair(const fs::path& folder, const std::string& name, const Image& before,
                const Image& after) {
    if (folder.empty()) return;
    const bool in_color = before.channels() == 3 || after.channels() == 3;
    Image both(before.width() + after.width() + 8, std::max(before.height(), after.height()),
               in_color ? Encoding::srgb : Encoding::gray, Ppi{300});
    for (const Image* image : {&before, &after}) {
        const int left = image == &before ? 0 : before.width() + 8;
        for (int y = 0; y < image->height(); ++y) {
            for (int x = 0; x < image->width(); ++x) {
                for (int c = 0; c < both.channels(); ++c) {
                    both.row(y)[(left + x) * both.channels() + c] = code_of(*image, x, y, c);
                }
            }
        }
    }
    codec::write_png(folder / (name + ".png"), codec::packed(both, codec::PackLevel::small));
}

Image inverted(Image ink) {
    for (std::uint8_t& code : ink.bytes()) code = static_cast<std::uint8_t>(255 - code);
    return ink;
}

}  // namespace

int main(int count, char** arguments) {
    if (count < 2) {
        fmt::print(stderr, "filter_pictures DECK [PICTURES]\n");
        return 2;
    }
    mallopt(M_MMAP_THRESHOLD, 1 << 30);  // else fresh pages of each picture take most of the time
    mallopt(M_TRIM_THRESHOLD, 2'000'000'000);
    const fs::path folder = count > 2 ? arguments[2] : "";
    if (!folder.empty()) fs::create_directories(folder);
    const Face face = codec::read_face(fs::path(arguments[1]) / "lampwing.png").face;
    Image card = face.image;
    card.set_ppi(Ppi{300});
    const survey::TextFinder finder;
    const auto lines = finder.find(card, Ppi{300}).lines;
    const auto found =
        survey::symbols(card, survey::small_view(card, card.bounds(), Ppi{300}), Ppi{300}, lines);
    const double pixels = static_cast<double>(card.width()) * card.height();
    fmt::print("| filter | ms | Mpx/s |\n| --- | --- | --- |\n");

    const Image gray = filters::gray(card);
    const auto letters = filters::letters(card, lines);
    const Image cleared = filters::text_clear(gray, letters);
    const filters::Panels panels = filters::panel_flip(cleared, lines);
    const Image light = filters::lighten(cleared, {.ink_budget = 0.10});
    const filters::FieldInk field = filters::dark_field(cleared);
    filters::SolidText solid;
    solid.letters = filters::text_guard(
        Image(card.width(), card.height(), Encoding::gray, Ppi{300}), letters, {.ink = 1.0});
    solid.ground = inverted(filters::text_halo(card.size(), letters, {.fade = 0.0}));
    const Image drawing = filters::line_art(card, solid, {.ink_budget = 0.06});
    filters::HatchArea area;
    area.pattern.color = {250, 188, 78};  // the suit of the face
    area.pattern.sample.dots = PatternDots{Mm{0.9}, Mm{0.3}};
    area.places = {card.bounds()};
    const auto patterns = [&] { return filters::hatch(card, {&area, 1}, {}); };
    filters::Plane plane(card.width(), card.height());
    std::ranges::copy(gray.bytes(), plane.values.begin());
    const filters::Plane calm = filters::edge_keep(plane, Ppi{300});
    const filters::StrokeFlow flow = filters::stroke_flow(calm, 4.0);
    filters::Plane edges = filters::difference_of_gaussians(calm, 1.0, 1.6);
    for (float& v : edges.values) v = v < -1.0F ? -8.0F * v : 0.0F;
    const filters::Plane rank = filters::line_rank({plane, edges, Ppi{300}}, {});
    std::vector<std::uint8_t> mask(rank.values.size());
    std::ranges::transform(rank.values, mask.begin(),
                           [](float v) { return v > 0.0F ? std::uint8_t{255} : std::uint8_t{0}; });

    timed("gray", pixels, [&] { (void)filters::gray(card); });
    timed("letters", pixels, [&] { (void)filters::letters(card, lines); });
    timed("symbols", pixels, [&] { (void)filters::symbols(card, found); });
    timed("text_clear", pixels, [&] { (void)filters::text_clear(gray, letters); });
    timed("panel_flip", pixels, [&] { (void)filters::panel_flip(cleared, lines); });
    timed("dark_field", pixels, [&] { (void)filters::dark_field(cleared); });
    timed("lighten", pixels, [&] { (void)filters::lighten(cleared, {.ink_budget = 0.10}); });
    timed("text_guard", pixels, [&] { (void)filters::text_guard(light, letters); });
    timed("tint", pixels, [&] { (void)filters::tint(card, light); });
    timed("edge_keep", pixels, [&] { (void)filters::edge_keep(plane, Ppi{300}); });
    timed("stroke_flow", pixels, [&] { (void)filters::stroke_flow(calm, 4.0); });
    timed("line_rank", pixels, [&] { (void)filters::line_rank({plane, edges, Ppi{300}}, {}); });
    timed("line_choice", pixels, [&] {
        (void)filters::line_choice(filters::line_order(rank, flow, {.apart = 10.0}), 0.05 * pixels);
    });
    timed("patches", pixels, [&] { (void)patches_of(mask.data(), rank.width, rank.height); });
    timed("line_art", pixels, [&] { (void)filters::line_art(card, solid, {.ink_budget = 0.06}); });
    timed("hatch", pixels, [&] { (void)patterns(); });
    timed("rescale", pixels, [&] { (void)filters::rescale(drawing, card.size()); });
    timed("xdog", pixels, [&] { (void)filters::xdog(gray); });

    const RectPx fine{2 * shown.x, 2 * shown.y, shown.width, shown.height};
    const Image source = part(card, shown);
    write_pair(folder, "gray", source, part(gray, shown));
    write_pair(folder, "dark_field", part(gray, shown), part(inverted(field.strokes), shown));
    write_pair(folder, "lighten", part(gray, shown), part(light, shown));
    write_pair(folder, "panel_flip", part(gray, {20, 470, 230, 190}),
               part(inverted(panels.rules), {20, 470, 230, 190}));
    write_pair(folder, "letters", source, part(solid.letters, shown));
    const Image paper(card.width(), card.height(), Encoding::gray, Ppi{300});
    write_pair(folder, "symbols", part(card, {30, 0, 230, 190}),
               part(filters::text_guard(paper, filters::symbols(card, found), {.ink = 1.0}),
                    {30, 0, 230, 190}));
    write_pair(folder, "text_clear", part(gray, shown), part(cleared, shown));
    write_pair(folder, "text_guard", part(light, shown),
               part(filters::text_guard(light, letters), shown));
    write_pair(folder, "tint", source, part(filters::tint(card, light), shown));
    Image smooth(card.width(), card.height(), Encoding::gray, Ppi{300});
    std::ranges::transform(calm.values, smooth.bytes().begin(), [](float v) {
        return static_cast<std::uint8_t>(std::lround(std::clamp(v, 0.0F, 255.0F)));
    });
    write_pair(folder, "edge_keep", part(gray, {330, 200, 230, 190}),
               part(smooth, {330, 200, 230, 190}));
    write_pair(folder, "line_art", part(card, {330, 300, 230, 190}),
               part(drawing, {660, 600, 460, 380}));
    write_pair(folder, "hatch", part(card, {30, 0, 230, 190}), part(patterns(), {60, 0, 460, 380}));
    write_pair(folder, "rescale", part(drawing, fine),
               part(filters::rescale(drawing, card.size()), shown));
    write_pair(folder, "xdog", part(gray, {330, 300, 230, 190}),
               part(filters::xdog(gray), {330, 300, 230, 190}));
    return 0;
}
