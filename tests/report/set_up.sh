#!/usr/bin/env bash
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# Puts what the report's browser tests need into build/report-tests/node_modules: once, from the
# versions that package-lock.json pins; needs no network, and does nothing, when they are there.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
target="$here/../../build/report-tests"
mkdir -p "$target"
if cmp -s "$here/package-lock.json" "$target/installed.json" && [ -d "$target/node_modules" ]; then
    exit 0
fi
cp "$here/package.json" "$here/package-lock.json" "$target/"
(cd "$target" && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error)
cp "$here/package-lock.json" "$target/installed.json"
