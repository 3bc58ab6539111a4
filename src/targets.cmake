# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# The two interface targets that every target links PRIVATE, and one function that makes a room.

add_library(paleproof_warnings INTERFACE)
target_compile_options(paleproof_warnings INTERFACE
    -Wall -Wextra -Wpedantic -Wshadow -Wconversion -Wsign-conversion
    $<$<BOOL:${PALEPROOF_WERROR}>:-Werror>)

add_library(paleproof_sanitizers INTERFACE)
if(PALEPROOF_SANITIZE)
    target_compile_options(paleproof_sanitizers INTERFACE
        -fsanitize=${PALEPROOF_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(paleproof_sanitizers INTERFACE -fsanitize=${PALEPROOF_SANITIZE})
    # g++ 12 takes instrumented code of its own library (std::regex, std::string) for a fault; its
    # manual says that sanitizers make these two warn without a cause.
    target_compile_options(paleproof_sanitizers INTERFACE
        $<$<CXX_COMPILER_ID:GNU>:-Wno-maybe-uninitialized;-Wno-restrict>)
endif()
if(PALEPROOF_FUZZ)
    target_compile_options(paleproof_sanitizers INTERFACE -fsanitize=fuzzer-no-link)
endif()
if(PALEPROOF_COVERAGE)
    target_compile_options(paleproof_sanitizers INTERFACE --coverage)
    target_link_options(paleproof_sanitizers INTERFACE --coverage)
endif()

# paleproof_room(NAME SOURCES a.cpp ... PUBLIC libs PRIVATE libs): the static library paleproof::NAME.
# Headers are included as "NAME/file.h" from src/ (and "filters/file.h" from the root).
function(paleproof_room name)
    cmake_parse_arguments(ROOM "" "" "SOURCES;PUBLIC;PRIVATE" ${ARGN})
    add_library(paleproof_${name} STATIC ${ROOM_SOURCES})
    add_library(paleproof::${name} ALIAS paleproof_${name})
    target_include_directories(paleproof_${name} PUBLIC ${PROJECT_SOURCE_DIR}/src ${PROJECT_SOURCE_DIR})
    target_link_libraries(paleproof_${name}
        PUBLIC ${ROOM_PUBLIC}
        PRIVATE ${ROOM_PRIVATE} paleproof_warnings paleproof_sanitizers)
endfunction()
