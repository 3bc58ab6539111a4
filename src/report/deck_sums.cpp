// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "report/deck_sums.h"

#include <algorithm>
#include <cstddef>
#include <map>
#include <string>

namespace paleproof::report {

namespace {

void count(const std::vector<Finding>& findings, DeckSums& sums) {
    for (const Finding& finding : findings) {
        switch (finding.severity) {
            case Severity::error:
                ++sums.errors;
                break;
            case Severity::warning:
                ++sums.warnings;
                break;
            case Severity::note:
                ++sums.notes;
                break;
        }
    }
}

/// Mean of coverages, weighted with the area they were measured on.
class InkMean {
  public:
    void add(const InkUse& ink, double area) {
        sum_.c += ink.c * area;
        sum_.m += ink.m * area;
        sum_.y += ink.y * area;
        sum_.k += ink.k * area;
        sum_.total += ink.total * area;
        sum_.peak = std::max(sum_.peak, ink.peak);
        area_ += area;
    }
    [[nodiscard]] std::optional<InkUse> mean() const {
        if (area_ <= 0.0) {
            return std::nullopt;
        }
        InkUse result;
        result.c = sum_.c / area_;
        result.m = sum_.m / area_;
        result.y = sum_.y / area_;
        result.k = sum_.k / area_;
        result.total = sum_.total / area_;
        result.peak = sum_.peak;
        return result;
    }

  private:
    InkUse sum_;
    double area_ = 0.0;
};

}  // namespace

std::vector<int> printed_sides(const std::vector<FaceResult>& faces) {
    std::map<std::string, int> as_back;
    for (const FaceResult& face : faces) {
        if (!face.back.empty()) {
            as_back[face.back] += face.copies;
        }
    }
    std::vector<int> result;
    result.reserve(faces.size());
    for (const FaceResult& face : faces) {
        const auto found = as_back.find(face.name);
        result.push_back(face.copies + (found == as_back.end() ? 0 : found->second));
    }
    return result;
}

double trim_area_mm2(const FaceResult& face) {
    return face.placement.trim.width.value * face.placement.trim.height.value;
}

double ink_saved(const InkUse& source, const InkUse& proof) {
    return source.total > 0.0 ? 1.0 - proof.total / source.total : 0.0;
}

DeckSums deck_sums(const EditionResult& edition) {
    DeckSums sums;
    count(edition.findings, sums);
    const std::vector<int> printed = printed_sides(edition.faces);
    InkMean source, proof, source_of_both, proof_of_both;
    for (std::size_t i = 0; i < edition.faces.size(); ++i) {
        const FaceResult& face = edition.faces[i];
        sums.cards += face.copies;
        count(face.findings, sums);
        if (!face.readable) {
            continue;
        }
        const double area = trim_area_mm2(face) * printed[i];
        if (face.source_ink) {
            source.add(*face.source_ink, area);
        }
        if (face.proof_ink) {
            proof.add(*face.proof_ink, area);
        }
        if (face.source_ink && face.proof_ink) {
            source_of_both.add(*face.source_ink, area);
            proof_of_both.add(*face.proof_ink, area);
        }
    }
    sums.source_ink = source.mean();
    sums.proof_ink = proof.mean();
    if (const auto before = source_of_both.mean(), after = proof_of_both.mean(); before && after) {
        sums.saved = ink_saved(*before, *after);
    }
    if (!edition.sheets.empty()) {
        sums.sheets = edition.sheets.front().pages;
    }
    return sums;
}

}  // namespace paleproof::report
