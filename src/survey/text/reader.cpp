// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/reader.h"

#include <algorithm>
#include <array>
#include <cctype>
#include <cmath>
#include <mutex>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <utility>
#include <vector>

#include "color/srgb.h"
#include "survey/text/ocr_engine.h"

namespace paleproof::survey {
namespace {

constexpr double read_x_height = 22.0;  // pixels; the engine wants capitals of about 30
constexpr double margin = 0.6;          // x-heights around the line

/// The line as the engine wants it: gray, upright, level, dark on light.
cv::Mat prepared(const Image& image, const TextLine& line) {
    const int around = static_cast<int>(std::lround(margin * std::max(4.0, line.x_height_px)));
    RectPx box = line.box_px;
    box = intersection(
        {box.x - around, box.y - around, box.width + 2 * around, box.height + 2 * around},
        image.bounds());
    if (box.empty()) {
        return {};
    }
    const color::GrayCodes& gray = color::gray_codes();
    cv::Mat part(box.height, box.width, CV_8UC1);
    for (int y = 0; y < box.height; ++y) {
        const std::uint8_t* from = image.row(box.y + y) + box.x * image.channels();
        std::uint8_t* to = part.ptr(y);
        for (int x = 0; x < box.width; ++x) {
            to[x] = image.channels() == 3 ? gray(from[3 * x], from[3 * x + 1], from[3 * x + 2])
                                          : from[x];
        }
    }
    if (line.quarter_turns == 1) {
        cv::rotate(part, part, cv::ROTATE_90_COUNTERCLOCKWISE);
    } else if (line.quarter_turns == 2) {
        cv::rotate(part, part, cv::ROTATE_180);
    } else if (line.quarter_turns == 3) {
        cv::rotate(part, part, cv::ROTATE_90_CLOCKWISE);
    }
    if (std::abs(line.slant_deg) > 0.5) {
        const cv::Point2f center(static_cast<float>(part.cols) / 2,
                                 static_cast<float>(part.rows) / 2);
        const cv::Mat turn = cv::getRotationMatrix2D(center, line.slant_deg, 1.0);
        cv::warpAffine(part, part, turn, part.size(), cv::INTER_LINEAR, cv::BORDER_REPLICATE);
    }
    const double scale = std::clamp(read_x_height / std::max(1.0, line.x_height_px), 0.1, 6.0);
    cv::resize(part, part, {}, scale, scale, scale < 1 ? cv::INTER_AREA : cv::INTER_CUBIC);
    if (line.reversed) {
        part = 255 - part;
    }
    // Faint text is stretched to black on white: the engine's own threshold loses it.
    const auto code = [&](RgbCode c) {
        const int tone = gray(c[0], c[1], c[2]);
        return line.reversed ? 255 - tone : tone;
    };
    const double low = code(line.text_color), high = code(line.ground_color);
    if (high - low > 8) {
        part.convertTo(part, CV_8U, 230 / (high - low), -low * 230 / (high - low) + 5);
    }
    return part;
}

/// Runs of white space become one space; none at the ends.
std::string trimmed(std::string_view text) {
    std::string result;
    bool gap = false;
    for (const char c : text) {
        if (c == ' ' || c == '\n' || c == '\t' || c == '\f' || c == '\r') {
            gap = !result.empty();
            continue;
        }
        if (gap) {
            result += ' ';
        }
        gap = false;
        result += c;
    }
    return result;
}

}  // namespace

TextReader::TextReader(const std::string& language)
    : engine_(std::make_unique<OcrEngine>(language)) {}

std::string TextReader::words(const Image& image, const TextLine& line) {
    const cv::Mat picture = prepared(image, line);
    if (picture.empty()) {
        return {};
    }
    return trimmed(engine_->read(picture.data, picture.cols, picture.rows,
                                 static_cast<int>(picture.step),
                                 line.kind == TextLine::Kind::mark));
}

struct TextReaders::Pool {
    std::string language;
    std::mutex mutex;
    std::vector<TextReader> free;
};

TextReaders::TextReaders(std::string language) : pool_(std::make_unique<Pool>()) {
    pool_->free.emplace_back(language);
    pool_->language = std::move(language);
}

TextReaders::~TextReaders() = default;

namespace {

/// A reader that is given back to its pool.
class BorrowedReader {
  public:
    explicit BorrowedReader(TextReaders::Pool& pool) : pool_(pool) {
        const std::scoped_lock lock(pool_.mutex);
        if (!pool_.free.empty()) {
            reader_ = std::move(pool_.free.back());
            pool_.free.pop_back();
        }
    }
    ~BorrowedReader() {
        if (!reader_) return;
        const std::scoped_lock lock(pool_.mutex);
        pool_.free.push_back(std::move(*reader_));
    }
    BorrowedReader(const BorrowedReader&) = delete;
    BorrowedReader& operator=(const BorrowedReader&) = delete;
    [[nodiscard]] std::string words(const Image& image, const TextLine& line) {
        if (!reader_) reader_.emplace(pool_.language);
        return reader_->words(image, line);
    }

