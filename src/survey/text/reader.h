// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

class OcrEngine;

/// Reads the words of lines that were found, by an OCR engine (Tesseract), one line at a time.
///
/// Optional: see ocr_engine.h. Not for several threads at once: one reader each.
class TextReader {
  public:
    /// `language` as the engine names its data: "eng", "deu+eng". Throws what OcrEngine throws.
    explicit TextReader(const std::string& language = "eng");
    ~TextReader();
    TextReader(TextReader&&) noexcept;
    TextReader& operator=(TextReader&&) noexcept;

    /// The words of `line` on `image`, UTF-8, single spaces between them; "" when nothing is read.
    /// The line is cut out, turned upright, brought to dark letters on light and to an x-height
    /// that the engine reads well.
    [[nodiscard]] std::string words(const Image& image, const TextLine& line);

  private:
    std::unique_ptr<OcrEngine> engine_;
};

/// Readers for many threads: each call borrows one, as many are made as read at once.
class TextReaders {
  public:
    /// Makes the first reader: throws what TextReader throws.
    explicit TextReaders(std::string language);
    ~TextReaders();

    /// Puts the words of each line into it. `image` is the face that shows the lines.
    void read(const Image& image, std::span<TextLine> lines);
    /// Reads the lines that have words again in a gray proof of the same pixels, whichever of
    /// letters and ground is the darker one there; sets proof_words and lost_words.
    void read_again(const Image& proof, std::span<TextLine> lines);

    struct Pool;

  private:
    std::unique_ptr<Pool> pool_;
};

/// The words of `source` that `proof` has not in the same order. Case and punctuation do not count;
/// a word of four letters or more without figures may differ by one letter in four, as engines
/// misread the source too.
[[nodiscard]] std::vector<std::string> lost_words(std::string_view source, std::string_view proof);

}  // namespace paleproof::survey
