# SPDX-License-Identifier: BSD-3-Clause
# How our own targets are compiled; nothing of it is exported.
function(twintrack_compile_options target)
  if(MSVC)
    target_compile_options(${target} PRIVATE /W4 /permissive- /utf-8 /fp:precise $<$<BOOL:${TWINTRACK_WARNINGS_AS_ERRORS}>:/WX>)
  else()
    # Contraction off: the same bits from every compiler and level.
    target_compile_options(${target} PRIVATE -Wall -Wextra -Wpedantic -Wshadow -ffp-contract=off
                                             $<$<BOOL:${TWINTRACK_WARNINGS_AS_ERRORS}>:-Werror>)
    if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU" AND CMAKE_CXX_COMPILER_VERSION VERSION_LESS 13)
      target_compile_options(${target} PRIVATE -Wno-restrict)  # false alarm on "text" + std::string, GCC bug 105329
    endif()
  endif()
  if(EMSCRIPTEN)
    # The laws join masks of SIMD lanes and of plain numbers by the same sign.
    target_compile_options(${target} PRIVATE -Wno-bitwise-instead-of-logical)
    target_compile_options(${target} PRIVATE -include ${PROJECT_SOURCE_DIR}/lib/web/standard.hpp)
  endif()
  if(TWINTRACK_SANITIZE)
    target_compile_options(${target} PRIVATE -fsanitize=${TWINTRACK_SANITIZE} -fno-sanitize-recover=all -fno-omit-frame-pointer)
    target_link_options(${target} PRIVATE -fsanitize=${TWINTRACK_SANITIZE})
  endif()
endfunction()

# For what calls the library and does no work of its own, bindings and tests: more than this costs compile time only.
function(twintrack_compile_quickly target)
  if(NOT MSVC)
    target_compile_options(${target} PRIVATE $<$<CONFIG:Release>:-O1>)
  endif()
endfunction()

# A compiler that collects its garbage later is quicker by a twentieth, and takes up to 130 MB more: not for those sources
# that need most of the 600 MB as it is (.ci/watch.py).
function(twintrack_compile_roomily target)
  if(CMAKE_CXX_COMPILER_ID STREQUAL "GNU")
    target_compile_options(${target} PRIVATE --param=ggc-min-heapsize=250000)
  endif()
endfunction()
