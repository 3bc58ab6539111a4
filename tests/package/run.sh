#!/usr/bin/env bash
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# run.sh BUILD DECK: installs into a folder; builds the Debian package, installs it, runs what it
# brought, removes it, and looks that nothing is left. A paleproof package that is there is left alone.
set -euo pipefail

build=$1
deck=$2
scratch=$(mktemp -d)
trap 'rm -rf "$scratch"' EXIT

cmake --install "$build" --prefix "$scratch/prefix" >"$scratch/install.log"
for file in bin/paleproof share/man/man1/paleproof.1 share/bash-completion/completions/paleproof \
    share/zsh/vendor-completions/_paleproof share/fish/vendor_completions.d/paleproof.fish \
    share/doc/paleproof/copyright; do
    [ -s "$scratch/prefix/$file" ] || { echo "cmake --install did not bring $file"; exit 1; }
done
"$scratch/prefix/bin/paleproof" --version

for tool in cpack dpkg dpkg-deb dpkg-shlibdeps; do
    command -v "$tool" >/dev/null || { echo "skipped: $tool is missing"; exit 77; }
done
(cd "$build" && cpack -B "$scratch/package" >"$scratch/cpack.log" 2>&1) || { cat "$scratch/cpack.log"; exit 1; }
package=$(ls "$scratch"/package/*.deb)
dpkg-deb --info "$package" | grep -E 'Package:|Depends:|Section:'
dpkg-deb --field "$package" Depends | grep -q libc6 || { echo "no dependencies were found"; exit 1; }

if [ "$(id -u)" -ne 0 ]; then
    echo "skipped from here on: only root installs packages"
    exit 77
fi
if dpkg-query -W -f '${Status}' paleproof 2>/dev/null | grep -q 'ok installed'; then
    echo "skipped from here on: a paleproof package is installed"
    exit 77
fi
trap 'dpkg --purge paleproof >/dev/null 2>&1; rm -rf "$scratch"' EXIT
dpkg -i "$package" >"$scratch/dpkg.log" 2>&1 || { cat "$scratch/dpkg.log"; exit 1; }
files=$(dpkg -L paleproof | while read -r file; do [ -d "$file" ] || echo "$file"; done)
mkdir "$scratch/faces"
cp "$deck/lampwing.png" "$scratch/faces/"
status=0
/usr/bin/paleproof make -q "$scratch/faces" -o "$scratch/edition" || status=$?
[ "$status" -eq 0 ] || [ "$status" -eq 3 ] || { echo "the installed tool ended with $status"; exit 1; }
[ -s "$scratch/edition/report.html" ] && [ -s "$scratch/edition/sheets-a4.pdf" ]
if command -v man >/dev/null; then
    # Some systems are told to leave manual pages out when packages are installed.
    if [ -e /usr/share/man/man1/paleproof.1.gz ] || [ -e /usr/share/man/man1/paleproof.1 ]; then
        man -w paleproof
    fi
fi
dpkg -r paleproof >"$scratch/dpkg.log"
for file in $files; do
    [ ! -e "$file" ] || { echo "left behind: $file"; exit 1; }
done
echo "installed, run, removed: $(basename "$package")"
