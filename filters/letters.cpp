// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/letters.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <utility>

#include "color/srgb.h"

namespace paleproof::filters {
namespace {

constexpr double least_confidence = 0.4;
constexpr double least_contrast = 1.5;
constexpr int least_step = 12;              // codes between text and ground that can be told apart
constexpr double most_letter = 0.5;         // share of a line's box
constexpr double ground_until = 0.25;       // of the way from ground to text: still ground
constexpr double letter_from = 0.70;        // from here on the core of a letter
constexpr double fine_ground_until = 0.15;  // the same for small letters
constexpr double fine_letter_from = 0.80;
constexpr double off_from = 0.45;   // distance from the way, as a share of it, that is suspect
constexpr double off_whole = 0.90;  // and that no letter has
/// Widest stroke of any letter: of the line's mean stroke (bold words stand in regular lines), and
/// of the x-height (the heaviest poster faces).
constexpr double widest_of_stroke = 2.4;
constexpr double widest_of_x_height = 0.3;
constexpr double least_rest = 0.5;  // x-heights: what is lower beside a blot is its rim
/// How far past a letter's edge the ground beside it begins, in x-heights: large letters have wider
/// rims where a picture was enlarged.
constexpr double past_edge_of_x_height = 0.06;
/// Where most of a line is letters that the ground encloses, on a panel or in outlines, the others
/// are enclosed as well: what is not, is art in the text's color.
constexpr double enclosed_from = 0.72;  // share of the ring around a part that is ground
constexpr double enclosed_line = 0.45;  // share of the line's length that such letters fill
constexpr double enclosed_least = 0.5;  // share of the ring of any letter there
constexpr double small_px = 14.0;       // x-height; outlines of smaller text are a rim
constexpr float edge_depth = 1.5F;      // pixels from the ground: at the edge of a part
constexpr int core_from = 128;          // strength of the inside of a letter
constexpr int ground_below = 64;        // strength of what counts as ground around one
constexpr int around_px = 4;            // past the box, in which a letter must have come to its end

double smooth(double value, double from, double whole) {
    const double t = std::clamp((value - from) / (whole - from), 0.0, 1.0);
    return t * t * (3.0 - 2.0 * t);
}

/// Strength by place on the way, in 256 steps, and by distance from it.
class Way {
  public:
    /// `patience` times as far from the way a color may be.
    Way(const TextLine& line, Encoding encoding, double patience)
        : channels_(encoding == Encoding::srgb ? 3 : 1),
          patience_(patience),
          fine_(line.x_height_px < small_px) {
        const auto gray = [](RgbCode c) { return color::gray_code(c[0], c[1], c[2]); };
        for (std::size_t c = 0; c < channels_; ++c) {
            ground_[c] = channels_ == 3 ? line.ground_color[c] : gray(line.ground_color);
            step_[c] = (channels_ == 3 ? line.text_color[c] : gray(line.text_color)) - ground_[c];
            length2_ += step_[c] * step_[c];
        }
    }
    [[nodiscard]] double length() const { return std::sqrt(length2_); }
    [[nodiscard]] std::uint8_t strength(const std::uint8_t* pixel) const {
        double along = 0.0;
        double distance2 = 0.0;
        for (std::size_t c = 0; c < channels_; ++c) {
            const double d = pixel[c] - ground_[c];
            along += d * step_[c];
            distance2 += d * d;
        }
        const double way = along / length2_;
        if (way <= (fine_ ? fine_ground_until : ground_until)) return 0;
        // Past the text color is as good as on it.
        const double off2 = std::max(0.0, distance2 / length2_ - way * way);
        // Thin strokes of small letters are half tones: a steep step would break them to stairs.
        const double tone =
            fine_
                ? std::min(1.0, (way - fine_ground_until) / (fine_letter_from - fine_ground_until))
                : smooth(way, ground_until, letter_from);
        return static_cast<std::uint8_t>(std::lround(
            255.0 * tone * (1.0 - smooth(std::sqrt(off2) / patience_, off_from, off_whole))));
    }

