// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// write_sample FOLDER [COUNT | check | empty]: the report of the sample edition, of a deck of COUNT
// faces, of a check, or of nothing, for tests that open it from outside.
#include <filesystem>
#include <fstream>
#include <string>

#include "report/csv.h"
#include "report/html.h"
#include "report/json.h"
#include "unit/report/sample_edition.h"

int main(int count, char** arguments) {
    using namespace paleproof;
    if (count < 2) {
        return 2;
    }
    const std::filesystem::path folder = arguments[1];
    const std::string kind = count > 2 ? arguments[2] : "sample";
    EditionResult edition;
    if (kind == "sample") {
        edition = report_sample::sample_edition();
    } else if (kind == "check") {
        edition = report_sample::checked_edition();
    } else if (kind != "empty") {
        edition = report_sample::large_edition(std::stoi(kind));
    }
    std::filesystem::create_directories(folder / "report-pictures");
    std::ofstream(folder / "report.json", std::ios::binary) << report::report_json(edition);
    std::ofstream(folder / "ink.csv", std::ios::binary) << report::ink_csv(edition);
    std::string page = report::report_html(edition);
    if (page.size() > report::most_page_bytes) {
        for (const report::ReportPicture& picture : report::pictures_beside(edition)) {
            std::ofstream(folder / picture.name, std::ios::binary) << picture.jpeg;
        }
        page = report::report_html(edition);
    }
    std::ofstream(folder / "report.html", std::ios::binary) << page;
    return 0;
}
