// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <memory>
#include <string>

namespace paleproof::survey {

/// One engine of the OCR library (Tesseract).
///
/// The library is loaded when the first engine is made, not with the tool: some forty others come
/// with it, and a run that reads no words would wait for them. One engine for each thread.
class OcrEngine {
  public:
    /// Whether reading was built in.
    [[nodiscard]] static bool built_in();

    /// `language` as the library names its data: "eng", "deu+eng". Error{unsupported} when reading
    /// was not built in or the library is not installed, Error{file} when the language's data is
    /// not.
    explicit OcrEngine(const std::string& language);
    ~OcrEngine();
    OcrEngine(OcrEngine&&) noexcept;
    OcrEngine& operator=(OcrEngine&&) noexcept;

    /// What stands on a picture of one line, or of one word, as the library writes it in UTF-8.
    /// `pixels` are gray codes, dark on light, `stride` bytes a row.
    [[nodiscard]] std::string read(const unsigned char* pixels, int width, int height, int stride,
                                   bool one_word);

  private:
    struct Handle;
    std::unique_ptr<Handle> handle_;
};

}  // namespace paleproof::survey
