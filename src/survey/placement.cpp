// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/placement.h"

#include <algorithm>
#include <cmath>
#include <utility>

#include "core/card_size.h"
#include "core/format.h"

namespace paleproof::survey {
namespace {

constexpr double shape_tolerance =
    0.005;  // of the aspect ratio; 63 x 88 and 2.5 x 3.5 differ by 0.0023
constexpr double size_tolerance = 0.012;  // of a side: 744 px for 63 mm, 750 px for 63.5 mm
constexpr Mm least_bleed{0.5};
constexpr Mm most_bleed{10.0};
constexpr Mm uneven_bleed{0.35};  // largest difference between the two directions
constexpr Mm eighth_inch{3.175};

/// The size turned so that it lies as the picture lies.
SizeMm turned_like(SizeMm size, SizePx image) {
    const bool lying = size.width > size.height;
    if (lying != (image.width > image.height) && image.width != image.height) {
        std::swap(size.width, size.height);
    }
    return size;
}

double aspect(double width, double height) { return width / height; }

/// Relative difference of the two aspect ratios, as a share.
double shape_difference(SizePx image, SizeMm size) {
    const double a = aspect(image.width, image.height);
    const double b = aspect(size.width.value, size.height.value);
    return std::abs(a / b - 1.0);
}

bool same_shape(SizePx image, SizeMm size) {
    // One pixel either way is rounding, whatever the resolution.
    const double one_pixel = 1.0 / std::min(image.width, image.height);
    return shape_difference(image, size) <= std::max(shape_tolerance, one_pixel);
}

/// Within the rounding of one side to whole pixels.
bool exact_shape(SizePx image, SizeMm size) {
    const double across = image.width / size.width.value;
    const double down = image.height / size.height.value;
    return std::abs(down / across - 1.0) * image.width <= 1.0;
}

SizeMm grown(SizeMm size, Mm bleed) {
    return {size.width + 2.0 * bleed, size.height + 2.0 * bleed};
}

std::optional<SizeMm> declared_size(const PlacementQuestion& q) {
    if (q.declared.value <= 0.0) {
        return std::nullopt;
    }
    return SizeMm{from_pixels(q.image.width, q.declared), from_pixels(q.image.height, q.declared)};
}

/// The bleed that makes `trim` into `outer`: equal in both directions, or nothing.
std::optional<Mm> bleed_between(SizeMm trim, SizeMm outer) {
    const Mm across = (outer.width - trim.width) / 2.0;
    const Mm down = (outer.height - trim.height) / 2.0;
    const double difference = std::abs((across - down).value);
    const Mm mean = (across + down) / 2.0;
    if (difference > uneven_bleed.value || mean < least_bleed || mean > most_bleed) {
        return std::nullopt;
    }
    return mean;
}

bool same_size(SizeMm a, SizeMm b) {
    return std::abs(a.width / b.width - 1.0) <= size_tolerance &&
           std::abs(a.height / b.height - 1.0) <= size_tolerance;
}

double misfit(SizeMm a, SizeMm b) {
    return std::abs(a.width / b.width - 1.0) + std::abs(a.height / b.height - 1.0);
}

struct Guess {
    SizeMm trim;
    std::string note;
};

/// The usual size that the file's own resolution gives, with or without bleed.
std::optional<Guess> by_resolution(const PlacementQuestion& q, SizeMm declared) {
    const NamedSize* best = nullptr;
    for (const NamedSize& named : named_sizes()) {
        const SizeMm size = turned_like(named.size, q.image);
        if (same_size(declared, size) &&
            (best == nullptr ||
             misfit(declared, size) < misfit(declared, turned_like(best->size, q.image)) - 0.002)) {
            best = &named;
        }
    }
    if (best != nullptr) {
        const SizeMm size = turned_like(best->size, q.image);
        return Guess{size, "size " + size_text(size) + " from the file's own resolution"};
    }
    // Only the amounts in use are looked for here: any other excess may be another card size.
    for (const Mm bleed : {q.bleed, Mm{3.0}, eighth_inch}) {
        for (const NamedSize& named : named_sizes()) {
            const SizeMm size = turned_like(named.size, q.image);
            const SizeMm outer = grown(size, bleed);
            if (std::abs((declared.width - outer.width).value) < 0.3 &&
                std::abs((declared.height - outer.height).value) < 0.3) {
                return Guess{size, "size " + size_text(size) +
                                       " plus bleed, from the file's own resolution"};
            }
        }
    }
    return std::nullopt;
}

/// The usual size that has the picture's shape, with or without bleed.
std::optional<Guess> by_shape(const PlacementQuestion& q) {
    for (const NamedSize& named : named_sizes()) {
        const SizeMm size = turned_like(named.size, q.image);
        if (same_shape(q.image, size)) {
            return Guess{size,
                         "size " + size_text(size) + ", the nearest usual size of this shape"};
        }
    }
    for (const Mm bleed : {Mm{3.0}, eighth_inch, q.bleed}) {
        for (const NamedSize& named : named_sizes()) {
            const SizeMm size = turned_like(named.size, q.image);
            if (shape_difference(q.image, grown(size, bleed)) <= 0.002) {
                return Guess{size, "size " + size_text(size) + " plus bleed, by its shape"};
            }
        }
    }
    return std::nullopt;
}

Guess guessed_size(const PlacementQuestion& q) {
    const auto declared = declared_size(q);
    if (declared) {
        if (const auto guess = by_resolution(q, *declared)) return *guess;
    }
    if (const auto guess = by_shape(q)) return *guess;
    // 72 and 96 ppi are what programs write when they know nothing: no evidence of a size.
    if (declared && q.declared.value > 100.0 && declared->width.value >= 10.0 &&
        declared->height.value >= 10.0 && declared->width.value <= 500.0 &&
        declared->height.value <= 500.0) {
        return {*declared, "size " + size_text(*declared) + " from the file's own resolution"};
    }
    const NamedSize* best = named_sizes().data();
    for (const NamedSize& named : named_sizes()) {
        if (shape_difference(q.image, turned_like(named.size, q.image)) <
            shape_difference(q.image, turned_like(best->size, q.image))) {
            best = &named;
        }
    }
    const SizeMm size = turned_like(best->size, q.image);
    return {size,
            "size " + size_text(size) + ", the nearest usual size; no usual size has this shape"};
}

/// Bleed that the picture has around `trim`, 0 when it stops at the trim, nothing when neither
/// fits.
std::optional<Mm> present_bleed(const PlacementQuestion& q, SizeMm trim) {
    const auto declared = declared_size(q);
    if (declared) {
        if (const auto bleed = bleed_between(trim, *declared)) {
            return bleed;
        }
    }
    if (q.fit == FitMethod::keep ? same_shape(q.image, trim) : exact_shape(q.image, trim)) {
        return Mm{0.0};
    }
    std::optional<Mm> nearest;
    double difference = 0.003;
    for (const Mm bleed : {q.bleed, Mm{3.0}, eighth_inch}) {
        const double off = shape_difference(q.image, grown(trim, bleed));
        if (bleed >= least_bleed && off < difference) {
            nearest = bleed;
            difference = off;
        }
    }
    return nearest;
}

/// The same question for what the crop marks enclose, set back into the picture.
PlacementAnswer between_marks(const PlacementQuestion& q) {
    const CropMarks& marks = *q.marks;
    PlacementQuestion inner = q;
    inner.marks.reset();
    inner.image = {marks.trim.width, marks.trim.height};
    inner.bleed = Mm{0.0};
    PlacementAnswer answer = placement(inner);
    TrimPlacement& place = answer.placement;
    // The marks say where the cut is, whatever bleed the size alone would suggest.
    place.trim_px = marks.trim;
    place.ppi = {(marks.trim.width / inches(place.trim.width) +
                  marks.trim.height / inches(place.trim.height)) /
                 2.0};
    const auto reach = [&](int count) { return from_pixels(count, place.ppi); };
    place.bleed_present = {
        reach(marks.trim.y - marks.art.y), reach(marks.art.right() - marks.trim.right()),
        reach(marks.art.bottom() - marks.trim.bottom()), reach(marks.trim.x - marks.art.x)};
    answer.art_px = marks.art;
    answer.note += ", between the printed crop marks";
    return answer;
}

}  // namespace

PlacementAnswer placement(const PlacementQuestion& q) {
    if (q.marks) return between_marks(q);
    PlacementAnswer answer;
    answer.art_px = {0, 0, q.image.width, q.image.height};
    Guess guess = q.size ? Guess{turned_like(*q.size, q.image), ""} : guessed_size(q);
    if (q.size) {
        guess.note = "size " + size_text(guess.trim) + " as asked for";
    }
    TrimPlacement& place = answer.placement;
    place.trim = guess.trim;
    answer.note = guess.note;

    const auto bleed = present_bleed(q, guess.trim);
    const SizeMm outer = grown(guess.trim, bleed.value_or(Mm{0.0}));
    const double across = q.image.width / inches(outer.width);
    const double down = q.image.height / inches(outer.height);
    // A picture that fits has one resolution but for rounding. One that does not is set inside the
    // trim: the direction in which it is relatively larger decides.
    const bool covers = q.fit == FitMethod::crop;
    place.ppi = {bleed    ? (across + down) / 2.0
                 : covers ? std::min(across, down)
                          : std::max(across, down)};

    if (bleed) {
        const auto margin_x = static_cast<int>(std::lround(across * inches(*bleed)));
        const auto margin_y = static_cast<int>(std::lround(down * inches(*bleed)));
        place.trim_px = {margin_x, margin_y, q.image.width - 2 * margin_x,
                         q.image.height - 2 * margin_y};
        place.bleed_present = {*bleed, *bleed, *bleed, *bleed};
        answer.stretch = across / down - 1.0;
        return answer;
    }
    const auto width = static_cast<int>(std::lround(pixels(guess.trim.width, place.ppi)));
    const auto height = static_cast<int>(std::lround(pixels(guess.trim.height, place.ppi)));
    const int x = (q.image.width - width) / 2;
    const int y = (q.image.height - height) / 2;
    place.trim_px = {x, y, width, height};
    const auto reach = [&](int count) { return from_pixels(count, place.ppi); };
    place.bleed_present = {reach(y), reach(q.image.width - x - width),
                           reach(q.image.height - y - height), reach(x)};
    answer.shape_off = 1.0 - std::min(across, down) / std::max(across, down);
    return answer;
}

}  // namespace paleproof::survey
