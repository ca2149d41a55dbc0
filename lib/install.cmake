# SPDX-License-Identifier: BSD-3-Clause
# Installs headers, library and package files: afterwards `find_package(twintrack)` works from any project.
include(GNUInstallDirs)
include(CMakePackageConfigHelpers)

set(package_dir ${CMAKE_INSTALL_LIBDIR}/cmake/twintrack)
install(TARGETS twintrack EXPORT twintrack-targets COMPONENT development
        ARCHIVE COMPONENT development LIBRARY COMPONENT development RUNTIME COMPONENT development)
install(DIRECTORY include/twintrack TYPE INCLUDE COMPONENT development FILES_MATCHING PATTERN "*.hpp" PATTERN "*.h")
install(EXPORT twintrack-targets NAMESPACE twintrack:: DESTINATION ${package_dir} COMPONENT development)

file(CONFIGURE OUTPUT twintrack-config.cmake @ONLY CONTENT [[
include(CMakeFindDependencyMacro)
find_dependency(Threads)
include(${CMAKE_CURRENT_LIST_DIR}/twintrack-targets.cmake)
]])
# Before 1.0 a new minor version may break its users.
write_basic_package_version_file(${PROJECT_BINARY_DIR}/twintrack-config-version.cmake COMPATIBILITY SameMinorVersion)
install(FILES ${PROJECT_BINARY_DIR}/twintrack-config.cmake ${PROJECT_BINARY_DIR}/twintrack-config-version.cmake
        DESTINATION ${package_dir} COMPONENT development)
