# links.cmake - a link laid in the way leads neither out of the folder of results nor out of the scripts' folder.
#   cmake -DPROGRAM=... -DOUT=... -P links.cmake
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)
file(REMOVE_RECURSE ${OUT})
file(MAKE_DIRECTORY ${OUT}/results ${OUT}/scripts)
set(outside ${OUT}/outside.txt)
file(WRITE ${outside} "precious\n")
file(WRITE ${OUT}/outside.lua "return 'from outside'\n")

function(runs_to status text)
  file(WRITE ${OUT}/scripts/try.lua "${text}")
  execute_process(COMMAND ${PROGRAM} run --time-limit 5 --out ${OUT}/results ${OUT}/scripts/try.lua
                  RESULT_VARIABLE got OUTPUT_VARIABLE stdout ERROR_VARIABLE stderr TIMEOUT 60)
  file(READ ${outside} kept)
  if(NOT got STREQUAL "${status}" OR NOT kept STREQUAL "precious\n")
    message(SEND_ERROR "status ${got}, expected ${status}; outside: ${kept}\n${text}\n${stdout}${stderr}")
  endif()
endfunction()

set(table "ll.table{ columns = { 'a' }, rows = { { a = 1 } } }")
set(sweep "ll.sweep{ vary = { { 'a', { 1 } } }, file = 'rows.csv', build = function() return 1 end, read = function() return { b = 1 } end }")

# What is saved takes the link's place; its temporary name is no way out either.
file(CREATE_LINK ${outside} ${OUT}/results/table.csv SYMBOLIC)
file(CREATE_LINK ${outside} ${OUT}/results/.table.csv.lodeloom SYMBOLIC)
runs_to(0 "${table}:save('table.csv')")
# The rows of a sweep are not written through a link.
file(CREATE_LINK ${outside} ${OUT}/results/rows.csv.rows SYMBOLIC)
runs_to(1 "${sweep}")
file(REMOVE ${OUT}/results/rows.csv.rows)
# Nor is a folder taken for a file.
file(MAKE_DIRECTORY ${OUT}/results/rows.csv.rows)
runs_to(1 "${sweep}")
# A module that is a link, or lies in a folder that is one, is not there.
file(CREATE_LINK ${OUT}/outside.lua ${OUT}/scripts/inner.lua SYMBOLIC)
runs_to(1 "require('inner')")
file(CREATE_LINK ${OUT} ${OUT}/scripts/up SYMBOLIC)
runs_to(1 "require('up.outside')")
