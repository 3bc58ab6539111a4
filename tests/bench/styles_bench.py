#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What the styles save, keep and cost, against their targets.

    styles_bench.py PALEPROOF DECK SCRATCH [GENERATED] [--sheet FILE]

DECK is the demo deck as fixtures/make/demo_deck.sh draws it; GENERATED a folder of PNG faces with their
truth from tests/bench/text/make_faces.py. Needs tesseract, Pillow and NumPy (Debian tesseract-ocr,
python3-pil, python3-numpy). Exit status 1 when a target is
missed, or a known miss grew. `--sheet` draws the words that are
lost, source beside proof.

What an OCR engine makes of art is no word of the game, so only true words count: those that the SVG
sources of the demo deck, or the truth of the generated faces, have on that face; case and punctuation
do not matter. They are read twice: line by line, each cut out of face and proof in the same way, and on
whole faces in the engine's sparse mode, where a word counts as read again only in its place. Drawn
proofs are brought to the size of the face, and the engine is told 300 ppi for both.

On whole faces a word is one of the face when the engine is sure of it there (confidence of 70). Whether
it is sure again is no question of letters alone: of its own words on the same faces, enlarged by 2 %, it
is sure of 96 % again. That share is printed too.
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
SURE = 70  # confidence of the engine
STYLES = ("gray", "tint", "line", "hatch")
X_HEIGHT = 22  # pixels at which lines are read: the engine wants capitals of about 30
# What is known to miss its target must hold these values, a point under what docs/benchmarks.md has:
# a bench that always fails tells nothing.
HOLDS = {
    ("line by line", "again"): {"gray": 0.98, "tint": 0.975, "line": 0.975, "hatch": 0.975},
    ("on whole faces", "again"): {"gray": 0.975, "tint": 0.95, "line": 0.95, "hatch": 0.90},
    ("line by line", "over"): {"gray": 0.98, "tint": 0.98, "line": 0.98, "hatch": 0.98},
    ("on whole faces", "over"): {"gray": 1.01, "tint": 1.01, "line": 1.01, "hatch": 1.01},
}
failed = []


def row(what: str, got: str, target: str, met: bool | None, holds: bool = False) -> None:
    """`holds`: a known miss that is no worse than it was."""
    mark = "" if met is None else "met" if met else "missed" if holds else "MISSED"
    if met is False and not holds:
        failed.append(what)
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


@dataclass
class Word:
    text: str
    confidence: float
    x: float  # its middle
    y: float
    height: float


def engine(pictures: list[Path], mode: int) -> list[list[Word]]:
    """Words of each picture."""
    listed = pictures[0].with_suffix(".list")
    listed.write_text("\n".join(map(str, pictures)) + "\n")
    shown = subprocess.run(["tesseract", listed, "-", "--psm", str(mode), "--dpi", "300", "-l", "eng", "tsv"],
                           capture_output=True, text=True, check=True,
                           env={**os.environ, "OMP_THREAD_LIMIT": "1"}).stdout
    found: list[list[Word]] = []
    for entry in csv.DictReader(io.StringIO(shown), delimiter="\t", quoting=csv.QUOTE_NONE):
        if entry["level"] == "1":
            found.append([])
        if entry["text"]:
            x, y, w, h = (int(entry[key]) for key in ("left", "top", "width", "height"))
            found[-1].append(Word(entry["text"], float(entry["conf"]), x + w / 2, y + h / 2, h))
    return found


def true_words(read: list[Word], true: Counter, least: int) -> Counter:
    words = Counter(w for word in read for w in folded(word.text) if len(w) >= least)
    return words & true


def again_in_place(was: list[Word], now: list[Word], true: Counter) -> tuple[int, int, list[Word]]:
    """True words of three letters and more of which the engine was sure; how many of them are read
    again where they were; and those that are not."""
    left = Counter(true)
    count = again = 0
    lost = []
    for word in was:
        for text in folded(word.text):
            if len(text) < 3 or word.confidence < SURE or left[text] == 0:
                continue
            left[text] -= 1
            count += 1
            # Half of a long word may stand in another box; a line apart is another word.
            there = any(text in folded(other.text) and abs(other.y - word.y) <= max(word.height, other.height)
                        and abs(other.x - word.x) <= 3 * max(word.height, other.height) for other in now)
            again += there
            if not there:
                lost.append(word)
    return count, again, lost


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

    def share(self) -> str:
        return f"{self.again} of {self.before}, {self.again / max(1, self.before):.2%}"


