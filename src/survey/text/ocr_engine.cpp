// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#include "survey/text/ocr_engine.h"

#include "core/error.h"

#ifdef PALEPROOF_OCR_LIBRARY
#include <dlfcn.h>
#include <tesseract/capi.h>

#include <mutex>
#endif

namespace paleproof::survey {

#ifdef PALEPROOF_OCR_LIBRARY

namespace {

constexpr int engine_ppi = 300;

/// The functions of the library that are used.
struct Library {
    decltype(&TessBaseAPICreate) create;
    decltype(&TessBaseAPIDelete) destroy;
    decltype(&TessBaseAPISetVariable) set_variable;
    decltype(&TessBaseAPIInit4) init;
    decltype(&TessBaseAPISetPageSegMode) set_page_seg_mode;
    decltype(&TessBaseAPISetImage) set_image;
    decltype(&TessBaseAPISetSourceResolution) set_source_resolution;
    decltype(&TessBaseAPIGetUTF8Text) text;
    decltype(&TessBaseAPIClear) clear;
    decltype(&TessDeleteText) delete_text;
    /// Of OpenMP, if the library was built with it: its threads would fight over the cores with
    /// those that survey other faces.
    void (*set_threads)(int);
};

[[noreturn]] void refuse_library() {
    throw Error(ErrorKind::unsupported, "read",
                "needs the OCR library " PALEPROOF_OCR_LIBRARY
                " (Tesseract); install it, or leave --read out");
}

template <class Function>
void take(void* library, const char* name, Function& function) {
    function = reinterpret_cast<Function>(dlsym(library, name));
    if (function == nullptr) refuse_library();
}

Library loaded() {
    // Never closed: engines that other threads still have may outlive any owner.
    void* library = dlopen(PALEPROOF_OCR_LIBRARY, RTLD_NOW | RTLD_LOCAL);
    if (library == nullptr) refuse_library();
    Library functions{};
    take(library, "TessBaseAPICreate", functions.create);
    take(library, "TessBaseAPIDelete", functions.destroy);
    take(library, "TessBaseAPISetVariable", functions.set_variable);
    take(library, "TessBaseAPIInit4", functions.init);
    take(library, "TessBaseAPISetPageSegMode", functions.set_page_seg_mode);
    take(library, "TessBaseAPISetImage", functions.set_image);
    take(library, "TessBaseAPISetSourceResolution", functions.set_source_resolution);
    take(library, "TessBaseAPIGetUTF8Text", functions.text);
    take(library, "TessBaseAPIClear", functions.clear);
    take(library, "TessDeleteText", functions.delete_text);
    functions.set_threads = reinterpret_cast<void (*)(int)>(dlsym(library, "omp_set_num_threads"));
    return functions;
}

const Library& library() {
    static const Library functions = loaded();
    return functions;
}

}  // namespace

struct OcrEngine::Handle {
    TessBaseAPI* api = library().create();
    Handle() = default;
    Handle(const Handle&) = delete;
    Handle& operator=(const Handle&) = delete;
    ~Handle() { library().destroy(api); }
};

bool OcrEngine::built_in() { return true; }

OcrEngine::OcrEngine(const std::string& language) : handle_(std::make_unique<Handle>()) {
    // The engine keeps some of its settings in globals, so one is started after the other.
    static std::mutex starting;
    const std::scoped_lock lock(starting);
    // Its messages would go to stderr, which is not ours; those about missing data come before it
    // has taken the variables of its start.
    std::string variable = "debug_file", nowhere = "/dev/null";
    library().set_variable(handle_->api, variable.c_str(), nowhere.c_str());
    char* names[] = {variable.data()};
    char* values[] = {nowhere.data()};
    if (library().init(handle_->api, nullptr, language.c_str(), tesseract::OEM_LSTM_ONLY, nullptr,
                       0, names, values, 1, 0) != 0) {
        throw Error(ErrorKind::file, language,
                    "expected an installed OCR language such as eng; install its data (Debian: "
                    "tesseract-ocr-" +
                        language + ") or name another");
    }
}

std::string OcrEngine::read(const unsigned char* pixels, int width, int height, int stride,
                            bool one_word) {
    const Library& call = library();
    if (call.set_threads != nullptr) call.set_threads(1);
    TessBaseAPI* api = handle_->api;
    call.set_page_seg_mode(api, one_word ? tesseract::PSM_SINGLE_WORD : tesseract::PSM_SINGLE_LINE);
    call.set_image(api, pixels, width, height, 1, stride);
    call.set_source_resolution(api, engine_ppi);
    const std::unique_ptr<char, decltype(call.delete_text)> text(call.text(api), call.delete_text);
    call.clear(api);
    return text ? text.get() : "";
}

#else

struct OcrEngine::Handle {};

bool OcrEngine::built_in() { return false; }

OcrEngine::OcrEngine(const std::string&) {
    throw Error(ErrorKind::unsupported, "read",
                "this build has no OCR engine; build it where libtesseract-dev is installed");
}

std::string OcrEngine::read(const unsigned char*, int, int, int, bool) { return {}; }

#endif

OcrEngine::~OcrEngine() = default;
OcrEngine::OcrEngine(OcrEngine&&) noexcept = default;
OcrEngine& OcrEngine::operator=(OcrEngine&&) noexcept = default;

}  // namespace paleproof::survey
