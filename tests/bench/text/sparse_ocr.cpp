// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "sparse_ocr.h"

#include "core/error.h"

#ifdef PALEPROOF_OCR
#include <tesseract/baseapi.h>

#include <memory>
#include <string>
#endif

namespace paleproof::bench {

#ifdef PALEPROOF_OCR

std::vector<TextLine> sparse_ocr(const Image& image) {
    static thread_local std::unique_ptr<tesseract::TessBaseAPI> api;
    if (!api) {
        api = std::make_unique<tesseract::TessBaseAPI>();
        if (api->Init(nullptr, "eng") != 0) {
            throw Error(ErrorKind::unsupported, "OCR", "the English data cannot be loaded");
        }
        api->SetPageSegMode(tesseract::PSM_SPARSE_TEXT);
    }
    api->SetImage(image.row(0), image.width(), image.height(), image.channels(),
                  static_cast<int>(image.stride()));
    api->SetSourceResolution(static_cast<int>(image.ppi().value));
    api->Recognize(nullptr);
    std::vector<TextLine> result;
    const std::unique_ptr<tesseract::ResultIterator> it(api->GetIterator());
    if (!it) {
        return result;
    }
    do {
        const std::unique_ptr<char[]> word(it->GetUTF8Text(tesseract::RIL_WORD));
        int x0 = 0, y0 = 0, x1 = 0, y1 = 0;
        if (!word || !it->BoundingBox(tesseract::RIL_WORD, &x0, &y0, &x1, &y1) ||
            it->Confidence(tesseract::RIL_WORD) < 30 || std::string(word.get()).size() < 2) {
            continue;
        }
        TextLine line;
        line.box_px = {x0, y0, x1 - x0, y1 - y0};
        line.words = word.get();
        result.push_back(line);
    } while (it->Next(tesseract::RIL_WORD));
    return result;
}

#else

std::vector<TextLine> sparse_ocr(const Image&) {
    throw Error(ErrorKind::unsupported, "--ocr", "this benchmark was built without an OCR engine");
}

#endif

}  // namespace paleproof::bench
