#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What the gray and tint styles save, keep and cost, against their targets.

    styles_bench.py PALEPROOF DECK SCRATCH [GENERATED] [--sheet FILE]

DECK is the demo deck as fixtures/make/demo_deck.sh draws it; GENERATED a folder of PNG faces with their
truth from tests/bench/text/make_faces.py. Needs tesseract, Pillow and NumPy (Debian tesseract-ocr,
python3-pil, python3-numpy). Exit status 1 when a target is missed. `--sheet` draws the words that are
lost, source beside proof.

What an OCR engine makes of art is no word of the game, so only true words count: those that the SVG
sources of the demo deck, or the truth of the generated faces, have on that face; case and punctuation
do not matter. They are read twice: line by line, each cut out of face and proof in the same way, and on
whole faces in the engine's sparse mode.
"""

from __future__ import annotations

import argparse
import csv
import io
import json
import os
import re
import subprocess
import sys
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

TOLERANCE = 0.002  # of a budget
SVG = Path(__file__).parents[2] / "fixtures/demo/svg"
X_HEIGHT = 22  # pixels at which lines are read: the engine wants capitals of about 30
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


def folded(text: str) -> list[str]:
    """Words of two letters or figures and more, without case and punctuation."""
    bare = ("".join(c for c in word if c.isalnum()).lower() for word in text.split())
    return [word for word in bare if len(word) >= 2]


def truth(source: Path, face: dict) -> Counter:
    """The words that stand on a face."""
    stem = Path(face["source"]).stem
    known = source / f"{stem}.json" if source.is_dir() else None
    if known is not None and known.exists():
        return Counter(word for line in json.loads(known.read_text())["lines"] for word in folded(line["text"]))
    drawn = (SVG / f"{stem}.svg").read_text()
    # A title's shadow is the same text once more, blurred.
    texts = [text for how, text in re.findall(r"<text([^>]*)>([^<]*)", drawn) if "filter=" not in how]
    return Counter(word for text in texts for word in folded(text.replace("&amp;", "&")))


def engine(pictures: Path, mode: int) -> list[list[tuple[str, float]]]:
    """Words and confidences of each picture of a list."""
    shown = subprocess.run(["tesseract", pictures, "-", "--psm", str(mode), "--dpi", "300", "-l", "eng", "tsv"],
                           capture_output=True, text=True, check=True,
                           env={**os.environ, "OMP_THREAD_LIMIT": "1"}).stdout
    found: list[list[tuple[str, float]]] = []
    for entry in csv.DictReader(io.StringIO(shown), delimiter="\t", quoting=csv.QUOTE_NONE):
        if entry["level"] == "1":
            found.append([])
        if entry["text"]:
            found[-1].append((entry["text"], float(entry["conf"])))
    return found


def true_words(read: list[tuple[str, float]], true: Counter, least: int, confidence: float) -> Counter:
    words = Counter(w for text, conf in read if conf >= confidence for w in folded(text) if len(w) >= least)
    return words & true


def cut_out(picture: Image.Image, face: dict, line: dict) -> Image.Image:
    """A line as it is read: upright, dark on light, at a good size; nothing else is done to it."""
    per_mm = face["ppi"] / 25.4
    x_height = max(3.0, line["x_height_mm"] * per_mm)
    x, y, w, h = line["box_px"]
    x, y, edge = x - face["trim_px"][0], y - face["trim_px"][1], round(0.6 * x_height)
    part = picture.crop((max(0, x - edge), max(0, y - edge), min(picture.width, x + w + edge),
                         min(picture.height, y + h + edge)))
    part = part.rotate(90 * line["quarter_turns"], expand=True)
    scale = min(6.0, X_HEIGHT / x_height)
    part = part.resize((max(8, round(part.width * scale)), max(8, round(part.height * scale))), Image.LANCZOS)
    return part if np.median(np.asarray(part)) >= 128 else part.point(lambda code: 255 - code)


@dataclass
class Lost:
    word: str
    face: str
    source: Image.Image
    proof: Image.Image


@dataclass
class Reading:
    before: int = 0  # true words read on the faces
    after: int = 0  # on the proofs
    again: int = 0  # of those read on the faces

    def add(self, was: Counter, now: Counter) -> Counter:
        self.before += sum(was.values())
        self.after += sum(now.values())
        self.again += sum((was & now).values())
        return was - now


def read_lines(source: Path, report: dict, plain: Path, proofs: Path, lost: list[Lost]) -> Reading:
    cuts = []
    for face in report["faces"]:
        pictures = [Image.open(folder / face["proof_file"]).convert("L") for folder in (plain, proofs)]
        true = truth(source, face)
        for line in face["text"]:
            if line["kind"] == "line" and line["confidence"] >= 0.5:
                cuts.append((face["name"], true, *(cut_out(picture, face, line) for picture in pictures)))
    if not cuts:
        return Reading()
    folder = proofs / "cuts"
    folder.mkdir(exist_ok=True)
    names = []
    for index, cut in enumerate(cuts):
        for side, picture in zip("ab", cut[2:]):
            names.append(folder / f"{index}{side}.png")
            picture.save(names[-1])
    (folder / "list.txt").write_text("\n".join(map(str, names)) + "\n")
    read = engine(folder / "list.txt", 7)
    reading = Reading()
    for index, (name, true, before, after) in enumerate(cuts):
        was, now = (true_words(read[2 * index + side], true, 2, 0) for side in (0, 1))
        lost += [Lost(word, name, before, after) for word in reading.add(was, now).elements()]
    return reading


def read_faces(source: Path, report: dict, plain: Path, proofs: Path) -> Reading:
    """Words of three letters or more that are read with a confidence of 70 or more."""
    names = [folder / face["proof_file"] for face in report["faces"] for folder in (plain, proofs)]
    listed = proofs / "faces.txt"
    listed.write_text("\n".join(map(str, names)) + "\n")
    read = engine(listed, 11)
    reading = Reading()
    for index, face in enumerate(report["faces"]):
        true = truth(source, face)
        reading.add(*(true_words(read[2 * index + side], true, 3, 70) for side in (0, 1)))
    return reading


def lost_sheet(lost: list[Lost], file: Path) -> None:
    rows = [max(cut.source.height, cut.proof.height) + 22 for cut in lost]
    sheet = Image.new("L", (max([1200] + [c.source.width + c.proof.width + 20 for c in lost]), sum(rows) + 1), 200)
    y = 0
    for cut, row in zip(lost, rows):
        ImageDraw.Draw(sheet).text((2, y + 2), f"{cut.face}: {cut.word}", fill=0)
        sheet.paste(cut.source, (0, y + 18))
        sheet.paste(cut.proof, (cut.source.width + 20, y + 18))
        y += row
    sheet.save(file)


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


def measure(tool: str, source: Path, scratch: Path, name: str, least_kept: float, lost: list[Lost]) -> None:
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
    for what, reading in (("line by line", read_lines(source.parent if source.is_file() else source, gray,
                                                      scratch / "plain", scratch / "gray", lost)),
                          ("on whole faces", read_faces(source.parent if source.is_file() else source, gray,
                                                        scratch / "plain", scratch / "gray"))):
        row(f"{name}: true words read on the face and on the proof, {what}",
            f"{reading.again} of {reading.before}, {reading.again / reading.before:.2%}", ">= 99 %",
            reading.again >= 0.99 * reading.before)
        row(f"{name}: true words read on the proofs over those on the faces, {what}",
            f"{reading.after / reading.before:.3f}", ">= 1.10", reading.after >= 1.10 * reading.before)
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
    parser = argparse.ArgumentParser()
    parser.add_argument("tool")
    parser.add_argument("deck", type=Path)
    parser.add_argument("scratch", type=Path)
    parser.add_argument("generated", type=Path, nargs="?")
    parser.add_argument("--sheet", type=Path)
    parser.add_argument("--no-budgets", action="store_true")
    given = parser.parse_args()
    print("| | measured | target | |\n| --- | --- | --- | --- |")
    lost: list[Lost] = []
    measure(given.tool, given.deck, given.scratch, "demo", 1.0, lost)
    if not given.no_budgets:
        budgets(given.tool, given.deck, given.scratch)
    if given.generated:
        measure(given.tool, given.generated, given.scratch / "generated", "generated", 0.995, lost)
    if given.sheet:
        lost_sheet(lost, given.sheet)
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
