# run.cmake - runs one script of this folder and compares the exit status with the one in its first line:
#   -- ends with STATUS: what it tries
# The time limit is short for those that must run into it, unless a line "-- options: time" asks for more of it. Files may go to
# OUT, but not for a script with a line "-- options: none". "-- says: text" is what standard output must be.
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
set(time 60)
if(expected EQUAL 3 AND NOT "-- options: time" IN_LIST lines)
  set(time 1)
endif()
# Where it is started from it must leave nothing behind.
set(elsewhere ${OUT}/../elsewhere)
file(MAKE_DIRECTORY ${elsewhere})
string(TIMESTAMP began "%s")
execute_process(
  COMMAND ${PROGRAM} run --time-limit ${time} --memory-limit 100 ${out} ${SCRIPT}
  WORKING_DIRECTORY ${elsewhere}
  TIMEOUT 80 RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE faults)
string(TIMESTAMP ended "%s")
if(NOT status STREQUAL expected)
  message(FATAL_ERROR "status ${status}, expected ${expected}\n${text}${faults}")
endif()
foreach(line ${lines})
  if(line MATCHES "^-- says: (.*)$")
    set(says "${CMAKE_MATCH_1}")
    string(REGEX REPLACE "\r?\n" "~" text "${text}") # line ends are not told apart here
    if(NOT text STREQUAL says)
      message(FATAL_ERROR "standard output: ${text}")
    endif()
  endif()
endforeach()
# A second after its limit a script is gone; the rest is for a loaded machine.
math(EXPR seconds "${ended} - ${began}")
if(time EQUAL 1 AND seconds GREATER 6)
  message(FATAL_ERROR "the script was stopped after ${seconds} s")
endif()
file(GLOB written ${elsewhere}/*)
if(written)
  message(FATAL_ERROR "written outside of --out: ${written}")
endif()
