// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/impose.h"

#include <algorithm>

#include "sheet/imposition.h"
#include "sheet/paper.h"
#include "sheet/pdf.h"

namespace paleproof::app {
namespace {

/// The faces that have a proof, and where they stand in the record.
struct PrintedFaces {
    std::vector<sheet::FacePage> pages;
    std::vector<std::size_t> record_index;                   // of each page
    std::vector<std::optional<std::size_t>> page_of_record;  // the other way
};

PrintedFaces printed_faces(const EditionRecord& record) {
    PrintedFaces printed;
    printed.page_of_record.resize(record.faces.size());
    for (std::size_t i = 0; i < record.faces.size(); ++i) {
        const RecordedFace& face = record.faces[i];
        if (face.proof.empty()) continue;
        printed.page_of_record[i] = printed.pages.size();
        printed.record_index.push_back(i);
        printed.pages.push_back(
            {face.name, face.proof_px, face.channels, face.bits, {face.trim, face.bleed}});
    }
    return printed;
}

sheet::FaceSource source_of(const PrintedFaces& printed, const ProofSource& proofs) {
    return [&printed, &proofs](std::size_t page) { return proofs(printed.record_index[page]); };
}

sheet::PdfOptions pdf_options(const EditionRecord& record) {
    return {.title = record.title, .producer = "paleproof " PALEPROOF_VERSION, .srgb_icc = {}};
}

std::vector<sheet::Card> cards_of(const EditionRecord& record, const PrintedFaces& printed) {
    std::vector<sheet::Card> cards;
    for (std::size_t page = 0; page < printed.pages.size(); ++page) {
        const RecordedFace& face = record.faces[printed.record_index[page]];
        std::optional<std::size_t> back;
        if (face.back) back = printed.page_of_record[*face.back];
        cards.push_back({page, back, face.copies});
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

void write_pages(const EditionRecord& record, const ProofSource& proofs, const FilePlace& place) {
    const PrintedFaces printed = printed_faces(record);
    if (printed.pages.empty()) return;
    sheet::write_pages_pdf(place("pages.pdf"), printed.pages, source_of(printed, proofs),
                           pdf_options(record));
}

std::vector<SheetResult> write_sheets(const EditionRecord& record, const Job& job,
                                      const ProofSource& proofs, const FilePlace& place) {
    const PrintedFaces printed = printed_faces(record);
    const std::vector<sheet::Card> cards = cards_of(record, printed);
    std::vector<sheet::FaceShape> shapes;
    for (const sheet::FacePage& page : printed.pages) shapes.push_back(page.shape);

    std::vector<SheetResult> results;
    for (const std::string& text : job.papers) {
        const sheet::Paper paper = sheet::parse_paper(text, "papers");
        const auto imposed = sheet::imposition(paper, shapes, cards, job.sheets, record.title);
        if (imposed.pages.empty()) continue;
        SheetResult result{.paper = paper.name,
                           .file = "sheets-" + sheet::paper_slug(paper) + ".pdf",
                           .pages = static_cast<int>(imposed.pages.size()),
                           .cards = imposed.cards,
                           .unused = imposed.unused,
                           .columns = imposed.groups.front().grid.columns,
                           .rows = imposed.groups.front().grid.rows,
                           .drawn = drawings(imposed, printed)};
        if (std::ranges::find(results, result.file, &SheetResult::file) != results.end()) continue;
        sheet::write_sheets_pdf(place(result.file), imposed, printed.pages,
                                source_of(printed, proofs), pdf_options(record));
        results.push_back(std::move(result));
    }
    return results;
}

}  // namespace paleproof::app
