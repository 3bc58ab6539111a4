// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <cmath>
#include <filesystem>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>

#include "sheet/imposition.h"
#include "support/run_command.h"

namespace paleproof::test {

/// A rendering of one page of a PDF, made by a program that knows nothing of us: gray by poppler
/// and MuPDF, black and white by Ghostscript, as an eighth of the data keeps large papers quick.
class PagePicture {
  public:
    enum class Engine { poppler, ghostscript, mupdf };

    /// `page_height`: Ghostscript lays a page that is no whole number of pixels high on the foot of
    /// its picture, the other two on the head. When it is given, dark_spot() counts that in.
    PagePicture(const std::filesystem::path& pdf, int page, double ppi, Engine engine,
                std::optional<Mm> page_height = std::nullopt)
        : px_per_mm_(ppi / mm_per_inch) {
        const std::string number = std::to_string(page);
        const std::string resolution = std::to_string(static_cast<int>(ppi));
        const std::string file = quoted(pdf.string());
        std::string command;
        switch (engine) {
            case Engine::poppler:
                command = "pdftoppm -gray -r " + resolution + " -f " + number + " -l " + number +
                          " " + file;
                break;
            case Engine::ghostscript:
                command = "gs -q -dNOPAUSE -dBATCH -sDEVICE=pbmraw -r" + resolution +
                          " -dFirstPage=" + number + " -dLastPage=" + number + " -sOutputFile=- " +
                          file;
                break;
            case Engine::mupdf:
                command = "mutool draw -q -c gray -F pgm -o - -r " + resolution + " " + file + " " +
                          number;
                break;
        }
        CommandResult rendered = run_command(command + " 2>/dev/null");
        if (rendered.status != 0) throw std::runtime_error("failed: " + command);
        bytes_ = std::move(rendered.output);
        read_head(command);
        if (engine == Engine::ghostscript && page_height) {
            head_room_ = Mm{height_ / px_per_mm_} - *page_height;
        }
    }

    [[nodiscard]] int width() const { return width_; }
    [[nodiscard]] int height() const { return height_; }
    [[nodiscard]] int at(int x, int y) const {
        if (x < 0 || y < 0 || x >= width_ || y >= height_) return 255;
        const auto row = head_ + static_cast<std::size_t>(y) * row_bytes();
        const auto column = static_cast<std::size_t>(x);
        if (!bilevel_) return static_cast<unsigned char>(bytes_[row + column]);
        const auto bits = static_cast<unsigned char>(bytes_[row + column / 8]);
        return (bits >> (7U - column % 8U) & 1U) != 0 ? 0 : 255;  // 1 is black
    }
    /// Pixel that holds a place on the page.
    [[nodiscard]] int px(Mm length) const {
        return static_cast<int>(std::floor(length.value * px_per_mm_));
    }
    [[nodiscard]] int at_mm(Mm x, Mm y) const { return at(px(x), px(y)); }

    struct Spot {
        double x = 0.0, y = 0.0;  ///< mm from the top left
        double area = 0.0;        ///< square mm of black
    };
    /// Center and area of what is dark within `reach` of a place, weighted by its darkness.
    [[nodiscard]] Spot dark_spot(Mm x, Mm y, Mm reach) const {
        y = y + head_room_;
        double sum = 0.0, sum_x = 0.0, sum_y = 0.0;
        for (int py = px(y - reach); py <= px(y + reach); ++py) {
            for (int qx = px(x - reach); qx <= px(x + reach); ++qx) {
                const double weight = (255 - at(qx, py)) / 255.0;
                sum += weight;
                sum_x += weight * (qx + 0.5);
                sum_y += weight * (py + 0.5);
            }
        }
        if (sum <= 0.0) return {};
        return {sum_x / sum / px_per_mm_, sum_y / sum / px_per_mm_ - head_room_.value,
                sum / (px_per_mm_ * px_per_mm_)};
    }

  private:
    void read_head(const std::string& command) {
        // P4 or P5, perhaps comment lines, width, height, for P5 255, one blank, pixels.
        bilevel_ = bytes_.starts_with("P4");
        std::size_t at = 2;
        int values[3] = {0, 0, 255};
        for (int i = 0; i < (bilevel_ ? 2 : 3); ++i) {
            while (at < bytes_.size() && (bytes_[at] < '0' || bytes_[at] > '9')) {
                if (bytes_[at] == '#') {
                    while (at < bytes_.size() && bytes_[at] != '\n') ++at;
                }
                ++at;
            }
            values[i] = 0;
            while (at < bytes_.size() && bytes_[at] >= '0' && bytes_[at] <= '9') {
                values[i] = values[i] * 10 + (bytes_[at++] - '0');
            }
        }
        width_ = values[0];
        height_ = values[1];
        head_ = at + 1;
        if (!(bilevel_ || bytes_.starts_with("P5")) || values[2] != 255 ||
            bytes_.size() != head_ + static_cast<std::size_t>(height_) * row_bytes()) {
            throw std::runtime_error("no picture: " + command);
        }
    }

    [[nodiscard]] std::size_t row_bytes() const {
        const auto width = static_cast<std::size_t>(width_);
        return bilevel_ ? (width + 7) / 8 : width;
    }

    double px_per_mm_;
    Mm head_room_{0.0};
    std::string bytes_;
    std::size_t head_ = 0;
    bool bilevel_ = false;
    int width_ = 0;
    int height_ = 0;
};

}  // namespace paleproof::test
