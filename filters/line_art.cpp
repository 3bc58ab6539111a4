// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "filters/line_art.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <opencv2/imgproc.hpp>
#include <span>
#include <vector>

#include "core/patches.h"
#include "core/units.h"
#include "filters/edge_keep.h"
#include "filters/line_choice.h"
#include "filters/line_rank.h"
#include "filters/stroke_flow.h"
#include "filters/xdog.h"

namespace paleproof::filters {
namespace {

// The drawing is worked out at half the resolution of the result, in floating point, and enlarged
// before the threshold: that is what makes its contours smooth.
constexpr double sigma_mm = 0.085;  // narrow Gaussian: 1 pixel at 300 ppi
constexpr double k = 1.6;           // wide over narrow: Marr and Hildreth 1980
/// Depth of G - G_k beside a step of height 1: the largest Phi(x / k) - Phi(x), k = 1.6, found
/// where the derivatives agree: x^2 (1 - 1/k^2) = 2 ln k, x = 1.242, depth 0.1127.
constexpr float step_depth = 0.1127F;
constexpr float stroke_worth = 1.3F;  // blurring takes about this from a thin stroke
constexpr double along = 4.0;         // deviation of the smoothing along the lines, pixels
constexpr double flow_reach = 4.0;    // pixels
constexpr float flank = 0.87F;        // a line is as broad as it has this share of its crest
constexpr float no_line = -20.0F;
constexpr double least_letter = 48.0;  // ink of a letter's thinnest stroke, of 255
constexpr double stroke_share = 0.4;   // of the ink that the stroke has

constexpr double full_length_mm = 12.0;
constexpr double apart_mm = 1.2;

/// Lines are a crowd where they fill so much of a square of so many pixels of half the resolution:
/// one line fills 0.3 of it, two that cross 0.5.
constexpr int crowd_side = 9;
constexpr double crowded = 0.6;
constexpr double grain_cell_mm = 2.0;
/// What a line differs by, at least, over the grain around it: smoothing leaves of grain about as
/// much as it is.
constexpr float over_grain = 1.2F;

constexpr int tries = 8;
constexpr double usual_growth = 1.1;

cv::Mat view(const Plane& plane) {
    return {plane.height, plane.width, CV_32FC1, const_cast<float*>(plane.values.data())};
}

cv::Mat view(const Image& image) {
    return {image.height(), image.width(), CV_8UC1,
            const_cast<std::uint8_t*>(image.bytes().data())};
}

int odd(double size) { return 2 * static_cast<int>(std::lround(size / 2.0 - 0.25)) + 1; }

cv::Mat disc(int size) { return cv::getStructuringElement(cv::MORPH_ELLIPSE, {size, size}); }

/// One number for a color. Red counts more than in lightness, so that red and green, or orange and
/// blue, of one lightness still differ.
cv::Mat tone_of(const Image& face) {
    cv::Mat tone(face.height(), face.width(), CV_8UC1);
    if (face.channels() == 1) {
        view(face).copyTo(tone);
        return tone;
    }
    for (int y = 0; y < face.height(); ++y) {
        const std::uint8_t* in = face.row(y);
        auto* out = tone.ptr<std::uint8_t>(y);
        for (int x = 0; x < face.width(); ++x, in += 3) {
            out[x] = static_cast<std::uint8_t>((115 * in[0] + 110 * in[1] + 31 * in[2]) >> 8);
        }
    }
    return tone;
}

cv::Mat resized(const cv::Mat& picture, cv::Size size) {
    if (picture.size() == size) return picture;
    cv::Mat result;
    cv::resize(picture, result, size, 0, 0,
               size.width < picture.cols ? cv::INTER_AREA : cv::INTER_CUBIC);
    return result;
}

/// Median over 3 mm, at a quarter of the size: the ground on which thin strokes stand.
cv::Mat ground_of(const cv::Mat& tone, Ppi ppi) {
    cv::Mat small;
    cv::resize(tone, small, {std::max(1, tone.cols / 4), std::max(1, tone.rows / 4)}, 0, 0,
               cv::INTER_AREA);
    cv::medianBlur(small, small, std::max(3, odd(pixels(Mm{3.0}, ppi) / 4.0)));
    cv::Mat result;
    cv::resize(small, result, tone.size(), 0, 0, cv::INTER_LINEAR);
    return result;
}

constexpr int fine = 16;  // sixteenths of a code, for the steps in whole numbers

/// The smoothed tone in which thin light strokes on darker ground are as dark as they were light.
cv::Mat with_light_strokes_turned(const cv::Mat& tone, const Plane& calm, const cv::Mat& pen,
                                  Ppi ppi) {
    const cv::Mat ground = ground_of(tone, ppi);
    cv::Mat result;
    view(calm).convertTo(result, CV_16S, fine);
    cv::Mat opened;
    cv::morphologyEx(result, opened, cv::MORPH_OPEN, pen, {-1, -1}, 1, cv::BORDER_REPLICATE);
    for (int y = 0; y < result.rows; ++y) {
        auto* v = result.ptr<std::int16_t>(y);
        const auto* o = opened.ptr<std::int16_t>(y);
        const auto* g = ground.ptr<std::uint8_t>(y);
        for (int x = 0; x < result.cols; ++x) {
            const int light = std::max(0, v[x] - std::max<int>(o[x], fine * g[x]));
            v[x] = static_cast<std::int16_t>(v[x] - 2 * light);
        }
    }
    return result;
}

/// How strong the grain of each place is, in codes: the middle of how far its pixels are off their
/// surroundings. Lines and edges, which are few among them, do not count.
cv::Mat grain_of(const cv::Mat& tone, Ppi ppi) {
    cv::Mat off;
    cv::blur(tone, off, {7, 7}, {-1, -1}, cv::BORDER_REPLICATE);
    cv::absdiff(tone, off, off);
    const int side = std::max(4, static_cast<int>(std::lround(pixels(Mm{grain_cell_mm}, ppi))));
    cv::Mat cells((off.rows + side - 1) / side, (off.cols + side - 1) / side, CV_8UC1);
    for (int row = 0; row < cells.rows; ++row) {
        for (int column = 0; column < cells.cols; ++column) {
            const cv::Mat cell =
                off(cv::Rect(column * side, row * side, side, side) & cv::Rect({0, 0}, off.size()));
            std::array<int, 256> count{};
            for (int y = 0; y < cell.rows; ++y) {
                const auto* in = cell.ptr<std::uint8_t>(y);
                for (int x = 0; x < cell.cols; ++x) ++count[in[x]];
            }
            int left = cell.rows * cell.cols / 2;
            int middle = 0;
            while (left >= count[static_cast<std::size_t>(middle)])
                left -= count[static_cast<std::size_t>(middle++)];
            cells.at<std::uint8_t>(row, column) = static_cast<std::uint8_t>(middle);
        }
    }
    // A place with much detail is none with grain; at the edge of a grained area some cells are
    // half in it.
    cv::medianBlur(cells, cells, 3);
    cv::dilate(cells, cells, cv::Mat::ones(3, 3, CV_8UC1));
    cv::Mat result;
    cv::resize(cells, result, tone.size(), 0, 0, cv::INTER_LINEAR);
    return result;
}

/// How strongly each place lies on a line, in codes of contrast: positive on lines.
Plane line_strength(const cv::Mat& tone, const LineArt& p, Ppi ppi, StrokeFlow& flow) {
    Plane calm(tone.cols, tone.rows);
    cv::Mat calm_view = view(calm);
    tone.convertTo(calm_view, CV_32F);
    calm = edge_keep(calm, ppi);
    const cv::Mat pen = disc(odd(pixels(Mm{p.solid_mm}, ppi)) + 2);
    const cv::Mat turned = with_light_strokes_turned(tone, calm, pen, ppi);
    cv::Mat areas;  // without thin dark strokes: these would have an edge on either side
    cv::morphologyEx(turned, areas, cv::MORPH_CLOSE, pen, {-1, -1}, 1, cv::BORDER_REPLICATE);
    Plane plane(tone.cols, tone.rows);
    cv::Mat plane_view = view(plane);
    turned.convertTo(plane_view, CV_32F, 1.0 / fine);
    flow = stroke_flow(plane, flow_reach);
    areas.convertTo(plane_view, CV_32F, 1.0 / fine);
    const double sigma = pixels(Mm{sigma_mm}, ppi);
    plane = difference_of_gaussians(plane, sigma, k);
    cv::Mat strokes = turned - areas;
    strokes.convertTo(strokes, CV_32F, 1.0 / fine);
    cv::GaussianBlur(strokes, strokes, {7, 7}, sigma, sigma, cv::BORDER_REPLICATE);
    for (int y = 0; y < plane.height; ++y) {
        float* edge = plane.row(y);
        const auto* stroke = strokes.ptr<float>(y);
        for (int x = 0; x < plane.width; ++x) {
            edge[x] = std::min(edge[x] / step_depth, stroke_worth * stroke[x]);
        }
    }
    plane = along_flow(plane, flow, along, -0.3F * static_cast<float>(p.faintest));
    for (float& v : plane.values) v = -v;
    return plane;
}

/// All lines that could be drawn, before a choice.
struct Candidates {
    cv::Mat body;  ///< above 0 inside of a line, in twentieths of its crest; no_line where none is
    Plane rank;    ///< importance inside of a line, 0 elsewhere
    StrokeFlow flow;
};

Candidates candidates(const cv::Mat& tone, const cv::Mat& kept_free, std::span<const RectPx> first,
                      RectPx area, const LineArt& p, Ppi ppi) {
    Candidates result{cv::Mat(tone.size(), CV_32FC1), {}, {}};
    StrokeFlow& flow = result.flow;
    const Plane strength = line_strength(tone, p, ppi, flow);
    cv::Mat crest;
    cv::dilate(view(strength), crest, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
    Plane contrast(tone.cols, tone.rows);
    const auto faintest = static_cast<float>(p.faintest);
    cv::Mat grain = grain_of(tone, ppi);
    for (const RectPx& box : first) {  // a symbol is none, however fine its figure
        const RectPx b = intersection(box, {0, 0, grain.cols, grain.rows});
        grain(cv::Rect(b.x, b.y, b.width, b.height)).setTo(0);
    }
    for (int y = 0; y < strength.height; ++y) {
        const auto* g = grain.ptr<std::uint8_t>(y);
        const float* s = strength.row(y);
        const auto* c = crest.ptr<float>(y);
        const std::uint8_t* free = kept_free.empty() ? nullptr : kept_free.ptr<std::uint8_t>(y);
        auto* body = result.body.ptr<float>(y);
        float* out = contrast.row(y);
        for (int x = 0; x < strength.width; ++x) {
            const float least = std::max(faintest, over_grain * static_cast<float>(g[x]));
            if (c[x] < least || (free != nullptr && free[x] < 128)) {
                body[x] = no_line;
                continue;
            }
            body[x] = 20.0F * (s[x] / c[x] - flank);
            if (body[x] > 0.0F) out[x] = c[x];
        }
    }
    Plane tones(tone.cols, tone.rows);
    cv::Mat tones_view = view(tones);
    tone.convertTo(tones_view, CV_32F);
    result.rank = line_rank({tones, contrast, ppi}, first);
    remove_echoes(result.rank, flow, area);
    // What has no rank is no line.
    for (int y = 0; y < tone.rows; ++y) {
        const float* rank = result.rank.row(y);
        auto* body = result.body.ptr<float>(y);
        for (int x = 0; x < tone.cols; ++x)
            if (body[x] > 0.0F && rank[x] <= 0.0F) body[x] = no_line;
    }
    return result;
}

/// Where chosen lines come so close that they would be one black patch, such as the veins of a wing
/// at its root, they end before they meet, as a pen would lift there. What is left of them there
/// and shorter than a line may be goes, too.
void open_crowds(cv::Mat& chosen, double shortest) {
    cv::Mat share;
    cv::blur(chosen, share, {crowd_side, crowd_side});
    cv::Mat crowd = share > 255.0 * crowded;
    if (cv::countNonZero(crowd) == 0) return;
    chosen.setTo(0, crowd);
    cv::dilate(crowd, crowd, cv::getStructuringElement(cv::MORPH_RECT, {5, 5}));
    const Patches rest = patches_of(chosen.ptr(), chosen.cols, chosen.rows);
    std::vector<std::uint8_t> cut(rest.patches.size(), 0);
    for (const Patches::Run& run : rest.runs) {
        const auto* c = crowd.ptr<std::uint8_t>(run.y);
        if (std::any_of(c + run.begin, c + run.end, [](std::uint8_t v) { return v != 0; }))
            cut[static_cast<std::size_t>(run.patch)] = 1;
    }
    clear_patches(rest, chosen.ptr(), chosen.cols, [&](std::size_t i) {
        const Patches::Patch& patch = rest.patches[i];
        return cut[i] != 0 && std::max(patch.width(), patch.height()) < shortest;
    });
}

/// The chosen lines at full size, 255 on lines: the body enlarged, cut at 0, not under 3 pixels.
cv::Mat drawn(const cv::Mat& body, const cv::Mat& near, const Plane& rank, cv::Size size) {
    cv::Mat around;
    cv::dilate(near, around, cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
    cv::Mat codes(body.size(), CV_8UC1);
    for (int y = 0; y < body.rows; ++y) {
        const auto* b = body.ptr<float>(y);
        const auto* a = around.ptr<std::uint8_t>(y);
        const auto* n = near.ptr<std::uint8_t>(y);
        const float* r = rank.row(y);
        auto* out = codes.ptr<std::uint8_t>(y);
        for (int x = 0; x < body.cols; ++x) {
            // A line that was not chosen is no line, also beside one that was.
            const bool other = r[x] > 0.0F && n[x] == 0;
            const float v = a[x] == 0 || other ? no_line : b[x];
            out[x] = cv::saturate_cast<std::uint8_t>(128.0F + 6.0F * v);
        }
    }
    cv::Mat lines;
    cv::resize(codes, lines, size, 0, 0, cv::INTER_LINEAR);
    cv::threshold(lines, lines, 128, 255, cv::THRESH_BINARY);
    cv::Mat firm;
    cv::morphologyEx(lines, firm, cv::MORPH_OPEN,
                     cv::getStructuringElement(cv::MORPH_RECT, {3, 3}));
    cv::Mat thin = lines - firm;
    cv::dilate(thin, thin, cv::getStructuringElement(cv::MORPH_CROSS, {3, 3}));
    return lines | thin;
}

/// 255 where letters are, of their picture at full size: from a share of the ink that the stroke
/// has, so that strokes thinner than a pixel of the face, which are gray there, do not break.
cv::Mat solid_letters(const cv::Mat& picture, double scale) {
    cv::Mat ink;
    cv::bitwise_not(picture, ink);
    const int reach = 2 * static_cast<int>(std::lround(1.5 * scale)) + 1;
    cv::Mat crest;
    cv::dilate(ink, crest, cv::getStructuringElement(cv::MORPH_RECT, {reach, reach}));
    cv::Mat half;
    crest.convertTo(half, CV_8U, stroke_share);
    cv::max(half, least_letter, half);
    return ink > half;
}

/// The part of a picture of `size` that shows what `box` is on the face.
RectPx placed(RectPx box, double scale, cv::Size size) {
    const auto at = [scale](int length) { return static_cast<int>(std::lround(length * scale)); };
    return intersection({at(box.x), at(box.y), at(box.width), at(box.height)},
                        {0, 0, size.width, size.height});
}

void check(const Image& face, const SolidText& text) {
    for (const Image* picture : {&text.letters, &text.ground}) {
        if (picture->empty()) continue;
        if (picture->channels() != 1 || picture->size() != face.size()) {
            throw Error(ErrorKind::format, "line_art",
                        "expected gray pictures of the text, as large as the face");
        }
    }
}

}  // namespace

Image line_art(const Image& face, const SolidText& text, const LineArt& p) {
    check_fields(p, line_art_fields);
    check(face, text);
    const double scale = p.ppi / (face.ppi().value > 0.0 ? face.ppi().value : 300.0);
    const auto scaled = [&](int length) { return std::max(1L, std::lround(length * scale)); };
    const cv::Size size(static_cast<int>(scaled(face.width())),
                        static_cast<int>(scaled(face.height())));
    const cv::Size half((size.width + 1) / 2, (size.height + 1) / 2);
    const RectPx asked = p.area.empty() ? face.bounds() : intersection(p.area, face.bounds());
    const RectPx area = placed(asked, scale, size);
    const RectPx half_area = placed(asked, scale / 2.0, half);

    Image result(size.width, size.height, Encoding::bilevel, Ppi{p.ppi});
    cv::Mat ground;
    if (!text.ground.empty()) ground = resized(view(text.ground), half);
    cv::Mat letters;
    if (!text.letters.empty()) {
        letters = solid_letters(resized(view(text.letters), size), scale);
    }
    const Ppi half_ppi{p.ppi / 2.0};
    std::vector<RectPx> first;
    for (const RectPx& box : text.first) first.push_back(placed(box, scale / 2.0, half));
    std::vector<RectPx> marks;
    for (const RectPx& box : text.marks) marks.push_back(placed(box, scale / 2.0, half));
    const Candidates lines =
        candidates(resized(tone_of(face), half), ground, first, half_area, p, half_ppi);
    const double all = static_cast<double>(half_area.width) * half_area.height;
    const cv::Rect counted(area.x, area.y, area.width, area.height);
    const double of_letters =
        letters.empty() || area.empty() ? 0.0 : cv::mean(letters(counted))[0] / 255.0;
    const double room = std::max(0.0, p.ink_budget - of_letters);
    // Full-size pixels for each one that is counted at half size, as a share of the area; lines
    // grow a little where their contours are rounded, and more where they have to be made broader.
    double growth = usual_growth;
    const LineOrder order = line_order(lines.rank, lines.flow,
                                       {.shortest = pixels(Mm{p.shortest_mm}, half_ppi),
                                        .full_length = pixels(Mm{full_length_mm}, half_ppi),
                                        .apart = pixels(Mm{apart_mm}, half_ppi),
                                        .area = half_area});
    for (int i = 0; i < tries; ++i) {
        const bool last = i + 1 == tries;
        auto chosen = line_choice(order, last ? 0.0 : room / growth * all);
        cv::Mat mask(half, CV_8UC1, chosen.data());
        open_crowds(mask, pixels(Mm{p.shortest_mm}, half_ppi));
        leave_out_strokes({mask.ptr(), mask.total()}, {half.width, half.height}, marks);
        const double picked = half_area.empty()
                                  ? 0.0
                                  : cv::mean(mask(cv::Rect(half_area.x, half_area.y,
                                                           half_area.width, half_area.height)))[0] /
                                        255.0;
        cv::Mat ink = drawn(lines.body, mask, lines.rank, size);
        if (!letters.empty()) ink |= letters;
        cv::Mat out = view(result);
        cv::bitwise_not(ink, out);
        const double taken = area.empty() ? 0.0 : cv::mean(ink(counted))[0] / 255.0;
        if (taken <= p.ink_budget + 0.001 || picked <= 0.0) break;
        growth = std::max(1.05 * growth, 1.02 * (taken - of_letters) / picked);
    }
    return result;
}

}  // namespace paleproof::filters
