# Rooms: one static library for each concept of a layer, one test program beside it.
#
#   halfcell_layer(<layer>)
#       makes halfcell_<layer> (alias halfcell::<layer>), which gathers the rooms of the layer.
#
#   halfcell_add_rooms(<folder>...)
#       adds each of the folders that has a CMakeLists.txt.
#
#   halfcell_room(<layer> <room> [SOURCES <file>...] [HEADERS <file>...]
#                 [DEPENDS <layer>_<room>...] [LIBS <target>...] [PRIVATE_LIBS <target>...] [APART])
#       makes halfcell_<layer>_<room> (alias halfcell::<layer>_<room>): a static library, or an
#       interface library when there are no SOURCES. Headers are included from the repository root
#       ("core/quantity/units.h") and each is compiled alone by the target
#       all_verify_interface_header_sets. DEPENDS may name rooms that are added later.
#       A room that names Qt in LIBS, or is added while HALFCELL_QT_ROOMS is on (the desktop's are),
#       gets moc and our Qt definitions.
#       Where CMAKE_UNITY_BUILD is on (release and the sanitizers: a third of the compiling), the sources
#       of a room are compiled several together, so their unnamed namespaces must not say the same name
#       twice. APART compiles each alone.
#
#   halfcell_test(<layer> <room> SOURCES <file>... [OWN_MAIN] [APART] [DEPENDS ...] [LIBS ...] [LABELS ...]
#                 [TIMEOUT <seconds>] [ENVIRONMENT <NAME=value>...])
#       makes <layer>_<room>_tests, one CTest test that runs in tests/data. It can read the folder's
#       path as the string HALFCELL_TEST_DATA and is labelled with its layer as well as LABELS.
#       The label gui runs it on Qt's offscreen platform.
#
#   halfcell_program(<name> SOURCES <file>... [DEPENDS ...] [LIBS ...])
#       makes an executable in bin/ of the build folder, and installs it.

include_guard(GLOBAL)

# Our names for the rooms in a DEPENDS list: core_quantity is halfcell_core_quantity.
function(_halfcell_rooms_to_targets out)
    set(targets "")
    foreach(room IN LISTS ARGN)
        list(APPEND targets "halfcell_${room}")
        set_property(GLOBAL APPEND PROPERTY HALFCELL_NEEDED "${room}")
    endforeach()
    set(${out} "${targets}" PARENT_SCOPE)
endfunction()

# Once everything is read: a DEPENDS that no room answers to is a spelling mistake, which would
# otherwise show only as a library the linker cannot find.
function(_halfcell_check_rooms)
    get_property(needed GLOBAL PROPERTY HALFCELL_NEEDED)
    list(REMOVE_DUPLICATES needed)
    foreach(room IN LISTS needed)
        if(NOT TARGET halfcell_${room})
            message(WARNING "DEPENDS ${room}: there is no such room (or it is not in its layer's list)")
        endif()
    endforeach()
endfunction()
cmake_language(DEFER DIRECTORY "${PROJECT_SOURCE_DIR}" CALL _halfcell_check_rooms)

function(_halfcell_unknown where unparsed)
    if(unparsed)
        message(FATAL_ERROR "${where}: not understood: ${unparsed}")
    endif()
endfunction()

# Qt for a target that uses it: moc, and the definitions that forbid silent conversions.
function(_halfcell_qt target)
    if(NOT HALFCELL_QT_ROOMS AND NOT "${ARGN}" MATCHES "Qt6::")
        return()
    endif()
    set_target_properties(${target} PROPERTIES AUTOMOC ON)
    target_compile_definitions(${target} PRIVATE
        QT_NO_CAST_FROM_ASCII QT_NO_CAST_TO_ASCII QT_NO_KEYWORDS
        QT_NO_NARROWING_CONVERSIONS_IN_CONNECT)
endfunction()

function(halfcell_layer layer)
    add_library(halfcell_${layer} INTERFACE)
    add_library(halfcell::${layer} ALIAS halfcell_${layer})
endfunction()

function(halfcell_add_rooms)
    foreach(room IN LISTS ARGN)
        if(EXISTS "${CMAKE_CURRENT_SOURCE_DIR}/${room}/CMakeLists.txt")
            add_subdirectory(${room})
        endif()
    endforeach()
endfunction()