  private:
    std::size_t channels_;
    double patience_;
    bool fine_;
    std::array<double, 3> ground_{};
    std::array<double, 3> step_{};
    double length2_ = 0.0;
};

/// What a letter of a line can be, in pixels.
struct LetterSize {
    double x_height;
    double usual;         ///< stroke of most letters, at most
    double widest;        ///< stroke of any letter, at most
    double least_ground;  ///< share of the ring around it that is the line's ground
    int past_edge;        ///< from inside a letter to the ground beside it, past its soft rim
};

/// A connected part that has the text's color.
struct Part {
    float deepest = 0.0F;  ///< half of its widest stroke
    int ring = 0;          ///< places just outside of it
    int ring_ground = 0;   ///< those of them that are ground
    bool letter = false;
};

/// Takes away what is no letter: parts that go on above or below the line, such as a ribbon or the
/// lower half of an emblem, and parts thicker than `widest` pixels anywhere. True when most of the
/// line is letters that the ground encloses.
bool keep_letters(cv::Mat& strength, const LetterSize& limits) {
    const cv::Mat solid = strength > core_from;
    cv::Mat labels;
    cv::Mat stats;
    cv::Mat centers;
    const int count = cv::connectedComponentsWithStats(solid, labels, stats, centers, 8, CV_32S);
    cv::Mat depth;  // distance to the ground, at most half of the stroke
    cv::distanceTransform(solid, depth, cv::DIST_L2, 3);
    std::vector<Part> parts(static_cast<std::size_t>(count));
    const int off = limits.past_edge;
    for (int y = 0; y < labels.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        const auto* d = depth.ptr<float>(y);
        for (int x = 0; x < labels.cols; ++x) {
            Part& part = parts[static_cast<std::size_t>(label[x])];
            part.deepest = std::max(part.deepest, d[x]);
            if (label[x] == 0 || d[x] > edge_depth) continue;
            for (const auto& [dx, dy] : {std::pair{off, 0}, {-off, 0}, {0, off}, {0, -off}}) {
                const int u = x + dx;
                const int v = y + dy;
                if (u < 0 || v < 0 || u >= labels.cols || v >= labels.rows) continue;
                if (labels.at<int>(v, u) == label[x]) continue;
                ++part.ring;
                if (strength.at<std::uint8_t>(v, u) < ground_below) ++part.ring_ground;
            }
        }
    }
    int enclosed = 0;
    for (int i = 1; i < count; ++i) {
        const Part& part = parts[static_cast<std::size_t>(i)];
        if (part.ring_ground >= enclosed_from * part.ring &&
            stats.at<int>(i, cv::CC_STAT_HEIGHT) >= 0.7 * limits.x_height) {
            enclosed += stats.at<int>(i, cv::CC_STAT_WIDTH);
        }
    }
    // A thin outline in a small picture is no wider than the rim of a letter.
    const double least_of_letter =
        limits.x_height < small_px ? 0.5 * enclosed_least : enclosed_least;
    const bool all_enclosed = enclosed >= enclosed_line * strength.cols;
    for (int i = 1; i < count; ++i) {
        Part& part = parts[static_cast<std::size_t>(i)];
        const int top = stats.at<int>(i, cv::CC_STAT_TOP);
        const int left = stats.at<int>(i, cv::CC_STAT_LEFT);
        const int height = stats.at<int>(i, cv::CC_STAT_HEIGHT);
        const bool at_end =
            left == 0 || left + stats.at<int>(i, cv::CC_STAT_WIDTH) == strength.cols;
        const bool goes_on = top == 0 || top + height == strength.rows;
        const float width = 2.0F * part.deepest;
        // A letter may touch a line of the art; a scrap of an emblem is low or heavy.
        const bool scrap = goes_on && (height < 0.75 * limits.x_height || width > limits.usual);
        const bool through = at_end && height == strength.rows;
        // Thin strokes may cross what they like; a leaf beside an outlined letter is heavy.
        const bool bare =
            (width > limits.usual && part.ring_ground < limits.least_ground * part.ring) ||
            (all_enclosed && (goes_on || height < 0.7 * limits.x_height) &&
             part.ring_ground < least_of_letter * part.ring);
        part.letter = !scrap && !through && !bare && width <= limits.widest;
    }
    cv::Mat near = cv::Mat::zeros(strength.size(), CV_8UC1);
    for (int y = 0; y < labels.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        auto* out = near.ptr<std::uint8_t>(y);
        for (int x = 0; x < labels.cols; ++x) {
            out[x] = parts[static_cast<std::size_t>(label[x])].letter ? 255 : 0;
        }
    }
    // Soft rims and hair lines belong to the cores beside them; half tones elsewhere are art.
    const int reach = std::max(2, static_cast<int>(std::lround(0.15 * limits.x_height)));
    cv::dilate(near, near,
               cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * reach + 1, 2 * reach + 1}));
    cv::Mat others = solid.clone();
    for (int y = 0; y < labels.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        auto* out = others.ptr<std::uint8_t>(y);
        for (int x = 0; x < labels.cols; ++x) {
            if (parts[static_cast<std::size_t>(label[x])].letter) out[x] = 0;
        }
    }
    strength.setTo(0, ~near | others);
    return all_enclosed;
}

