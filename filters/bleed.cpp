// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/bleed.h"

#include <algorithm>
#include <cstdlib>
#include <string>
#include <utility>
#include <vector>

#include "core/error.h"
#include "filters/carry.h"
#include "filters/cover.h"
#include "filters/edge_lie.h"
#include "filters/edge_strip.h"
#include "filters/pattern.h"

namespace paleproof::filters {
namespace {

constexpr int most = 20'000;

/// Place in 0 .. length-1 that `at` shows, with reflection that repeats the outermost sample:
/// ... 1 0 | 0 1 2 .. n-1 | n-1 n-2 ...
int mirrored(int at, int length) {
    const int period = 2 * length;
    int phase = at % period;
    if (phase < 0) {
        phase += period;
    }
    return phase < length ? phase : period - 1 - phase;
}

std::vector<int> sources(int length, int before, int after, BleedMethod first, BleedMethod last) {
    std::vector<int> result;
    result.reserve(static_cast<std::size_t>(length + before + after));
    for (int at = -before; at < length + after; ++at) {
        const BleedMethod method = at < 0 ? first : last;
        result.push_back(method == BleedMethod::mirror ? mirrored(at, length)
                                                       : std::clamp(at, 0, length - 1));
    }
    return result;
}

void check(int amount, const char* edge) {
    if (amount > most || amount < -most) {
        throw Error(
            ErrorKind::range, std::string("bleed, ") + edge,
            "expected at most " + std::to_string(most) + " pixels, got " + std::to_string(amount));
    }
}

struct Way {
    BleedMethod method = BleedMethod::stretch;
    int border = 0;     ///< px, flat: its width, 0 = not known; carry: where a frame begins
    PatternSteps step;  ///< pattern
    bool bilevel = false;
};

constexpr int least_calm = 4;  // px
constexpr int frame_ring = 3;  // px

/// Strips that are used again from edge to edge.
struct Scratch {
    EdgeStrip inside, outside, between;
    CarryScratch carry;
};

/// scratch.outside from scratch.inside.
void make_outside(Scratch& scratch, int rows, const Way& way) {
    const EdgeStrip& inside = scratch.inside;
    EdgeStrip& result = scratch.outside;
    if (way.method == BleedMethod::carry ||
        (way.method == BleedMethod::pattern && way.step.edge.inward < 1)) {
        // What a Gaussian took from a frame reaches a little farther out than the frame.
        const int calm = way.border > 0 ? std::max(least_calm, way.border - frame_ring) : 0;
        carry(inside, rows, way.bilevel, calm, scratch.carry, result);
        return;
    }
    if (way.method == BleedMethod::pattern) {
        if (pattern(inside, rows, way.step, result)) return;
        carry(inside, rows, way.bilevel, 0, scratch.carry, scratch.between);
        for (std::size_t i = 0; i < result.values.size(); ++i) {
            if (result.values[i] < 0.0F) result.values[i] = scratch.between.values[i];
        }
        return;
    }
    int depth = way.method == BleedMethod::mirror ? inside.rows : 1;
    if (way.method == BleedMethod::flat) {
        // The innermost row of a border may be half art.
        depth = even_rows(inside, std::clamp(way.border - 1, 1, inside.rows));
    }
    result.reshape(inside.length, rows, inside.channels);
    for (int r = 0; r < rows; ++r) {
        std::copy_n(
            inside.row(mirrored(r, depth)),
            static_cast<std::size_t>(inside.length) * static_cast<std::size_t>(inside.channels),
            result.row(r));
    }
}

/// Rows that a method looks at.
int depth_for(int amount, const Way& way) {
    const PatternSteps& step = way.step;
    return std::max(
        {amount + 8, 32,
         step.edge.inward + std::max(std::abs(step.first.along), std::abs(step.last.along))});
}

constexpr int corner_context = 64;

/// One picture being made larger, edge by edge, then corner by corner.
class Growing {
  public:
    Growing(const Image& card, const Bleed& p);
    [[nodiscard]] Image take() { return std::move(picture_); }

  private:
    void put_core(const Image& card, RectPx kept);
    void extend(Side side, RectPx area, int amount);
    void blend_corner(Side vertical, Side horizontal);
    void carry_corner(Side vertical, Side horizontal);
    [[nodiscard]] bool pattern_covers(Side vertical, Side horizontal) const;
    [[nodiscard]] Way way(Side side) const;
    [[nodiscard]] int amount(Side side) const;