  private:
    TextReaders::Pool& pool_;
    std::optional<TextReader> reader_;
};

}  // namespace

void TextReaders::read(const Image& image, std::span<TextLine> lines) {
    BorrowedReader reader(*pool_);
    for (TextLine& line : lines) line.words = reader.words(image, line);
}

namespace {

/// The line as it stands in a proof: the middle code of its box is the ground, the letters are what
/// is farthest from it.
TextLine in_proof(const TextLine& line, const Image& proof) {
    std::array<int, 256> count{};
    const RectPx box = intersection(line.box_px, proof.bounds());
    for (int y = box.y; y < box.bottom(); ++y) {
        for (int x = box.x; x < box.right(); ++x) ++count[proof.row(y)[x]];
    }
    const auto code_at = [&](double share) {
        const double wanted = share * box.width * box.height;
        int below = 0;
        for (int i = 0; i < 256; ++i) {
            below += count[static_cast<std::size_t>(i)];
            if (below >= wanted) return i;
        }
        return 255;
    };
    constexpr double tail = 0.03;
    const int ground = code_at(0.5);
    const int dark = code_at(tail);
    const int light = code_at(1.0 - tail);
    TextLine result = line;
    result.reversed = light - ground > ground - dark;
    const auto gray = [](int code) {
        const auto c = static_cast<std::uint8_t>(code);
        return RgbCode{c, c, c};
    };
    result.ground_color = gray(ground);
    result.text_color = gray(result.reversed ? light : dark);
    return result;
}

}  // namespace

void TextReaders::read_again(const Image& proof, std::span<TextLine> lines) {
    BorrowedReader reader(*pool_);
    for (TextLine& line : lines) {
        if (line.words.empty()) continue;
        line.proof_words = reader.words(proof, in_proof(line, proof));
        line.lost_words = lost_words(line.words, line.proof_words);
    }
}

namespace {

/// Words without case (of ASCII) and punctuation.
std::vector<std::string> bare_words(std::string_view text) {
    std::vector<std::string> result{""};
    for (const char c : text) {
        const auto code = static_cast<unsigned char>(c);
        if (c == ' ') {
            result.emplace_back();
        } else if (code >= 0x80 || std::isalnum(code) != 0) {
            result.back() += static_cast<char>(code < 0x80 ? std::tolower(code) : code);
        }
    }
    std::erase(result, "");
    return result;
}

/// Letters that must be changed, added or left out to make one word of the other.
std::size_t edit_distance(std::string_view a, std::string_view b) {
    std::vector<std::size_t> row(b.size() + 1);
    for (std::size_t j = 0; j <= b.size(); ++j) row[j] = j;
    for (std::size_t i = 1; i <= a.size(); ++i) {
        std::size_t before = row[0];
        row[0] = i;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t above = row[j];
            row[j] =
                std::min({above + 1, row[j - 1] + 1, before + (a[i - 1] == b[j - 1] ? 0U : 1U)});
            before = above;
        }
    }
    return row[b.size()];
}

bool same_word(const std::string& a, const std::string& b) {
    if (a == b) return true;
    const auto is_figure = [](char c) { return c >= '0' && c <= '9'; };
    if (std::ranges::any_of(a, is_figure) || std::ranges::any_of(b, is_figure)) return false;
    return edit_distance(a, b) <= std::min(a.size(), b.size()) / 4;
}

}  // namespace

std::vector<std::string> lost_words(std::string_view source, std::string_view proof) {
    const std::vector<std::string> a = bare_words(source);
    const std::vector<std::string> b = bare_words(proof);
    // longest[i][j]: words that the ends of both from i and j on have in common, in order.
    const std::size_t width = b.size() + 1;
    std::vector<std::size_t> longest((a.size() + 1) * width, 0);
    const auto at = [&](std::size_t i, std::size_t j) -> std::size_t& {
        return longest[i * width + j];
    };
    for (std::size_t i = a.size(); i-- > 0;) {
        for (std::size_t j = b.size(); j-- > 0;) {
            at(i, j) = std::max(at(i + 1, j), at(i, j + 1));
            if (same_word(a[i], b[j])) at(i, j) = std::max(at(i, j), at(i + 1, j + 1) + 1);
        }
    }
    std::vector<std::string> lost;
    std::size_t j = 0;
    for (std::size_t i = 0; i < a.size(); ++i) {
        while (j < b.size() && !same_word(a[i], b[j]) && at(i, j + 1) == at(i, j)) ++j;
        if (j < b.size() && same_word(a[i], b[j]) && at(i, j) == at(i + 1, j + 1) + 1) {
            ++j;
        } else {
            lost.push_back(a[i]);
        }
    }
    return lost;
}

TextReader::~TextReader() = default;
TextReader::TextReader(TextReader&&) noexcept = default;
TextReader& TextReader::operator=(TextReader&&) noexcept = default;

}  // namespace paleproof::survey
