// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/text_finder.h"

#include <algorithm>
#include <optional>
#include <tuple>
#include <utility>

#include "survey/text/band_net.h"
#include "survey/text/bands.h"
#include "survey/text/builtin_net.h"
#include "survey/text/line_measure.h"
#include "survey/text/merge.h"
#include "survey/text/pattern.h"
#include "survey/text/strokes.h"

namespace paleproof::survey {
namespace {

constexpr double usual_ppi = 300.0;
constexpr std::size_t most_bands = 600;  // looked at; three times what may be reported
constexpr double least_fit = 0.25;
// Where the net is this sure the strokes need not agree: shadows and busy art spoil them first.
constexpr double sure_band = 4.5;
constexpr double least_confidence = 0.42;
// A single glyph has little to be recognised by.
constexpr double least_confidence_of_glyph = 0.8;
constexpr double least_confidence_of_pair = 0.45;  // two figures that touch
constexpr int most_letters_of_motif = 8;
constexpr double column_gap = 2.0;  // band heights: no word space is that wide

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

std::optional<Look> best_look(const Image& image, const Band& band) {
    // Towards pi/2 the line runs down; the turn that makes it upright is found by its letters.
    const int turns = band.angle > 0.8 ? 1 : 0;
    std::optional<Look> look = looked_at(image, band, turns);
    if (band.compact && (!look || look->strokes.fit < 0.5)) {
        std::optional<Look> other = looked_at(image, band, 1);
        if (other && (!look || other->strokes.fit > 1.3 * look->strokes.fit)) {
            look = std::move(other);
        }
    }
    return look;
}

/// Runs of pieces that no column gap parts.
std::vector<std::vector<Piece>> runs(const Strokes& strokes) {
    const double gap = column_gap * (strokes.base - strokes.top);
    std::vector<std::vector<Piece>> result;
    double right = -1e9;
    for (const Piece& piece : strokes.pieces) {
        if (result.empty() || piece.x > right + gap) {
            result.emplace_back();
        }
        result.back().push_back(piece);
        right = std::max(right, static_cast<double>(piece.right()));
    }
    return result;
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
    for (const Band& band : bands) {
        const std::optional<Look> look = best_look(image, band);
        if (!look || (look->strokes.fit < least_fit && band.strength < sure_band)) {
            continue;
        }
        for (const std::vector<Piece>& run : runs(look->strokes)) {
            const bool any =
                std::any_of(run.begin(), run.end(), [](const Piece& p) { return p.full; });
            if (!any || same_shapes(look->strokes, run)) {
                continue;
            }
            MeasuredLine line = measured(look->strip, look->strokes, run, band, ppi, paper);
            line.line.box_px = intersection(line.line.box_px, image.bounds());
            const RectPx& box = line.line.box_px;
            const bool narrow =
                std::max(box.width, box.height) < 1.2 * std::min(box.width, box.height);
            const double least = line.letters > 1 ? least_confidence
                                 : narrow         ? least_confidence_of_glyph
                                                  : least_confidence_of_pair;
            if (line.line.confidence >= least && !line.line.box_px.empty()) {
                found.push_back(std::move(line));
            }
        }
    }
    found = merged(std::move(found));
    turn_upright(found);
    const double scale = 2.0 / map.cell_x;
    std::erase_if(found, [&](const MeasuredLine& line) {
        return line.letters <= most_letters_of_motif &&
               in_lattice(map.luminance, scale, line.line.box_px);
    });
    std::stable_sort(found.begin(), found.end(), [](const MeasuredLine& a, const MeasuredLine& b) {
        return a.weight > b.weight;
    });
    if (found.size() > most_lines) {
        found.resize(most_lines);
        result.cut = true;
    }
    for (MeasuredLine& line : found) {
        result.lines.push_back(std::move(line.line));
    }
    std::stable_sort(
        result.lines.begin(), result.lines.end(), [](const TextLine& a, const TextLine& b) {
            return std::tuple(a.box_px.y, a.box_px.x) < std::tuple(b.box_px.y, b.box_px.x);
        });
    return result;
}

}  // namespace paleproof::survey
