#!/usr/bin/env bash
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
#
# demo_twice.sh ROOT: fixtures/demo.sh works from another folder, twice, says which file to open, and makes the
# same edition both times.
set -euo pipefail
root=$1
hashes() { (cd "$root/build/demo-edition" && find . -type f | LC_ALL=C sort | xargs -d '\n' sha256sum); }
cd /
for run in first second; do
    shown=$(bash "$root/fixtures/demo.sh")
    file=$(sed -n 's/^Open the report: *//p' <<<"$shown")
    [ -s "$file" ] || { echo "the $run run does not say which file to open"; echo "$shown" | tail; exit 1; }
    [ "$run" = first ] && before=$(hashes)
done
[ "$before" = "$(hashes)" ] || { echo "the second run made another edition"; exit 1; }
