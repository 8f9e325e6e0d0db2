# run.cmake - runs one script of this folder and compares the exit status with the one in its first line:
#   -- ends with STATUS: what it tries
# Limits are short, files may go to OUT. A script with a line "-- options: none" gets no --out.
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)
file(STRINGS ${SCRIPT} lines)
list(GET lines 0 first)
if(NOT first MATCHES "^-- ends with ([0-9]+):")
  message(FATAL_ERROR "the first line must say how the script ends")
endif()
set(expected ${CMAKE_MATCH_1})
file(MAKE_DIRECTORY ${OUT})
set(out --out ${OUT})
if("-- options: none" IN_LIST lines)
  set(out)
endif()
execute_process(
  COMMAND ${PROGRAM} run --time-limit 1 --memory-limit 100 ${out} ${SCRIPT}
  TIMEOUT 20 RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE faults)
if(NOT status STREQUAL expected)
  message(FATAL_ERROR "status ${status}, expected ${expected}\n${text}${faults}")
endif()
