# SPDX-License-Identifier: GPL-3.0-or-later
# Takes away what `cmake --install` has put below -DPREFIX=DIR, by the list that it left there; then folders of its own name that are
# empty. Folders that others use, too, stay, and so does what others have put into its own.
set(list $ENV{DESTDIR}${PREFIX}/share/lodeloom/installed.txt)
if(NOT EXISTS ${list})
  message(FATAL_ERROR "nothing to take away: ${list} is not there, which an installation by `cmake --install` leaves; "
                      "a Debian package is taken away by `apt-get purge`")
endif()
file(STRINGS ${list} files)
set(folders "")
foreach(file ${files} share/lodeloom/installed.txt)
  get_filename_component(path ${file} ABSOLUTE BASE_DIR $ENV{DESTDIR}${PREFIX})
  file(REMOVE ${path})
  if(EXISTS ${path} OR IS_SYMLINK ${path})
    message(FATAL_ERROR "${path} cannot be taken away: run it as the one who installed it, root perhaps")
  endif()
  # Each folder above it, up to the one that has its name.
  while(file MATCHES "/lodeloom/")
    get_filename_component(file ${file} DIRECTORY)
    list(APPEND folders ${file})
  endwhile()
endforeach()
list(REMOVE_DUPLICATES folders)
list(SORT folders ORDER DESCENDING) # a folder after what lies in it
foreach(folder ${folders})
  set(path $ENV{DESTDIR}${PREFIX}/${folder})
  file(GLOB inside LIST_DIRECTORIES true ${path}/* ${path}/.[a-zA-Z0-9]*)
  if(IS_DIRECTORY ${path} AND NOT inside)
    file(REMOVE_RECURSE ${path})
  endif()
endforeach()
