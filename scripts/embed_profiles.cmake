# Makes a C file of the disease profiles: cmake -DFOLDER=src/data/profiles -DOUT=profiles.c -P embed_profiles.cmake
# Texts become byte arrays: a string literal longer than 4,095 characters is beyond what C17 promises.
if(NOT FOLDER OR NOT OUT)
  message(FATAL_ERROR "embed_profiles.cmake needs -DFOLDER and -DOUT")
endif()
file(GLOB files ${FOLDER}/*.json)
list(SORT files)
set(arrays "")
set(rows "")
set(number 0)
foreach(file IN LISTS files)
  get_filename_component(name "${file}" NAME_WLE)
  file(READ "${file}" bytes HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  string(REGEX REPLACE "(0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],)"
         "\\1\n    " bytes "${bytes}")
  string(APPEND arrays "static const unsigned char profile_${number}[] = { /* ${name} */\n    ${bytes}0x00};\n\n")
  string(APPEND rows "    {\"${name}\", (const char *)profile_${number}},\n")
  math(EXPR number "${number} + 1")
endforeach()
file(WRITE "${OUT}" "#include \"data/profiles/built_in_profiles.h\"\n\n${arrays}"
     "const foci_built_in_profile foci_built_in_profiles[] = {\n${rows}    {0},\n};\n")
