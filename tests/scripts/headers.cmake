# headers.cmake - every shared script says what it answers, whose bench it is from and which version it needs, and is listed so;
# one that needs a later version is refused.
#   cmake -DPROGRAM=... -DOUT=folder -P headers.cmake
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)
execute_process(COMMAND ${PROGRAM} scripts OUTPUT_VARIABLE listed RESULT_VARIABLE status TIMEOUT 60)
if(NOT status EQUAL 0)
  message(SEND_ERROR "lodeloom scripts: ${status}")
endif()
file(GLOB scripts ${CMAKE_CURRENT_LIST_DIR}/../../scripts/*.lua)
foreach(script ${scripts})
  file(STRINGS ${script} lines LIMIT_COUNT 2)
  list(GET lines 0 question)
  list(GET lines 1 bench)
  if(NOT question MATCHES "^-- [^:?]+[:?]" OR NOT bench MATCHES "^-- [A-Za-z ]+ bench\\. Needs lodeloom [0-9]+\\.[0-9]+\\.$")
    message(SEND_ERROR "${script}: its first lines are\n${question}\n${bench}")
  endif()
  get_filename_component(name ${script} NAME_WE)
  string(REGEX REPLACE "^-- " "" question "${question}")
  string(FIND "${listed}" "${name}\n    ${question}\n    " found)
  if(found EQUAL -1)
    message(SEND_ERROR "${script} is not listed with its question:\n${listed}")
  endif()
endforeach()

file(MAKE_DIRECTORY ${OUT})
file(WRITE ${OUT}/later.lua "-- From the future: does it run?\n-- Some bench. Needs lodeloom 99.1.\nprint('ran')\n")
execute_process(COMMAND ${PROGRAM} run ${OUT}/later.lua OUTPUT_VARIABLE text ERROR_VARIABLE faults RESULT_VARIABLE status)
if(NOT status EQUAL 1 OR NOT text STREQUAL "" OR NOT faults MATCHES "needs lodeloom 99.1, and this is")
  message(SEND_ERROR "status ${status}\n${text}${faults}")
endif()

# In any of the remarks that it opens with.
file(WRITE ${OUT}/later.lua "-- From the future: does it run?\n-- Some bench.\n-- For lap steels.\n-- Needs lodeloom 99.1.\nprint('ran')\n")
execute_process(COMMAND ${PROGRAM} run ${OUT}/later.lua OUTPUT_VARIABLE text ERROR_VARIABLE faults RESULT_VARIABLE status)
if(NOT status EQUAL 1 OR NOT faults MATCHES "needs lodeloom 99.1, and this is")
  message(SEND_ERROR "status ${status}\n${text}${faults}")
endif()
