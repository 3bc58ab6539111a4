// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/text_finder.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <optional>
#include <tuple>
#include <utility>

#include "survey/text/band_net.h"
#include "survey/text/bands.h"
#include "survey/text/builtin_net.h"
#include "survey/text/enclosed.h"
#include "survey/text/line_ends.h"
#include "survey/text/line_measure.h"
#include "survey/text/merge.h"
#include "survey/text/one_color.h"
#include "survey/text/pattern.h"
#include "survey/text/strokes.h"

namespace paleproof::survey {
namespace {

constexpr double usual_ppi = 300.0;
constexpr std::size_t most_bands = 600;  // looked at; three times what may be reported
constexpr double least_fit = 0.25;
constexpr double sure_of_letters = 2.0;  // that there are some among strokes of uneven colors
// Where the net is this sure the strokes need not agree: shadows and busy art spoil them first.
constexpr double sure_band = 4.5;
constexpr double sure_pair_from = 3.0;  // 11 and 88 are two signs of one shape as well
constexpr double spoiled_fit = 0.5;
constexpr double least_confidence = 0.42;
// A single glyph has little to be recognised by.
constexpr double least_confidence_of_glyph = 0.8;
constexpr double least_confidence_of_pair = 0.45;  // two figures that touch
// So few letters need a net that leans their way.
constexpr int few_letters = 3;
constexpr double least_strength_of_few = 1.25;
constexpr int most_letters_of_motif = 8;
constexpr float sure_gap = 1.0F;        // logit
constexpr double mostly_covered = 0.7;  // share of a band under letters
constexpr double sign_size = 0.28;      // heights of capitals; the ring of an A with one has less
constexpr double sign_gap = 0.3;        // parts of the next figure stand closer
constexpr double hidden_from = 0.6;     // band heights
constexpr double widest_reach_of_mark = 2.2;
constexpr double widest_reach = 4.0;  // of what was found, in the longer side of its band
constexpr double column_gap = 2.0;    // band heights: no word space is that wide

struct Look {
    Strip strip;
    Strokes strokes;
};

std::optional<Look> looked_at(const Image& image, const Band& band, int quarter_turns) {
    Strip strip = strip_of(image, band, quarter_turns);
    std::optional<Strokes> strokes = strokes_of(strip);
    if (!strokes) {
        return std::nullopt;
    }
    return Look{std::move(strip), std::move(*strokes)};
}

/// A panel or a badge that a glyph stands on, taken for its strokes.
bool reaches_too_far(double width, double height, const Band& band) {
    const double reach = band.mark ? widest_reach_of_mark : widest_reach;
    return std::max(width, height) > reach * std::max(band.length, band.height);
}

bool is_ground_of_a_mark(const Look& look, const Band& band) {
    const Ends ends = ends_of(look.strokes, look.strokes.pieces);
    return band.mark && reaches_too_far((ends.x1 - ends.x0) / look.strip.scale_u,
                                        (ends.y1 - ends.y0) / look.strip.scale_v, band);
}

std::optional<Look> best_look(const Image& image, const Band& band) {
    // Towards pi/2 the line runs down; the turn that makes it upright is found by its letters.
    const int turns = band.angle > 0.8 ? 1 : 0;
    std::optional<Look> look = looked_at(image, band, turns);
    if (band.compact && (!look || look->strokes.fit < 0.5)) {
        std::optional<Look> other = looked_at(image, band, 1);
        if (other && is_ground_of_a_mark(*other, band)) other.reset();
        if (other && (!look || other->strokes.fit > 1.3 * look->strokes.fit)) {
            look = std::move(other);
        }
    }
    return look;
}

/// Does the net see text all along the line from one column of the strip to another? There letters
/// are missing that hang together with art, and no column ends.
bool goes_on(const BandMap& map, const Look& look, double from, double to) {
    const Strokes& s = look.strokes;
    const double step = std::min(map.cell_x * look.strip.scale_u, std::max(1.0, to - from));
    for (double u = from + step / 2; u < to; u += step) {
        const double v = (s.top + s.base) / 2 + s.slope * (u - s.middle);
        const auto cell = [](double at, double size, int count) {
            return std::clamp(static_cast<int>(at / size), 0, count - 1);
        };
        const int x = cell(look.strip.face_x(u, v), map.cell_x, map.lines.width);
        const int y = cell(look.strip.face_y(u, v), map.cell_y, map.lines.height);
        const float mark = map.marks.empty() ? map.lines.at(x, y) : map.marks.at(x, y);
        if (std::max(map.lines.at(x, y), mark) < sure_gap) return false;
    }
    return true;
}

/// Is there more at an end of a band, where the net sees text, than a word space without a letter?
/// There one hangs together with art.
bool hidden_at_end(const BandMap& map, const Look& look, const std::vector<Piece>& run) {
    const double space = hidden_from * (look.strokes.base - look.strokes.top);
    const double rim = 1.5 * map.cell_x * look.strip.scale_u;  // the net fades at the ends of lines
    double right = 0.0;
    for (const Piece& piece : run) right = std::max(right, static_cast<double>(piece.right()));
    const auto hidden = [&](double from, double to, double begin, double end) {
        return to - from > space && begin < end && goes_on(map, look, begin, end);
    };
    const double left = run.front().x;
    return hidden(look.strip.left, left, look.strip.left + rim, left) ||
           hidden(right, look.strip.right, right, look.strip.right - rim);
}

/// Runs of pieces that no column gap parts.
std::vector<std::vector<Piece>> runs(const Look& look, const BandMap& map) {
    const Strokes& strokes = look.strokes;
    const double gap = column_gap * (strokes.base - strokes.top);
    std::vector<std::vector<Piece>> result;
    double right = -1e9;
    for (const Piece& piece : strokes.pieces) {
        if (result.empty() || (piece.x > right + gap && !goes_on(map, look, right, piece.x))) {
            result.emplace_back();
        }
        result.back().push_back(piece);
        right = std::max(right, static_cast<double>(piece.right()));
    }
    return result;
}

/// The suit over, under or beside a single figure is as small as an accent, but as broad as none;
/// what is broader than the figure, or stands off it, is no accent either.
void leave_out_signs(std::vector<Piece>& run, const Strokes& s) {
    const double least = sign_size * (s.base - s.top);
    const double gap = sign_gap * (s.base - s.top);
    const std::vector<Piece> all = run;
    const auto is_accent = [&](const Piece& p) {
        return std::any_of(all.begin(), all.end(), [&](const Piece& full) {
            return full.full && p.x + gap > full.x && p.right() < full.right() + gap &&
                   p.width <= full.width && p.y < full.bottom() + gap && full.y < p.bottom() + gap;
        });
    };
    std::erase_if(run, [&](const Piece& p) {
        const double sag = s.slope * (p.x + p.width / 2.0 - s.middle);
        const bool beyond = p.bottom() <= s.top + sag || p.y >= s.base + sag;
        const bool beside = std::none_of(all.begin(), all.end(), [&](const Piece& full) {
            return full.full && p.x < full.right() + gap && full.x - gap < p.right();
        });
        if (p.full || (!beyond && !beside)) return false;
        return beside || std::min(p.width, p.height) > least || !is_accent(p);
    });
}

/// The band of one run of pieces alone.
Band band_of(const Look& look, const std::vector<Piece>& run, const Band& whole) {
    const Strokes& s = look.strokes;
    double left = 1e9, right = -1e9;
    for (const Piece& piece : run) {
        left = std::min(left, static_cast<double>(piece.x));
        right = std::max(right, static_cast<double>(piece.right()));
    }
    const double u = (left + right) / 2;
    const double v = (s.top + s.base) / 2 + s.slope * (u - s.middle);
    Band band = whole;
    band.x = look.strip.face_x(u, v);
    band.y = look.strip.face_y(u, v);
    band.length = (right - left) / look.strip.scale_u;
    return band;
}

/// Columns that the net saw as one band may stand on lines of their own: each is looked at alone.
/// Returns the look and the run of its pieces around the middle of the band.
std::optional<std::pair<Look, std::vector<Piece>>> alone(const Image& image, const BandMap& map,
                                                         const Band& band, int quarter_turns) {
    std::optional<Look> look = looked_at(image, band, quarter_turns);
    if (!look) {
        return std::nullopt;
    }
    const double middle = (look->strip.left + look->strip.right) / 2;
    for (std::vector<Piece>& run : runs(*look, map)) {
        if (run.front().x <= middle && middle < run.back().right()) {
            return std::pair(std::move(*look), std::move(run));
        }
    }
    return std::nullopt;
}

/// The sizes of a line that was measured upside down.
void measure_again(MeasuredLine& line, const Image& image, const BandMap& map, Ppi ppi,
                   const PaperLuminance& paper) {
    if (const auto one = alone(image, map, line.band, line.line.quarter_turns)) {
        const TextLine again =
            measured(one->first.strip, one->first.strokes, one->second, line.band, ppi, paper).line;
        set_sizes(line.line, again.x_height_px, again.cap_height_px, again.capitals_only, ppi);
        line.line.slant_deg = again.slant_deg;
    }
}

RectPx place_of(const Band& band) {
    const double c = std::abs(std::cos(band.angle)), s = std::abs(std::sin(band.angle));
    const double w = band.length * c + band.height * s, h = band.length * s + band.height * c;
    return {static_cast<int>(std::floor(band.x - w / 2)),
            static_cast<int>(std::floor(band.y - h / 2)), static_cast<int>(std::ceil(w)),
            static_cast<int>(std::ceil(h))};
}

RectPx around(const RectPx& a, const RectPx& b) {
    const int x = std::min(a.x, b.x), y = std::min(a.y, b.y);
    return {x, y, std::max(a.right(), b.right()) - x, std::max(a.bottom(), b.bottom()) - y};
}

/// Three more lines that begin and end where this one does: what stands_again is asked about.
bool others_alike(const std::vector<MeasuredLine>& lines, const RectPx& box) {
    constexpr int off = 3, others = 3;
    const auto near = [](int a, int b) { return std::abs(a - b) <= off; };
    const auto alike = std::count_if(lines.begin(), lines.end(), [&](const MeasuredLine& line) {
        const RectPx& b = line.line.box_px;
        return near(b.width, box.width) && near(b.height, box.height) &&
               (near(b.x, box.x) || near(b.y, box.y));
    });
    return alike > others;
}

}  // namespace

struct TextFinder::Parts {
    BandNet net;
};

TextFinder::TextFinder() : TextFinder(builtin_text_net()) {}

TextFinder::TextFinder(std::span<const std::uint8_t> onnx)
    : parts_(std::make_unique<Parts>(Parts{BandNet(onnx)})) {}

TextFinder::~TextFinder() = default;
TextFinder::TextFinder(TextFinder&&) noexcept = default;
TextFinder& TextFinder::operator=(TextFinder&&) noexcept = default;

TextSurvey TextFinder::find(const Image& image, Ppi ppi, const PaperLuminance& paper) const {
    TextSurvey result;
    if (image.empty()) {
        return result;
    }
    if (!(ppi.value > 0.0)) {
        ppi.value = usual_ppi;
    }
    const BandMap map = parts_->net.bands(image, ppi);
    const std::vector<Band> bands = bands_in(map, most_bands);
    std::vector<MeasuredLine> found;
    const auto take = [&](const Look& look, const std::vector<Piece>& run, const Band& band,
                          bool spoiled) {
        const bool any = std::any_of(run.begin(), run.end(), [](const Piece& p) { return p.full; });
        const bool sure_pair = band.mark && run.size() == 2 && band.strength >= sure_pair_from;
        if (!any || (!sure_pair && same_shapes(look.strokes, run)) ||
            (!spoiled && repeats_along(look.strokes, run))) {
            return;
        }
        MeasuredLine line = measured(look.strip, look.strokes, run, band, ppi, paper);
        const bool part =
            !band.mark && (look.strokes.covered < mostly_covered || hidden_at_end(map, look, run));
        if (spoiled || (band.strength >= sure_band && part)) {
            line.line.box_px = around(line.line.box_px, place_of(band));
        }
        line.line.box_px = intersection(line.line.box_px, image.bounds());
        const RectPx& box = line.line.box_px;
        if (reaches_too_far(box.width, box.height, band)) return;
        const bool narrow = std::max(box.width, box.height) < 1.2 * std::min(box.width, box.height);
        const double least = spoiled            ? 0.0  // the net alone says so
                             : line.letters > 1 ? least_confidence
                             : narrow           ? least_confidence_of_glyph
                                                : least_confidence_of_pair;
        // A 1 that was looked at lying is as slim as a pin.
        const bool lying = (look.strip.quarter_turns & 1) != 0;
        if (run.size() == 1 && !lying && mostly_line(look.strokes, run.front())) {
            return;
        }
        if (line.letters <= few_letters && band.strength < least_strength_of_few) {
            return;
        }
        if (line.line.confidence >= least && !box.empty()) {
            found.push_back(std::move(line));
        }
    };
    for (const Band& band : bands) {
        std::optional<Look> look = best_look(image, band);
        if (look && !band.mark && !band.compact && band.strength >= sure_of_letters) {
            if (auto letters = strokes_of_one_color(look->strip, look->strokes)) {
                look->strokes = std::move(*letters);
            }
        }
        if (!look || (look->strokes.fit < least_fit && band.strength < sure_band)) {
            continue;
        }
        // Where the net is sure but the strokes hang together with the art around them, the letters
        // that stand free give the measures and the band gives the place.
        const bool spoiled = band.strength >= sure_band && look->strokes.fit < spoiled_fit;
        std::vector<std::vector<Piece>> parts =
            spoiled ? std::vector<std::vector<Piece>>{look->strokes.pieces} : runs(*look, map);
        for (std::vector<Piece>& run : parts) {
            if (band.mark) leave_out_signs(run, look->strokes);
            if (parts.size() > 1) {
                const Band own = band_of(*look, run, band);
                if (const auto one = alone(image, map, own, look->strip.quarter_turns)) {
                    take(one->first, one->second, own, false);
                    continue;
                }
            }
            take(*look, run, band, spoiled);
        }
    }
    found = merged(std::move(found), image);
    turn_upright(found);
    for (MeasuredLine& line : found) {
        if (line.upside_down) {
            measure_again(line, image, map, ppi, paper);
        }
    }
    tell_small_letters(found, ppi);
    const double scale = 2.0 / map.cell_x;
    std::erase_if(found, [&](const MeasuredLine& line) {
        return line.letters <= most_letters_of_motif &&
               (in_lattice(map.luminance, scale, line.line.box_px) ||
                row_of_icons(map.luminance, scale, line.line.box_px));
    });
    std::vector<bool> again(found.size());
    for (std::size_t i = 0; i < found.size(); ++i) {
        const RectPx& box = found[i].line.box_px;
        again[i] = others_alike(found, box) && stands_again(map.luminance, scale, box);
    }
    std::erase_if(found,
                  [&, i = std::size_t{0}](const MeasuredLine&) mutable { return again[i++]; });
    // Last, as the patterns above are told by the letters that the strokes gave.
    for (MeasuredLine& line : found) complete_ends(line, image);
    found = merged(std::move(found), image);
    std::stable_sort(found.begin(), found.end(), [](const MeasuredLine& a, const MeasuredLine& b) {
        return a.weight > b.weight;
    });
    if (found.size() > most_lines) {
        found.resize(most_lines);
        result.cut = true;
    }
    for (MeasuredLine& line : found) {
        const double contrast = line.line.contrast, printed = line.line.paper_contrast;
        if (!line.turned_over) mend_outlined(line.line, image, paper);
        if (line.shadowed) {
            line.line.contrast = contrast;
            line.line.paper_contrast = printed;
        }
        result.lines.push_back(std::move(line.line));
    }
    std::stable_sort(
        result.lines.begin(), result.lines.end(), [](const TextLine& a, const TextLine& b) {
            return std::tuple(a.box_px.y, a.box_px.x) < std::tuple(b.box_px.y, b.box_px.x);
        });
    return result;
}

}  // namespace paleproof::survey
