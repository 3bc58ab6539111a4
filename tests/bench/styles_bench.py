#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What the gray and tint styles save, keep and cost, against their targets.

    styles_bench.py PALEPROOF DECK SCRATCH [GENERATED]

DECK is a folder or deck list of faces; GENERATED a folder of PNG faces from tests/bench/text/make_faces.py.
Needs tesseract, Pillow and NumPy (Debian tesseract-ocr, python3-pil, python3-numpy). Exit status 1 when a
target is missed.
"""

from __future__ import annotations

import csv
import io
import json
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
from PIL import Image

TOLERANCE = 0.002  # of a budget
missed = []


def row(what: str, got: str, target: str, met: bool | None) -> None:
    mark = "" if met is None else "met" if met else "MISSED"
    if met is False:
        missed.append(what)
    print(f"| {what} | {got} | {target} | {mark} |", flush=True)


def edition(tool: str, source: Path, out: Path, *options: str) -> tuple[dict, float]:
    start = time.monotonic()
    done = subprocess.run([tool, "make", source, "-o", out, "--bleed", "0mm", "--threads", "1", *options],
                          capture_output=True, text=True, check=False)
    if done.returncode not in (0, 3):
        sys.exit(done.stderr)
    return json.loads((out / "report.json").read_text()), time.monotonic() - start


def words(picture: Path) -> list[str]:
    """Words of three letters or more that are read with a confidence of 70 or more."""
    # More threads make a small picture slower.
    shown = subprocess.run(["tesseract", picture, "-", "--psm", "11", "--dpi", "300", "-l", "eng", "tsv"],
                           capture_output=True, text=True, check=True,
                           env={**os.environ, "OMP_THREAD_LIMIT": "1"}).stdout
    found = []
    for entry in csv.DictReader(io.StringIO(shown), delimiter="\t", quoting=csv.QUOTE_NONE):
        word = "".join(c for c in entry["text"] or "" if c.isalpha()).lower()
        if len(word) >= 3 and float(entry["conf"]) >= 70:
            found.append(word)
    return found


def kept(report: dict) -> tuple[int, int]:
    judged = [line for face in report["faces"] for line in face["text"]
              if line["kind"] == "line" and line["confidence"] >= 0.5 and line["contrast"] >= 1.5]
    return sum(line["kept"] is not False for line in judged), len(judged)


def darker(plain: Path, proof: Path, face: dict) -> float:
    """Share of the pixels away from text that are darker than in the plain gray of the same face."""
    a = np.asarray(Image.open(plain), np.int16)
    b = np.asarray(Image.open(proof), np.int16)
    away = np.ones(a.shape, bool)
    for line in face["text"]:
        x, y, w, h = line["box_px"]
        x, y = x - face["trim_px"][0], y - face["trim_px"][1]
        away[max(0, y - 4):max(0, y + h + 4), max(0, x - 4):max(0, x + w + 4)] = False
    return float(((b < a - 2) & away).sum() / away.size)


def measure(tool: str, source: Path, scratch: Path, name: str, least_kept: float) -> None:
    plain, _ = edition(tool, source, scratch / "plain", "--ink-budget", "100%")
    gray, gray_s = edition(tool, source, scratch / "gray")
    tint, tint_s = edition(tool, source, scratch / "tint", "--style", "tint")
    _, color_s = edition(tool, source, scratch / "color", "--style", "color")
    faces = len(gray["faces"])

    def total(report: dict) -> float:
        return sum(face["ink"]["proof"]["total"] for face in report["faces"])

    saved = 1 - total(gray) / total(plain)
    row(f"{name}: K saved, gray against plain gray", f"{saved:.1%}", ">= 75 %", saved >= 0.75)
    source_ink = sum(face["ink"]["source"]["total"] for face in tint["faces"])
    row(f"{name}: all inks saved, tint against the face", f"{1 - total(tint) / source_ink:.1%}", "", None)
    for style, report in (("gray", gray), ("tint", tint)):
        count, of = kept(report)
        row(f"{name}: text lines kept, {style}", f"{count} of {of}, {count / of:.2%}", f">= {least_kept:.1%}",
            count >= least_kept * of)
    share = max(darker(scratch / "plain" / face["proof_file"], scratch / "gray" / face["proof_file"], face)
                for face in gray["faces"])
    row(f"{name}: pixels away from text darker than the face, worst face", f"{share:.2%}", "rules only", None)
    before = after = same = 0
    for face in gray["faces"]:
        was = words(scratch / "plain" / face["proof_file"])
        now = words(scratch / "gray" / face["proof_file"])
        before += len(was)
        after += len(now)
        left = list(now)
        for word in was:
            if word in left:
                left.remove(word)
                same += 1
    row(f"{name}: words read on the face and still on the proof", f"{same} of {before}, {same / before:.2%}",
        ">= 99 %", same >= 0.99 * before)
    row(f"{name}: words read on the proofs over words read on the faces", f"{after / before:.2f}", ">= 1.10",
        after >= 1.10 * before)
    per_face = 1000 / faces
    row(f"{name}: ms a face, gray over color, one thread", f"{(gray_s - color_s) * per_face:.0f}",
        "<= 45 at 750 x 1050", None)
    row(f"{name}: ms a face, tint over color, one thread", f"{(tint_s - color_s) * per_face:.0f}", "", None)


def budgets(tool: str, source: Path, scratch: Path) -> None:
    for style, shares in (("gray", (30, 20, 12, 8, 5, 3, 2, 1)), ("tint", (60, 30, 15, 8, 4))):
        met = told = of = 0
        for share in shares:
            report, _ = edition(tool, source, scratch / "budget", "--style", style, "--ink-budget", f"{share}%")
            for face in report["faces"]:
                of += 1
                within = face["ink"]["proof"]["total"] <= share / 100 + TOLERANCE
                says = any(finding["rule"] == "budget-missed" for finding in face["findings"])
                met += within and not says
                told += says and not within
        row(f"budgets met or told, {style}, {len(shares)} budgets", f"{met} met, {told} told, of {of}", "all",
            met + told == of)


def main() -> int:
    tool, deck, scratch = sys.argv[1], Path(sys.argv[2]), Path(sys.argv[3])
    print("| | measured | target | |\n| --- | --- | --- | --- |")
    measure(tool, deck, scratch, "demo", 1.0)
    budgets(tool, deck, scratch)
    if len(sys.argv) > 4:
        measure(tool, Path(sys.argv[4]), scratch / "generated", "generated", 0.995)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
