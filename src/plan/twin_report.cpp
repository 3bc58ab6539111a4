// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "plan/twin_report.h"

#include <algorithm>
#include <optional>
#include <string_view>

#include "core/format.h"

namespace paleproof::plan {
namespace {

/// "top left", "middle", of a box in the trimmed area.
std::string position(RectPx box, RectPx trim) {
    const auto third = [](int center, int from, int length) {
        return std::clamp(3 * (center - from) / std::max(1, length), 0, 2);
    };
    const int across = third(box.x + box.width / 2, trim.x, trim.width);
    const int down = third(box.y + box.height / 2, trim.y, trim.height);
    constexpr std::array<std::string_view, 3> rows{"top", "", "bottom"};
    constexpr std::array<std::string_view, 3> columns{"left", "", "right"};
    const auto row = std::string(rows[static_cast<std::size_t>(down)]);
    const auto column = std::string(columns[static_cast<std::size_t>(across)]);
    if (row.empty() && column.empty()) return "in the middle";
    return "at the " + row + (row.empty() || column.empty() ? "" : " ") + column;
}

std::string some_faces(const std::vector<TwinPlace>& places) {
    if (places.empty()) return "no face";
    const std::size_t more = places.size() - 1;
    return places.front().face + (more == 0   ? ""
                                  : more == 1 ? " and " + places[1].face
                                              : " and " + std::to_string(more) + " more faces");
}

/// The place of a cluster on each of `faces`: the one that a witness of the pair names, else the
/// largest.
std::vector<std::size_t> places_on(const ColorCluster& cluster,
                                   const std::vector<std::size_t>& faces,
                                   const std::vector<std::size_t>& witnessed) {
    std::vector<std::size_t> result;
    for (const std::size_t face : faces) {
        std::optional<std::size_t> best;
        for (const std::size_t i : witnessed) {
            if (cluster.places[i].face != face) continue;
            if (!best || cluster.places[i].share > cluster.places[*best].share) best = i;
        }
        for (std::size_t i = 0; !best && i < cluster.places.size(); ++i) {
            if (cluster.places[i].face == face) best = i;
        }
        if (best) result.push_back(*best);
    }
    return result;
}

std::size_t largest_witness(const TellingPair& pair, const ColorCluster& a) {
    std::size_t largest = pair.witnesses.empty() ? 0 : pair.witnesses.front().a;
    for (const TellingPair::Witness& w : pair.witnesses) {
        if (a.places[w.a].share > a.places[largest].share) largest = w.a;
    }
    return largest;
}

std::string where_text(const TellingPair& pair, const Twin& twin, survey::AreaKind kind,
                       const std::string& place) {
    const std::string what = std::string(name(kind)) + " " + place;
    std::string text;
    if (pair.relation == Relation::side_by_side && pair.faces_a == pair.faces_b) {
        text = "side by side on " + some_faces(twin.places_a);
    } else if (pair.relation == Relation::side_by_side) {
        text = "side by side on " + some_faces(twin.places_a.size() >= twin.places_b.size()
                                                   ? twin.places_a
                                                   : twin.places_b);
    } else {
        text = what + " of " + some_faces(twin.places_a) + " against " + some_faces(twin.places_b);
    }
    if (twin.also == 1) text += "; a pair of smaller areas there too";
    if (twin.also > 1) text += "; " + std::to_string(twin.also) + " pairs of smaller areas too";
    return text;
}

Twin told(const TwinPair& judged, const DeckPalette& palette,
          std::span<const survey::FaceSurvey> surveys) {
    const TellingPair& pair = palette.pairs[judged.pair];
    const ColorCluster& a = palette.clusters[pair.a];
    const ColorCluster& b = palette.clusters[pair.b];
    Twin twin{.rule = judged.rule,
              .a = hex(a.color),
              .b = hex(b.color),
              .where = {},
              .difference = judged.difference,
              .limit = judged.limit,
              .vision = judged.rule == Rule::vision_twins ? std::string(name(judged.vision)) : "",
              .color_difference = judged.color_difference,
              .cross_check = judged.cross_check,
              .also = static_cast<int>(judged.also.size())};
    std::vector<std::size_t> witness_a, witness_b;
    for (const TellingPair::Witness& w : pair.witnesses) {
        witness_a.push_back(w.a);
        witness_b.push_back(w.b);
    }
    const auto places = [&](const ColorCluster& cluster, const std::vector<std::size_t>& faces,
                            const std::vector<std::size_t>& witnessed) {
        std::vector<TwinPlace> result;
        for (const std::size_t i : places_on(cluster, faces, witnessed)) {
            result.push_back({surveys[cluster.places[i].face].name, cluster.places[i].box_px});
        }
        return result;
    };
    twin.places_a = places(a, pair.faces_a, witness_a);
    twin.places_b = places(b, pair.faces_b, witness_b);
    const ColorPlace& first = a.places[largest_witness(pair, a)];
    twin.where = where_text(pair, twin, first.kind,
                            position(first.box_px, surveys[first.face].place.placement.trim_px));
    return twin;
}

RectPx around(RectPx a, RectPx b) {
    const int x = std::min(a.x, b.x), y = std::min(a.y, b.y);
    return {x, y, std::max(a.right(), b.right()) - x, std::max(a.bottom(), b.bottom()) - y};
}

Finding twin_finding(const Twin& twin) {
    const bool gray = twin.rule == Rule::gray_twins;
    Finding finding{.rule = twin.rule,
                    .severity = Severity::warning,
                    .face = "",
                    .box_px = std::nullopt,
                    .measured = twin.difference,
                    .limit = twin.limit,
                    .unit = gray ? "L*" : "CIEDE2000",
                    .message = {}};
    if (twin.places_a.size() == 1 && twin.places_b.size() == 1 &&
        twin.places_a.front().face == twin.places_b.front().face) {
        finding.face = twin.places_a.front().face;
        finding.box_px = around(twin.places_a.front().box_px, twin.places_b.front().box_px);
    }
    finding.message = twin.a + " and " + twin.b + " differ by " + fixed(twin.difference, 1) +
                      (gray ? " L* in gray"
                            : " (CIEDE2000) for " + twin.vision + " eyes, by " +
                                  fixed(twin.color_difference, 0) + " for usual ones") +
                      ", at least " + fixed(twin.limit, 1) + " are wanted: " + twin.where;
    if (twin.patterns) {
        finding.severity = Severity::note;
        finding.message += "; told apart in the proofs by patterns";
    } else if (twin.proof_difference && *twin.proof_difference >= twin.limit) {
        finding.severity = Severity::note;
        finding.message +=
            "; told apart in the proofs: " + fixed(*twin.proof_difference, 1) + " L*";
    } else {
        if (twin.proof_difference) {
            finding.message += "; in the proofs they differ by " + fixed(*twin.proof_difference, 1);
        }
        finding.message += "; make one lighter, or add a sign beside the color";
    }
    return finding;
}

}  // namespace

std::string hex(color::Rgb8 color) {
    return "#" + paleproof::hex(color.r, 2) + paleproof::hex(color.g, 2) +
           paleproof::hex(color.b, 2);
}

std::vector<Twin> told_twins(const DeckColors& colors,
                             std::span<const survey::FaceSurvey> surveys) {
    std::vector<Twin> result;
    for (const auto* list : {&colors.gray_twins, &colors.vision_twins}) {
        for (const TwinPair& pair : *list) result.push_back(told(pair, colors.palette, surveys));
    }
    return result;
}

std::vector<Finding> twin_findings(std::span<const Twin> twins) {
    std::vector<Finding> result;
    for (const Twin& twin : twins) result.push_back(twin_finding(twin));
    return result;
}

}  // namespace paleproof::plan
