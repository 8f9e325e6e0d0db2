# golden.cmake - runs `PROGRAM COMMAND SCRIPT` in this folder and compares what it says with EXPECTED.
# STREAM is stdout or stderr; STATUS the exit status.
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)
execute_process(COMMAND ${PROGRAM} ${COMMAND} ${SCRIPT} WORKING_DIRECTORY ${CMAKE_CURRENT_LIST_DIR}
                RESULT_VARIABLE status OUTPUT_VARIABLE stdout ERROR_VARIABLE stderr TIMEOUT 60)
file(READ ${CMAKE_CURRENT_LIST_DIR}/${EXPECTED} expected)
if(NOT status STREQUAL "${STATUS}" OR NOT "${${STREAM}}" STREQUAL "${expected}")
  message(FATAL_ERROR "status ${status}, expected ${STATUS}\n${stdout}${stderr}")
endif()
