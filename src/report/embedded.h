// Copyright the paleproof authors
// SPDX-License-Identifier: MIT
#pragma once

#include <string_view>

namespace paleproof::report {

/// The page's own files, compiled in by embed.cmake.
extern const std::string_view page_html;
extern const std::string_view page_css;
extern const std::string_view faces_css;
extern const std::string_view print_css;
extern const std::string_view page_js;
/// SHA-256 of page_js in hexadecimal.
extern const std::string_view page_js_sha256;

}  // namespace paleproof::report
