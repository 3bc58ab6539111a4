// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <string>

#include "core/image.h"
#include "core/text_line.h"

namespace paleproof::survey {

/// Reads the words of lines that were found, by an OCR engine (Tesseract), one line at a time.
///
/// Optional: built in when the library was there. Not for several threads at once: one reader each.
class TextReader {
  public:
    /// Whether reading was built in.
    [[nodiscard]] static bool available();

    /// `language` as the engine names its data: "eng", "deu+eng". Error{unsupported} when reading
    /// was not built in, Error{file} when the language's data is not installed.
    explicit TextReader(const std::string& language = "eng");
    ~TextReader();
    TextReader(TextReader&&) noexcept;
    TextReader& operator=(TextReader&&) noexcept;

    /// The words of `line` on `image`, UTF-8, single spaces between them; "" when nothing is read.
    /// The line is cut out, turned upright, brought to dark letters on light and to an x-height
    /// that the engine reads well.
    [[nodiscard]] std::string words(const Image& image, const TextLine& line);

  private:
    struct Engine;
    std::unique_ptr<Engine> engine_;
};

}  // namespace paleproof::survey
