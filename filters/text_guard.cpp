// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/text_guard.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <numeric>
#include <opencv2/imgproc.hpp>
#include <utility>
#include <vector>

#include "color/srgb.h"

namespace paleproof::filters {
namespace {

/// The gaps along a line up to so many x-heights, between words and between tall letters, are
/// ground as well: the light band around a line has no teeth.
constexpr double closed_gap = 3.0;

/// Lines are longer than so many x-heights; shorter ones are numbers, often in a ring.
constexpr double line_from = 3.0;

/// Lines no farther apart than that, box to box, and of about one size are a block: in x-heights,
/// and of the larger one. How far the ground between them reaches into each.
constexpr double line_gap = 1.5;
constexpr double one_size = 0.88;
constexpr double half_line = 0.5;

/// Letters larger than that, on light ground, have the halo of those of the usual size: x-heights,
/// about those of 12 and 6 pt.
constexpr Mm large{2.0};
constexpr Mm usual{1.0};
/// Smaller ones have no outline that their halo does not cover.
constexpr Mm title{1.2};
constexpr double widest_outline = 0.6;  // x-heights
constexpr int outline_from = 2;         // pixels from the letters: past their soft rim
constexpr int outline_rim = 2;          // pixels of an outline's own soft rim
constexpr int one_tone = 40;            // codes either way
constexpr double past_outline = 0.25;   // of what lies past it: other letters have theirs there
constexpr double looked_at = 0.7;       // mm around them
constexpr int light = 200;              // gray code: 11 : 1 under our ink
constexpr double all_around = 0.9;      // of what lies there: a suit or a rule may be near
constexpr int core_from = 128;

/// Gaps along rows are filled up to `gap`, and each row goes on by `ends` at both of its ends.
void close_gaps(cv::Mat& mask, int gap, int ends) {
    for (int y = 0; y < mask.rows; ++y) {
        auto* row = mask.ptr<std::uint8_t>(y);
        int first = -1;
        int last = -1;
        for (int x = 0; x < mask.cols; ++x) {
            if (row[x] < 128) continue;
            if (last >= 0 && x - last > 1 && x - last <= gap) {
                std::fill(row + last + 1, row + x, std::uint8_t{255});
            }
            if (first < 0) first = x;
            last = x;
        }
        if (ends == 0 || first < 0) continue;
        std::fill(row + std::max(0, first - ends), row + first, std::uint8_t{255});
        std::fill(row + last + 1, row + std::min(mask.cols, last + 1 + ends), std::uint8_t{255});
    }
}

/// Letters that were lost once have theirs by their own size.
double halo_unit(const Letters& line) { return line.strong ? line.reach_px : line.halo_px; }

void add_halo(Image& halo, const Letters& line, double reach_share, const TextGuard& p) {
    const double unit = halo_unit(line);
    const auto whole = [&](double share) {
        return std::max(2, static_cast<int>(std::lround(share * unit)));
    };
    // Letters need some pixels of paper around them, whatever their size.
    const int soft = static_cast<int>(std::lround(p.fade * unit));
    const bool has_ends = line.field.empty() &&
                          std::max(line.part.width, line.part.height) > line_from * line.reach_px;
    const int ends = has_ends ? static_cast<int>(std::lround(p.ends * line.reach_px)) : 0;
    const int reach = whole(reach_share) + soft / 2;  // to the middle of the fading
    const int margin = whole(reach_share) + ends + soft + 1;
    const RectPx field = intersection({line.part.x - margin, line.part.y - margin,
                                       line.part.width + 2 * margin, line.part.height + 2 * margin},
                                      halo.bounds());
    cv::Mat around = cv::Mat::zeros(field.height, field.width, CV_8UC1);
    const cv::Mat strength(line.part.height, line.part.width, CV_8UC1,
                           const_cast<std::uint8_t*>(line.strength.bytes().data()));
    strength.copyTo(around(
        cv::Rect(line.part.x - field.x, line.part.y - field.y, line.part.width, line.part.height)));
    cv::dilate(around, around,
               cv::getStructuringElement(cv::MORPH_ELLIPSE, {2 * reach + 1, 2 * reach + 1}));
    if (line.field.empty()) {
        const int gap = static_cast<int>(std::lround(closed_gap * unit));
        if (line.part.height > line.part.width) {
            cv::Mat upright = around.t();
            close_gaps(upright, gap, ends);
            around = upright.t();
        } else {
            close_gaps(around, gap, ends);
        }
    }
    const int side = (soft / 2) | 1;
    for (int round = 0; round < 2; ++round)
        cv::blur(around, around, {side, side}, {-1, -1}, cv::BORDER_REPLICATE);
    for (int y = 0; y < field.height; ++y) {
        std::uint8_t* out = halo.row(field.y + y) + field.x;
        const auto* in = around.ptr<std::uint8_t>(y);
        for (int x = 0; x < field.width; ++x) out[x] = std::max(out[x], in[x]);
    }
}

/// The ground between two lines of a block is ground as well: one halo for all of a paragraph.
void join_lines(Image& halo, const Letters& a, const Letters& b, double fade) {
    const auto is_turned = [](const Letters& l) { return l.part.height > l.part.width; };
    const auto turned = [](RectPx r) { return RectPx{r.y, r.x, r.height, r.width}; };
    if (is_turned(a) != is_turned(b)) return;
    const RectPx upper = is_turned(a) ? turned(a.part) : a.part;
    const RectPx lower = is_turned(a) ? turned(b.part) : b.part;
    const double unit = std::max(a.reach_px, b.reach_px);
    const int left = std::max(upper.x, lower.x);
    const int right = std::min(upper.right(), lower.right());
    // Into both lines, whose own halos leave notches there.
    const int into = static_cast<int>(std::lround(half_line * unit));
    const int top = std::min(upper.bottom(), lower.bottom()) - into;
    const int bottom = std::max(upper.y, lower.y) + into;
    if (2 * (right - left) < std::min(upper.width, lower.width)) return;
    if (bottom <= top || bottom - top - 2 * into > line_gap * unit) return;
    if (std::min(a.reach_px, b.reach_px) < one_size * unit) return;
    const RectPx between{left, top, right - left, bottom - top};
    const RectPx box = intersection(is_turned(a) ? turned(between) : between, halo.bounds());
    const int soft =
        std::max(1, static_cast<int>(std::lround(fade * std::min(halo_unit(a), halo_unit(b)))));
    const int first = is_turned(a) ? box.y : box.x;
    const int last = (is_turned(a) ? box.bottom() : box.right()) - 1;
    for (int y = box.y; y < box.bottom(); ++y) {
        std::uint8_t* out = halo.row(y);
        for (int x = box.x; x < box.right(); ++x) {
            const int along = is_turned(a) ? y : x;
            const int inside = std::min(along - first, last - along);
            out[x] = std::max(out[x],
                              static_cast<std::uint8_t>(std::min(255, 255 * (inside + 1) / soft)));
        }
    }
}

int gray_at(const Image& face, int x, int y) {
    const std::uint8_t* in = face.row(y) + x * face.channels();
    return face.channels() == 3 ? color::gray_code(in[0], in[1], in[2]) : *in;
}

/// Gray codes around letters, by their distance from them in pixels.
class Surroundings {
  public:
    Surroundings(const Image& face, const Letters& letters, int reach)
        : codes_(static_cast<std::size_t>(reach) + 1) {
        const RectPx field =
            intersection({letters.part.x - reach, letters.part.y - reach,
                          letters.part.width + 2 * reach, letters.part.height + 2 * reach},
                         face.bounds());
        cv::Mat around(field.height, field.width, CV_8UC1, cv::Scalar(255));
        const cv::Mat strength(letters.part.height, letters.part.width, CV_8UC1,
                               const_cast<std::uint8_t*>(letters.strength.bytes().data()));
        around(cv::Rect(letters.part.x - field.x, letters.part.y - field.y, letters.part.width,
                        letters.part.height))
            .setTo(0, strength >= core_from);
        cv::Mat distance;
        cv::distanceTransform(around, distance, cv::DIST_L2, 3);
        for (int y = 0; y < field.height; ++y) {
            const auto* d = distance.ptr<float>(y);
            for (int x = 0; x < field.width; ++x) {
                if (d[x] < 1.0F || d[x] >= static_cast<float>(reach + 1)) continue;
                const auto code = static_cast<std::size_t>(gray_at(face, field.x + x, field.y + y));
                ++codes_[static_cast<std::size_t>(d[x])][code];
            }
        }
    }

