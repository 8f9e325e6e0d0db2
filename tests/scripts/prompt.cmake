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

# What a line calls local is there for the next ones, what its blocks do is not; a word leaves.
foreach(word exit quit "bye()" " quit;")
  file(WRITE ${FOLDER}/piped "local a, b = 20, 1\nlocal function twice(x) return 2 * x end\ntwice(a) + 2 * b\nlocal t = {\n7,\n8 }\n"
    "for i = 1, 2 do local inside = i end\n#t + a\ninside\n${word}\nprint(\"still here\")\n")
  execute_process(COMMAND ${PROGRAM} prompt INPUT_FILE ${FOLDER}/piped OUTPUT_VARIABLE answer ERROR_VARIABLE said
                  RESULT_VARIABLE status TIMEOUT 60)
  if(NOT answer STREQUAL "42\n22\n" OR NOT status EQUAL 0)
    message(SEND_ERROR "locals of the prompt, left by ${word}: ${status}: ${answer}${said}")
  endif()
  says("${said}" "there is no 'inside' here")
endforeach()

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
says("${answer}" "Three things to try")
file(READ ${FOLDER}/state/lodeloom/history history)
says("${history}" "w = ll.awg(42)\nw:figures():print()\nc = ll.coil{ turns = 9, opening = {5, 5}, build = 3, height = 4,\n")
says("${history}" "at = {0, 0, 0}")
says("${history}" "capacitance = 1e-10 }")
says("${history}" "m = \"nickel silver\"")
says("${history}" "help standoff")
says("${answer}" "field 'standoff' of poles")

# Ctrl-C drops a statement that is half written, and a line; it does not end the prompt.
execute_process(COMMAND sh -c "sleep 1; printf 'x = { 1,\\n'; sleep 1; printf '\\003'; sleep 1; printf '40 + 2\\n'; sleep 1; printf 'half a\\003'; sleep 1; printf '40 + 3\\nbye\\n'; sleep 1"
                COMMAND ${CMAKE_COMMAND} -E env XDG_STATE_HOME=${FOLDER}/state TERM=dumb INPUTRC=/dev/null
                        ${SCRIPT} -qec "${PROGRAM} prompt" /dev/null
                OUTPUT_VARIABLE answer ERROR_VARIABLE answer TIMEOUT 60)
foreach(value 42 43)
  if(NOT answer MATCHES "[\r\n]${value}[\r\n]")
    message(SEND_ERROR "after Ctrl-C there is no ${value} in: ${answer}")
  endif()
endforeach()
