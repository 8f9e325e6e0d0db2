# SPDX-License-Identifier: GPL-3.0-or-later
# find_package(lodeloom) gives the target lodeloom::lodeloom; what a static library links is found again here.
include(CMakeFindDependencyMacro)
find_dependency(OpenMP COMPONENTS C)
find_dependency(PkgConfig)
pkg_check_modules(GSL REQUIRED IMPORTED_TARGET gsl)
pkg_check_modules(SNDFILE IMPORTED_TARGET sndfile)
include(${CMAKE_CURRENT_LIST_DIR}/lodeloom-targets.cmake)
