# SPDX-License-Identifier: GPL-3.0-or-later
# Installs into an empty folder and builds the page's program there as strangers would: C and C++, shared and static, by pkg-config and
# by CMake. Each must run, and print what a script prints.
#
# -DBUILD=DIR -DPAGE=FILE -DOUT=DIR -DPROGRAM=FILE -DC=cc [-DCXX=c++]
cmake_minimum_required(VERSION 3.25)
file(REMOVE_RECURSE ${OUT})
file(MAKE_DIRECTORY ${OUT})

function(run_in folder)
  execute_process(COMMAND ${ARGN} WORKING_DIRECTORY ${folder} RESULT_VARIABLE status OUTPUT_VARIABLE said ERROR_VARIABLE said_too)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "${ARGN}: ${status}\n${said}${said_too}")
  endif()
  set(said "${said}" PARENT_SCOPE)
endfunction()

# Values of a program's lines, tesla rounded alike.
function(expect_same where lines)
  string(REGEX MATCHALL ": [-0-9.]+" values "${lines}")
  if(NOT values STREQUAL wanted)
    message(FATAL_ERROR "${where}: prints ${values}, a script ${wanted}")
  endif()
endfunction()

file(READ ${PAGE} page)
string(REGEX MATCH "```c\n(.*)\n```" found "${page}")
string(REGEX REPLACE "\n```.*" "\n" code "${CMAKE_MATCH_1}")
file(WRITE ${OUT}/program.c "${code}")
file(WRITE ${OUT}/program.cpp "${code}")
file(WRITE ${OUT}/script.lua [[
local rods = ll.row{ count = 6, spacing = 10.4,
    part = ll.rod{ diameter = 4.8, length = 17, at = {0, 0, -8.5}, material = "AlNiCo 5", north = "+z" } }
local p = ll.pickup{ parts = { rods } }
local points = {}
for i = 0, 5 do
    points[#points + 1] = { (i - 2.5) * 10.4, 0, 3 }
end
for _, row in ipairs(p:field{ points = points }) do
    print(string.format("script: %.2f", row.bz_mt))
end
]])
run_in(${OUT} ${PROGRAM} run script.lua)
string(REGEX MATCHALL ": [-0-9.]+" wanted "${said}")
list(LENGTH wanted count)
if(NOT count EQUAL 6)
  message(FATAL_ERROR "the script printed ${said}")
endif()

run_in(${OUT} ${CMAKE_COMMAND} --install ${BUILD} --prefix ${OUT}/installed)
file(GLOB_RECURSE pc ${OUT}/installed/lodeloom.pc)
get_filename_component(pc_folder ${pc} DIRECTORY)
get_filename_component(libraries ${pc_folder} DIRECTORY)
set(ENV{PKG_CONFIG_PATH} ${pc_folder})
set(ENV{LD_LIBRARY_PATH} ${libraries})
foreach(file lodeloom.pc cmake/lodeloom/lodeloom-targets.cmake cmake/lodeloom/lodeloom-targets-release.cmake)
  get_filename_component(path ${libraries}/pkgconfig/${file} NAME)
  file(GLOB_RECURSE path ${libraries}/${path})
  if(path)
    file(STRINGS ${path} absolute REGEX "/usr/lib|${OUT}|${BUILD}")
    if(absolute)
      message(FATAL_ERROR "${path} names places of this machine: ${absolute}")
    endif()
  endif()
endforeach()

run_in(${OUT} pkg-config --cflags --libs lodeloom)
separate_arguments(shared UNIX_COMMAND "${said}")
run_in(${OUT} pkg-config --static --libs lodeloom)
string(REPLACE "-llodeloom" "-l:liblodeloom.a" said "${said}")
separate_arguments(static UNIX_COMMAND "${said}")
set(strict -Wall -Wextra -Wpedantic -Werror)
run_in(${OUT} ${C} -std=c11 ${strict} program.c -o c_shared ${shared})
run_in(${OUT} ${C} -std=c11 ${strict} program.c -o c_static ${shared} ${static})
set(programs c_shared c_static)
if(CXX)
  run_in(${OUT} ${CXX} -std=c++17 -Wall -Wextra -Werror program.cpp -o cpp_shared ${shared})
  list(APPEND programs cpp_shared)
endif()

file(WRITE ${OUT}/cmake/CMakeLists.txt [[
cmake_minimum_required(VERSION 3.25)
project(caller LANGUAGES C)
find_package(lodeloom 0.1 REQUIRED)
add_executable(cmake_shared ../program.c)
target_link_libraries(cmake_shared lodeloom::lodeloom)
add_executable(cmake_static ../program.c)
target_link_libraries(cmake_static lodeloom::lodeloom_static)
]])
run_in(${OUT}/cmake ${CMAKE_COMMAND} -S . -B build -G Ninja -DCMAKE_BUILD_TYPE=Release -DCMAKE_PREFIX_PATH=${OUT}/installed)
run_in(${OUT}/cmake ${CMAKE_COMMAND} --build build)
list(APPEND programs cmake/build/cmake_shared cmake/build/cmake_static)
foreach(program ${programs})
  run_in(${OUT} ./${program})
  expect_same(${program} "${said}")
endforeach()
