# The Debian package, by CPack. tools/package sets the architecture, and all else that makes two
# builds alike.
set(DRAWTENDER_ARCHITECTURE "" CACHE STRING "The package's architecture, as dpkg calls it")
set(scripts ${CMAKE_SOURCE_DIR}/tools/packaging)
set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME drawtender)
set(CPACK_PACKAGE_VENDOR drawtender)
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_SET_DESTDIR ON) # what goes to /etc goes there
set(CPACK_STRIP_FILES ON)
set(CPACK_PRE_BUILD_SCRIPTS ${scripts}/debian.cmake)
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
set(CPACK_DEBIAN_PACKAGE_ARCHITECTURE ${DRAWTENDER_ARCHITECTURE})
set(CPACK_DEBIAN_PACKAGE_MAINTAINER "the drawtender maintainers <maintainers@drawtender.invalid>")
set(CPACK_DEBIAN_PACKAGE_SECTION electronics)
set(CPACK_DEBIAN_PACKAGE_PRIORITY optional)
set(CPACK_DEBIAN_PACKAGE_DESCRIPTION "interlocking daemon for a model railroad's drawbridge
drawtenderd opens and closes a drawbridge, a bascule, a vertical lift, a
swing span or a gate, and never lets a train onto the gap: it puts the home
signals to stop, waits until the trains are away, cuts the track power,
withdraws the span lock and drives the lift through its slow zones to its
contacts. Trains run again only when the span is proved seated, locked and
in line. It takes commands of SRCP 0.8.4 over TCP and serves a page for
browsers; drawtender is its command-line tool.

It is not a safety device: fit a hard-wired emergency stop.")
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
if(DRAWTENDER_ROOT) # cross-built
  set(libraries ${DRAWTENDER_ROOT}/usr/lib/${DRAWTENDER_LIBRARIES})
  set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS_PRIVATE_DIRS
      ${libraries} ${DRAWTENDER_ROOT}/lib/${DRAWTENDER_LIBRARIES} ${DRAWTENDER_ROOT}/lib)
endif()
set(CPACK_DEBIAN_PACKAGE_DEPENDS "systemd | systemd-standalone-sysusers | systemd-sysusers")
set(CPACK_DEBIAN_PACKAGE_SUGGESTS gpiod)
set(CPACK_DEBIAN_PACKAGE_CONTROL_EXTRA ${scripts}/postinst ${scripts}/prerm ${scripts}/postrm
                                       ${scripts}/conffiles)
set(CPACK_DEBIAN_PACKAGE_CONTROL_STRICT_PERMISSION TRUE)
set(CMAKE_SKIP_INSTALL_ALL_DEPENDENCY ON) # the tests need not be built for it
include(CPack)
