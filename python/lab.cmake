# SPDX-License-Identifier: BSD-3-Clause
# The core of the lab page, as WebAssembly, for the wheel: made where Debian's emscripten is at hand, else left out
# (`twintrack lab` then says how to get it). What goes wrong there does not stop the rest.
find_program(TWINTRACK_EMSCRIPTEN em++)
if(TWINTRACK_EMSCRIPTEN AND EXISTS /usr/share/emscripten/cmake/Modules/Platform/Emscripten.cmake)
  set(lab_at_hand ON)
else()
  set(lab_at_hand OFF)
endif()
option(TWINTRACK_LAB "Build the lab page's core by emscripten" ${lab_at_hand})

if(TWINTRACK_LAB)
  set(web ${PROJECT_SOURCE_DIR}/build/web)
  # The cmake that Debian's emscripten is made for: the one in an environment of pip's writes other commands, and each
  # would compile anew what the other has compiled.
  find_program(TWINTRACK_LAB_CMAKE cmake PATHS /usr/bin NO_DEFAULT_PATH)
  if(NOT TWINTRACK_LAB_CMAKE)
    set(TWINTRACK_LAB_CMAKE ${CMAKE_COMMAND})
  endif()
  set(lab_failed ${CMAKE_COMMAND} -E echo "twintrack: no WebAssembly core: emscripten failed; all else is there")
  add_custom_target(lab_core ALL
    COMMAND ${TWINTRACK_LAB_CMAKE} --preset web -DTWINTRACK_WARNINGS_AS_ERRORS=${TWINTRACK_WARNINGS_AS_ERRORS}
            -DPython_EXECUTABLE=${Python_EXECUTABLE} -DCMAKE_MAKE_PROGRAM=${CMAKE_MAKE_PROGRAM} || ${lab_failed}
    COMMAND ${TWINTRACK_LAB_CMAKE} --build ${web} --target lab_core lab_lanes || ${lab_failed}
    WORKING_DIRECTORY ${PROJECT_SOURCE_DIR} USES_TERMINAL VERBATIM)
  install(FILES ${web}/lib/web/lab_core.wasm ${web}/lib/web/lab_lanes.wasm DESTINATION twintrack/lab COMPONENT python OPTIONAL)
endif()
