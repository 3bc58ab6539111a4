# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Nets side by side on faces with fonts, art and icons that training never saw.

    bench_net.py DATA NET.onnx ... [--faces 80] [--threshold 0] [--peaks 0,1,2,3] [--show FOLDER]

Faces are 2.5 x 3.5 in at 300 ppi, drawn in color from fixed seeds. A net with one input channel
gets relative luminance, one with three gets RGB, each at half size. A line is found when half of
its band answers; a false one is a connected part of the answer that touches no true line, mark or
faint text. Milliseconds are OpenCV's dnn on one thread. Run with Debian's python3-opencv 4.6.
"""

from __future__ import annotations

import argparse
import random
import time
from collections import defaultdict
from dataclasses import dataclass
from pathlib import Path

import cv2
import numpy as np

import textures
from canvas import Canvas, Rect, luminance_plane
from decoys import emblems, icons
from draw import degraded, face
from evaluate import FOUND_SHARE, components
from library import Library
from scene import paint_ground, some_luminance

WIDTH, HEIGHT, SCALE = 376, 526, 2.0
SEED = 1_950_000_000
EASY = {
    "photo": None,
    "facets": textures.facets,
    "leaves": textures.leaves,
    "clouds": textures.clouds,
}
HARD = {
    "icons": None,
    "emblems": None,
    "halftone": None,
    "motifs": textures.glyphlike,
    "stripes": textures.stripes,
    "hatching": textures.hatching,
    "dots": textures.dots,
    "checks": textures.checks,
    "chain": textures.chain,
    "bars": textures.bars,
    "wires": textures.wires,
    "bricks": textures.bricks,
    "strokes": textures.strokes,
    "contours": textures.contours,
    "rosette": textures.rosette,
    "fringe": textures.fringe,
    "twigs": textures.twigs,
    "wood": textures.woodgrain,
    "noise": textures.noise,
}


@dataclass
class Sample:
    group: str  # card, mosaic, easy or hard
    kind: str
    canvas: Canvas
    rgb: np.ndarray
    labels: np.ndarray


def bare(kind: str, seed: int, lib: Library) -> Canvas:
    """A face of one texture, without text."""
    rng = random.Random(seed)
    canvas = Canvas(rng, WIDTH, HEIGHT, SCALE, lib.color)
    whole = Rect(0, 0, canvas.w, canvas.h)
    if kind == "photo":
        lib_art = rng.choice(lib.by_kind["photo"]).pixels
        canvas.put(0, 0, cv2.resize(lib_art, (canvas.w, canvas.h), interpolation=cv2.INTER_AREA))
    elif kind in ("icons", "emblems"):
        paint_ground(canvas, lib, whole) if rng.random() < 0.5 else canvas.fill(
            whole, canvas.tone(some_luminance(rng))
        )
        for j in range(5):
            rows = icons if kind == "icons" else emblems
            rows(canvas, lib, Rect(40, 40 + j * 200, canvas.w - 80, 180), "flat")
    elif kind == "halftone":
        art = textures.art_pixels(canvas, lib, canvas.w, canvas.h)
        field = textures.halftone(rng, cv2.cvtColor(art, cv2.COLOR_RGB2GRAY), SCALE)
        canvas.put(0, 0, textures.toned(canvas, field, rng.random() * 0.2, 0.5 + rng.random() / 2))
    else:
        field = {**EASY, **HARD}[kind](rng, canvas.w, canvas.h, SCALE)
        canvas.put(0, 0, textures.toned(canvas, field, rng.random() ** 2, rng.random() ** 2))
    degraded(canvas)
    return canvas


def samples(lib: Library, faces: int):
    for i in range(faces):
        layout = "card" if i % 3 else "mosaic"
        canvas = face(SEED + i, lib, WIDTH, HEIGHT, scale=SCALE, written=True, layout=layout)
        yield Sample(layout, layout, canvas, canvas.net_pixels(), canvas.labels())
    for group, kinds in (("easy", EASY), ("hard", HARD)):
        for k, kind in enumerate(kinds):
            for i in range(max(1, faces // 20)):
                canvas = bare(
                    kind, SEED + 10_000 + 100 * k + i + (5000 if group == "hard" else 0), lib
                )
                yield Sample(group, kind, canvas, canvas.net_pixels(), canvas.labels())


class Net:
    def __init__(self, path: Path):
        self.name, self.net = path.stem, cv2.dnn.readNetFromONNX(str(path))
        self.ms: list[float] = []
        self.gray = True
        try:
            self._forward(np.zeros((1, 1, 32, 32), np.float32))
        except cv2.error:
            self.net, self.gray = cv2.dnn.readNetFromONNX(str(path)), False

    def _forward(self, blob: np.ndarray) -> np.ndarray:
        self.net.setInput(blob)
        return self.net.forward()

    def logits(self, rgb: np.ndarray) -> np.ndarray:
        """(k, h/2, w/2) logits of an (h, w, 3) face at 150 ppi."""
        h, w = rgb.shape[:2]
        planes = luminance_plane(rgb)[None] if self.gray else rgb.transpose(2, 0, 1)
        padded = np.pad(planes, ((0, 0), (0, -h % 16), (0, -w % 16)), mode="edge")
        blob = np.ascontiguousarray(padded[None].astype(np.float32) / 255)
        start = time.perf_counter()
        out = self._forward(blob)[0]
        self.ms.append(1e3 * (time.perf_counter() - start))
        return out[:, : h // 2, : w // 2]


class Tally:
    """Found and true lines by key, false parts and faces by group."""

    def __init__(self) -> None:
        self.found: dict[str, int] = defaultdict(int)
        self.true: dict[str, int] = defaultdict(int)
        self.false: dict[str, int] = defaultdict(int)
        self.faces: dict[str, int] = defaultdict(int)

    def add(self, sample: Sample, either: np.ndarray, threshold: float, peak: float) -> None:
        kept = np.zeros(either.size, bool)
        parts = components(either > threshold, either, peak)
        for cells in parts:
            kept[cells] = True
        known = (sample.labels >= 20).any(0).ravel()
        false = sum(1 for cells in parts if not known[cells].any())
        for key in (sample.group, f"{sample.group}: {sample.kind}"):
            self.false[key] += false
            self.faces[key] += 1
        for line in sample.canvas.lines:
            area = np.zeros(either.shape, np.uint8)
            cv2.fillPoly(area, [np.rint(line.quad / 2 * 16 - 8).astype(np.int32)], 1, cv2.LINE_8, 4)
            cells = area.ravel() > 0
            if line.ignored or line.contrast < 1.6 or line.point_size < 5 or cells.sum() < 6:
                continue
            keys = ["marks"] if line.mark else ["lines", "lines on " + line.ground]
            if not line.mark and line.contrast < 2.5:
                keys.append("lines under 2.5 : 1")
            if not line.mark and line.angle % 180:
                keys.append("lines turned or slanted")
            for key in keys:
                self.true[key] += 1
                self.found[key] += kept[cells].mean() >= FOUND_SHARE

    def rows(self) -> dict[str, str]:
        out = {
            k: f"{100 * self.found[k] / self.true[k]:.1f} % of {self.true[k]}"
            for k in sorted(self.true)
        }
        out |= {"false, " + k: f"{self.false[k] / self.faces[k]:.2f}" for k in self.faces}
        return out


def main() -> None:
    p = argparse.ArgumentParser()
    p.add_argument("data", type=Path)
    p.add_argument("nets", type=Path, nargs="+")
    p.add_argument("--faces", type=int, default=80)
    p.add_argument("--peaks", default="0,1,2,3")
    p.add_argument("--threshold", type=float, default=0.0, help="logit of the cells that count")
    p.add_argument("--show", type=Path, help="write the faces with the answer of the first net")
    o = p.parse_args()
    cv2.setNumThreads(1)
    lib = Library(o.data, "held-out", color=True)
    peaks = [float(v) for v in o.peaks.split(",")]
    nets = [Net(path) for path in o.nets]
    tallies = {(n.name, peak): Tally() for n in nets for peak in peaks}
    for i, sample in enumerate(samples(lib, o.faces)):
        for n in nets:
            either = n.logits(sample.rgb).max(0)
            for peak in peaks:
                tallies[n.name, peak].add(sample, either, o.threshold, peak)
            if o.show and n is nets[0]:
                shown = sample.rgb[..., ::-1].astype(np.int32)
                answer = np.repeat(np.repeat(either > o.threshold, 2, 0), 2, 1)
                shown[..., 1] += np.where(answer, 100, 0)[: shown.shape[0], : shown.shape[1]]
                o.show.mkdir(parents=True, exist_ok=True)
                cv2.imwrite(
                    str(o.show / f"{i:03d}-{sample.kind}.png"), shown.clip(0, 255).astype(np.uint8)
                )
    columns = list(tallies)
    rows = {c: tallies[c].rows() for c in columns}
    print("| | " + " | ".join(f"{n}, peak {p:g}" for n, p in columns) + " |")
    print("| --- " * (len(columns) + 1) + "|")
    for key in rows[columns[0]]:
        print(f"| {key} | " + " | ".join(rows[c][key] for c in columns) + " |")
    for n in nets:
        print(
            f"{n.name}: {min(n.ms):.1f} ms a face at best, {np.median(n.ms):.1f} median, one thread"
        )


if __name__ == "__main__":
    main()
