// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <map>
#include <string>
#include <vector>

#include "core/text_line.h"
#include "truth.h"

namespace paleproof::bench {

/// What one way of finding text did on all faces.
class Tally {
  public:
    explicit Tally(std::string way) : way_(std::move(way)) {}

    /// Compares what was found on a face with the truth. With `verbose` every miss, false line and
    /// large error is printed. `measures` says whether the lines carry sizes and contrasts.
    void add(const TrueFace& face, const std::vector<TextLine>& found, double milliseconds,
             bool measures, bool verbose);
    /// Name and value of each row, in the order of the table.
    [[nodiscard]] std::vector<std::pair<std::string, std::string>> rows() const;
    [[nodiscard]] const std::string& way() const { return way_; }

  private:
    struct Share {
        int hit = 0, all = 0;
    };
    void add_ends(const TrueFace& face, const TrueLine& line, const std::vector<TextLine>& found,
                  bool verbose);

    std::string way_;
    std::map<std::string, Share> shares_;
    std::map<std::string, std::pair<int, int>> false_;  // lines, faces
    std::map<std::string, std::vector<double>> errors_;
    std::vector<double> milliseconds_, signed_;
};

}  // namespace paleproof::bench
