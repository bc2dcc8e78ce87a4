# halfcell_options: what every target of ours is compiled with. Nothing is set through CMAKE_CXX_FLAGS,
# so a packager's own flags stay as they are.

add_library(halfcell_options INTERFACE)
target_compile_features(halfcell_options INTERFACE cxx_std_23)
target_include_directories(halfcell_options INTERFACE "${PROJECT_SOURCE_DIR}")
target_link_libraries(halfcell_options INTERFACE Threads::Threads)

target_compile_options(halfcell_options INTERFACE
    -Wall -Wextra -Wpedantic -Wconversion -Wshadow -Wold-style-cast -Wnon-virtual-dtor
    -Woverloaded-virtual -Wcast-qual
    # No fused multiply-add unless written: the same inputs give the same bytes on every machine.
    -ffp-contract=off
    # assert and __FILE__ name files from the repository root, whatever folder it was built in.
    "-fmacro-prefix-map=${PROJECT_SOURCE_DIR}/=")

# The quantile functions of Boost.Math in double, not in the processor's own wider format: the same figures everywhere (also
# where there is no such format), and no tables of it made at each start.
target_compile_definitions(halfcell_options INTERFACE BOOST_MATH_PROMOTE_DOUBLE_POLICY=false)

if(HALFCELL_WERROR)
    target_compile_options(halfcell_options INTERFACE -Werror)
endif()

if(HALFCELL_SANITIZE)
    target_compile_options(halfcell_options INTERFACE
        "-fsanitize=${HALFCELL_SANITIZE}" -fno-sanitize-recover=all -fno-omit-frame-pointer)
    if(HALFCELL_SANITIZE MATCHES "undefined")
        # The check of a call's dynamic type needs type information that SOCI's libraries do not give away.
        target_compile_options(halfcell_options INTERFACE -fno-sanitize=vptr)
    endif()
    target_link_options(halfcell_options INTERFACE "-fsanitize=${HALFCELL_SANITIZE}")
endif()

if(HALFCELL_FUZZ)
    # libFuzzer watches our own code's branches; its main is linked into the targets alone.
    target_compile_options(halfcell_options INTERFACE
        -fsanitize=fuzzer-no-link,address,undefined -fno-sanitize=vptr -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(halfcell_options INTERFACE -fsanitize=address,undefined)
endif()

# Gnu extensions off: the standard as written.
set(CMAKE_CXX_EXTENSIONS OFF)
