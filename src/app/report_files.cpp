// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/report_files.h"

#include <string>

#include "report/html.h"

namespace paleproof::app {

void ReportFiles::keep(FaceResult& face, std::size_t index) {
    const std::size_t size = face.source_thumbnail.jpeg.size() + face.source_heat.jpeg.size() +
                             face.proof_thumbnail.jpeg.size() + face.proof_heat.jpeg.size();
    if (seen_.fetch_add(size) + size <= report::most_picture_bytes) return;
    beside_ = true;
    for (const report::ReportPicture& picture : report::pictures_beside(face, index)) {
        out_.write(picture.name, picture.jpeg);
    }
}

void ReportFiles::put_beside(EditionResult& edition) {
    for (const report::ReportPicture& picture : report::pictures_beside(edition)) {
        out_.write(picture.name, picture.jpeg);
    }
}

void ReportFiles::write(EditionResult& edition) {
    if (beside_) put_beside(edition);
    std::string page = report::report_html(edition);
    if (!beside_ && page.size() > report::most_page_bytes) {
        put_beside(edition);
        page = report::report_html(edition);
    }
    out_.write("report.html", page);
}

}  // namespace paleproof::app
