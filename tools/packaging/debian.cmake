# Run by CPack over what is installed: what Debian wants and `cmake --install` does not do.
set(root ${CPACK_TEMPORARY_INSTALL_DIRECTORY})
set(share ${root}/usr/share)
set(documents ${share}/doc/drawtender)
file(GLOB_RECURSE pages ${share}/man/*)
execute_process(COMMAND gzip -9n ${pages} ${documents}/changelog COMMAND_ERROR_IS_FATAL ANY)

# The licence is part of the copyright file, as Debian's policy says (12.5).
file(READ ${documents}/LICENSE licence)
string(REGEX MATCH "Copyright \\(c\\) ([^\n]*)" ignored "${licence}")
set(holder ${CMAKE_MATCH_1})
string(REGEX REPLACE "^.*Copyright[^\n]*\n\n" "" licence "${licence}")
string(REGEX REPLACE "\n\n" "\n.\n" licence "${licence}")
string(REGEX REPLACE "\n(.)" "\n \\1" licence " ${licence}")
file(WRITE ${documents}/copyright
     "Format: https://www.debian.org/doc/packaging-manuals/copyright-format/1.0/\n"
     "Upstream-Name: drawtender\n\nFiles: *\nCopyright: ${holder}\nLicense: Expat\n${licence}")
file(REMOVE ${documents}/LICENSE)
file(MAKE_DIRECTORY ${share}/lintian/overrides)
file(COPY_FILE ${CMAKE_CURRENT_LIST_DIR}/lintian-overrides ${share}/lintian/overrides/drawtender)
file(CHMOD ${share}/lintian/overrides/drawtender
     FILE_PERMISSIONS OWNER_READ OWNER_WRITE GROUP_READ WORLD_READ)
