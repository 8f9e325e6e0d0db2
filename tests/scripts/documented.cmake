# documented.cmake - docs/language.md lists the names, the fields and the columns that the program has.
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)
file(READ ${CMAKE_CURRENT_LIST_DIR}/../../docs/language.md manual)

function(ask variable)
  execute_process(COMMAND ${PROGRAM} run --quiet --format markdown ${CMAKE_CURRENT_LIST_DIR}/documented.lua ${ARGN}
                  RESULT_VARIABLE status OUTPUT_VARIABLE answer ERROR_VARIABLE stderr TIMEOUT 60)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "documented.lua ${ARGN}: ${stderr}")
  endif()
  string(STRIP "${answer}" answer)
  set(${variable} "${answer}" PARENT_SCOPE)
endfunction()

function(must_say text what)
  string(FIND "${manual}" "${text}" found)
  if(found EQUAL -1)
    message(SEND_ERROR "docs/language.md lacks ${what}; it should have:\n\n${text}\n")
  endif()
endfunction()

ask(names list=names)
string(REPLACE "\n" ";" names "${names}")
foreach(name ${names})
  must_say("`${name}" "the name ${name}")
endforeach()

ask(columns list=columns)
must_say("${columns}" "the columns of the readings")

ask(nouns list=nouns)
string(REPLACE "\n" ";" nouns "${nouns}")
foreach(noun ${nouns})
  ask(fields noun=${noun})
  must_say("${fields}" "the fields of ${noun}")
endforeach()
