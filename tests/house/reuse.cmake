# SPDX-License-Identifier: GPL-3.0-or-later
# Every file has a licence whose text is here and somebody who holds it, as https://reuse.software/spec/ (3.0) has it; Debian's reuse judges.
# .reuse/dep5 speaks for files that cannot speak for themselves; sources say their licence in their own first lines.
#
# -DREUSE=FILE -DSOURCES=DIR
cmake_minimum_required(VERSION 3.25)
execute_process(COMMAND ${REUSE} --root ${SOURCES} lint RESULT_VARIABLE status OUTPUT_VARIABLE said ERROR_VARIABLE said)
if(NOT status EQUAL 0)
  message(FATAL_ERROR "${said}")
endif()
set(silent "")
foreach(room engine bindings scripts tests)
  file(GLOB_RECURSE files ${SOURCES}/${room}/*.c ${SOURCES}/${room}/*.h ${SOURCES}/${room}/*.cmake ${SOURCES}/${room}/*.sh
       ${SOURCES}/${room}/*.py ${SOURCES}/${room}/CMakeLists.txt)
  if(NOT room STREQUAL "tests") # whose scripts are what benches write
    file(GLOB_RECURSE scripts ${SOURCES}/${room}/*.lua)
    list(APPEND files ${scripts})
  endif()
  foreach(file ${files})
    file(READ ${file} begin LIMIT 6000)
    if(NOT begin MATCHES "SPDX-License-Identifier: GPL-3.0-or-later")
      string(APPEND silent "\n${file}")
    endif()
  endforeach()
endforeach()
if(silent)
  message(FATAL_ERROR "no `SPDX-License-Identifier: GPL-3.0-or-later` in the first comment of${silent}")
endif()