    /// Share of what lies at distances [from, to] that has a code of [low, high]; 0 of nothing.
    [[nodiscard]] double share(int from, int to, int low, int high) const {
        int all = 0;
        int those = 0;
        for (int d = std::max(0, from); d <= std::min(to, reach()); ++d) {
            const auto& codes = codes_[static_cast<std::size_t>(d)];
            all += std::accumulate(codes.begin(), codes.end(), 0);
            those += std::accumulate(codes.begin() + low, codes.begin() + high + 1, 0);
        }
        return all == 0 ? 0.0 : static_cast<double>(those) / all;
    }

    /// How broad an outline the letters have: one tone right around them that ends all along them
    /// at one distance. 0 for none; a panel ends nearer here and farther there.
    [[nodiscard]] int outline() const {
        const auto& near = codes_[outline_from];
        const auto most = std::ranges::max_element(near);
        const auto tone = static_cast<int>(most - near.begin());
        const int low = std::max(0, tone - one_tone), high = std::min(255, tone + one_tone);
        for (int d = outline_from; d + outline_rim + 1 <= reach(); ++d) {
            if (share(d, d, low, high) < all_around) return 0;
            if (share(d + outline_rim, d + outline_rim + 1, low, high) <= past_outline)
                return d + 1;
        }
        return 0;
    }

  private:
    [[nodiscard]] int reach() const { return static_cast<int>(codes_.size()) - 1; }

