// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
//
// write_sample FOLDER [COUNT]: the three files of the sample edition, or of a deck of COUNT faces,
// for tests that open them from outside.
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
    const EditionResult edition = count > 2 ? report_sample::large_edition(std::stoi(arguments[2]))
                                            : report_sample::sample_edition();
    std::filesystem::create_directories(folder);
    std::ofstream(folder / "report.json", std::ios::binary) << report::report_json(edition);
    std::ofstream(folder / "ink.csv", std::ios::binary) << report::ink_csv(edition);
    std::ofstream(folder / "report.html", std::ios::binary) << report::report_html(edition);
    return 0;
}