    const Bleed& p_;
    Edges<int> add_;
    RectPx core_;
    Image picture_;
    Scratch scratch_;
};

template <class T>
const T& of(const Edges<T>& edges, Side side) {
    switch (side) {
        case Side::top:
            return edges.top;
        case Side::right:
            return edges.right;
        case Side::bottom:
            return edges.bottom;
        case Side::left:
            break;
    }
    return edges.left;
}

bool repeats(const Way& way) {
    return way.method == BleedMethod::pattern && way.step.edge.inward > 0;
}

Way Growing::way(Side side) const {
    const auto step = [this](Side edge) {
        return of(p_.method, edge) == BleedMethod::pattern ? of(p_.repeat, edge) : Repeat{};
    };
    const bool level = side == Side::top || side == Side::bottom;
    PatternSteps steps{of(p_.repeat, side), step(level ? Side::left : Side::top),
                       step(level ? Side::right : Side::bottom)};
    if (side == Side::bottom || side == Side::right) {
        steps.first.along = -steps.first.along;
        steps.last.along = -steps.last.along;
    }
    return {of(p_.method, side), of(p_.border, side), steps,
            picture_.encoding() == Encoding::bilevel};
}

int Growing::amount(Side side) const { return of(add_, side); }

void Growing::extend(Side side, RectPx area, int amount) {
    if (amount <= 0) return;
    const Lie lie{side, area};
    const Way how = way(side);
    take_inside(picture_, lie, depth_for(amount, how), scratch_.inside);
    make_outside(scratch_, amount, how);
    put_outside(picture_, lie, scratch_.outside);
}

/// Whether the pattern above or below has gone on over the corner, in phase with both edges.
bool Growing::pattern_covers(Side vertical, Side horizontal) const {
    const Way how = way(vertical);
    if (!repeats(how) || !repeats(way(horizontal))) return false;
    const int rows = std::min(depth_for(amount(vertical), how), core_.height);
    for (int d = 1; d <= amount(vertical); ++d) {
        for (int i = 0; i < amount(horizontal); ++i) {
            const int x = horizontal == Side::left ? i : picture_.width() - 1 - i;
            if (!in_phase({-d, x}, picture_.width(), rows, how.step)) return false;
        }
    }
    return true;
}

/// Makes the corner anew from the side's bleed alone, carried up or down.
void Growing::carry_corner(Side vertical, Side horizontal) {
    const int across = amount(horizontal);
    const int context = std::min(corner_context, core_.width);
    const bool left = horizontal == Side::left;
    const int begin = left ? 0 : picture_.width() - across - context;
    const Way how{BleedMethod::carry, 0, {}, picture_.encoding() == Encoding::bilevel};
    take_inside(picture_, {vertical, {begin, core_.y, across + context, core_.height}},
                depth_for(amount(vertical), how), scratch_.inside);
    make_outside(scratch_, amount(vertical), how);
    const EdgeStrip& made = scratch_.outside;
    EdgeStrip corner(across, made.rows, made.channels);
    for (int r = 0; r < made.rows; ++r) {
        std::copy_n(made.row(r) + (left ? 0 : static_cast<std::ptrdiff_t>(context) * made.channels),
                    static_cast<std::ptrdiff_t>(across) * made.channels, corner.row(r));
    }
    const int at = left ? 0 : picture_.width() - across;
    put_outside(picture_, {vertical, {at, core_.y, across, core_.height}}, corner);
}

/// The corner as it stands continues the side's bleed up or down. It is blended with what the
/// bleed above or below gives when it is continued sideways, each ruling where it adjoins.
void Growing::blend_corner(Side vertical, Side horizontal) {
    const int down = amount(vertical);
    const int across = amount(horizontal);
    if (down <= 0 || across <= 0) return;
    if (pattern_covers(vertical, horizontal)) return;
    Way how = way(horizontal);
    if (repeats(way(vertical)) || repeats(how)) {
        // Two patterns out of step would show through each other.
        carry_corner(vertical, horizontal);
        how.method = BleedMethod::carry;
        how.border = 0;
    }
    const int context = std::min(corner_context, core_.height);
    const bool top = vertical == Side::top;
    const Lie lie{horizontal,
                  {core_.x, top ? 0 : core_.bottom() - context, core_.width, down + context}};
    take_inside(picture_, lie, depth_for(across, how), scratch_.inside);
    make_outside(scratch_, across, how);
    const EdgeStrip& other = scratch_.outside;
    const bool bilevel = picture_.encoding() == Encoding::bilevel;
    const int channels = picture_.channels();
    for (int r = 0; r < across; ++r) {
        for (int i = 0; i < down; ++i) {
            const int x = top ? i : context + i;
            const float dx = static_cast<float>(r) + 0.5F;
            const float dy = static_cast<float>(top ? down - i : i + 1) - 0.5F;
            const float t = dx / (dx + dy);
            const float share = t * t * (3.0F - 2.0F * t);
            std::uint8_t* out = lie.at(picture_, -1 - r, x);
            const float* in = other.row(r) + static_cast<std::ptrdiff_t>(x) * channels;
            for (int c = 0; c < channels; ++c) {
                out[c] = code(in[c] + share * (static_cast<float>(out[c]) - in[c]), bilevel);
            }
        }
    }
}

Growing::Growing(const Image& card, const Bleed& p)
    : p_(p),
      add_{std::max(0, p.amount.top), std::max(0, p.amount.right), std::max(0, p.amount.bottom),
           std::max(0, p.amount.left)} {
    const RectPx whole = p.keep.empty() ? card.bounds() : p.keep;
    const RectPx kept{whole.x + std::max(0, -p.amount.left), whole.y + std::max(0, -p.amount.top),
                      whole.width + std::min(0, p.amount.left) + std::min(0, p.amount.right),
                      whole.height + std::min(0, p.amount.top) + std::min(0, p.amount.bottom)};
    core_ = {add_.left, add_.top, kept.width, kept.height};
    picture_ = Image(kept.width + add_.left + add_.right, kept.height + add_.top + add_.bottom,
                     card.encoding(), card.ppi());
    if (p.text.empty()) {
        put_core(card, kept);
    } else {
        // Painted over only where the bleed is made from: the card itself is put back at the end.
        put_core(cover(card, p.text), kept);
    }
    extend(Side::left, core_, add_.left);
    extend(Side::right, core_, add_.right);
    const RectPx wide{0, core_.y, picture_.width(), core_.height};
    extend(Side::top, wide, add_.top);
    extend(Side::bottom, wide, add_.bottom);
    for (const Side vertical : {Side::top, Side::bottom}) {
        for (const Side horizontal : {Side::left, Side::right}) {
            blend_corner(vertical, horizontal);
        }
    }
    if (!p.text.empty()) put_core(card, kept);
}

void Growing::put_core(const Image& card, RectPx kept) {
    for (int y = 0; y < kept.height; ++y) {
        std::copy_n(
            card.row(kept.y + y) + static_cast<std::ptrdiff_t>(kept.x) * card.channels(),
            static_cast<std::ptrdiff_t>(kept.width) * card.channels(),
            picture_.row(core_.y + y) + static_cast<std::ptrdiff_t>(core_.x) * card.channels());
    }
}

bool by_places_alone(const Bleed& p) {
    const auto plain = [](int amount, BleedMethod method) {
        return amount <= 0 || (method != BleedMethod::carry && method != BleedMethod::flat &&
                               method != BleedMethod::pattern);
    };
    return p.keep.empty() && p.text.empty() && plain(p.amount.top, p.method.top) &&
           plain(p.amount.right, p.method.right) && plain(p.amount.bottom, p.method.bottom) &&
           plain(p.amount.left, p.method.left);
}

}  // namespace

Image bleed(const Image& card, const Bleed& p) {
    check(p.amount.top, "top");
    check(p.amount.right, "right");
    check(p.amount.bottom, "bottom");
    check(p.amount.left, "left");
    const RectPx kept = p.keep.empty() ? card.bounds() : p.keep;
    if (intersection(kept, card.bounds()) != kept) {
        throw Error(ErrorKind::range, "bleed", "the part to keep leaves the picture");
    }
    const int width = kept.width + p.amount.left + p.amount.right;
    const int height = kept.height + p.amount.top + p.amount.bottom;
    const int across = kept.width + std::min(0, p.amount.left) + std::min(0, p.amount.right);
    const int down = kept.height + std::min(0, p.amount.top) + std::min(0, p.amount.bottom);
    if (width < 1 || height < 1) {
        throw Error(ErrorKind::range, "bleed", "the cut leaves nothing of the picture");
    }
    if (!by_places_alone(p)) {
        if (across < 1 || down < 1) {
            throw Error(ErrorKind::range, "bleed", "the cut leaves nothing of the picture");
        }
        return Growing(card, p).take();
    }
    const auto columns =
        sources(card.width(), p.amount.left, p.amount.right, p.method.left, p.method.right);
    const auto rows =
        sources(card.height(), p.amount.top, p.amount.bottom, p.method.top, p.method.bottom);
    const int channels = card.channels();
    Image result(width, height, card.encoding(), card.ppi());

    const int inner_begin = std::max(0, p.amount.left);
    const int inner_end = width - std::max(0, p.amount.right);
    for (int y = 0; y < height; ++y) {
        const std::uint8_t* in = card.row(rows[static_cast<std::size_t>(y)]);
        std::uint8_t* out = result.row(y);
        const auto copy_pixel = [&](int x) {
            const int from = columns[static_cast<std::size_t>(x)] * channels;
            std::copy_n(in + from, channels, out + static_cast<std::ptrdiff_t>(x) * channels);
        };
        for (int x = 0; x < std::min(inner_begin, width); ++x) copy_pixel(x);
        if (inner_begin < inner_end) {
            const int from = columns[static_cast<std::size_t>(inner_begin)] * channels;
            std::copy_n(in + from, static_cast<std::ptrdiff_t>(inner_end - inner_begin) * channels,
                        out + static_cast<std::ptrdiff_t>(inner_begin) * channels);
        }
        for (int x = std::max(inner_end, inner_begin); x < width; ++x) copy_pixel(x);
    }
    return result;
}

}  // namespace paleproof::filters
