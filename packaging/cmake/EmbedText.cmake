# Files compiled into a library, so that a program needs nothing beside itself.
#
#   halfcell_embed(<target> <name> <file>)
#       in C++: #include "embedded/<name>.h"
#               namespace halfcell::embedded { extern const std::string_view <name>; }
#
#   halfcell_embed_table(<target> <name> FILES <file>... [BASE <folder>])
#       in C++: namespace halfcell::embedded { extern const std::span<const EmbeddedFile> <name>; }
#       EmbeddedFile is { std::string_view name; std::string_view text; } in the order of FILES; a
#       name is the path below BASE, or the bare file name without BASE.
#
# Any bytes are allowed, NUL included. The pair of source files is made at build time and made anew
# when a file changes. Both constants are initialised at compile time: safe in any static object.
# A <name> can be embedded once in the whole build.

include_guard(GLOBAL)
set(_HALFCELL_EMBED_SCRIPT "${CMAKE_CURRENT_LIST_DIR}/embed_text_script.cmake")

function(_halfcell_embed target name kind base)
    if(NOT name MATCHES "^[a-z][a-z0-9_]*$")
        message(FATAL_ERROR "embedding ${name}: a name is lower_snake_case")
    endif()
    get_property(known GLOBAL PROPERTY HALFCELL_EMBEDDED)
    if(name IN_LIST known)
        message(FATAL_ERROR "embedding ${name}: the name is taken; depend on the room that has it")
    endif()
    set_property(GLOBAL APPEND PROPERTY HALFCELL_EMBEDDED ${name})

    set(files "")
    set(names "")
    foreach(file IN LISTS ARGN)
        cmake_path(ABSOLUTE_PATH file BASE_DIRECTORY "${CMAKE_CURRENT_SOURCE_DIR}" NORMALIZE)
        if(base)
            file(RELATIVE_PATH label "${base}" "${file}")
        else()
            cmake_path(GET file FILENAME label)
        endif()
        list(APPEND files "${file}")
        list(APPEND names "${label}")
    endforeach()

    set(root "${CMAKE_CURRENT_BINARY_DIR}/${target}_embed")
    set(source "${root}/embedded/${name}.cpp")
    set(header "${root}/embedded/${name}.h")
    # Lists travel in a file of their own: a command line has a length limit.
    string(CONFIGURE [[
set(NAME "@name@")
set(KIND "@kind@")
set(FILES "@files@")
set(NAMES "@names@")
set(SOURCE "@source@")
set(HEADER "@header@")
]] text @ONLY)
    file(CONFIGURE OUTPUT "${root}/${name}.cmake" CONTENT "${text}" @ONLY)
    add_custom_command(
        OUTPUT "${source}" "${header}"
        COMMAND "${CMAKE_COMMAND}" "-DJOB=${root}/${name}.cmake" -P "${_HALFCELL_EMBED_SCRIPT}"
        DEPENDS ${files} "${root}/${name}.cmake" "${_HALFCELL_EMBED_SCRIPT}"
        COMMENT "Embedding ${name}"
        VERBATIM)
    set_source_files_properties("${source}" "${header}" PROPERTIES SKIP_AUTOGEN ON SKIP_UNITY_BUILD_INCLUSION ON)
    target_sources(${target} PRIVATE "${source}" "${header}")
    target_include_directories(${target} PRIVATE "${root}")
endfunction()

function(halfcell_embed target name file)
    _halfcell_embed(${target} ${name} text "" "${file}")
endfunction()

function(halfcell_embed_table target name)
    cmake_parse_arguments(PARSE_ARGV 2 arg "" "BASE" "FILES")
    if(NOT arg_FILES OR arg_UNPARSED_ARGUMENTS)
        message(FATAL_ERROR "halfcell_embed_table(${target} ${name}): FILES <file>... is needed")
    endif()
    if(arg_BASE)
        cmake_path(ABSOLUTE_PATH arg_BASE BASE_DIRECTORY "${CMAKE_CURRENT_SOURCE_DIR}" NORMALIZE)
    endif()
    _halfcell_embed(${target} ${name} table "${arg_BASE}" ${arg_FILES})
endfunction()
