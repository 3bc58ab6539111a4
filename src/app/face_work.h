// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <atomic>
#include <cstddef>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "app/job.h"
#include "app/output_folder.h"
#include "app/progress.h"
#include "app/report_files.h"
#include "color/gray_table.h"
#include "color/separation.h"
#include "core/deck.h"
#include "core/packed_image.h"
#include "core/result.h"
#include "plan/deck_patterns.h"
#include "plan/face_plan.h"
#include "survey/face_survey.h"

namespace paleproof::app {

/// One map for all faces, or none.
struct SharedGrayMap {
    std::shared_ptr<const color::GrayTable> table;
};

/// An area of a twin's color, and the middle gray code that the proof has there.
struct TwinCore {
    std::size_t twin = 0;  ///< index into DeckPlan::twins
    bool of_a = true;      ///< else of b
    RectPx box_px;         ///< in pixels of the source
    color::Rgb8 color;     ///< as it is there
    std::optional<double> code{};
};

/// One face on its way through the run.
struct FaceWork {
    FaceResult result;
    std::string source_hash;
    std::optional<survey::FaceSurvey>
        survey;                         ///< none when the file could not be read, or at the end
    std::optional<Face> pixels;         ///< kept from the first pass while memory allows
    std::optional<PackedImage> packed;  ///< the proof as the PDFs take it, while memory allows
    std::string proof_hash;
    int proof_channels = 1;
    int proof_bits = 8;
    bool proof_group4 = false;  ///< see RecordedFace::group4
    std::string look;           ///< see RecordedFace::look
    std::string source_look;    ///< see RecordedFace::source_look
    SizePx proof_px;
    plan::FacePlan plan;
    std::vector<plan::FacePattern> patterns;  ///< of style hatch
    /// The deck's map from color to gray, of style gray.
    SharedGrayMap gray_map;
    std::vector<TwinCore> cores;          ///< where the proof is measured for twins
    std::optional<CutPicture> worst_cut;  ///< set for the face whose cut is to be shown
};

/// How much decoded and compressed data may wait in memory between the passes. What does not fit is
/// read again from its file: slower, but memory does not grow with the deck.
class MemoryBudget {
  public:
    explicit MemoryBudget(std::size_t bytes) : left_(static_cast<std::ptrdiff_t>(bytes)) {}
    /// True when `bytes` may be kept; they then count until `release`.
    [[nodiscard]] bool take(std::size_t bytes);
    void release(std::size_t bytes);

  private:
    std::atomic<std::ptrdiff_t> left_;
};

class Cache;

/// First pass: reads and surveys every face, in parallel. A file that cannot be read becomes a
/// finding; the others go on. What the cache knows of a file is taken from there; none = no cache.
[[nodiscard]] std::vector<FaceWork> survey_deck(const Deck& deck, const Job& job,
                                                const color::Separation& separation,
                                                MemoryBudget& memory, const Progress& progress,
                                                Cache* cache, survey::Purpose purpose);

/// Second pass: makes the proof of every face that could be read, or takes over that of the edition
/// which is there already when nothing that it depends on changed, and stages faces/NAME.png. The
/// survey and the pixels of a face are let go when its proof is made.
void make_proofs(std::vector<FaceWork>& faces, const Deck& deck, const Job& job,
                 const color::Separation& separation, OutputFolder& out, ReportFiles& report_files,
                 MemoryBudget& pixels, MemoryBudget& packed, const Progress& progress,
                 Cache& cache);

}  // namespace paleproof::app
