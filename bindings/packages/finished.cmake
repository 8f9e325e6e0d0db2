# SPDX-License-Identifier: GPL-3.0-or-later
# Run by CPack when the packages are there: each is opened and closed again, for what this CPack cannot say of it. The loader's cache is
# refreshed by a trigger, not by scripts (https://www.debian.org/doc/debian-policy/ch-sharedlibs.html, 8.1.1); packages that live beside
# those of another processor, or serve them, say so; times are those of the changelog, so that the same files give the same package.
function(run)
  execute_process(COMMAND ${ARGN} OUTPUT_QUIET COMMAND_ERROR_IS_FATAL ANY)
endfunction()

file(READ ${CPACK_LL_CHANGELOG} changelog)
string(REGEX MATCH "\n## [0-9.]+ \\(([0-9-]+)\\)" found "${changelog}")
execute_process(COMMAND date -u +%s -d ${CMAKE_MATCH_1} OUTPUT_VARIABLE when OUTPUT_STRIP_TRAILING_WHITESPACE COMMAND_ERROR_IS_FATAL ANY)
set(ENV{SOURCE_DATE_EPOCH} ${when})

foreach(package ${CPACK_PACKAGE_FILES})
  get_filename_component(name ${package} NAME)
  string(REGEX REPLACE "_.*" "" name ${name})
  set(root ${CPACK_TEMPORARY_DIRECTORY}/finished/${name})
  file(REMOVE_RECURSE ${root})
  file(MAKE_DIRECTORY ${CPACK_TEMPORARY_DIRECTORY}/finished)
  run(dpkg-deb -R ${package} ${root})
  file(REMOVE ${root}/DEBIAN/postinst ${root}/DEBIAN/postrm)
  if(name MATCHES "^(liblodeloom)([0-9.]+)$")
    file(WRITE ${root}/DEBIAN/triggers "activate-noawait ldconfig\n")
    file(WRITE ${root}/DEBIAN/shlibs "${CMAKE_MATCH_1} ${CMAKE_MATCH_2} ${name} (>= ${CPACK_PACKAGE_VERSION})\n")
  endif()
  if(CPACK_LL_BESIDE_${name})
    file(READ ${root}/DEBIAN/control control)
    file(WRITE ${root}/DEBIAN/control "Multi-Arch: ${CPACK_LL_BESIDE_${name}}\n${control}")
  endif()
  run(dpkg-deb --root-owner-group -b ${root} ${package})
endforeach()
