# format.cmake - every C file is written as clang-format writes it.
#   cmake -DCLANG_FORMAT=clang-format-14 -DSOURCES=. -P format.cmake
# SPDX-License-Identifier: GPL-3.0-or-later
file(GLOB_RECURSE files ${SOURCES}/engine/*.[ch] ${SOURCES}/bindings/*.[ch] ${SOURCES}/tests/*.[ch])
execute_process(COMMAND ${CLANG_FORMAT} --dry-run -Werror ${files} RESULT_VARIABLE status ERROR_VARIABLE says)
if(NOT status EQUAL 0)
  string(REGEX MATCHALL "[^\n]*\\.[ch]:[0-9]+" places "${says}")
  list(JOIN places "\n" places)
  message(FATAL_ERROR "not formatted; clang-format -i FILES mends it:\n${places}")
endif()