/// Takes the thick core out of parts that are thicker than a letter anywhere, so that letters that
/// touch a dark leaf are not lost with it. What is left of such a part counts when it is as tall
/// as a letter.
/// False when what is left fills more of the line than letters do.
bool remove_blots(cv::Mat& strength, const LetterSize& limits, double widest, bool only_going_on) {
    const int side = static_cast<int>(std::ceil(widest)) | 1;
    if (side >= std::min(strength.rows, strength.cols)) return true;
    const cv::Mat solid = strength > core_from;
    cv::Mat core;
    cv::morphologyEx(solid, core, cv::MORPH_OPEN,
                     cv::getStructuringElement(cv::MORPH_ELLIPSE, {side, side}));
    if (cv::countNonZero(core) == 0) return true;
    const cv::Rect line_box = cv::Rect(around_px, around_px, strength.cols - 2 * around_px,
                                       strength.rows - 2 * around_px) &
                              cv::Rect({0, 0}, strength.size());
    if (cv::countNonZero(solid(line_box) & ~core(line_box)) > most_letter * line_box.area())
        return false;
    const int rim = 2 * limits.past_edge + 1;
    cv::Mat grown;
    cv::dilate(core, grown, cv::getStructuringElement(cv::MORPH_ELLIPSE, {rim, rim}));
    cv::Mat labels;
    const int count = cv::connectedComponents(solid, labels, 8, CV_32S);
    std::vector<std::uint8_t> blotted(static_cast<std::size_t>(count), 0);
    if (only_going_on) {
        std::vector<std::uint8_t> goes_on(blotted.size(), 0);
        for (int x = 0; x < labels.cols; ++x) {
            goes_on[static_cast<std::size_t>(labels.at<int>(0, x))] = 1;
            goes_on[static_cast<std::size_t>(labels.at<int>(labels.rows - 1, x))] = 1;
        }
        for (int y = 0; y < labels.rows; ++y) {
            for (int x = 0; x < labels.cols; ++x) {
                if (goes_on[static_cast<std::size_t>(labels.at<int>(y, x))] == 0) {
                    core.at<std::uint8_t>(y, x) = grown.at<std::uint8_t>(y, x) = 0;
                }
            }
        }
    }
    for (int y = 0; y < labels.rows; ++y) {
        for (int x = 0; x < labels.cols; ++x) {
            if (core.at<std::uint8_t>(y, x) != 0) {
                blotted[static_cast<std::size_t>(labels.at<int>(y, x))] = 1;
            }
        }
    }
    cv::Mat rest = cv::Mat::zeros(strength.size(), CV_8UC1);
    for (int y = 0; y < labels.rows; ++y) {
        for (int x = 0; x < labels.cols; ++x) {
            const int label = labels.at<int>(y, x);
            const bool of_blot = label != 0 && blotted[static_cast<std::size_t>(label)] != 0;
            if (of_blot && grown.at<std::uint8_t>(y, x) == 0) rest.at<std::uint8_t>(y, x) = 255;
        }
    }
    strength.setTo(0, grown);
    cv::Mat stats;
    cv::Mat centers;
    const int pieces = cv::connectedComponentsWithStats(rest, labels, stats, centers, 8, CV_32S);
    for (int i = 1; i < pieces; ++i) {
        if (stats.at<int>(i, cv::CC_STAT_HEIGHT) >= least_rest * limits.x_height) continue;
        const cv::Rect box(stats.at<int>(i, cv::CC_STAT_LEFT), stats.at<int>(i, cv::CC_STAT_TOP),
                           stats.at<int>(i, cv::CC_STAT_WIDTH),
                           stats.at<int>(i, cv::CC_STAT_HEIGHT));
        cv::Mat there = strength(box);
        there.setTo(0, labels(box) == i);
    }
    return true;
}

