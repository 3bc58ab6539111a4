// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letter_tone.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdlib>
#include <opencv2/imgproc.hpp>
#include <vector>

#include "color/srgb.h"

namespace paleproof::filters {
namespace {

constexpr double ground_until = 0.25;       // of the way from ground to text: still ground
constexpr double letter_from = 0.70;        // from here on the core of a letter
constexpr double fine_ground_until = 0.15;  // the same for small letters
constexpr double fine_letter_from = 0.80;
// The same for small letters that are faint: blur leaves their thin strokes a third of the way.
constexpr double faint_ground_until = 0.10;
constexpr double faint_letter_from = 0.60;
constexpr double faint_contrast = 3.0;
constexpr double color_contrast = 1.3;  // what differs in color alone is too blurred by JPEG for it
constexpr double faint_px = 9.0;        // x-height
constexpr double small_px = 14.0;       // x-height; thin strokes of smaller letters are half tones
constexpr double off_from = 0.45;       // distance from the way, as a share of it, that is suspect
constexpr double off_whole = 0.90;      // and that no letter has
constexpr double hairline = 0.5;        // of the mean stroke
constexpr double grain = 0.12;          // of the way: what stands out less is no hairline
constexpr double raised = 1.5;          // times what a hairline stands out over that
constexpr double not_letter = 0.65;     // of the way: farther on may be letters
constexpr double second_share = 0.1;    // of what is not: as much lies past the second ground
constexpr double second_from = 0.2;     // of the way: nearer to the first ground it is that
constexpr double beside = 0.6;          // of what lies along a line: as much is its second ground
constexpr double rare_beside = 0.05;    // of that: what lies past more of it is something else
constexpr double even = 0.12;           // of the way, between the pixels to both sides: no edge
constexpr double over_second = 0.08;    // where letters begin over it
constexpr double way_over_second = 0.25;  // from there to their core
constexpr int least_step = 12;            // codes between text and ground that can be told apart

/// A stretch of a line in which the ground is looked at by itself, in x-heights and pixels.
constexpr double stretch_from = 0.1;  // of the way: as second_from
constexpr double stretch_x_heights = 5.0;
constexpr int least_stretch = 24;

double smooth(double value, double from, double whole) {
    const double t = std::clamp((value - from) / (whole - from), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

int gray(RgbCode c) { return color::gray_code(c[0], c[1], c[2]); }

/// The way from the ground color to the text color.
struct Way {
    std::size_t channels;
    std::array<float, 3> ground{};
    std::array<float, 3> step{};
    float length2 = 0.0F;

    Way(const TextLine& line, Encoding encoding) : Way(line, line.text_color, encoding) {}
    Way(const TextLine& line, RgbCode end, Encoding encoding)
        : channels(encoding == Encoding::srgb ? 3 : 1) {
        for (std::size_t c = 0; c < channels; ++c) {
            const int from = channels == 3 ? line.ground_color[c] : gray(line.ground_color);
            const int to = channels == 3 ? end[c] : gray(end);
            ground[c] = static_cast<float>(from);
            step[c] = static_cast<float>(to - from);
            length2 += step[c] * step[c];
        }
    }

    /// Where a color lies: how far along the way, and the square of how far beside it, both as
    /// shares of the way's length.
    struct Place {
        float share, off2;
    };
    [[nodiscard]] Place place(const std::uint8_t* color) const {
        float along = 0.0F;
        float distance2 = 0.0F;
        for (std::size_t c = 0; c < channels; ++c) {
            const float d = static_cast<float>(color[c]) - ground[c];
            along += d * step[c];
            distance2 += d * d;
        }
        const float share = along / length2;
        return {share, std::max(0.0F, distance2 / length2 - share * share)};
    }
};

/// Takes off the way what lies nearer to that of the line's shadow: the shadow, and its soft rim.
void leave_shadow(const Image& face, RectPx part, const TextLine& line, cv::Mat& near) {
    const Way to_letters(line, face.encoding());
    const Way to_shadow(line, *line.shadow_color, face.encoding());
    for (int y = 0; y < part.height; ++y) {
        const std::uint8_t* in = face.row(part.y + y) + part.x * face.channels();
        auto* on = near.ptr<std::uint8_t>(y);
        for (int x = 0; x < part.width; ++x, in += face.channels()) {
            if (to_shadow.place(in).off2 * to_shadow.length2 <
                to_letters.place(in).off2 * to_letters.length2)
                on[x] = 0;
        }
    }
}

constexpr int most_of_ground = static_cast<int>(255 * not_letter);

/// How many pixels of ground have which place on the way.
struct ShareCount {
    std::array<int, 256> count{};
    int all = 0;

    void add(int share) {
        ++count[static_cast<std::size_t>(share)];
        ++all;
    }
    /// The place that so many of them, as a share of all, lie past.
    [[nodiscard]] double past(double part) const {
        int over = 0;
        int share = most_of_ground;
        while (share > 0 && over < part * all) over += count[static_cast<std::size_t>(--share)];
        return share / 255.0;
    }
};

/// How far on the way lies most of what is around the letters, when that is not their own ground: a
/// panel or even art behind letters that stand in an outline or on a shadow, which the survey takes
/// for ground. Edges don't count: of small letters they are as much as all else.
double second_ground(const cv::Mat& place, const cv::Mat& near, double least) {
    ShareCount shares;
    constexpr int flat = static_cast<int>(255 * even);
    for (int y = 1; y + 1 < place.rows; ++y) {
        const auto* at = place.ptr<std::uint8_t>(y);
        const auto* above = place.ptr<std::uint8_t>(y - 1);
        const auto* below = place.ptr<std::uint8_t>(y + 1);
        const auto* on = near.ptr<std::uint8_t>(y);
        for (int x = 1; x + 1 < place.cols; ++x) {
            const int share = at[x] * on[x] / 255;
            if (share >= most_of_ground || std::abs(at[x + 1] - at[x - 1]) > flat ||
                std::abs(below[x] - above[x]) > flat)
                continue;
            shares.add(share);
        }
    }
    return shares.past(0.5) > least ? shares.past(second_share) : 0.0;
}

/// The same for what lies along both sides of the line, past its letters: where most of that is
/// art, it shows between the letters as well, though a broad outline may leave little of it there.
double ground_beside(const cv::Mat& place, const cv::Mat& near, bool turned) {
    const int deep = turned ? place.cols : place.rows;
    const int length = turned ? place.rows : place.cols;
    ShareCount shares;
    for (const int across : {0, 1, deep - 2, deep - 1}) {
        for (int along = 0; along < length; ++along) {
            const int x = turned ? across : along;
            const int y = turned ? along : across;
            const int share = place.at<std::uint8_t>(y, x) * near.at<std::uint8_t>(y, x) / 255;
            if (share < most_of_ground) shares.add(share);
        }
    }
    if (shares.all < beside * 4 * length || shares.past(beside) <= second_from) return 0.0;
    return shares.past(rare_beside);
}

/// Second grounds along a line. Over art they change with it: each stretch has its own, at least
/// that of the whole line.
struct SecondGrounds {
    double whole = 0.0;
    int stretch = 1;                ///< pixels between their middles
    std::vector<double> at_middle;  ///< of stretch 0, 1, ...

    SecondGrounds(const cv::Mat& place, const cv::Mat& near, double x_height, bool turned)
        : whole(std::max(second_ground(place, near, second_from),
                         ground_beside(place, near, turned))) {
        const int length = turned ? place.rows : place.cols;
        stretch = std::max(least_stretch, static_cast<int>(stretch_x_heights * x_height)) / 2;
        for (int middle = 0; middle < length + stretch; middle += stretch) {
            const int begin = std::clamp(middle - stretch, 0, length);
            const int end = std::clamp(middle + stretch, 0, length);
            const cv::Range range(begin, end);
            double own = 0.0;
            if (range.size() >= stretch / 2) {
                own =
                    turned
                        ? second_ground(place.rowRange(range), near.rowRange(range), stretch_from)
                        : second_ground(place.colRange(range), near.colRange(range), stretch_from);
            }
            at_middle.push_back(std::max(whole, own));
        }
    }
    [[nodiscard]] bool one() const {
        return std::ranges::all_of(at_middle, [&](double v) { return v == whole; });
    }
    [[nodiscard]] double at(int along) const {
        const auto i = static_cast<std::size_t>(along / stretch);
        const double share = static_cast<double>(along % stretch) / stretch;
        return at_middle[i] + share * (at_middle[i + 1] - at_middle[i]);
    }
};

/// What is thinner than the line's strokes, and stands on its ground, never shows its full color.
/// On a second ground only what passes it.
void raise_hairlines(cv::Mat& place, double stroke_px, double ground_share, double past) {
    const int side = std::max(3, static_cast<int>(std::lround(hairline * stroke_px)) + 1);
    cv::Mat opened;
    cv::morphologyEx(place, opened, cv::MORPH_OPEN,
                     cv::getStructuringElement(cv::MORPH_RECT, {side, side}));
    const int ground = static_cast<int>(255 * ground_share);
    const int least = static_cast<int>(255 * grain);
    const int lowest = static_cast<int>(255 * past);
    for (int y = 0; y < place.rows; ++y) {
        auto* at = place.ptr<std::uint8_t>(y);
        const auto* under = opened.ptr<std::uint8_t>(y);
        for (int x = 0; x < place.cols; ++x) {
            const int stands_out = at[x] - under[x] - least;
            if (stands_out <= 0 || under[x] > ground || at[x] <= lowest) continue;
            at[x] = static_cast<std::uint8_t>(
                std::min(255, at[x] + static_cast<int>(raised * stands_out)));
        }
    }
}

using Tones = std::array<std::uint8_t, 256>;

/// Where on the way letters begin and where they are whole.
struct LetterStep {
    double from = ground_until;
    double whole = letter_from;
    bool even = false;  ///< between them evenly, not as a smooth step

    explicit LetterStep(const TextLine& line) {
        if (line.x_height_px >= small_px) return;
        // Thin strokes of small letters are half tones: a steep step would break them to stairs.
        even = true;
        const bool faint = line.x_height_px < faint_px && line.contrast < faint_contrast &&
                           line.contrast >= color_contrast;
        from = faint ? faint_ground_until : fine_ground_until;
        whole = faint ? faint_letter_from : fine_letter_from;
    }
};

/// How much of a letter each place on the way is, over a second ground or, at 0, none.
Tones tones_over(double second, const LetterStep& step) {
    double from = step.from;
    double whole = step.whole;
    if (second > 0.0) {
        from = std::max(from, second + over_second);
        whole = from + way_over_second;
    }
    Tones tones{};
    for (std::size_t i = 0; i < tones.size(); ++i) {
        const double share = static_cast<double>(i) / 255.0;
        const double tone = step.even ? std::clamp((share - from) / (whole - from), 0.0, 1.0)
                                      : smooth(share, from, whole);
        tones[i] = static_cast<std::uint8_t>(std::lround(255.0 * tone));
    }
    return tones;
}

}  // namespace

double tone_step(const TextLine& line, Encoding encoding) {
    return std::sqrt(static_cast<double>(Way(line, encoding).length2));
}

Image letter_tone(const Image& face, RectPx part, const TextLine& line, double patience) {
    Image result(part.width, part.height, Encoding::gray);
    const Way way(line, face.encoding());
    std::ranges::fill(result.bytes(), std::uint8_t{0});
    if (way.length2 < 1.0F) return result;
    const auto channels = static_cast<std::size_t>(face.channels());
    cv::Mat place(part.height, part.width, CV_8UC1);  // on the way, 255 = at its end
    cv::Mat near(part.height, part.width, CV_8UC1);   // 255 = on the way, 0 = far off
    const auto off2_from = static_cast<float>(std::pow(off_from * patience, 2.0));
    for (int y = 0; y < part.height; ++y) {
        const std::uint8_t* in = face.row(part.y + y) + static_cast<std::size_t>(part.x) * channels;
        auto* at = place.ptr<std::uint8_t>(y);
        auto* on = near.ptr<std::uint8_t>(y);
        for (int x = 0; x < part.width; ++x, in += channels) {
            const auto [share, off2] = way.place(in);
            // Past the text color is as good as on it.
            at[x] = static_cast<std::uint8_t>(std::clamp(255.0F * share + 0.5F, 0.0F, 255.0F));
            on[x] = 255;
            if (off2 <= off2_from) continue;
            const double off = std::sqrt(static_cast<double>(off2)) / patience;
            on[x] = static_cast<std::uint8_t>(
                std::lround(255.0 * (1.0 - smooth(off, off_from, off_whole))));
        }
    }
    const LetterStep step(line);
    const bool turned = line.quarter_turns % 2 != 0;
    const SecondGrounds second(place, near, line.x_height_px, turned);
    if (line.x_height_px >= small_px) {
        const double past = second.whole > 0.0 ? second.whole + over_second : 0.0;
        raise_hairlines(place, line.stroke_px, std::max(ground_until, past), past);
    }
    if (line.shadow_color) leave_shadow(face, part, line, near);
    // One table for the line, or one for each place along it.
    const bool one = second.one();
    std::vector<Tones> tables;
    for (int i = 0; i < (one ? 1 : turned ? part.height : part.width); ++i)
        tables.push_back(tones_over(one ? second.whole : second.at(i), step));
    for (int y = 0; y < part.height; ++y) {
        const auto* at = place.ptr<std::uint8_t>(y);
        const auto* on = near.ptr<std::uint8_t>(y);
        std::uint8_t* out = result.row(y);
        for (int x = 0; x < part.width; ++x) {
            const auto along = static_cast<std::size_t>(one ? 0 : turned ? y : x);
            const int tone = tables[along][at[x]];
            out[x] = static_cast<std::uint8_t>((tone * on[x] + 127) / 255);
        }
    }
    return result;
}

Image stroke_tone(const Image& face, RectPx part, const TextLine& line, double widest) {
    const bool light = gray(line.text_color) > gray(line.ground_color);
    const auto in_order = [light](int code) { return light ? 255 - code : code; };
    const int text = in_order(gray(line.text_color));
    const int own_ground = in_order(gray(line.ground_color));
    const int side = static_cast<int>(std::ceil(widest)) | 1;
    const RectPx wide =
        intersection({part.x - side, part.y - side, part.width + 2 * side, part.height + 2 * side},
                     face.bounds());
    cv::Mat tone(wide.height, wide.width, CV_8UC1);
    for (int y = 0; y < wide.height; ++y) {
        const std::uint8_t* in = face.row(wide.y + y) + wide.x * face.channels();
        auto* out = tone.ptr<std::uint8_t>(y);
        for (int x = 0; x < wide.width; ++x, in += face.channels()) {
            const int code = face.channels() == 3 ? color::gray_code(in[0], in[1], in[2]) : *in;
            out[x] = static_cast<std::uint8_t>(in_order(code));
        }
    }
    cv::Mat ground;
    cv::morphologyEx(tone, ground, cv::MORPH_CLOSE,
                     cv::getStructuringElement(cv::MORPH_RECT, {side, side}), {-1, -1}, 1,
                     cv::BORDER_REPLICATE);
    Image result(part.width, part.height, Encoding::gray);
    for (int y = 0; y < part.height; ++y) {
        const auto* t = tone.ptr<std::uint8_t>(part.y - wide.y + y) + (part.x - wide.x);
        const auto* g = ground.ptr<std::uint8_t>(part.y - wide.y + y) + (part.x - wide.x);
        std::uint8_t* out = result.row(y);
        for (int x = 0; x < part.width; ++x) {
            // A shadow or an outline is farther from the text than its ground: beside it the ground
            // itself would stand out.
            const int local = std::min<int>(g[x], own_ground);
            const int step = local - text;
            const double way = step < least_step ? 0.0 : static_cast<double>(local - t[x]) / step;
            out[x] = static_cast<std::uint8_t>(
                std::lround(255.0 * smooth(way, ground_until, letter_from)));
        }
    }
    return result;
}

}  // namespace paleproof::filters
