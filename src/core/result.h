// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "core/deck.h"
#include "core/edition_changes.h"
#include "core/finding.h"
#include "core/ink.h"
#include "core/sheet_result.h"
#include "core/symbol.h"
#include "core/text_line.h"

namespace paleproof {

/// A small JPEG for the report: a whole file, in memory or beside the report.
struct Thumbnail {
    int width = 0;
    int height = 0;
    std::string jpeg;    ///< empty when it lies in `file`
    std::string file{};  ///< "report-pictures/face-1-source.jpg", relative to the report; or ""
    /// What it shows, in pixels of the source picture: the whole source, or trim + bleed for a
    /// proof, which may reach past the source. Lets the report lay the two over each other; empty
    /// means the whole source.
    RectPx frame;

    [[nodiscard]] bool empty() const { return jpeg.empty() && file.empty(); }
};

/// What the worst of the cuts that lie `wander` off does to a face.
struct CutResult {
    Mm wander;
    Mm right, down;                 ///< where the cut lies, positive to the right and down
    Mm white;                       ///< widest strip of paper beside the art, 0 = none
    std::optional<Mm> proof_white;  ///< the same for the proof; none for `check`
    int lost_lines = 0;             ///< lines of text cut through or off
    double lopsided = 1.0;          ///< wider over narrower of two opposite borders; 1 = even
    bool lopsided_level = true;     ///< left against right, else top against bottom
};

/// Borders of which one is more than that many times the other look lopsided (common practice, no
/// source).
inline constexpr double lopsided_limit = 2.0;

/// Something that a person would see.
[[nodiscard]] inline bool shows(const CutResult& cut) {
    return cut.white.value > 0.0 || cut.lost_lines > 0 || cut.lopsided > lopsided_limit;
}

/// All that is known of one face when the edition is done; src/report turns it into files.
struct FaceResult {
    std::string name;
    std::string source;    ///< file name relative to SOURCE, with '/'
    bool readable = true;  ///< false: only name, source and findings are meant
    SizePx size_px;        ///< of the source image
    TrimPlacement placement;
    std::string size_note;           ///< how the card size was decided, for a person
    std::vector<std::string> notes;  ///< what reading the file passed over, one sentence each
    int copies = 1;
    std::string back;  ///< name of the back, "" when none
    std::optional<InkUse> source_ink;
    std::optional<InkUse> proof_ink;  ///< none for `check`
    /// Total coverage of a gray proof if it were sent as an RGB picture; none for others.
    std::optional<double> proof_as_rgb;
    std::vector<TextLine> text;
    std::vector<Symbol> symbols;  ///< small signs that stand by themselves
    /// Structural similarity of the edges of proof and source, -1..1; none where not measured.
    std::optional<double> edge_similarity;
    Edges<Mm> bleed_present;
    Edges<std::string> bleed_method;  ///< words of core/bleed_method.h: "present", "continue"
    std::optional<CutResult> cut;     ///< none when the cut does not wander
    std::vector<Finding> findings;
    std::string proof_file;  ///< "faces/NAME.png", "" for `check`
    Thumbnail source_thumbnail;
    Thumbnail proof_thumbnail;
    /// Total coverage as a gray picture: one pixel a patch of about 1 mm, code 0 = no ink, 255 =
    /// all four inks in full (4.0). Their frames are those of the thumbnails.
    Thumbnail source_heat;
    Thumbnail proof_heat;
};

/// The face that a wandering cut harms most, cut so.
struct CutPicture {
    std::string face;  ///< its name
    Thumbnail source;  ///< the source cut there, paper where it has no art
    Thumbnail proof;
};

/// A place where one of two twins is seen.
struct TwinPlace {
    std::string face;  ///< its name
    RectPx box_px;     ///< in pixels of the source face
};

/// Two colors that tell things apart on the source and hardly differ in gray or for some eyes.
struct Twin {
    Rule rule = Rule::gray_twins;
    std::string a, b;         ///< "#rrggbb"
    std::string where;        ///< faces and places, for a person
    double difference = 0.0;  ///< L* of gray-twins, CIEDE2000 of vision-twins
    double limit = 0.0;
    std::string vision{};                    ///< "deutan": who sees least of it; "" for gray-twins
    double color_difference = 0.0;           ///< CIEDE2000 for usual eyes
    std::optional<double> cross_check{};     ///< CIEDE2000 by Vienot 1999; vision-twins only
    std::optional<double> map_difference{};  ///< L* in the deck's gray map; gray-twins only
    std::optional<double> proof_difference{};  ///< L* as measured in the proofs; gray-twins only
    std::vector<TwinPlace> places_a{}, places_b{};  ///< one a face
    bool patterns = false;  ///< the proofs give the two patterns of their own
    int also = 0;           ///< pairs of smaller areas that become one on the same faces
};

/// What the ink of all printed sides costs, estimated from the prices and rated yields of the
/// cartridges.
struct DeckCost {
    std::string currency;  ///< as the job names it: "EUR"
    double source = 0.0;
    std::optional<double> proof;  ///< none for `check`
};

/// One setting that the edition was made with, as the job file spells it.
struct Setting {
    std::string name;    ///< "legible.min_text"
    std::string value;   ///< "7 pt"
    std::string origin;  ///< "set", "default"; "" when it does not matter
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
    std::optional<CutPicture> worst_cut;  ///< none for `check`, or when no cut shows anything
    std::vector<Finding> findings;        ///< of the deck as a whole
    std::optional<DeckCost> cost;         ///< none when no cartridge is named
    std::vector<Cartridge> cartridges;    ///< as the job names them
    std::vector<Setting> settings;        ///< in the order of the job file
    std::vector<std::string> left_out;    ///< what of SOURCE was not read and why, one clause each
    std::optional<Changes> changes;       ///< none when no earlier edition was named
};

}  // namespace paleproof