class Faces:
    """The faces of a deck in plain gray and what the engine reads on them."""

    def __init__(self, source: Path, report: dict, folder: Path) -> None:
        self.folder = folder
        self.report = report
        self.true = [truth(source, face) for face in report["faces"]]
        self.pictures = [Image.open(folder / face["proof_file"]).convert("L") for face in report["faces"]]
        self.cuts = [(index, line) for index, face in enumerate(report["faces"]) for line in face["text"]
                     if line["kind"] == "line" and line["confidence"] >= 0.5]
        self.lines = self.read_lines(self.pictures, folder)
        self.words = self.read_faces(self.pictures, folder)

    def read_lines(self, pictures: list[Image.Image], folder: Path) -> list[list[Word]]:
        (folder / "cuts").mkdir(exist_ok=True)
        names = []
        for number, (index, line) in enumerate(self.cuts):
            names.append(folder / "cuts" / f"{number}.png")
            cut_out(pictures[index], self.report["faces"][index], line).save(names[-1])
        return engine(names, 7) if names else []

    def read_faces(self, pictures: list[Image.Image], folder: Path) -> list[list[Word]]:
        (folder / "read").mkdir(exist_ok=True)
        names = []
        for number, picture in enumerate(pictures):
            names.append(folder / "read" / f"{number}.png")
            picture.save(names[-1], compress_level=1)
        return engine(names, 11)

    def proofs(self, report: dict, folder: Path) -> list[Image.Image]:
        """At the size of the faces."""
        shown = []
        for face, own in zip(report["faces"], self.pictures):
            proof = Image.open(folder / face["proof_file"]).convert("L")
            shown.append(proof if proof.size == own.size else proof.resize(own.size, Image.LANCZOS))
        return shown

    def line_by_line(self, pictures: list[Image.Image], folder: Path, lost: list[Lost]) -> Reading:
        reading = Reading()
        for (index, line), before, after in zip(self.cuts, self.lines, self.read_lines(pictures, folder)):
            was, now = (true_words(read, self.true[index], 2) for read in (before, after))
            reading.before += sum(was.values())
            reading.after += sum(now.values())
            reading.again += sum((was & now).values())
            face = self.report["faces"][index]
            lost += [Lost(word, face["name"], *(cut_out(p[index], face, line) for p in (self.pictures, pictures)))
                     for word in (was - now).elements()]
        return reading

    def on_whole_faces(self, pictures: list[Image.Image], folder: Path, lost: list[Lost]) -> tuple[Reading, Reading]:
        """The words that are read again, and those of which the engine is sure again."""
        any_way, surely = Reading(), Reading()
        read = self.read_faces(pictures, folder)
        for index, (before, after) in enumerate(zip(self.words, read)):
            sure = [word for word in after if word.confidence >= SURE]
            for reading, now in ((any_way, after), (surely, sure)):
                count, again, gone = again_in_place(before, now, self.true[index])
                reading.before += count
                reading.again += again
                reading.after += sum(true_words(sure, self.true[index], 3).values())
                if reading is any_way:
                    for word in gone:
                        box = tuple(round(v) for v in (word.x - 4 * word.height, word.y - word.height,
                                                       word.x + 4 * word.height, word.y + word.height))
                        lost.append(Lost(word.text, self.report["faces"][index]["name"],
                                         self.pictures[index].crop(box), pictures[index].crop(box)))
        return any_way, surely

    def enlarged(self) -> Reading:
        """What the engine is sure of again on the faces themselves, 2 % larger."""
        scale = 1.02
        read = self.read_faces([p.resize((round(p.width * scale), round(p.height * scale)), Image.LANCZOS)
                                for p in self.pictures], self.folder)
        reading = Reading()
        for before, after, true in zip(self.words, read, self.true):
            now = [Word(w.text, w.confidence, w.x / scale, w.y / scale, w.height / scale) for w in after
                   if w.confidence >= SURE]
            count, again, _ = again_in_place(before, now, true)
            reading.before += count
            reading.again += again
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


