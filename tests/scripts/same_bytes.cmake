# same_bytes.cmake - SCRIPT says the same, byte for byte, in print and with the seven digits of JSON: with one thread, with two,
# again, and with the vector instructions of other processors; so does its stamp.
# SPDX-License-Identifier: GPL-3.0-or-later
cmake_minimum_required(VERSION 3.25)
function(say_it format environment out)
  set(given ${ARGN})
  set(options ${ARGN})
  list(FILTER given INCLUDE REGEX "=")
  list(FILTER options EXCLUDE REGEX "=")
  execute_process(COMMAND ${CMAKE_COMMAND} -E env ${environment} ${PROGRAM} run --quiet --stamp --format ${format} --time-limit 300
                          ${options} ${SCRIPT} b=2 a=1 ${given}
                  RESULT_VARIABLE status OUTPUT_VARIABLE text ERROR_VARIABLE faults TIMEOUT 400)
  if(NOT status EQUAL 0)
    message(FATAL_ERROR "${faults}")
  endif()
  set(${out} "${text}" PARENT_SCOPE)
endfunction()

function(compare format environments)
  say_it(${format} "" first --threads 1 ${ARGN})
  foreach(environment ${environments})
    say_it(${format} ${environment} other ${ARGN})
    if(NOT first STREQUAL other)
      message(SEND_ERROR "one thread:\n${first}\n${environment}:\n${other}")
    endif()
  endforeach()
endfunction()

# Nothing is left to the order in which threads come to a sum: with exact=yes not even the last bit.
compare(text "OMP_NUM_THREADS=2;OMP_NUM_THREADS=2;OMP_NUM_THREADS=3" exact=yes)
set(processors LL_KERNELS=base LL_KERNELS=v3 OPENBLAS_CORETYPE=Prescott OPENBLAS_CORETYPE=Haswell)
compare(text "${processors}")
compare(json "${processors};OMP_NUM_THREADS=2")

say_it(text "" stamped --threads 1)
if(NOT stamped MATCHES "stamp: lodeloom [0-9.]+, [a-z.]+ [0-9a-f]+, with a=1 b=2\n$")
  message(SEND_ERROR "no stamp at the end of\n${stamped}")
endif()
