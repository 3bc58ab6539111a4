// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/impose.h"

#include <algorithm>
#include <map>
#include <utility>

#include "app/pdf_inks.h"
#include "codec/atomic_file.h"
#include "codec/pdf_pixels.h"
#include "color/srgb_profile.h"
#include "core/format.h"
#include "sheet/imposition.h"
#include "sheet/paper.h"
#include "sheet/pdf.h"
#include "sheet/test_page.h"

namespace paleproof::app {
namespace {

/// The faces that have a proof, and where they stand in the record.
struct PrintedFaces {
    std::vector<sheet::FacePage> pages;
    std::vector<std::size_t> record_index;                   // of each page
    std::vector<std::optional<std::size_t>> page_of_record;  // the other way
    std::map<std::string, std::size_t> first_of_look;        // by look_key()
};

std::string look_key(const RecordedFace& face) {
    std::string key = face.proof_hash;
    for (const Mm length : {face.trim.width, face.trim.height, face.bleed.top, face.bleed.right,
                            face.bleed.bottom, face.bleed.left}) {
        key += ' ' + fixed(length.value, 3);
    }
    return key;
}

PrintedFaces printed_faces(const EditionRecord& record, bool cmyk) {
    PrintedFaces printed;
    printed.page_of_record.resize(record.faces.size());
    for (std::size_t i = 0; i < record.faces.size(); ++i) {
        const RecordedFace& face = record.faces[i];
        if (face.proof.empty()) continue;
        printed.page_of_record[i] = printed.pages.size();
        printed.record_index.push_back(i);
        printed.first_of_look.emplace(look_key(face), printed.pages.size());
        printed.pages.push_back({face.name,
                                 face.proof_px,
                                 cmyk && face.channels == 3 ? 4 : face.channels,
                                 face.bits,
                                 {face.trim, face.bleed, face.ink},
                                 face.group4});
    }
    return printed;
}

/// The pictures as the PDFs take them: gray and tagged color as packed, drawings in the smaller of
/// two packings, color as inks where the job asks for it.
class PdfPictures {
  public:
    PdfPictures(const EditionRecord& record, const Job& job, const ProofSource& proofs)
        : record_(record), proofs_(proofs) {
        const bool any_color = std::ranges::any_of(
            record.faces, [](const RecordedFace& face) { return face.channels == 3; });
        if (any_color && job.pdf_color == PdfColor::cmyk) inks_ = pdf_inks(job);
        if (any_color && !inks_) options_.srgb_icc = color::srgb_icc();
        options_.title = record.title;
        options_.producer = "paleproof " PALEPROOF_VERSION;
        if (inks_) options_.output_intent = inks_->intent;
    }
    [[nodiscard]] bool cmyk() const { return inks_.has_value(); }
    [[nodiscard]] const sheet::PdfOptions& options() const { return options_; }
    [[nodiscard]] sheet::FaceSource of(const PrintedFaces& printed) const {
        return [this, &printed](std::size_t page) {
            const std::size_t face = printed.record_index[page];
            PackedImage picture = proofs_(face);
            const std::string& file = record_.faces[face].proof;
            if (record_.faces[face].group4 && !picture.group4) {
                return codec::as_group4(picture, file);
            }
            if (inks_ && picture.channels == 3) return in_inks(picture, *inks_, file);
            return picture;
        };
    }

