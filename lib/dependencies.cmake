# SPDX-License-Identifier: BSD-3-Clause
# Finds the header libraries that the sources (never the public headers) use: the system's where recent enough, else
# the ones that Python packages carry (build requirements of the wheel, see pyproject.toml).
# Sets TWINTRACK_PRIVATE_INCLUDE_DIRS. Only include paths are taken, so nothing of this reaches an installed package.

# Asks Python, in `result`, for a folder that holds `header`; empty where there is none.
function(twintrack_ask_python result code header)
  find_package(Python 3.9 QUIET COMPONENTS Interpreter)
  set(${result} "" PARENT_SCOPE)
  if(Python_Interpreter_FOUND)
    execute_process(COMMAND ${Python_EXECUTABLE} -c "${code}" OUTPUT_VARIABLE folder ERROR_QUIET
                    OUTPUT_STRIP_TRAILING_WHITESPACE)
    if(folder AND EXISTS "${folder}/${header}")
      file(TO_CMAKE_PATH "${folder}" folder)
      set(${result} "${folder}" PARENT_SCOPE)
    endif()
  endif()
endfunction()

find_package(Eigen3 3.4 QUIET NO_MODULE)
if(TARGET Eigen3::Eigen)
  get_target_property(TWINTRACK_EIGEN_DIR Eigen3::Eigen INTERFACE_INCLUDE_DIRECTORIES)
else()
  twintrack_ask_python(TWINTRACK_EIGEN_DIR
    "import cmeel, pathlib; print(pathlib.Path(cmeel.__file__).parent.parent / 'cmeel.prefix/include/eigen3')" Eigen/Core)
endif()

find_package(Boost 1.81 QUIET CONFIG)
if(EMSCRIPTEN AND NOT TARGET Boost::headers AND EXISTS /usr/include/boost/version.hpp)
  # The system's refuses 32 bits, which do not matter to headers; the system's other headers must stay out of sight.
  file(MAKE_DIRECTORY ${CMAKE_BINARY_DIR}/headers)
  file(CREATE_LINK /usr/include/boost ${CMAKE_BINARY_DIR}/headers/boost SYMBOLIC)
  set(TWINTRACK_BOOST_DIR ${CMAKE_BINARY_DIR}/headers)
elseif(TARGET Boost::headers)
  get_target_property(TWINTRACK_BOOST_DIR Boost::headers INTERFACE_INCLUDE_DIRECTORIES)
else()
  twintrack_ask_python(TWINTRACK_BOOST_DIR "import boost_headers; print(boost_headers.get_include())" boost/version.hpp)
endif()

if(NOT TWINTRACK_EIGEN_DIR)
  message(FATAL_ERROR "twintrack needs Eigen 3.4 or later: Debian's libeigen3-dev, or 'pip install cmeel-eigen'")
endif()
if(NOT TWINTRACK_BOOST_DIR)
  message(FATAL_ERROR "twintrack needs Boost 1.81 or later: Debian's libboost1.81-dev, or 'pip install boost-headers'")
endif()
message(STATUS "twintrack: Eigen from ${TWINTRACK_EIGEN_DIR}, Boost from ${TWINTRACK_BOOST_DIR}")
set(TWINTRACK_PRIVATE_INCLUDE_DIRS ${TWINTRACK_EIGEN_DIR} ${TWINTRACK_BOOST_DIR})
