# Texts become byte arrays: a string literal longer than 4,095 characters is beyond what C17 promises.
# embed_bytes(OUT TEXT-FILE): the bytes of a file as "0x41,0x42,...", eight to the line.
function(embed_bytes out file)
  file(READ "${file}" bytes HEX)
  string(REGEX REPLACE "([0-9a-f][0-9a-f])" "0x\\1," bytes "${bytes}")
  string(REGEX REPLACE "(0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],0x[0-9a-f][0-9a-f],)"
         "\\1\n    " bytes "${bytes}")
  set(${out} "${bytes}" PARENT_SCOPE)
endfunction()
