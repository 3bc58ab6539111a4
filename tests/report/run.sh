#!/usr/bin/env bash
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# run.sh WRITE_REPORT_SAMPLE FOLDER: writes sample reports below FOLDER and opens them in Chromium.
set -euo pipefail

here=$(cd "$(dirname "${BASH_SOURCE[0]}")" && pwd)
CHROMIUM=$(command -v chromium || true)
REPORT_MODULES=$(realpath -m "$here/../../build/report-tests/node_modules")
export CHROMIUM REPORT_MODULES REPORT_SAMPLES="$2/samples"
for needed in "$CHROMIUM" "$(command -v node || true)" "$REPORT_MODULES/axe-core/package.json" \
    "$REPORT_MODULES/playwright-core/package.json"; do
    if [ -z "$needed" ] || [ ! -e "$needed" ]; then
        echo "skipped: needs Chromium, node and the modules of tests/report/set_up.sh"
        exit 77
    fi
done

rm -rf "$REPORT_SAMPLES"
for kind in sample check empty 54 500; do
    "$1" "$REPORT_SAMPLES/$kind" "$kind"
done
exec node --test --test-concurrency=1 --test-reporter=spec "$here/report_test.mjs"
