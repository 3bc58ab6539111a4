// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/lighten.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <vector>

#include "filters/dark_field.h"

namespace paleproof::filters {
namespace {

constexpr double film = 0.50;          // share of the even tone that only makes the paper dirty
constexpr double faint_at_end = 0.25;  // ink below this share goes first
constexpr int codes = 256;
constexpr int steps = 12;  // halvings: a four-thousandth of the way, far below one code

std::uint8_t code(double value) {
    return static_cast<std::uint8_t>(std::lround(std::clamp(value, 0.0, 255.0)));
}

/// How much of an ink is left when `keep` of it may stay: faint ink fades before strong ink.
double faded(int ink, double keep) {
    const double edge = 255.0 * faint_at_end * (1.0 - keep);
    const double t = std::clamp((ink - edge) / 32.0 + 1.0, 0.0, 1.0);
    return keep * t * ink;
}

/// Between the card (way 1) and its drawing (way 0).
class TowardDrawing {
  public:
    explicit TowardDrawing(double way) : even_(way) {}
    /// The same, a little even tone left out.
    [[nodiscard]] TowardDrawing without_film() const {
        return TowardDrawing(std::clamp(2.0 * (even_ - film), 0.0, even_));
    }
    std::uint8_t operator()(int card, int drawn) const {
        return code(drawn + even_ * std::max(0, card - drawn));
    }

  private:
    double even_;
};

/// The drawing (way 1) down to paper (way 0).
class TowardPaper {
  public:
    explicit TowardPaper(double way) {
        for (std::size_t ink = 0; ink < strokes_.size(); ++ink) {
            const auto value = static_cast<int>(ink);
            strokes_[ink] = faded(value, std::clamp(2.0 * way, 0.0, 1.0));
            shades_[ink] = faded(value, std::clamp(2.0 * way - 1.0, 0.0, 1.0));
        }
    }
    std::uint8_t operator()(int stroke, int shade) const {
        return code(strokes_[static_cast<std::size_t>(stroke)] +
                    shades_[static_cast<std::size_t>(shade)]);
    }

  private:
    std::array<double, codes> strokes_{};
    std::array<double, codes> shades_{};
};

/// How often each pair of inks occurs in an area, [first * 256 + second], in 255ths of a pixel:
/// where the paper shows through, a pixel counts for less.
struct PairCounts {
    std::vector<std::uint64_t> count;
    std::vector<int> used;  ///< indices with a count, so that a bisection step is short
    double pixels = 0;

    template <class First, class Second, class Paper>
    PairCounts(RectPx area, const First& first, const Second& second, const Paper& paper)
        : count(static_cast<std::size_t>(codes) * codes),
          pixels(static_cast<double>(area.width) * area.height) {
        for (int y = area.y; y < area.bottom(); ++y) {
            for (int x = area.x; x < area.right(); ++x) {
                count[static_cast<std::size_t>(first(x, y) * codes + second(x, y))] +=
                    static_cast<std::uint64_t>(255 - paper(x, y));
            }
        }
        for (int i = 0; i < codes * codes; ++i) {
            if (count[static_cast<std::size_t>(i)] > 0) used.push_back(i);
        }
    }
    template <class Tones>
    [[nodiscard]] double coverage(const Tones& tones) const {
        std::uint64_t ink = 0;
        for (const int i : used) {
            ink += tones(i / codes, i % codes) * count[static_cast<std::size_t>(i)];
        }
        return static_cast<double>(ink) / (255.0 * 255.0 * pixels);
    }
};

/// The largest way that meets the budget; coverage rises along the way.
template <class Family>
Family gentlest(const PairCounts& counts, double budget) {
    double low = 0.0;
    double high = 1.0;
    for (int step = 0; step < steps; ++step) {
        const double middle = (low + high) / 2.0;
        (counts.coverage(Family(middle)) <= budget ? low : high) = middle;
    }
    return Family(low);
}

template <class Tones, class First, class Second, class Paper>
Image applied(const Image& card, const Tones& tones, const First& first, const Second& second,
              const Paper& paper) {
    std::vector<std::uint8_t> table(static_cast<std::size_t>(codes) * codes);
    for (int i = 0; i < codes * codes; ++i) {
        table[static_cast<std::size_t>(i)] = tones(i / codes, i % codes);
    }
    Image result(card.width(), card.height(), Encoding::gray, card.ppi());
    for (int y = 0; y < card.height(); ++y) {
        std::uint8_t* out = result.row(y);
        for (int x = 0; x < card.width(); ++x) {
            const int ink = table[static_cast<std::size_t>(first(x, y) * codes + second(x, y))];
            out[x] = static_cast<std::uint8_t>(255 - ink * (255 - paper(x, y)) / 255);
        }
    }
    return result;
}

RectPx area_in(const Image& image, RectPx area) {
    const RectPx whole = image.bounds();
    if (area.empty()) {
        return whole;
    }
    const RectPx part = intersection(area, whole);
    return part.empty() ? whole : part;
}

void require_gray(const Image& image, const char* subject) {
    if (image.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, subject, "expected a gray picture, got color");
    }
}

}  // namespace

double coverage(const Image& gray, RectPx area) {
    require_gray(gray, "coverage");
    const RectPx part = area_in(gray, area);
    std::uint64_t ink = 0;
    for (int y = part.y; y < part.bottom(); ++y) {
        const std::uint8_t* row = gray.row(y);
        for (int x = part.x; x < part.right(); ++x) {
            ink += static_cast<std::uint64_t>(255 - row[x]);
        }
    }
    return static_cast<double>(ink) / (255.0 * part.width * part.height);
}

Image lighten(const Image& card, const Lighten& p) {
    check_fields(p, lighten_fields);
    require_gray(card, "lighten");
    const RectPx area = area_in(card, p.area);
    if (p.paper && (p.paper->encoding() == Encoding::srgb || p.paper->size() != card.size())) {
        throw Error(ErrorKind::format, "lighten", "expected a mask as large as the card");
    }
    const auto of_card = [&](int x, int y) { return 255 - card.row(y)[x]; };
    const auto paper = [&](int x, int y) { return p.paper ? int{p.paper->row(y)[x]} : 0; };
    const auto nothing = [](int, int) { return 0; };
    const auto unchanged = [](int first, int) { return static_cast<std::uint8_t>(first); };
    if (PairCounts(area, of_card, nothing, paper).coverage(unchanged) <= p.ink_budget) {
        return p.paper ? applied(card, unchanged, of_card, nothing, paper) : card;
    }
    const FieldInk drawing = dark_field(card);
    const auto strokes = [&](int x, int y) { return int{drawing.strokes.row(y)[x]}; };
    const auto shades = [&](int x, int y) { return int{drawing.shades.row(y)[x]}; };
    const auto drawn = [&](int x, int y) { return strokes(x, y) + shades(x, y); };

    const PairCounts down(area, strokes, shades, paper);
    if (down.coverage(TowardPaper(1.0)) > p.ink_budget) {
        return applied(card, gentlest<TowardPaper>(down, p.ink_budget), strokes, shades, paper);
    }
    const PairCounts up(area, of_card, drawn, paper);
    return applied(card, gentlest<TowardDrawing>(up, p.ink_budget).without_film(), of_card, drawn,
                   paper);
}

}  // namespace paleproof::filters
