# What `cmake --install` puts where. Man page, completion and settings page are printed by the program itself, from its
# tables, so they cannot fall behind it.

include(CMakePackageConfigHelpers)

set(generated ${PROJECT_BINARY_DIR}/generated)
file(MAKE_DIRECTORY ${generated})

function(foci_generate file option)
  add_custom_command(OUTPUT ${generated}/${file}
    COMMAND $<TARGET_FILE:fieldfoci> ${option} > ${generated}/${file}.new
    COMMAND ${CMAKE_COMMAND} -E rename ${generated}/${file}.new ${generated}/${file}
    DEPENDS fieldfoci COMMENT "Writing ${file}" VERBATIM)
endfunction()
foci_generate(fieldfoci.1 --help-man)
foci_generate(fieldfoci.bash --help-completion)
foci_generate(settings.md --help-settings)
add_custom_target(generated_pages ALL DEPENDS ${generated}/fieldfoci.1 ${generated}/fieldfoci.bash ${generated}/settings.md)

# What someone who links libfieldfoci.a must link besides; the shared library brings its own.
set(FOCI_PRIVATE_LIBRARIES gdal proj geos_c jansson md sqlite3 lapacke openblas nlopt png pangocairo-1.0 pango-1.0 gobject-2.0
  cairo xml2 stdc++ gomp m)
list(TRANSFORM FOCI_PRIVATE_LIBRARIES PREPEND "-l" OUTPUT_VARIABLE FOCI_PRIVATE_LINKS)
list(JOIN FOCI_PRIVATE_LINKS " " FOCI_PRIVATE_LINKS)

set(package_folder ${CMAKE_INSTALL_LIBDIR}/cmake/fieldfoci)
configure_file(${PROJECT_SOURCE_DIR}/scripts/fieldfoci.pc.in ${generated}/fieldfoci.pc @ONLY)
configure_package_config_file(${PROJECT_SOURCE_DIR}/scripts/fieldfoci-config.cmake.in
  ${generated}/fieldfoci-config.cmake INSTALL_DESTINATION ${package_folder} NO_SET_AND_CHECK_MACRO)
write_basic_package_version_file(${generated}/fieldfoci-config-version.cmake COMPATIBILITY SameMinorVersion)

set_target_properties(fieldfoci PROPERTIES INSTALL_RPATH "$ORIGIN/../${CMAKE_INSTALL_LIBDIR}")
install(TARGETS fieldfoci RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(TARGETS fieldfoci_shared fieldfoci_static EXPORT fieldfoci
  LIBRARY DESTINATION ${CMAKE_INSTALL_LIBDIR} ARCHIVE DESTINATION ${CMAKE_INSTALL_LIBDIR})
install(EXPORT fieldfoci NAMESPACE fieldfoci:: FILE fieldfoci-targets.cmake DESTINATION ${package_folder})
install(FILES ${generated}/fieldfoci-config.cmake ${generated}/fieldfoci-config-version.cmake DESTINATION ${package_folder})
install(DIRECTORY ${PROJECT_SOURCE_DIR}/include/fieldfoci DESTINATION ${CMAKE_INSTALL_INCLUDEDIR} FILES_MATCHING PATTERN "*.h")
install(FILES ${generated}/fieldfoci.pc DESTINATION ${CMAKE_INSTALL_LIBDIR}/pkgconfig)
install(FILES ${generated}/fieldfoci.1 DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${generated}/fieldfoci.bash DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions RENAME fieldfoci)
install(FILES ${PROJECT_SOURCE_DIR}/README.md ${PROJECT_SOURCE_DIR}/LICENSE ${generated}/settings.md
  DESTINATION ${CMAKE_INSTALL_DOCDIR})