/// Adds the strokes that stand out from the ground right around them, whatever the line's ground
/// is elsewhere: a closing fills what is narrower than `widest`, its result is the local ground.
void add_strokes(cv::Mat& strength, const Image& face, RectPx part, const TextLine& line,
                 double widest) {
    const auto gray = [](RgbCode c) { return color::gray_code(c[0], c[1], c[2]); };
    const bool light = gray(line.text_color) > gray(line.ground_color);
    const int text = light ? 255 - gray(line.text_color) : gray(line.text_color);
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
            out[x] = static_cast<std::uint8_t>(light ? 255 - code : code);
        }
    }
    cv::Mat ground;
    cv::morphologyEx(tone, ground, cv::MORPH_CLOSE,
                     cv::getStructuringElement(cv::MORPH_RECT, {side, side}), {-1, -1}, 1,
                     cv::BORDER_REPLICATE);
    cv::Mat local = cv::Mat::zeros(strength.size(), CV_8UC1);
    for (int y = 0; y < strength.rows; ++y) {
        const auto* t = tone.ptr<std::uint8_t>(part.y - wide.y + y) + (part.x - wide.x);
        const auto* g = ground.ptr<std::uint8_t>(part.y - wide.y + y) + (part.x - wide.x);
        auto* out = local.ptr<std::uint8_t>(y);
        for (int x = 0; x < strength.cols; ++x) {
            const int step = g[x] - text;
            if (step < least_step) continue;
            const double way = static_cast<double>(g[x] - t[x]) / step;
            out[x] = static_cast<std::uint8_t>(
                std::lround(255.0 * smooth(way, ground_until, letter_from)));
        }
    }
    // What is low is a scrap between the letters. A line of the art that crosses them stays: it can
    // be read through, a missing letter cannot.
    cv::Mat labels;
    cv::Mat stats;
    cv::Mat centers;
    const cv::Mat solid = local > ground_below;
    const int count = cv::connectedComponentsWithStats(solid, labels, stats, centers, 8, CV_32S);
    const bool turned = line.quarter_turns % 2 != 0;
    std::vector<std::uint8_t> letter(static_cast<std::size_t>(count), 0);
    for (int i = 1; i < count; ++i) {
        const int* s = stats.ptr<int>(i);
        const int high = s[turned ? cv::CC_STAT_WIDTH : cv::CC_STAT_HEIGHT];
        letter[static_cast<std::size_t>(i)] = high >= least_rest * line.x_height_px ? 1 : 0;
    }
    for (int y = 0; y < strength.rows; ++y) {
        const auto* label = labels.ptr<int>(y);
        const auto* in = local.ptr<std::uint8_t>(y);
        auto* out = strength.ptr<std::uint8_t>(y);
        for (int x = 0; x < strength.cols; ++x) {
            if (letter[static_cast<std::size_t>(label[x])] != 0) out[x] = std::max(out[x], in[x]);
        }
    }
}

bool can_be_told(const TextLine& line, const Way& way) {
    return line.confidence >= least_confidence && line.contrast >= least_contrast &&
           line.x_height_px > 0.0 && way.length() >= least_step;
}

}  // namespace

std::vector<Letters> letters(const Image& face, std::span<const TextLine> lines, LetterCut cut) {
    std::vector<Letters> result;
    for (const TextLine& line : lines) {
        const bool sure = cut == LetterCut::sure;
        // JPEG carries the colors of the art into small letters.
        const Way way(line, face.encoding(), sure ? 1.0 : 2.0);
        const RectPx& b = line.box_px;
        const RectPx part = intersection(
            {b.x - around_px, b.y - around_px, b.width + 2 * around_px, b.height + 2 * around_px},
            face.bounds());
        if (part.empty() || way.length() < 1.0 || (sure && !can_be_told(line, way))) continue;
        Letters found{part, Image(part.width, part.height, Encoding::gray),
                      std::max(1.0, line.x_height_px)};
        const auto channels = static_cast<std::size_t>(face.channels());
        for (int y = 0; y < part.height; ++y) {
            const std::uint8_t* in =
                face.row(part.y + y) + static_cast<std::size_t>(part.x) * channels;
            std::uint8_t* out = found.strength.row(y);
            for (int x = 0; x < part.width; ++x, in += channels) out[x] = way.strength(in);
        }
        cv::Mat strength(part.height, part.width, CV_8UC1, found.strength.bytes().data());
        const double usual = 1.6 * line.stroke_px + 1.0;
        const double widest =
            std::max(widest_of_stroke * line.stroke_px, widest_of_x_height * line.x_height_px) +
            1.0;
        const int past_edge =
            std::max(2, static_cast<int>(std::lround(past_edge_of_x_height * line.x_height_px)));
        // Turned lines run down the page: above and below them is left and right.
        const bool turned = line.quarter_turns % 2 != 0;
        cv::Mat upright = strength;
        if (turned) cv::transpose(strength, upright);
        const LetterSize size{line.x_height_px, usual, widest, 0.2, past_edge};
        if (!remove_blots(upright, size, widest, false)) continue;
        // A letter that touches what goes on below the line is cut free of it.
        (void)remove_blots(upright, size, usual, true);
        const bool all_enclosed = keep_letters(upright, size);
        if (turned) cv::transpose(upright, strength);
        if (!sure && (!all_enclosed || line.x_height_px < small_px))
            add_strokes(strength, face, part, line, widest);
        if (cv::mean(strength)[0] <= 255.0 * most_letter) result.push_back(std::move(found));
    }
    return result;
}

}  // namespace paleproof::filters
