# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Fonts, art and icons of one split, read once and shared by the drawing processes."""

from __future__ import annotations

import csv
import functools
import random
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageFont

from canvas import luminance_plane


@dataclass(frozen=True)
class Face:
    """One font file."""

    path: str
    group: str
    accents: bool


@dataclass
class Art:
    pixels: np.ndarray  # (h, w, C) uint8
    kind: str  # photo, drawing or card


@dataclass
class Icon:
    pixels: np.ndarray  # (h, w, C) uint8
    alpha: np.ndarray  # (h, w) uint8


def rows(path: Path, split: str) -> list[dict[str, str]]:
    with path.open(newline="") as source:
        return [r for r in csv.DictReader(source) if r["split"] == split]


@functools.lru_cache(maxsize=768)
def sized(path: str, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)


class Library:
    def __init__(self, data: Path, split: str, color: bool, threads: int = 8):
        self.color = color
        self.families: dict[str, list[Face]] = {}
        for r in rows(data / "fonts.csv", split):
            face = Face(str(data / r["file"]), r["group"], r["accents"] == "1")
            self.families.setdefault(r["group"], []).append(face)
        self.names = sorted(self.families)
        with ThreadPoolExecutor(threads) as pool:
            self.art = list(pool.map(lambda r: self._art(data, r), rows(data / "art.csv", split)))
            self.icons = list(
                pool.map(lambda r: self._icon(data, r), rows(data / "icons.csv", split))
            )
        self.by_kind = {
            k: [a for a in self.art if a.kind == k] for k in ("photo", "drawing", "card")
        }

    def _channels(self, rgb: np.ndarray) -> np.ndarray:
        return rgb if self.color else luminance_plane(rgb)[..., None]

    def _art(self, data: Path, row: dict[str, str]) -> Art:
        image = Image.open(data / row["file"]).convert("RGB")
        return Art(self._channels(np.asarray(image)), row["kind"])

    def _icon(self, data: Path, row: dict[str, str]) -> Icon:
        image = np.asarray(Image.open(data / row["file"]).convert("RGBA"))
        return Icon(self._channels(image[..., :3]), np.ascontiguousarray(image[..., 3]))

    def face(self, rng: random.Random) -> Face:
        """Families are equally likely, however many styles they have."""
        return rng.choice(self.families[rng.choice(self.names)])

    def some_art(self, rng: random.Random) -> Art:
        q = rng.random()
        kind = "photo" if q < 0.5 else "drawing" if q < 0.9 else "card"
        return rng.choice(self.by_kind[kind] or self.art)

    def icon(self, rng: random.Random) -> Icon:
        return rng.choice(self.icons)
