# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What an OCR engine (Tesseract) reads on faces and on their proofs: see styles_bench.py."""

from __future__ import annotations

import csv
import io
import json
import os
import re
import subprocess
from collections import Counter
from dataclasses import dataclass
from functools import reduce
from operator import or_
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw

SVG = Path(__file__).parents[2] / "fixtures/demo/svg"
SURE = 70  # confidence of the engine
SIZES = (1.0, 0.98, 1.02)  # at which pictures are read
FAINT = 3.0  # WCAG 2.2 asks for this contrast, 3 : 1, of large text
X_HEIGHT = 22  # pixels at which lines are read: the engine wants capitals of about 30


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


def same_place(one: Word, other: Word, apart: float) -> bool:
    """A line apart is another word."""
    height = max(one.height, other.height)
    return abs(one.y - other.y) <= height and abs(one.x - other.x) <= apart * height


def pooled(readings: list[list[Word]]) -> list[Word]:
    """Each word of several readings once, the surest of those that are the same in one place."""
    words: list[Word] = []
    for word in sorted((w for read in readings for w in read), key=lambda w: -w.confidence):
        if not any(folded(w.text) == folded(word.text) and same_place(w, word, 1.0) for w in words):
            words.append(word)
    return words


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
            # Half of a long word may stand in another box.
            there = any(text in folded(other.text) and same_place(word, other, 3.0) for other in now)
            again += there
            if not there:
                lost.append(word)
    return count, again, lost


def cut_out(picture: Image.Image, face: dict, line: dict, size: float = 1.0) -> Image.Image:
    """A line as it is read: upright, dark on light, at `size` times a good size; nothing else is done to it."""
    per_mm = face["ppi"] / 25.4
    x_height = max(3.0, line["x_height_mm"] * per_mm)
    x, y, w, h = line["box_px"]
    x, y, edge = x - face["trim_px"][0], y - face["trim_px"][1], round(0.6 * x_height)
    part = picture.crop((max(0, x - edge), max(0, y - edge), min(picture.width, x + w + edge),
                         min(picture.height, y + h + edge)))
    part = part.rotate(90 * line["quarter_turns"], expand=True)
    scale = size * min(6.0, X_HEIGHT / x_height)
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

    def add(self, was: Counter, now: Counter) -> None:
        self.before += was.total()
        self.after += now.total()
        self.again += (was & now).total()

    def share(self) -> str:
        return f"{self.again} of {self.before}, {self.again / max(1, self.before):.2%}"

    def gain(self) -> str:
        return f"{self.after} over {self.before}, {self.after / max(1, self.before) - 1:+.1%}"


def added(before: list[Counter], after: list[Counter]) -> Reading:
    reading = Reading()
    for was, now in zip(before, after):
        reading.add(was, now)
    return reading


class Faces:
    """The faces of a deck in plain gray and what the engine reads on them."""

    def __init__(self, source: Path, report: dict, folder: Path) -> None:
        self.folder = folder
        self.report = report
        self.true = [truth(source, face) for face in report["faces"]]
        self.pictures = [Image.open(folder / face["proof_file"]).convert("L") for face in report["faces"]]
        self.cuts = [(index, line) for index, face in enumerate(report["faces"]) for line in face["text"]
                     if line["kind"] == "line" and line["confidence"] >= 0.5]
        self.lines = self.read_lines(self.pictures, folder)  # by size
        self.words = self.read_faces(self.pictures, folder)  # by size

    def read_lines(self, pictures: list[Image.Image], folder: Path) -> dict[float, list[Counter]]:
        """The true words of each line as read at each size."""
        (folder / "cuts").mkdir(exist_ok=True)
        found = {}
        for size in SIZES:
            names = []
            for number, (index, line) in enumerate(self.cuts):
                names.append(folder / "cuts" / f"{number}.png")
                cut_out(pictures[index], self.report["faces"][index], line, size).save(names[-1])
            found[size] = [true_words(read, self.true[index], 2)
                           for (index, _), read in zip(self.cuts, engine(names, 7) if names else [])]
        return found

    def read_faces(self, pictures: list[Image.Image], folder: Path) -> dict[float, list[list[Word]]]:
        """The words of each picture as read at each size, in places of the face."""
        (folder / "read").mkdir(exist_ok=True)
        found = {}
        for size in SIZES:
            names = []
            for number, picture in enumerate(pictures):
                names.append(folder / "read" / f"{number}.png")
                if size != 1.0:
                    picture = picture.resize((round(picture.width * size), round(picture.height * size)),
                                             Image.LANCZOS)
                picture.save(names[-1], compress_level=1)
            found[size] = [[Word(w.text, w.confidence, w.x / size, w.y / size, w.height / size) for w in words]
                           for words in engine(names, 11)]
        return found

    def proofs(self, report: dict, folder: Path) -> list[Image.Image]:
        """At the size of the faces."""
        shown = []
        for face, own in zip(report["faces"], self.pictures):
            proof = Image.open(folder / face["proof_file"]).convert("L")
            shown.append(proof if proof.size == own.size else proof.resize(own.size, Image.LANCZOS))
        return shown

    def line_by_line(self, pictures: list[Image.Image], folder: Path,
                     lost: list[Lost]) -> tuple[Reading, Reading, Reading]:
        """Of all lines, and of those that are faint on the face, what the readings of all sizes have
        together; and what the reading at a good size has alone."""
        read = self.read_lines(pictures, folder)
        every, faint = Reading(), Reading()
        for cut, (index, line) in enumerate(self.cuts):
            was, now = (reduce(or_, (words[cut] for words in readings.values())) for readings in (self.lines, read))
            for reading in (every, faint) if line["contrast"] < FAINT else (every,):
                reading.add(was, now)
            face = self.report["faces"][index]
            lost += [Lost(word, face["name"], *(cut_out(p[index], face, line) for p in (self.pictures, pictures)))
                     for word in (was - now).elements()]
        return every, faint, added(self.lines[1.0], read[1.0])

    def lines_resized(self, size: float) -> Reading:
        """What one reading has again of the lines of the faces themselves at another size."""
        return added(self.lines[1.0], self.lines[size])

    def on_whole_faces(self, pictures: list[Image.Image], folder: Path, lost: list[Lost]) -> tuple[Reading, Reading]:
        """What the readings of all sizes have together, and the reading at the face's own size alone."""
        read = self.read_faces(pictures, folder)
        together = self.compared({size: self.words[size] for size in SIZES}, read, pictures, lost)
        return together, self.compared({1.0: self.words[1.0]}, {1.0: read[1.0]}, pictures, [])

    def compared(self, faces: dict[float, list[list[Word]]], proofs: dict[float, list[list[Word]]],
                 pictures: list[Image.Image], lost: list[Lost]) -> Reading:
        reading = Reading()
        for index, true in enumerate(self.true):
            before, after = (pooled([words[index] for words in read.values()]) for read in (faces, proofs))
            count, again, gone = again_in_place(before, after, true)
            reading.before += count
            reading.again += again
            reading.after += again_in_place(after, after, true)[0]
            for word in gone:
                box = tuple(round(v) for v in (word.x - 4 * word.height, word.y - word.height,
                                               word.x + 4 * word.height, word.y + word.height))
                lost.append(Lost(word.text, self.report["faces"][index]["name"], self.pictures[index].crop(box),
                                 pictures[index].crop(box)))
        return reading

    def resized(self, size: float) -> Reading:
        """What one reading has again of the faces themselves at another size."""
        return self.compared({1.0: self.words[1.0]}, {size: self.words[size]}, self.pictures, [])


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