  private:
    const EditionRecord& record_;
    const ProofSource& proofs_;
    std::optional<PdfInks> inks_;
    sheet::PdfOptions options_;
};

/// The first page with the same picture of the same size.
std::size_t first_equal(const EditionRecord& record, const PrintedFaces& printed,
                        std::size_t page) {
    const RecordedFace& face = record.faces[printed.record_index[page]];
    return printed.first_of_look.at(look_key(face));
}

std::vector<sheet::Card> cards_of(const EditionRecord& record, const PrintedFaces& printed) {
    std::vector<sheet::Card> cards;
    for (std::size_t page = 0; page < printed.pages.size(); ++page) {
        const RecordedFace& face = record.faces[printed.record_index[page]];
        std::optional<std::size_t> back;
        if (face.back) back = printed.page_of_record[*face.back];
        // Equal pictures count as one face: they are stored once and can be packed together.
        if (back) back = first_equal(record, printed, *back);
        cards.push_back({first_equal(record, printed, page), back, face.copies});
    }
    return cards;
}

/// The pages with their faces by name; the guides and texts are left to the PDF.
std::vector<SheetDrawing> drawings(const sheet::Imposition& imposed, const PrintedFaces& printed) {
    std::vector<SheetDrawing> result;
    for (const sheet::SheetPage& page : imposed.pages) {
        SheetDrawing drawing{.size = page.size, .side = "", .sheet = page.sheet, .places = {}};
        if (page.side != sheet::Side::both) {
            drawing.side = page.side == sheet::Side::front ? "front" : "back";
        }
        for (const sheet::Place& place : page.places) {
            if (place.light) continue;  // a pattern, no face
            drawing.places.push_back({.face = printed.pages[place.face].name,
                                      .x = place.trim.x,
                                      .y = place.trim.y,
                                      .trim = {place.trim.width, place.trim.height},
                                      .turn = place.turn});
        }
        result.push_back(std::move(drawing));
    }
    return result;
}

}  // namespace

namespace {

struct Imposed {
    sheet::Imposition imposition;
    SheetResult result;
};

/// One imposition a paper, under the file name that begins with `prefix`; the same paper once.
std::vector<Imposed> imposed_papers(const EditionRecord& record, const PrintedFaces& printed,
                                    const Job& job, const std::string& prefix) {
    const std::vector<sheet::Card> cards = cards_of(record, printed);
    std::vector<sheet::FaceShape> shapes;
    for (const sheet::FacePage& page : printed.pages) shapes.push_back(page.shape);
    const sheet::SheetTexts texts(record.title, record.edition, record.legend);

    std::vector<Imposed> papers;
    for (const std::string& text : job.papers) {
        const sheet::Paper paper = sheet::parse_paper(text, "papers");
        const std::string file = prefix + sheet::paper_slug(paper) + ".pdf";
        const auto same = [&](const Imposed& other) { return other.result.file == file; };
        if (std::ranges::any_of(papers, same)) continue;
        Imposed paper_result{sheet::imposition(paper, shapes, cards, job.sheets, texts), {}};
        const sheet::Imposition& imposed = paper_result.imposition;
        SheetResult result{.paper = paper.name,
                           .file = file,
                           .pages = static_cast<int>(imposed.pages.size()),
                           .cards = imposed.cards,
                           .unused = imposed.unused,
                           .columns = 0,
                           .rows = 0,
                           .papers = imposed.sheets,
                           .papers_shared = imposed.sheets_shared,
                           .papers_bleed = imposed.sheets_bleed,
                           .drawn = {}};
        if (!imposed.groups.empty()) {
            result.columns = imposed.groups.front().grid.columns;
            result.rows = imposed.groups.front().grid.rows;
        }
        result.drawn = drawings(imposed, printed);
        paper_result.result = std::move(result);
        papers.push_back(std::move(paper_result));
    }
    return papers;
}

}  // namespace

struct EditionPdfs::Parts {
    Parts(const EditionRecord& record, const Job& job, Pdfs which, ProofSource proof_source,
          FilePlace file_place)
        : proofs(std::move(proof_source)),
          place(std::move(file_place)),
          pictures(record, job, proofs),
          printed(printed_faces(record, pictures.cmyk())),
          papers(imposed_papers(record, printed, job, "sheets-")),
          pages(which == Pdfs::pages_and_sheets && !printed.pages.empty()) {
        std::erase_if(papers, [](const Imposed& paper) { return paper.imposition.pages.empty(); });
    }
    ProofSource proofs;
    FilePlace place;
    PdfPictures pictures;
    PrintedFaces printed;
    std::vector<Imposed> papers;
    bool pages;
};

EditionPdfs::EditionPdfs(const EditionRecord& record, const Job& job, Pdfs which,
                         ProofSource proofs, FilePlace place)
    : parts_(std::make_unique<Parts>(record, job, which, std::move(proofs), std::move(place))) {}

EditionPdfs::~EditionPdfs() = default;

std::vector<SheetResult> EditionPdfs::sheets() const {
    std::vector<SheetResult> results;
    for (const Imposed& paper : parts_->papers) results.push_back(paper.result);
    return results;
}

std::size_t EditionPdfs::count() const { return parts_->papers.size() + (parts_->pages ? 1 : 0); }

std::string EditionPdfs::write(std::size_t index) const {
    const Parts& p = *parts_;
    const sheet::FaceSource pixels = p.pictures.of(p.printed);
    if (p.pages && index == 0) {  // the longest comes first
        const std::string file = "pages.pdf";
        sheet::write_pages_pdf(p.place(file), p.printed.pages, pixels, p.pictures.options());
        return file;
    }
    const Imposed& paper = p.papers.at(index - (p.pages ? 1 : 0));
    sheet::write_sheets_pdf(p.place(paper.result.file), paper.imposition, p.printed.pages, pixels,
                            p.pictures.options());
    return paper.result.file;
}

Changes write_changes(const EditionRecord& before, const EditionRecord& now, const Job& job,
                      const ProofSource& proofs, const FilePlace& place) {
    Changes changes = changes_between(before, now, job.sheets.backs == sheet::Backs::print);
    const EditionRecord record = to_print(now, changes);
    const PdfPictures pictures(record, job, proofs);
    const PrintedFaces printed = printed_faces(record, pictures.cmyk());
    const auto all = imposed_papers(now, printed, job, "sheets-");
    const auto some = imposed_papers(record, printed, job, "changed-");
    for (std::size_t i = 0; i < some.size(); ++i) {
        PaperSaved saved{some[i].result, all[i].result.papers};
        if (some[i].imposition.pages.empty()) {
            saved.sheets.file.clear();
        } else {
            sheet::write_sheets_pdf(place(saved.sheets.file), some[i].imposition, printed.pages,
                                    pictures.of(printed), pictures.options());
        }
        changes.papers.push_back(std::move(saved));
    }
    codec::write_file(place("changes.json"), changes_json(changes));
    return changes;
}

std::vector<std::string> write_test_pages(const EditionRecord& record, const Job& job,
                                          const FilePlace& place) {
    const PrintedFaces printed = printed_faces(record, false);
    std::vector<std::string> files;
    for (const Imposed& paper : imposed_papers(record, printed, job, "test-page-")) {
        const sheet::Imposition& imposed = paper.imposition;
        const SizeMm size =
            imposed.groups.empty() ? imposed.paper.size : imposed.groups.front().grid.sheet;
        sheet::write_sheets_pdf(place(paper.result.file),
                                sheet::test_page(imposed.paper, size, job.sheets), {},
                                [](std::size_t) { return PackedImage{}; },
                                {.title = record.title + ", test page",
                                 .producer = "paleproof " PALEPROOF_VERSION,
                                 .srgb_icc = {},
                                 .output_intent = {}});
        files.push_back(paper.result.file);
    }
    return files;
}

}  // namespace paleproof::app