    std::vector<std::array<int, 256>> codes_;
};

void require_gray(const Image& proof) {
    if (proof.encoding() == Encoding::srgb) {
        throw Error(ErrorKind::format, "text_guard", "expected a gray picture, got color");
    }
}

}  // namespace

double halo_x_height(const Image& face, const Letters& letters) {
    const Ppi ppi = face.ppi().value > 0.0 ? face.ppi() : Ppi{300.0};
    if (letters.reach_px <= pixels(title, ppi)) return letters.reach_px;
    const int near = std::max(3, static_cast<int>(std::lround(pixels(Mm{looked_at}, ppi))));
    const int far = static_cast<int>(std::lround(widest_outline * letters.reach_px));
    const Surroundings around(face, letters, std::max(near, far));
    if (const int width = around.outline(); width > 0)
        return std::max(letters.reach_px, (width + outline_rim) / TextGuard{}.halo);
    const bool large_on_light =
        letters.reach_px > pixels(large, ppi) &&
        around.share(std::max(2, near / 4) + 1, near, light, 255) >= all_around;
    return large_on_light ? pixels(usual, ppi) : letters.reach_px;
}

bool on_even_light(const Image& face, const Letters& letters) {
    constexpr int least = 165;        // gray code
    constexpr int one_tone = 12;      // codes either way
    constexpr double most_of = 0.92;  // of the ground; the soft rims of letters are none
    constexpr std::uint8_t rim = 8;   // strength from which a pixel is of a letter's rim
    std::array<int, 256> codes{};
    int all = 0;
    for (int y = 0; y < letters.part.height; ++y) {
        const std::uint8_t* strength = letters.strength.row(y);
        for (int x = 0; x < letters.part.width; ++x) {
            if (strength[x] >= rim) continue;
            ++codes[static_cast<std::size_t>(
                gray_at(face, letters.part.x + x, letters.part.y + y))];
            ++all;
        }
    }
    int middle = 0;
    for (int below = 0; middle < 255; ++middle) {
        below += codes[static_cast<std::size_t>(middle)];
        if (2 * below >= all) break;
    }
    int near = 0;
    for (int i = std::max(0, middle - one_tone); i <= std::min(255, middle + one_tone); ++i)
        near += codes[static_cast<std::size_t>(i)];
    return all > 0 && middle >= least && near >= most_of * all;
}

Image text_halo(SizePx size, std::span<const Letters> letters, const TextGuard& p) {
    check_fields(p, text_guard_fields);
    Image halo(size.width, size.height, Encoding::gray);
    std::ranges::fill(halo.bytes(), std::uint8_t{0});
    for (const Letters& line : letters)
        add_halo(halo, line, line.strong ? p.strong_halo : p.halo, p);
    for (std::size_t i = 0; i < letters.size(); ++i) {
        for (std::size_t j = i + 1; j < letters.size(); ++j) {
            if (letters[i].field.empty() && letters[j].field.empty() &&
                halo_unit(letters[i]) > 0.0 && halo_unit(letters[j]) > 0.0)
                join_lines(halo, letters[i], letters[j], p.fade);
        }
    }
    return halo;
}

Image letters_on(Image proof, std::span<const Letters> letters, const TextGuard& p) {
    check_fields(p, text_guard_fields);
    require_gray(proof);
    for (const Letters& line : letters) {
        const double ink = line.strong ? std::min(1.0, p.ink / TextGuard{}.ink) : p.ink;
        std::array<std::uint8_t, 256> inked{};
        for (std::size_t i = 0; i < inked.size(); ++i) {
            inked[i] = static_cast<std::uint8_t>(
                255 - static_cast<int>(std::lround(ink * static_cast<double>(i))));
        }
        for (int y = 0; y < line.part.height; ++y) {
            const std::uint8_t* letter = line.strength.row(y);
            std::uint8_t* row = proof.row(line.part.y + y) + line.part.x;
            for (int x = 0; x < line.part.width; ++x) row[x] = std::min(row[x], inked[letter[x]]);
        }
    }
    return proof;
}

Image text_guard(const Image& proof, std::span<const Letters> letters, const TextGuard& p) {
    if (!letters.empty()) return text_guard(proof, letters, text_halo(proof.size(), letters, p), p);
    check_fields(p, text_guard_fields);
    require_gray(proof);
    return proof;
}

Image text_guard(const Image& proof, std::span<const Letters> letters, const Image& halo,
                 const TextGuard& p) {
    require_gray(proof);
    if (halo.size() != proof.size()) {
        throw Error(ErrorKind::format, "text_guard", "expected a halo as large as the proof");
    }
    Image result = proof;
    const auto out = result.bytes();
    std::uint8_t* code = out.data();
    const std::uint8_t* paper = halo.bytes().data();
    for (std::size_t i = 0; i < out.size(); ++i) {
        const auto product = static_cast<std::uint16_t>((255 - code[i]) * paper[i] + 127);
        code[i] = static_cast<std::uint8_t>(code[i] + product / 255);
    }
    return letters_on(std::move(result), letters, p);
}

}  // namespace paleproof::filters
