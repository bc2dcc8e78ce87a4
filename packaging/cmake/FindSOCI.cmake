# SOCI as Debian packs it, which brings no CMake or pkg-config file.
# Targets: SOCI::core and SOCI::sqlite3 (which brings SOCI::core and SQLite::SQLite3).

find_path(SOCI_INCLUDE_DIR soci/soci.h)
find_library(SOCI_CORE_LIBRARY soci_core)
find_library(SOCI_SQLITE3_LIBRARY soci_sqlite3)
mark_as_advanced(SOCI_INCLUDE_DIR SOCI_CORE_LIBRARY SOCI_SQLITE3_LIBRARY)

if(SOCI_INCLUDE_DIR AND EXISTS "${SOCI_INCLUDE_DIR}/soci/version.h")
    file(STRINGS "${SOCI_INCLUDE_DIR}/soci/version.h" SOCI_VERSION
        REGEX "^#define SOCI_LIB_VERSION \"[0-9_]+\"")
    string(REGEX REPLACE ".*\"([0-9_]+)\".*" "\\1" SOCI_VERSION "${SOCI_VERSION}")
    string(REPLACE "_" "." SOCI_VERSION "${SOCI_VERSION}")
endif()

include(FindPackageHandleStandardArgs)
find_package_handle_standard_args(SOCI
    REQUIRED_VARS SOCI_CORE_LIBRARY SOCI_SQLITE3_LIBRARY SOCI_INCLUDE_DIR
    VERSION_VAR SOCI_VERSION)

if(SOCI_FOUND AND NOT TARGET SOCI::core)
    find_package(SQLite3 REQUIRED)
    add_library(SOCI::core UNKNOWN IMPORTED)
    set_target_properties(SOCI::core PROPERTIES
        IMPORTED_LOCATION "${SOCI_CORE_LIBRARY}"
        INTERFACE_INCLUDE_DIRECTORIES "${SOCI_INCLUDE_DIR}"
        INTERFACE_SYSTEM_INCLUDE_DIRECTORIES "${SOCI_INCLUDE_DIR}"
        INTERFACE_LINK_LIBRARIES "${CMAKE_DL_LIBS}")
    add_library(SOCI::sqlite3 UNKNOWN IMPORTED)
    set_target_properties(SOCI::sqlite3 PROPERTIES
        IMPORTED_LOCATION "${SOCI_SQLITE3_LIBRARY}"
        INTERFACE_LINK_LIBRARIES "SOCI::core;SQLite::SQLite3")
endif()
