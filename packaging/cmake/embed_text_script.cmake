# cmake -DJOB=<file> -P embed_text_script.cmake: writes the source files of EmbedText.cmake.
#
# Each byte becomes an escape of its own ("\x41\x0a"), in short adjacent literals: any content is
# safe, and compilers read string literals far faster than arrays of numbers.

cmake_minimum_required(VERSION 3.25)
include("${JOB}")

# The content of a file as adjacent C++ string literals.
function(literals file out)
    file(SIZE "${file}" size)
    set(text "\"\"")
    set(offset 0)
    while(offset LESS size)
        file(READ "${file}" hex OFFSET ${offset} LIMIT 1024 HEX)
        string(REGEX REPLACE "([0-9a-f][0-9a-f])" "\\\\x\\1" hex "${hex}")
        string(APPEND text "\n    \"${hex}\"")
        math(EXPR offset "${offset} + 1024")
    endwhile()
    set(${out} "${text}" PARENT_SCOPE)
endfunction()

set(made "// Made by the build from files under resources; changes here are lost.\n")

if(KIND STREQUAL "text")
    literals("${FILES}" body)
    file(WRITE "${HEADER}" "${made}#pragma once
#include <string_view>

namespace halfcell::embedded {
extern const std::string_view ${NAME};
}
")
    file(WRITE "${SOURCE}" "${made}#include \"embedded/${NAME}.h\"

namespace halfcell::embedded {
namespace {
constexpr char kText[] = ${body};
}
constinit const std::string_view ${NAME}{kText, sizeof kText - 1};
}
")
else()
    file(WRITE "${HEADER}" "${made}#pragma once
#include <span>
#include <string_view>

#ifndef HALFCELL_EMBEDDED_FILE
#define HALFCELL_EMBEDDED_FILE
namespace halfcell::embedded {
struct EmbeddedFile {
    std::string_view name;
    std::string_view text;
};
}
#endif

namespace halfcell::embedded {
extern const std::span<const EmbeddedFile> ${NAME};
}
")
    set(arrays "")
    set(rows "")
    set(index 0)
    foreach(file label IN ZIP_LISTS FILES NAMES)
        literals("${file}" body)
        string(APPEND arrays "constexpr char kText${index}[] = ${body};\n")
        string(APPEND rows "    {\"${label}\", {kText${index}, sizeof kText${index} - 1}},\n")
        math(EXPR index "${index} + 1")
    endforeach()
    file(WRITE "${SOURCE}" "${made}#include \"embedded/${NAME}.h\"

namespace halfcell::embedded {
namespace {
${arrays}
constexpr EmbeddedFile kFiles[] = {
${rows}};
}
constinit const std::span<const EmbeddedFile> ${NAME}{kFiles};
}
")
endif()