def symbols_kept(report: dict) -> tuple[int, int]:
    told = [symbol["kept"] for face in report["faces"] for symbol in face["symbols"] if symbol["kept"] is not None]
    return sum(told), len(told)


def marks_kept(report: dict) -> tuple[int, int]:
    told = [line["kept"] for face in report["faces"] for line in face["text"]
            if line["kind"] == "mark" and line["kept"] is not None and line["contrast"] >= 1.5]
    return sum(told), len(told)


def measure(tool: str, source: Path, scratch: Path, name: str, least_kept: float, lost: list[Lost]) -> None:
    plain, _ = edition(tool, source, scratch / "plain", "--ink-budget", "100%")
    made = {style: edition(tool, source, scratch / style, "--style", style)
            for style in ("gray", "tint", "line", "hatch", "color")}
    faces = len(plain["faces"])

    def total(report: dict) -> float:
        return sum(face["ink"]["proof"]["total"] for face in report["faces"])

    # The floor of ink is that of plain gray; tint is printed in all inks.
    for style, least in (("gray", 0.75), ("line", 0.88), ("hatch", 0.80)):
        saved = 1 - total(made[style][0]) / total(plain)
        row(f"{name}: K saved, {style} against plain gray", f"{saved:.1%}", f">= {least:.0%}", saved >= least)
    tint = made["tint"][0]
    source_ink = sum(face["ink"]["source"]["total"] for face in tint["faces"])
    row(f"{name}: all inks saved, tint against the face", f"{1 - total(tint) / source_ink:.1%}", "", None)
    for style in STYLES:
        report = made[style][0]
        count, of = kept(report)
        row(f"{name}: text lines kept, {style}", f"{count} of {of}, {count / of:.2%}", f">= {least_kept:.1%}",
            count >= least_kept * of)
        # Generated faces have icons over art and in it, which the demo deck's rules exclude.
        for what, (count, of) in (("symbols", symbols_kept(report)), ("single marks", marks_kept(report))):
            if of > 0:
                row(f"{name}: {what} kept, {style}", f"{count} of {of}", "all" if name == "demo" else "",
                    count == of if name == "demo" else None)
    share = max(darker(scratch / "plain" / face["proof_file"], scratch / "gray" / face["proof_file"], face)
                for face in plain["faces"])
    row(f"{name}: pixels away from text darker than the face, worst face", f"{share:.2%}", "rules only", None)
    shown = Faces(source.parent if source.is_file() else source, plain, scratch / "plain")
    for style in STYLES:
        report = made[style][0]
        proofs = shown.proofs(report, scratch / style)
        lines = shown.line_by_line(proofs, scratch / style, lost)
        words, surely = shown.on_whole_faces(proofs, scratch / style, lost)
        for what, reading in (("line by line", lines), ("on whole faces", words)):
            row(f"{name}: true words read on the face and on the proof, {what}, {style}", reading.share(), ">= 99 %",
                reading.again >= 0.99 * reading.before,
                reading.again >= HOLDS[what, "again"][style] * reading.before)
            row(f"{name}: true words read on the proofs over those on the faces, {what}, {style}",
                f"{reading.after / reading.before:.3f}", ">= 1.10", reading.after >= 1.10 * reading.before,
                reading.after >= HOLDS[what, "over"][style] * reading.before)
        row(f"{name}: the engine is as sure of them on the proof, on whole faces, {style}", surely.share(), "", None)
    row(f"{name}: the engine is as sure of them on the face itself, 2 % larger", shown.enlarged().share(), "", None)
    for style in STYLES:
        row(f"{name}: ms a face, {style} over color, one thread",
            f"{1000 * (made[style][1] - made['color'][1]) / faces:.0f}", "", None)


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
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
