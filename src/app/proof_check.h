// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include "app/finished_proof.h"
#include "survey/text/reader.h"

namespace paleproof::app {

/// The proof of a face, made and measured: each text line is looked for in it, and where one was
/// lost, the face is made again with a stronger guard for that line. Sets the proof's ink, what
/// became of each line and the similarity in `work.result`, and adds the findings `text-lost` and
/// `budget-missed`. The color style, whose pixels are the source's, has its ink measured only.
/// With `readers` the words of the lines are read again in the proof.
[[nodiscard]] FinishedProof checked_proof(FaceWork& work, const Image& source, const Job& job,
                                          const color::Separation& separation,
                                          survey::TextReaders* readers);

}  // namespace paleproof::app
