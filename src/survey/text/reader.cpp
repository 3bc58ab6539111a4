// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/reader.h"

#include <algorithm>
#include <cctype>
#include <cmath>
#include <mutex>
#include <opencv2/imgproc.hpp>
#include <optional>
#include <utility>
#include <vector>

#include "core/error.h"

#ifdef PALEPROOF_OCR
#include <tesseract/baseapi.h>
#endif

#include "color/srgb.h"

#ifdef PALEPROOF_OCR
// The engine's own threads would fight over the cores with those that survey other faces.
extern "C" __attribute__((weak)) void omp_set_num_threads(int);
#endif

namespace paleproof::survey {
#ifdef PALEPROOF_OCR
namespace {

constexpr double read_x_height = 22.0;  // pixels; the engine wants capitals of about 30
constexpr double margin = 0.6;          // x-heights around the line
constexpr int engine_ppi = 300;

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
std::string trimmed(const char* text) {
    std::string result;
    bool gap = false;
    for (; *text != '\0'; ++text) {
        if (*text == ' ' || *text == '\n' || *text == '\t' || *text == '\f' || *text == '\r') {
            gap = !result.empty();
            continue;
        }
        if (gap) {
            result += ' ';
        }
        gap = false;
        result += *text;
    }
    return result;
}

}  // namespace

struct TextReader::Engine {
    tesseract::TessBaseAPI api;
};

bool TextReader::available() { return true; }

TextReader::TextReader(const std::string& language) : engine_(std::make_unique<Engine>()) {
    // Its messages would go to stderr, which is not ours; those about missing data come before it
    // has taken the variables of Init.
    engine_->api.SetVariable("debug_file", "/dev/null");
    const std::vector<std::string> names{"debug_file"}, values{"/dev/null"};
    if (engine_->api.Init(nullptr, language.c_str(), tesseract::OEM_LSTM_ONLY, nullptr, 0, &names,
                          &values, false) != 0) {
        throw Error(ErrorKind::file, language,
                    "expected an installed OCR language such as eng; install its data (Debian: "
                    "tesseract-ocr-" +
                        language + ") or name another");
    }
}

std::string TextReader::words(const Image& image, const TextLine& line) {
    const cv::Mat picture = prepared(image, line);
    if (picture.empty()) {
        return {};
    }
    if (omp_set_num_threads != nullptr) {
        omp_set_num_threads(1);
    }
    engine_->api.SetPageSegMode(line.kind == TextLine::Kind::mark ? tesseract::PSM_SINGLE_WORD
                                                                  : tesseract::PSM_SINGLE_LINE);
    engine_->api.SetImage(picture.data, picture.cols, picture.rows, 1,
                          static_cast<int>(picture.step));
    engine_->api.SetSourceResolution(engine_ppi);
    const std::unique_ptr<char[]> text(engine_->api.GetUTF8Text());
    engine_->api.Clear();
    return text ? trimmed(text.get()) : std::string{};
}

#else

struct TextReader::Engine {};

bool TextReader::available() { return false; }

TextReader::TextReader(const std::string&) {
    throw Error(ErrorKind::unsupported, "read",
                "this build has no OCR engine; build it where libtesseract-dev is installed");
}

std::string TextReader::words(const Image&, const TextLine&) { return {}; }

#endif

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

void TextReaders::read(const Image& image, std::span<TextLine> lines) {
    std::optional<TextReader> reader;
    {
        const std::scoped_lock lock(pool_->mutex);
        if (!pool_->free.empty()) {
            reader = std::move(pool_->free.back());
            pool_->free.pop_back();
        }
    }
    if (!reader) {
        reader.emplace(pool_->language);
    }
    for (TextLine& line : lines) {
        line.words = reader->words(image, line);
    }
    const std::scoped_lock lock(pool_->mutex);
    pool_->free.push_back(std::move(*reader));
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

}  // namespace

double words_again(std::string_view source, std::string_view proof) {
    const std::vector<std::string> a = bare_words(source), b = bare_words(proof);
    if (a.empty()) {
        return 1.0;
    }
    std::vector<std::size_t> longest(b.size() + 1, 0);
    for (const std::string& word : a) {
        std::size_t before = 0;
        for (std::size_t j = 1; j <= b.size(); ++j) {
            const std::size_t above = longest[j];
            longest[j] = word == b[j - 1] ? before + 1 : std::max(above, longest[j - 1]);
            before = above;
        }
    }
    return static_cast<double>(longest.back()) / static_cast<double>(a.size());
}

TextReader::~TextReader() = default;
TextReader::TextReader(TextReader&&) noexcept = default;
TextReader& TextReader::operator=(TextReader&&) noexcept = default;

}  // namespace paleproof::survey
