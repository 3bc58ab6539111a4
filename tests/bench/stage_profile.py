#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Where the processor time of `paleproof make` goes: samples of Linux perf by stage.

    python3 tests/bench/stage_profile.py PALEPROOF FACES SCRATCH [STYLE ...]

Runs each style once on one thread into an empty folder, takes a sample every millisecond of processor time, and counts a sample for the
first stage on its call stack. Prints ms a face.
"""
import collections
import os
import re
import shutil
import subprocess
import sys

# Functions that only call stages.
FRAMES = {
    "app::for_each_index", "app::make", "app::check", "app::survey_deck", "app::make_proofs", "app::read_and_survey",
    "app::survey_file", "app::make_proof", "app::checked_proof", "app::styled_proof", "app::gray_proof",
    "app::tint_proof", "app::line_proof", "app::hatch_proof", "app::ProofMaker::proof", "app::ProofMaker::drawn_proof",
    "app::ProofMaker::finish", "app::ProofMaker::ProofMaker", "app::GuardedText::GuardedText", "app::GuardedText::fit",
    "app::GuardedText::set_on", "app::GuardedText::cleared", "app::guarded_letters", "app::solid_text",
    "app::read_pixels", "app::judge_lines", "survey::survey_face", "codec::read_face",
}
ROOM = re.compile(r"(app|codec|color|survey|filters|plan|sheet|report)::")


def short(symbol):
    symbol = symbol.replace("(anonymous namespace)::", "").replace("paleproof::", "")
    return re.sub(r"[(<\[].*", "", symbol)


def stage_of(stack):
    for symbol in reversed(stack):
        name = short(symbol)
        if ROOM.match(name) and name not in FRAMES:
            return name
    return "the rest"


def stages(data):
    text = subprocess.run(["perf", "script", "-i", data, "-F", "ip,sym"], capture_output=True, text=True,
                          errors="replace", check=True).stdout
    counts = collections.Counter()
    for block in text.split("\n\n"):
        stack = [m.group(1) for m in re.finditer(r"^\s*[0-9a-f]+\s+(.*)$", block, re.M)]
        if stack:
            counts[stage_of(stack)] += 1
    return counts


def main():
    if len(sys.argv) < 4:
        sys.exit(__doc__)
    tool, faces, scratch = sys.argv[1:4]
    styles = sys.argv[4:] or ["gray", "tint", "line", "hatch", "color"]
    count = sum(1 for name in os.listdir(faces) if name.lower().endswith((".png", ".jpg", ".jpeg")))
    os.makedirs(scratch, exist_ok=True)
    tables = {}
    for style in styles:
        out = os.path.join(scratch, "out")
        data = os.path.join(scratch, "perf.data")
        shutil.rmtree(out, ignore_errors=True)
        subprocess.run(["perf", "record", "-q", "-e", "cpu-clock", "-F", "1000", "--call-graph", "dwarf,16384", "-o", data,
                        tool, "make", faces, "-o", out, "-q", "--threads", "1", "--style", style],
                       stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False)
        tables[style] = stages(data)
        os.remove(data)
    names = collections.Counter()
    for table in tables.values():
        names.update(table)
    print("| ms a face | " + " | ".join(styles) + " |")
    print("| --- |" + " ---: |" * len(styles))
    for name, _ in names.most_common():
        row = [table[name] / count for table in tables.values()]
        if max(row) >= 0.3:
            print(f"| {name} | " + " | ".join(f"{ms:.1f}" for ms in row) + " |")
    print("| all | " + " | ".join(f"{sum(table.values()) / count:.1f}" for table in tables.values()) + " |")


if __name__ == "__main__":
    main()
