# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# cpack --config build/release/CPackConfig.cmake: a Debian package. What it needs of the system is found
# by dpkg-shlibdeps in the binary itself.
include(GNUInstallDirs)
install(FILES LICENSE DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/paleproof RENAME copyright)
install(FILES README.md docs/first-edition.md docs/choosing-a-style.md docs/for-playtesters.md docs/findings.md
    docs/limits.md docs/cli.md DESTINATION ${CMAKE_INSTALL_DATADIR}/doc/paleproof)

set(CPACK_GENERATOR DEB)
set(CPACK_PACKAGE_NAME paleproof)
set(CPACK_PACKAGE_CONTACT "the paleproof authors <paleproof@localhost>")
set(CPACK_PACKAGE_DESCRIPTION_SUMMARY "${PROJECT_DESCRIPTION}")
set(CPACK_PACKAGING_INSTALL_PREFIX /usr)
set(CPACK_STRIP_FILES ON)
set(CPACK_DEBIAN_PACKAGE_SECTION graphics)
set(CPACK_DEBIAN_PACKAGE_SHLIBDEPS ON)
set(CPACK_DEBIAN_PACKAGE_RECOMMENDS "libtesseract5, tesseract-ocr-eng")  # loaded by --read alone
set(CPACK_DEBIAN_FILE_NAME DEB-DEFAULT)
include(CPack)
