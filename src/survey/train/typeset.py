# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Sets lines of text into a coverage mask with the exact band of each line.

The band is the quadrilateral between base line and x-height (cap height where a line has no lower
case), from the first glyph to the last. Units are canvas pixels.
"""

from __future__ import annotations

import functools
import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

import cv2
import numpy as np
from PIL import Image, ImageDraw

import words
from library import Face, sized

ICON = "\ue000"  # stands for an icon among the words


@dataclass
class Style:
    face: Face
    size: int  # em in pixels
    leading: float  # pixels from base line to base line
    tracking: float = 0.0
    stretch: float = 1.0
    shear: float = 0.0
    small_caps: float = 0.0  # size of the small capitals, 0 for none
    weight: float = 0.0  # pixels by which strokes are wider on both sides, -1..1
    angle: float = 0.0  # degrees, counterclockwise
    turns: int = 0  # quarter turns, counterclockwise


@dataclass
class Band:
    quad: np.ndarray  # (4, 2)
    text: str


@dataclass
class Block:
    ink: np.ndarray  # (h, w) uint8
    bands: list[Band] = field(default_factory=list)
    slots: list[np.ndarray] = field(default_factory=list)  # icons among the words, (4, 2)


@functools.lru_cache(maxsize=None)
def heights(path: str) -> tuple[float, float]:
    """x-height and cap height as shares of the em, read off large glyphs."""
    font = sized(path, 400)
    x, cap = (-font.getbbox(c, anchor="ls")[1] / 400 for c in "xH")
    return x, cap


def random_style(rng: random.Random, face: Face, size: int) -> Style:
    """The habits of card designers, with more of the rare ones than real cards have."""
    style = Style(face, size, size * rng.choice([1.0, 1.1, 1.2, 1.2, 1.3, 1.45, 1.7]))
    if rng.random() < 0.18:
        style.tracking = size * rng.choice([-0.03, 0.04, 0.08, 0.15, 0.25, 0.4])
    if rng.random() < 0.18:
        style.stretch = rng.uniform(0.68, 1.25)
    if rng.random() < 0.10:
        style.shear = rng.uniform(0.1, 0.3)
    if rng.random() < 0.12 and size > 16:
        style.weight = rng.uniform(-0.6, 0.8)
    if rng.random() < 0.10:
        style.small_caps = rng.uniform(0.72, 0.84)
    return style


def _pieces(style: Style, text: str) -> list[tuple[str, int, float]]:
    """Runs (text, size, tracking) that are drawn with one call each."""
    if style.small_caps:
        runs: list[tuple[str, int, float]] = []
        for c in text:
            size = max(4, round(style.size * style.small_caps)) if c.islower() else style.size
            up = c.upper() if len(c.upper()) == 1 else c
            if runs and runs[-1][1] == size and not style.tracking:
                runs[-1] = (runs[-1][0] + up, size, 0.0)
            else:
                runs.append((up, size, style.tracking))
        return runs
    if style.tracking:
        return [(c, style.size, style.tracking) for c in text]
    return [(text, style.size, 0.0)]


@functools.lru_cache(maxsize=60_000)
def run_length(path: str, size: int, text: str) -> float:
    return sized(path, size).getlength(text)


def width_of(style: Style, text: str) -> float:
    """Advance of a run before stretching."""
    if text == ICON:
        return style.size * 0.95
    path = style.face.path
    return sum(run_length(path, s, t) + k for t, s, k in _pieces(style, text))


def broken(style: Style, tokens: list[str], width: float) -> list[list[str]]:
    """Greedy line breaking; a token that is wider than the measure is dropped."""
    out: list[list[str]] = []
    space, used = width_of(style, " "), 0.0
    for token in tokens:
        w = width_of(style, token)
        if w > width:
            continue
        if out and used + space + w <= width:
            out[-1].append(token)
            used += space + w
        else:
            out.append([token])
            used = w
    return out


@functools.lru_cache(maxsize=None)
def figure_height(path: str, figure: str) -> float:
    """Share of the em; old-style figures differ among themselves."""
    return -sized(path, 400).getbbox(figure, anchor="ls")[1] / 400


def band_top(style: Style, text: str) -> float:
    """Height of the band over the base line."""
    x, cap = heights(style.face.path)
    letters = [c for c in text if c.isalpha()]
    figures = [figure_height(style.face.path, c) for c in text if c in "0123456789"]
    if figures and not letters:
        return sum(figures) / len(figures) * style.size
    if style.small_caps and any(c.islower() for c in letters):
        return cap * style.size * style.small_caps
    low = any(c.islower() for c in letters)
    return (x if low else cap) * style.size


def set_lines(style: Style, lines: list[list[str]], width: float, align: str) -> Block:
    """align: l, c, r or j. Lines are lists of words; ICON leaves a square hole."""
    pad = math.ceil(style.size * 0.55) + 2
    w = math.ceil(width) + 2 * pad
    h = math.ceil(style.leading * (len(lines) - 1) + style.size * 1.35) + 2 * pad
    image = Image.new("L", (w, h))
    draw = ImageDraw.Draw(image)
    block = Block(np.empty(0))
    for i, tokens in enumerate(lines):
        space = width_of(style, " ")
        widths = [width_of(style, t) for t in tokens]
        free = width - sum(widths) - space * (len(tokens) - 1)
        if align == "j" and len(tokens) > 2 and i < len(lines) - 1 and free < width * 0.3:
            space += free / (len(tokens) - 1)
            free = 0.0
        x = pad + (0.0 if align in "lj" else free if align == "r" else free / 2)
        base = pad + style.size + style.leading * i
        _set_line(draw, style, block, list(zip(tokens, widths)), x, base, space)
    block.ink = np.asarray(image).copy()
    if style.weight:
        grow = cv2.dilate if style.weight > 0 else cv2.erode
        other = grow(block.ink, np.ones((3, 3), np.uint8))
        share = abs(style.weight)
        block.ink = cv2.addWeighted(block.ink, 1 - share, other, share, 0)
    return _shaped(block, style)


def _set_line(
    draw: ImageDraw.ImageDraw,
    style: Style,
    block: Block,
    tokens: list[tuple[str, float]],
    x: float,
    base: float,
    space: float,
) -> None:
    start = end = None
    holes, text = [], []
    plain = not style.tracking and not style.small_caps
    for token, advance in tokens:
        if token == ICON:
            holes.append(x)
        else:
            at = x
            for run, size, extra in _pieces(style, token):
                font = sized(style.face.path, size)
                draw.text((round(at) if plain else at, base), run, fill=255, font=font, anchor="ls")
                at += run_length(style.face.path, size, run) + extra
            start = x if start is None else start
            end = x + advance - style.tracking
            text.append(token)
        x += advance + space
    side = style.size * 0.9
    for hole in holes:
        inside = start is not None and end is not None and start < hole < end
        slot = _box(hole, base - side * 0.85, hole + side, base + side * 0.15)
        block.slots.append(np.concatenate([slot, [[float(inside), 0.0]]]))
    if start is not None and end is not None:
        joined = " ".join(text)
        top = band_top(style, joined)
        quad = np.array([[start, base], [end, base], [end, base - top], [start, base - top]])
        block.bands.append(Band(quad, joined))


def _box(x0: float, y0: float, x1: float, y1: float) -> np.ndarray:
    return np.array([[x0, y1], [x1, y1], [x1, y0], [x0, y0]])


def _shaped(block: Block, style: Style) -> Block:
    """Stretch, shear and slant in one resampling; then quarter turns, which are exact."""
    h, w = block.ink.shape
    if style.stretch != 1.0 or style.shear or style.angle:
        c, s = math.cos(math.radians(style.angle)), math.sin(math.radians(style.angle))
        m = np.array([[c, s], [-s, c]]) @ np.array([[style.stretch, -style.shear], [0.0, 1.0]])
        corners = np.array([[0, 0], [w, 0], [w, h], [0, h]]) @ m.T
        low = corners.min(0)
        size = np.ceil(corners.max(0) - low).astype(int)
        affine = np.concatenate([m, -low[:, None]], axis=1)
        block.ink = cv2.warpAffine(
            block.ink, affine, (int(size[0]), int(size[1])), flags=cv2.INTER_LINEAR
        )
        _move(block, lambda p: p @ m.T - low)
    for _ in range(style.turns % 4):
        w = block.ink.shape[1]
        block.ink = np.ascontiguousarray(np.rot90(block.ink))
        _move(block, lambda p, w=w: np.stack([p[:, 1], w - p[:, 0]], axis=1))
    return block


def _move(block: Block, f: Callable[[np.ndarray], np.ndarray]) -> None:
    for band in block.bands:
        band.quad = f(band.quad)
    for slot in block.slots:
        slot[:4] = f(slot[:4])


def filled(
    rng: random.Random, style: Style, width: float, height: float, most: int, icons: float
) -> list[list[str]]:
    """Words for a box of this size, at most `most` lines; `icons` is the share of lines with one."""
    count = max(1, min(most, int((height - style.size * 1.2) / style.leading) + 1))
    average = max(1.0, width_of(style, "abcdef"))
    needed = max(1, round(count * width / average * rng.uniform(0.6, 1.05)))
    tokens = words.phrase(rng, min(needed, 160), style.face.accents).split(" ")
    if icons and rng.random() < icons:
        for _ in range(rng.randint(1, 1 + len(tokens) // 8)):
            tokens.insert(rng.randint(0, len(tokens)), ICON)
    return broken(style, tokens, width)[:count]
