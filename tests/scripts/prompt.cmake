# prompt.cmake - the prompt answers help, takes lines that go on, completes with the tab key and keeps its history.
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)

function(says answer text)
  string(FIND "${answer}" "${text}" found)
  if(found EQUAL -1)
    message(SEND_ERROR "'${text}' is missing in: ${answer}")
  endif()
endfunction()

# From a pipe: no terminal, no readline.
file(REMOVE_RECURSE ${FOLDER})
file(MAKE_DIRECTORY ${FOLDER})
file(WRITE ${FOLDER}/piped "help coil\nhelp(\"poles\")\nhelp coil.opening\nhelp opning\nhelp alnico 5\nx = {1,\n2, 3}\n#x + 39\n")
execute_process(COMMAND ${PROGRAM} prompt INPUT_FILE ${FOLDER}/piped OUTPUT_VARIABLE answer ERROR_VARIABLE answer
                RESULT_VARIABLE status TIMEOUT 60)
says("${answer}" "ll.coil{...}: a winding")
says("${answer}" "pickup:poles{...}: what a gauss meter reads")
says("${answer}" "field 'opening' of coil ({x, y}, greater than 0 and at most 1000 mm; needed): clear hole")
says("${answer}" "did you mean 'opening'?")
says("${answer}" "remanence_mt")
says("${answer}" "42\n")
if(NOT status EQUAL 0)
  message(SEND_ERROR "status ${status}")
endif()

# On a terminal, which `script` makes: a tab completes a function, a method, a field, a field of `with` on the line
# after its brace, and a topic of help.
find_program(SCRIPT script)
if(NOT SCRIPT OR NOT READLINE)
  return()
endif()
execute_process(COMMAND ${SCRIPT} -qec true /dev/null RESULT_VARIABLE status OUTPUT_QUIET ERROR_QUIET)
if(NOT status EQUAL 0)
  message(STATUS "no pseudo-terminal here: the prompt was tried from a pipe alone")
  return()
endif()
string(ASCII 4 end)
file(WRITE ${FOLDER}/typed "w = ll.aw\t(42)\nw:fig\t():print()\nc = ll.coil{ turns\t9, open\t{5, 5}, build = 3, hei\t4,
at\t{0, 0, 0}, wi\tw }\nc.dcr == nil and c.height\nd = c:with{\ncapac\t1e-10 }\nd.capacitance\nm = \"nickel s\t\"\nhelp standof\t\n${end}")
execute_process(COMMAND ${CMAKE_COMMAND} -E env XDG_STATE_HOME=${FOLDER}/state TERM=dumb INPUTRC=/dev/null
                        ${SCRIPT} -qec "${PROGRAM} prompt" /dev/null
                INPUT_FILE ${FOLDER}/typed OUTPUT_VARIABLE answer ERROR_VARIABLE answer TIMEOUT 60)
says("${answer}" "outside_mm")
file(READ ${FOLDER}/state/lodeloom/history history)
says("${history}" "w = ll.awg(42)\nw:figures():print()\nc = ll.coil{ turns = 9, opening = {5, 5}, build = 3, height = 4,\n")
says("${history}" "at = {0, 0, 0}")
says("${history}" "capacitance = 1e-10 }")
says("${history}" "m = \"nickel silver\"")
says("${history}" "help standoff")
says("${answer}" "field 'standoff' of poles")
