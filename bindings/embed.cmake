# embed.cmake - writes files as byte arrays into one C source.
#   cmake -DOUTPUT=x.c -DTABLE=bind_chunks -DFILES=a.lua,b.lua -P embed.cmake
# SPDX-License-Identifier: GPL-3.0-or-later
set(text "/* Made from the Lua files by embed.cmake. */\n#include \"module/base/chunks.h\"\n")
set(rows "")
string(REPLACE "," ";" FILES "${FILES}")
foreach(file ${FILES})
  get_filename_component(name ${file} NAME_WE)
  file(READ ${file} bytes HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  string(APPEND text "static const unsigned char ${name}_bytes[] = {${bytes}};\n")
  string(APPEND rows "    {\"${name}\", (const char *)${name}_bytes, sizeof ${name}_bytes},\n")
endforeach()
string(APPEND text "const bind_chunk ${TABLE}[] = {\n${rows}    {0, 0, 0},\n};\n")
file(WRITE ${OUTPUT} "${text}")
