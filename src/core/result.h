// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/deck.h"
#include "core/finding.h"
#include "core/ink.h"
#include "core/text_line.h"

namespace paleproof {

/// A small JPEG for the report: a whole file in memory.
struct Thumbnail {
    int width = 0;
    int height = 0;
    std::string jpeg;
};

/// All that is known of one face when the edition is done; src/report turns it into files.
struct FaceResult {
    std::string name;
    std::string source;    ///< file name relative to SOURCE, with '/'
    bool readable = true;  ///< false: only name, source and findings are meant
    SizePx size_px;        ///< of the source image
    TrimPlacement placement;
    std::string size_note;  ///< how the card size was decided, for a person
    int copies = 1;
    std::string back;  ///< name of the back, "" when none
    std::optional<InkUse> source_ink;
    std::optional<InkUse> proof_ink;  ///< none for `check`
    std::vector<TextLine> text;
    Edges<Mm> bleed_present;
    Edges<std::string> bleed_method;  ///< "present", "replicate", "mirror", "none"
    std::vector<Finding> findings;
    std::string proof_file;  ///< "faces/NAME.png", "" for `check`
    Thumbnail source_thumbnail;
    Thumbnail proof_thumbnail;
};

/// Two colors that tell things apart on the source and hardly differ in gray or for some eyes.
struct Twin {
    Rule rule = Rule::gray_twins;
    std::string a, b;   ///< "#rrggbb"
    std::string where;  ///< faces and places, for a person
    double difference = 0.0;
    double limit = 0.0;
};

struct SheetResult {
    std::string paper;  ///< "Letter"
    std::string file;   ///< "sheets-letter.pdf"
    int pages = 0;
    int cards = 0;
    int unused = 0;  ///< places left empty on the last sheets
    int columns = 0;
    int rows = 0;
};

/// Everything an edition's report says.
struct EditionResult {
    std::string title;
    std::string style;       ///< "gray"
    std::string separation;  ///< "uncoated"
    std::optional<double> ink_budget;
    std::vector<FaceResult> faces;
    std::vector<Twin> twins;
    std::vector<SheetResult> sheets;
    std::vector<Finding> findings;  ///< of the deck as a whole
};

}  // namespace paleproof
