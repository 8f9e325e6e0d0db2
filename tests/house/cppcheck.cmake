# cppcheck.cmake - cppcheck has nothing to say about any C file.
#   cmake -DCPPCHECK=cppcheck -DSOURCES=. -P cppcheck.cmake
# SPDX-License-Identifier: GPL-3.0-or-later
set(folders engine bindings bindings/host tests tests/bench)
list(TRANSFORM folders PREPEND ${SOURCES}/)
list(TRANSFORM folders PREPEND -I OUTPUT_VARIABLE headers)
execute_process(COMMAND ${CPPCHECK} --quiet --std=c11 --enable=warning,performance,portability --inline-suppr
                        --suppress=missingIncludeSystem --error-exitcode=1 ${headers}
                        ${SOURCES}/engine ${SOURCES}/bindings ${SOURCES}/tests
                RESULT_VARIABLE status)
if(NOT status EQUAL 0)
  message(FATAL_ERROR "cppcheck found something")
endif()
