// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/csv.h"

#include <cstddef>
#include <optional>
#include <string_view>
#include <vector>

#include "core/format.h"
#include "report/deck_sums.h"
#include "report/text.h"

namespace paleproof::report {

namespace {

constexpr int share_digits = 5;
constexpr int length_digits = 3;
constexpr int area_digits = 3;
constexpr double mm2_per_cm2 = 100.0;

constexpr std::string_view header =
    "row,face,source,copies,printed,trim_width_mm,trim_height_mm,"
    "source_c,source_m,source_y,source_k,source_total,source_peak,source_solid_cm2,"
    "proof_c,proof_m,proof_y,proof_k,proof_total,proof_peak,proof_solid_cm2,saved\r\n";

class Row {
  public:
    void text(std::string_view value) { put(csv_cell(value)); }
    void number(double value, int digits) { put(fixed(value, digits)); }
    void count(int value) { put(std::to_string(value)); }
    void nothing() { put(""); }
    /// Coverages and the solid area of one ink measurement.
    void ink(const std::optional<InkUse>& use, double solid_cm2) {
        if (!use) {
            for (int i = 0; i < 7; ++i) {
                nothing();
            }
            return;
        }
        for (const double share : {use->c, use->m, use->y, use->k, use->total, use->peak}) {
            number(share, share_digits);
        }
        number(solid_cm2, area_digits);
    }
    [[nodiscard]] std::string line() const { return line_ + "\r\n"; }

  private:
    void put(const std::string& value) {
        if (started_) {
            line_ += ',';
        }
        started_ = true;
        line_ += value;
    }
    std::string line_;
    bool started_ = false;
};

}  // namespace

std::string ink_csv(const EditionResult& edition) {
    const std::vector<int> printed = printed_sides(edition.faces);
    const DeckSums sums = deck_sums(edition);
    std::string result(header);
    int all_printed = 0;
    double all_source_cm2 = 0.0;
    double all_proof_cm2 = 0.0;
    for (std::size_t i = 0; i < edition.faces.size(); ++i) {
        const FaceResult& face = edition.faces[i];
        const double cm2 = trim_area_mm2(face) * printed[i] / mm2_per_cm2;
        const double source_cm2 = face.source_ink ? face.source_ink->total * cm2 : 0.0;
        const double proof_cm2 = face.proof_ink ? face.proof_ink->total * cm2 : 0.0;
        all_printed += printed[i];
        all_source_cm2 += source_cm2;
        all_proof_cm2 += proof_cm2;

        Row row;
        row.text("face");
        row.text(face.name);
        row.text(face.source);
        row.count(face.copies);
        row.count(printed[i]);
        if (face.readable) {
            row.number(face.placement.trim.width.value, length_digits);
            row.number(face.placement.trim.height.value, length_digits);
        } else {
            row.nothing();
            row.nothing();
        }
        row.ink(face.source_ink, source_cm2);
        row.ink(face.proof_ink, proof_cm2);
        if (face.source_ink && face.proof_ink) {
            row.number(ink_saved(*face.source_ink, *face.proof_ink), share_digits);
        } else {
            row.nothing();
        }
        result += row.line();
    }

    Row deck;
    deck.text("deck");
    deck.text(edition.title);
    deck.nothing();
    deck.count(sums.cards);
    deck.count(all_printed);
    deck.nothing();
    deck.nothing();
    deck.ink(sums.source_ink, all_source_cm2);
    deck.ink(sums.proof_ink, all_proof_cm2);
    if (sums.saved) {
        deck.number(*sums.saved, share_digits);
    } else {
        deck.nothing();
    }
    return result + deck.line();
}

}  // namespace paleproof::report
