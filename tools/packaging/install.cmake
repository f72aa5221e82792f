# What `cmake --install` installs, by the GNU directories. Nothing is started, and no configuration written.
set(manual_folder ${CMAKE_BINARY_DIR}/manual)
set(manual_pages
    ${manual_folder}/drawtender.1 ${manual_folder}/drawtenderd.8
    ${manual_folder}/drawtender.json.5 ${manual_folder}/drawtender-session.5)
set(bash_completions ${manual_folder}/drawtender.bash ${manual_folder}/drawtenderd.bash)
set(zsh_completions ${manual_folder}/_drawtender ${manual_folder}/_drawtenderd)
set(fish_completions ${manual_folder}/drawtender.fish ${manual_folder}/drawtenderd.fish)
file(MAKE_DIRECTORY ${manual_folder})
add_custom_command(
  OUTPUT ${manual_pages} ${bash_completions} ${zsh_completions} ${fish_completions}
  COMMAND make_manual ${manual_folder} ${drawtender_date} DEPENDS make_manual)
add_custom_target(manual_files ALL DEPENDS ${manual_pages} ${bash_completions} ${zsh_completions}
                                           ${fish_completions})

install(TARGETS drawtender DESTINATION ${CMAKE_INSTALL_BINDIR})
install(TARGETS drawtenderd DESTINATION ${CMAKE_INSTALL_SBINDIR})
foreach(page ${manual_pages})
  string(REGEX REPLACE ".*\\.([0-9])$" "man\\1" folder ${page})
  install(FILES ${page} DESTINATION ${CMAKE_INSTALL_MANDIR}/${folder})
endforeach()

# Shells look in folders of their own; Debian's zsh in another one than zsh as it comes.
set(DRAWTENDER_ZSH_FOLDER ${CMAKE_INSTALL_DATADIR}/zsh/site-functions
    CACHE STRING "Where zsh looks for completions")
foreach(file ${bash_completions})
  get_filename_component(name ${file} NAME_WE)
  install(FILES ${file} DESTINATION ${CMAKE_INSTALL_DATADIR}/bash-completion/completions
          RENAME ${name})
endforeach()
install(FILES ${zsh_completions} DESTINATION ${DRAWTENDER_ZSH_FOLDER})
install(FILES ${fish_completions} DESTINATION ${CMAKE_INSTALL_DATADIR}/fish/vendor_completions.d)

# The service. systemd, its users and udev look below lib, wherever libraries are.
set(service ${CMAKE_SOURCE_DIR}/config/service)
configure_file(${service}/drawtenderd.service.in ${CMAKE_BINARY_DIR}/drawtenderd.service @ONLY)
install(FILES ${CMAKE_BINARY_DIR}/drawtenderd.service DESTINATION lib/systemd/system)
install(FILES ${service}/drawtender.sysusers DESTINATION lib/sysusers.d RENAME drawtender.conf)
install(FILES ${service}/drawtender.rules DESTINATION lib/udev/rules.d RENAME 60-drawtender.rules)
install(FILES ${service}/drawtenderd.default
        DESTINATION ${CMAKE_INSTALL_FULL_SYSCONFDIR}/default RENAME drawtenderd)

install(FILES ${service}/panel-tls.conf DESTINATION ${CMAKE_INSTALL_DOCDIR}/config/service)

# The schema, and the pages of the source in the same folders, so that their links lead somewhere.
set(config ${CMAKE_SOURCE_DIR}/config)
install(FILES ${config}/drawtender.schema.json DESTINATION ${CMAKE_INSTALL_DATADIR}/drawtender)
install(FILES README.md LICENSE ${drawtender_changelog} DESTINATION ${CMAKE_INSTALL_DOCDIR})
foreach(page config/README.md config/messages.md tools/README.md tools/sessions.md protocol/README.md
             daemon/panel/README.md)
  get_filename_component(folder ${page} DIRECTORY)
  install(FILES ${page} DESTINATION ${CMAKE_INSTALL_DOCDIR}/${folder})
endforeach()
file(GLOB examples CONFIGURE_DEPENDS ${config}/*.json ${config}/*.script ${config}/*.csv)
list(REMOVE_ITEM examples ${config}/drawtender.schema.json)
install(FILES ${examples} DESTINATION ${CMAKE_INSTALL_DOCDIR}/config)
install(DIRECTORY ${config}/pictures DESTINATION ${CMAKE_INSTALL_DOCDIR}/config)
set(links ${CMAKE_BINARY_DIR}/links)
file(MAKE_DIRECTORY ${links})
file(CREATE_LINK config ${links}/examples SYMBOLIC)
file(CREATE_LINK ../../../drawtender/drawtender.schema.json ${links}/drawtender.schema.json SYMBOLIC)
install(FILES ${links}/examples DESTINATION ${CMAKE_INSTALL_DOCDIR})
install(FILES ${links}/drawtender.schema.json DESTINATION ${CMAKE_INSTALL_DOCDIR}/config)
