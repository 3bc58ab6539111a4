// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/lighten.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <utility>
#include <vector>

#include "core/combine.h"
#include "core/wide.h"
#include "filters/dark_field.h"

namespace paleproof::filters {
namespace {

constexpr double film = 0.50;          // share of the even tone that only makes the paper dirty
constexpr double faint_at_end = 0.25;  // ink below this share goes first
constexpr double caught_up = 2.8;      // times the ink that goes to paper: none is taken any more
constexpr int codes = 256;
constexpr int steps = 12;  // halvings: a four-thousandth of the way, far below one code

std::uint8_t code(double value) {
    return static_cast<std::uint8_t>(std::clamp(value, 0.0, 255.0) + 0.5);
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

std::size_t pair(std::uint8_t first, std::uint8_t second) {
    return static_cast<std::size_t>(first) * codes + second;
}

/// How often each pair of inks occurs in an area, [first * 256 + second], in 255ths of a pixel:
/// where the paper shows through, a pixel counts for less.
struct PairCounts {
    std::vector<std::uint64_t> count;
    std::vector<int> used;  ///< indices with a count, so that a bisection step is short
    double pixels = 0;

    PairCounts(const Image& first, const Image& second, const Image* paper, RectPx area)
        : count(static_cast<std::size_t>(codes) * codes),
          pixels(static_cast<double>(area.width) * area.height) {
        // Two counts by turns: one alone would wait for itself wherever neighbors are alike.
        std::vector<std::uint32_t> even(count.size()), odd(count.size());
        const auto put = [&] {
            for (std::size_t i = 0; i < count.size(); ++i) {
                count[i] += std::uint64_t{even[i]} + odd[i];
            }
            std::ranges::fill(even, 0U);
            std::ranges::fill(odd, 0U);
        };
        constexpr std::int64_t room = (std::int64_t{1} << 32U) / 255 - 1;  // of a count, in pixels
        std::int64_t counted = 0;
        for (int y = area.y; y < area.bottom(); ++y) {
            const std::uint8_t* a = first.row(y) + area.x;
            const std::uint8_t* b = second.row(y) + area.x;
            const std::uint8_t* p = paper != nullptr ? paper->row(y) + area.x : nullptr;
            const auto weight = [p](int x) { return p != nullptr ? 255U - p[x] : 255U; };
            int x = 0;
            for (; x + 1 < area.width; x += 2) {
                even[pair(a[x], b[x])] += weight(x);
                odd[pair(a[x + 1], b[x + 1])] += weight(x + 1);
            }
            if (x < area.width) even[pair(a[x], b[x])] += weight(x);
            counted += area.width;
            if (counted + area.width > room) {
                put();
                counted = 0;
            }
        }
        put();
        // No tone of no ink is more than none, so these need not be counted.
        count[0] = 0;
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

/// `ink` where `paper` shows through.
Image on_paper(Image ink, const Image* paper) {
    const auto out = ink.bytes();
    if (paper == nullptr) {
        for (std::uint8_t& code : out) code = static_cast<std::uint8_t>(255 - code);
        return ink;
    }
    const std::uint8_t* p = paper->bytes().data();
    std::uint8_t* o = out.data();
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto product = static_cast<std::uint16_t>(o[i] * (255 - p[i]));
        o[i] = static_cast<std::uint8_t>(255 - product / 255);
    }
    return ink;
}

template <class Tones>
Image applied(const Tones& tones, const Image& first, const Image& second, const Image* paper) {
    std::vector<std::uint8_t> table(static_cast<std::size_t>(codes) * codes);
    for (int i = 0; i < codes * codes; ++i) {
        table[static_cast<std::size_t>(i)] = tones(i / codes, i % codes);
    }
    Image result(first.width(), first.height(), Encoding::gray, first.ppi());
    const std::uint8_t* a = first.bytes().data();
    const std::uint8_t* b = second.bytes().data();
    for (std::uint8_t& out : result.bytes()) out = table[pair(*a++, *b++)];
    return on_paper(std::move(result), paper);
}

/// The inks of a card. Up to `clean` an ink is none; from there it catches up with what it was.
Image inks_of(const Image& card, double clean) {
    Image result(card.width(), card.height(), Encoding::gray, card.ppi());
    const auto none = static_cast<std::uint16_t>(std::lround(255.0 * clean));
    const auto slope =
        static_cast<std::uint16_t>(std::lround(64.0 * caught_up / (caught_up - 1.0)));
    wide([in = card.bytes().data(), out = result.bytes().data(), count = card.bytes().size(), none,
          slope] {
        for (std::size_t i = 0; i < count; ++i) {
            const auto ink = static_cast<std::uint16_t>(255 - in[i]);
            const auto over = static_cast<std::uint16_t>(std::max(ink, none) - none);
            const auto steep =
                static_cast<std::uint16_t>(static_cast<std::uint16_t>(over * slope) >> 6);
            out[i] = static_cast<std::uint8_t>(std::min(ink, steep));
        }
    });
    return result;
}

/// Coverage of inks on paper that shows through, not yet rounded to codes.
double coverage_on(const Image& ink, const Image* paper, RectPx area) {
    std::uint64_t sum = 0;
    for (int y = area.y; y < area.bottom(); ++y) {
        const std::uint8_t* row = ink.row(y) + area.x;
        const std::uint8_t* p = paper != nullptr ? paper->row(y) + area.x : nullptr;
        // 32 bits are wide enough for the sum of 66,000 pixels of 255 * 255.
        constexpr int most = 65536;
        for (int begin = 0; begin < area.width; begin += most) {
            const int end = std::min(area.width, begin + most);
            std::uint32_t part = 0;
            if (p == nullptr) {
                for (int x = begin; x < end; ++x) part += row[x] * 255U;
            } else {
                for (int x = begin; x < end; ++x) {
                    part += static_cast<std::uint32_t>(row[x]) * (255U - p[x]);
                }
            }
            sum += part;
        }
    }
    return static_cast<double>(sum) / (255.0 * 255.0 * area.width * area.height);
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
    const Image ink = inks_of(card, p.clean);
    if (coverage_on(ink, p.paper, area) <= p.ink_budget) {
        return p.paper != nullptr || p.clean > 0.0 ? on_paper(ink, p.paper) : card;
    }
    const FieldInk drawing = dark_field(card);
    Image drawn = drawing.strokes;
    combine(drawn, drawing.shades,
            [](std::uint8_t a, std::uint8_t b) { return static_cast<std::uint8_t>(a + b); });
    if (coverage_on(drawn, p.paper, area) > p.ink_budget) {
        const PairCounts down(drawing.strokes, drawing.shades, p.paper, area);
        return applied(gentlest<TowardPaper>(down, p.ink_budget), drawing.strokes, drawing.shades,
                       p.paper);
    }
    const PairCounts up(ink, drawn, p.paper, area);
    return applied(gentlest<TowardDrawing>(up, p.ink_budget).without_film(), ink, drawn, p.paper);
}

}  // namespace paleproof::filters
