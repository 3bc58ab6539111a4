# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# cmake -DOUTPUT=embedded.cpp -DFOLDER=. -DFILES="page.html page.css" -P embed.cmake
# writes the text files of FOLDER as constants: page.css becomes page_css. The first comment that
# holds the licence is for readers of the source and is left out. A compiler need not take string
# literals over 65535 characters; g++ and clang do, and -Woverlength-strings is silent for C++11 on.
separate_arguments(FILES UNIX_COMMAND "${FILES}")
list(JOIN FILES " " names)
set(code "// Written by embed.cmake from ${names}\n#include \"report/embedded.h\"\n\nnamespace paleproof::report {\n\n")
foreach(file IN LISTS FILES)
    file(READ "${FOLDER}/${file}" text)
    string(REGEX REPLACE "^(/\\*|<!--)[^>]*SPDX-License-Identifier: MIT *(\\*/|-->)\n" "" text "${text}")
    string(REPLACE "." "_" name "${file}")
    string(APPEND code "const std::string_view ${name} = R\"paleproof(${text})paleproof\";\n\n")
    if(file MATCHES "\\.js$")
        string(SHA256 hash "${text}")
        string(APPEND code "const std::string_view ${name}_sha256 = \"${hash}\";\n\n")
    endif()
endforeach()
string(APPEND code "}  // namespace paleproof::report\n")
file(WRITE "${OUTPUT}" "${code}")
