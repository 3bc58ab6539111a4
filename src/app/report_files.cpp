// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "app/report_files.h"

#include <string>

namespace paleproof::app {

void ReportFiles::keep(FaceResult& face, std::size_t index) {
    const std::size_t size = face.source_thumbnail.jpeg.size() + face.source_heat.jpeg.size() +
                             face.proof_thumbnail.jpeg.size() + face.proof_heat.jpeg.size();
    if (seen_.fetch_add(size) + size <= report::most_picture_bytes) return;
    beside_ = true;
    put_beside(report::pictures_beside(face, index));
}

void ReportFiles::put_beside(const std::vector<report::ReportPicture>& pictures) {
    for (const report::ReportPicture& picture : pictures) {
        out_.write(picture.name, picture.jpeg);
    }
}

void ReportFiles::write(EditionResult& edition) {
    if (beside_) put_beside(report::pictures_beside(edition));
    std::string page = report::report_html(edition);
    if (!beside_ && page.size() > report::most_page_bytes) {
        put_beside(report::pictures_beside(edition));
        page = report::report_html(edition);
    }
    out_.write("report.html", page);
}

}  // namespace paleproof::app
