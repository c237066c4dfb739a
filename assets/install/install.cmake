# What `cmake --install` puts where, and the Debian package that `cpack -G DEB` makes of it.
set(EVENKEEL_PAGES ${CMAKE_BINARY_DIR}/pages)
set(EVENKEEL_ASSETS ${CMAKE_SOURCE_DIR}/assets/install)
add_custom_command(OUTPUT ${EVENKEEL_PAGES}/evenkeel.1.gz ${EVENKEEL_PAGES}/evenkeel
  COMMAND ${CMAKE_COMMAND} -E make_directory ${EVENKEEL_PAGES}
  COMMAND sh -c "$<TARGET_FILE:evenkeel> manual | gzip -9n > ${EVENKEEL_PAGES}/evenkeel.1.gz"
  COMMAND sh -c "$<TARGET_FILE:evenkeel> completion > ${EVENKEEL_PAGES}/evenkeel"
  DEPENDS evenkeel VERBATIM)
add_custom_target(evenkeel_pages ALL DEPENDS ${EVENKEEL_PAGES}/evenkeel.1.gz ${EVENKEEL_PAGES}/evenkeel)

install(TARGETS evenkeel RUNTIME DESTINATION ${CMAKE_INSTALL_BINDIR})
install(DIRECTORY scenarios/ DESTINATION ${CMAKE_INSTALL_DATADIR}/evenkeel/scenarios
        FILES_MATCHING PATTERN "*.yaml" PATTERN "*.md")
install(FILES ${EVENKEEL_PAGES}/evenkeel.1.gz DESTINATION ${CMAKE_INSTALL_MANDIR}/man1)
install(FILES ${EVENKEEL_PAGES}/evenkeel DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions)
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DOCDIR} RENAME copyright)
if(EVENKEEL_UI)
  install(FILES ${EVENKEEL_ASSETS}/evenkeel.desktop DESTINATION ${CMAKE_INSTALL_DATADIR}/applications)
  install(FILES ${EVENKEEL_ASSETS}/evenkeel.svg DESTINATION ${CMAKE_INSTALL_DATADIR}/icons/hicolor/scalable/apps)
  install(FILES ${EVENKEEL_ASSETS}/evenkeel.metainfo.xml DESTINATION ${CMAKE_INSTALL_DATADIR}/metainfo)
endif()

# Debian wants a changelog beside the copyright; its one entry is the version.
set(EVENKEEL_CHANGELOG ${CMAKE_BINARY_DIR}/changelog)
file(WRITE ${EVENKEEL_CHANGELOG} "evenkeel (${PROJECT_VERSION}) stable; urgency=low\n\n  * Version ${PROJECT_VERSION}.\n\n -- Evenkeel contributors <evenkeel@example.org>  Wed, 25 Nov 2026 12:00:00 +0000\n")
add_custom_command(OUTPUT ${CMAKE_BINARY_DIR}/changelog.gz
  COMMAND sh -c "gzip -9nc ${EVENKEEL_CHANGELOG} > ${CMAKE_BINARY_DIR}/changelog.gz" DEPENDS ${EVENKEEL_CHANGELOG} VERBATIM)
add_custom_target(evenkeel_changelog ALL DEPENDS ${CMAKE_BINARY_DIR}/changelog.gz)
install(FILES ${CMAKE_BINARY_DIR}/changelog.gz DESTINATION ${CMAKE_INSTALL_DOCDIR})

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME evenkeel)
set(CPACK_PACKAGE_VENDOR "Evenkeel contributors")
set(CPACK_PACKAGE_CONTACT "Evenkeel contributors <evenkeel@example.org>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "training simulator for the first night after a heart pump")
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "A patient is back from theatre with a continuous-flow pump in the left
ventricle. The trainee changes pump speed, fluids and drugs, watches numbers,
waveforms and the heart, and says early which trouble it is. The physiology
is computed beat by beat. For education only.")
set(CPACK_STRIP_FILES ON)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_INSTALL_DEFAULT_DIRECTORY_PERMISSIONS OWNER_READ OWNER_WRITE OWNER_EXECUTE GROUP_READ GROUP_EXECUTE
  WORLD_READ WORLD_EXECUTE)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_SECTION science)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
if(EVENKEEL_UI)
  set(CPACK_DEBIAN_PACKAGE_DEPENDS "fonts-inter, fonts-b612, fonts-dejavu-core")
endif()
include(CPack)
