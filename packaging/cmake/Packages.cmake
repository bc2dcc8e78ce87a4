# Everything from outside, found once. The Debian package of each stands in packaging/packages.txt.

find_package(Threads REQUIRED)
find_package(PkgConfig REQUIRED)

# core
find_package(Eigen3 3.4 REQUIRED NO_MODULE)
find_package(Boost 1.74 REQUIRED)
find_package(fmt REQUIRED)
find_package(tomlplusplus REQUIRED)
find_package(GLPK REQUIRED)

# db
find_package(SOCI 4.0 REQUIRED)
find_package(SQLite3 3.40 REQUIRED)
find_package(OpenSSL REQUIRED COMPONENTS Crypto)
pkg_check_modules(xlsxwriter REQUIRED IMPORTED_TARGET xlsxwriter)
pkg_check_modules(libzip REQUIRED IMPORTED_TARGET libzip)
pkg_check_modules(expat REQUIRED IMPORTED_TARGET expat)
pkg_check_modules(libical REQUIRED IMPORTED_TARGET libical)

# app
find_package(CLI11 REQUIRED)
find_package(nlohmann_json REQUIRED)

if(HALFCELL_DESKTOP)
    find_package(Qt6 6.4 REQUIRED
        COMPONENTS Core Gui Widgets Concurrent PrintSupport Svg Test LinguistTools)
    find_package(QCustomPlotQt6 REQUIRED)
    find_package(Zint REQUIRED)
endif()

if(HALFCELL_TESTS)
    find_package(GTest REQUIRED)
    if(HALFCELL_BENCH)
        find_package(benchmark REQUIRED)
    endif()
endif()
