# Makes a C file of what pages are made of: cmake -DPAGE=src/show/page -DLEAFLET=folder -DOUT=page_assets.c -P embed_page.cmake
# The map viewer is Leaflet with its license, then our own module. Pictures that Leaflet's style sheet names would be
# requests: what needs them is not used, and they are taken out.
include(${CMAKE_CURRENT_LIST_DIR}/embed_bytes.cmake)
if(NOT PAGE OR NOT LEAFLET OR NOT OUT)
  message(FATAL_ERROR "embed_page.cmake needs -DPAGE, -DLEAFLET and -DOUT")
endif()
get_filename_component(work "${OUT}" DIRECTORY)

# Brackets and semicolons mean something to CMake's lists, so files are joined as they are and never split.
file(READ "${PAGE}/leaflet_license.txt" license)
file(READ "${LEAFLET}/leaflet.min.js" leaflet)
file(READ "${PAGE}/viewer.js" viewer)
string(REGEX REPLACE "\n//# sourceMappingURL=[^\n]*" "" leaflet "${leaflet}")
file(WRITE "${work}/viewer.js" "/*!\n${license}*/\n${leaflet}\n${viewer}")

file(READ "${LEAFLET}/leaflet.css" leaflet)
file(READ "${PAGE}/viewer.css" viewer)
string(REGEX REPLACE "url\\([^)]*\\)" "none" leaflet "${leaflet}")
string(REGEX REPLACE "/\\*# sourceMappingURL=[^*]*\\*/" "" leaflet "${leaflet}")
file(WRITE "${work}/viewer.css" "/*!\n${license}*/\n${leaflet}\n${viewer}")
file(COPY "${PAGE}/letter.css" "${PAGE}/report.css" DESTINATION "${work}")

set(arrays "")
set(rows "")
foreach(name IN ITEMS letter.css report.css viewer.css viewer.js)
  file(READ "${work}/${name}" text)
  if(text MATCHES "]]>|</(script|style)|@import|sourceMappingURL|url\\([^#]")
    message(FATAL_ERROR "${name} holds '${CMAKE_MATCH_0}', which has no place in a page")
  endif()
  embed_bytes(bytes "${work}/${name}")
  string(MAKE_C_IDENTIFIER "${name}" symbol)
  string(APPEND arrays "static const unsigned char ${symbol}[] = {\n    ${bytes}0x00};\n\n")
  string(APPEND rows "    {\"${name}\", (const char *)${symbol}},\n")
endforeach()
file(WRITE "${OUT}" "#include \"fieldfoci/page.h\"\n\n${arrays}const foci_page_asset foci_page_assets[] = {\n${rows}    {0},\n};\n")
