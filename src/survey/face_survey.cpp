// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/face_survey.h"

#include <algorithm>
#include <utility>
#include <vector>

#include "survey/flat_areas.h"
#include "survey/symbols.h"

namespace paleproof::survey {
namespace {

/// On a face without a line of text, such as a back, what looks like a single number is most often
/// one of many signs of a pattern: it must be surer.
void drop_lone_marks(std::vector<TextLine>& text) {
    constexpr double sure_line = 0.5;
    constexpr double sure_mark = 0.8;
    const auto is_line = [](const TextLine& line) {
        return line.kind == TextLine::Kind::line && line.confidence >= sure_line;
    };
    if (std::ranges::any_of(text, is_line)) return;
    std::erase_if(text, [](const TextLine& line) {
        return line.kind == TextLine::Kind::mark && line.confidence < sure_mark;
    });
}

}  // namespace

FaceSurvey survey_face(const Face& face, const PlacementQuestion& question,
                       const color::Separation& separation, const TextFinder& finder,
                       Purpose purpose) {
    const bool whole = purpose == Purpose::proofs;
    FaceSurvey result;
    result.name = face.name;
    result.image = face.image.size();
    PlacementQuestion asked = question;
    asked.marks = crop_marks(face.image);
    result.crop_marks = asked.marks.has_value();
    result.fit = question.fit;
    result.place = placement(asked);
    const TrimPlacement& place = result.place.placement;
    const RectPx trimmed = intersection(place.trim_px, face.image.bounds());
    result.edges = edges(face.image, trimmed, place.ppi);
    result.borders = borders(face.image, trimmed, place.ppi);
    // A border that ends is continued as a border, whatever lies in it.
    const auto art = [](const Border& border) { return border.width_px <= 0.0 || border.open; };
    if (whole) {
        result.repeats = repeats(face.image, trimmed, place.ppi,
                                 {art(result.borders.top), art(result.borders.right),
                                  art(result.borders.bottom), art(result.borders.left)});
    }
    result.corners = round_corners(face.image, face.mask, trimmed, place.ppi);
    result.sharpness = sharpness(face.image, trimmed, place.ppi);
    result.ink = separation.ink(face.image, trimmed, place.ppi);
    const bool gray = face.image.encoding() != Encoding::srgb;
    TextSurvey text = finder.find(face.image, place.ppi, [&](RgbCode code) {
        return gray ? separation.paper_luminance_of_gray(code[0])
                    : separation.paper_luminance({code[0], code[1], code[2]});
    });
    result.text = std::move(text.lines);
    drop_lone_marks(result.text);
    result.text_cut = text.cut;
    const SmallView view = small_view(face.image, trimmed, place.ppi);
    result.palette = palette(face.image, view, place.ppi, result.text);
    if (whole) result.symbols = symbols(face.image, view, place.ppi, result.text);
    result.cut = cut_survey(place, result.borders, result.text, question.cut_wander);
    return result;
}

}  // namespace paleproof::survey
