#!/usr/bin/env bash
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# Installs what is missing, builds the release preset and runs all tests:
#     bash tests/run.sh            everything but the benchmarks
#     bash tests/run.sh -L unit    the quick loop; arguments go to ctest
# Works from any folder, any number of times, and offline once the packages are there.
set -euo pipefail

root=$(cd "$(dirname "${BASH_SOURCE[0]}")/.." && pwd)
cd "$root"

bash fixtures/install.sh build demo test
bash tests/report/set_up.sh || echo "The report's browser tests will be skipped: their modules could not be installed"
echo "Building into build/release"
mkdir -p build
cmake --preset release >build/configure.log 2>&1 || { cat build/configure.log; exit 1; }
cmake --build build/release
echo "Testing"
ctest --test-dir build/release --output-on-failure --no-tests=error -j "$(nproc)" -LE bench "$@"