function(halfcell_room layer room)
    cmake_parse_arguments(PARSE_ARGV 2 arg "APART" "" "SOURCES;HEADERS;DEPENDS;LIBS;PRIVATE_LIBS")
    _halfcell_unknown("halfcell_room(${layer} ${room})" "${arg_UNPARSED_ARGUMENTS}")
    set(target halfcell_${layer}_${room})
    _halfcell_rooms_to_targets(rooms ${arg_DEPENDS})

    if(arg_SOURCES)
        set(scope PUBLIC)
        add_library(${target} STATIC ${arg_SOURCES})
        target_link_libraries(${target} PRIVATE ${arg_PRIVATE_LIBS})
        if(arg_APART)
            set_target_properties(${target} PROPERTIES UNITY_BUILD OFF)
        endif()
    else()
        set(scope INTERFACE)
        add_library(${target} INTERFACE)
    endif()
    add_library(halfcell::${layer}_${room} ALIAS ${target})

    if(arg_HEADERS)
        target_sources(${target} ${scope} FILE_SET HEADERS
            BASE_DIRS "${PROJECT_SOURCE_DIR}" FILES ${arg_HEADERS})
        set_target_properties(${target} PROPERTIES VERIFY_INTERFACE_HEADER_SETS ON)
    endif()
    target_link_libraries(${target} ${scope} halfcell_options ${rooms} ${arg_LIBS})
    if(arg_SOURCES)
        _halfcell_qt(${target} ${arg_LIBS} ${arg_PRIVATE_LIBS})
    endif()

    target_link_libraries(halfcell_${layer} INTERFACE ${target})
endfunction()

function(halfcell_test layer room)
    cmake_parse_arguments(PARSE_ARGV 2 arg "OWN_MAIN;APART" "TIMEOUT"
        "SOURCES;DEPENDS;LIBS;LABELS;ENVIRONMENT")
    set(target ${layer}_${room}_tests)
    _halfcell_unknown("halfcell_test(${layer} ${room})" "${arg_UNPARSED_ARGUMENTS}")
    _halfcell_rooms_to_targets(rooms ${arg_DEPENDS})

    add_executable(${target} ${arg_SOURCES})
    target_link_libraries(${target} PRIVATE halfcell_options ${rooms} ${arg_LIBS} GTest::gmock)
    if(arg_APART)
        set_target_properties(${target} PROPERTIES UNITY_BUILD OFF)
    endif()
    if(arg_OWN_MAIN)
        target_link_libraries(${target} PRIVATE GTest::gtest)
    else()
        target_link_libraries(${target} PRIVATE GTest::gtest_main)
    endif()
    set_target_properties(${target} PROPERTIES
        RUNTIME_OUTPUT_DIRECTORY "${CMAKE_BINARY_DIR}/tests/bin")
    target_compile_definitions(${target} PRIVATE
        "HALFCELL_TEST_DATA=\"${PROJECT_SOURCE_DIR}/tests/data\"")
    _halfcell_qt(${target} ${arg_LIBS})

    set(environment ${arg_ENVIRONMENT} TSAN_OPTIONS=ignore_noninstrumented_modules=1)
    if("gui" IN_LIST arg_LABELS)
        list(APPEND environment QT_QPA_PLATFORM=offscreen)
    endif()
    if(NOT arg_TIMEOUT)
        set(arg_TIMEOUT 300)
    endif()
    add_test(NAME ${target} COMMAND ${target}
        WORKING_DIRECTORY "${PROJECT_SOURCE_DIR}/tests/data")
    set_tests_properties(${target} PROPERTIES
        LABELS "${layer};${arg_LABELS}" ENVIRONMENT "${environment}" TIMEOUT ${arg_TIMEOUT})

    # all_<layer>_tests builds the tests of one layer alone, as .ci/run does under the sanitizers.
    if(NOT TARGET all_${layer}_tests)
        add_custom_target(all_${layer}_tests)
    endif()
    add_dependencies(all_${layer}_tests ${target})
endfunction()

function(halfcell_program name)
    cmake_parse_arguments(PARSE_ARGV 1 arg "" "" "SOURCES;DEPENDS;LIBS")
    _halfcell_unknown("halfcell_program(${name})" "${arg_UNPARSED_ARGUMENTS}")
    _halfcell_rooms_to_targets(rooms ${arg_DEPENDS})
    add_executable(${name} ${arg_SOURCES})
    target_link_libraries(${name} PRIVATE halfcell_options ${rooms} ${arg_LIBS})
    target_compile_definitions(${name} PRIVATE "HALFCELL_VERSION=\"${PROJECT_VERSION}\"")
    set_target_properties(${name} PROPERTIES RUNTIME_OUTPUT_DIRECTORY "${CMAKE_BINARY_DIR}/bin")
    _halfcell_qt(${name} ${arg_LIBS})
    install(TARGETS ${name} RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
endfunction()
