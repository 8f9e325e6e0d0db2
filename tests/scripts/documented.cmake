# documented.cmake - the tables of docs/language.md are those of the program. A marker such as <!-- fields coil -->,
# <!-- words pickup --> or <!-- columns poles --> stands on the line above each of them; a table ends at an empty line.
# With -DWRITE=ON the tables are written anew, else they are compared.
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)
set(page ${CMAKE_CURRENT_LIST_DIR}/../../docs/language.md)
file(READ ${page} manual)
cmake_path(GET PROGRAM PARENT_PATH out)
string(APPEND out /Testing/documented) # a sound is among what is tried
file(MAKE_DIRECTORY ${out})

function(ask variable)
  execute_process(COMMAND ${PROGRAM} run --quiet --out ${out} --format markdown ${CMAKE_CURRENT_LIST_DIR}/documented.lua ${ARGN}
                  RESULT_VARIABLE status OUTPUT_VARIABLE answer ERROR_VARIABLE stderr TIMEOUT 60)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "documented.lua ${ARGN}: ${stderr}")
  endif()
  string(STRIP "${answer}" answer)
  set(${variable} "${answer}" PARENT_SCOPE)
endfunction()

# The page again, with the program's tables behind the markers.
set(rest "${manual}")
set(written "")
while(rest MATCHES "<!-- (fields|words|columns|usual) ?([a-z_. ]*) -->\n")
  set(marker "${CMAKE_MATCH_0}")
  set(kind "${CMAKE_MATCH_1}")
  set(noun "${CMAKE_MATCH_2}")
  if(NOT noun)
    ask(table list=${kind})
  else()
    ask(table "${kind}=${noun}")
  endif()
  string(FIND "${rest}" "${marker}" at)
  string(LENGTH "${marker}" length)
  math(EXPR at "${at} + ${length}")
  string(SUBSTRING "${rest}" 0 ${at} before)
  string(SUBSTRING "${rest}" ${at} -1 rest)
  string(FIND "\n${rest}" "\n\n" end) # 0 where there is no table yet
  string(SUBSTRING "${rest}" ${end} -1 rest)
  string(APPEND written "${before}${table}\n")
endwhile()
string(APPEND written "${rest}")

if(WRITE)
  file(WRITE ${page} "${written}")
elseif(NOT written STREQUAL manual)
  message(SEND_ERROR "the tables of docs/language.md are not those of the program: cmake --build --preset release --target manual")
endif()

ask(nouns list=nouns)
string(REPLACE "\n" ";" nouns "${nouns}")
foreach(noun ${nouns})
  string(FIND "${manual}" "<!-- fields ${noun} -->" found)
  if(found EQUAL -1)
    message(SEND_ERROR "docs/language.md has no line <!-- fields ${noun} --> for the fields of ${noun}")
  endif()
endforeach()

ask(readings list=readings)
string(REPLACE "\n" ";" readings "${readings}")
foreach(reading ${readings})
  string(FIND "${manual}" "<!-- columns ${reading} -->" found)
  if(found EQUAL -1)
    message(SEND_ERROR "docs/language.md has no line <!-- columns ${reading} --> for the columns of ${reading}")
  endif()
endforeach()

ask(unset list=unset)
if(unset)
  message(SEND_ERROR "declared, and never set: ${unset}")
endif()

ask(unsaid list=unsaid)
if(unsaid)
  message(SEND_ERROR "bindings/lua/words.lua does not say what these do: ${unsaid}")
endif()
