# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""How the first set of benchmark faces sets its lines, with their exact truth: see make_faces.py. Letters are
drawn at four times the size without hinting effects to speak of and reduced, so that a line's x-height is
that of the font's outline: the top of x at 2000 px per em."""

from __future__ import annotations

import functools
import math
import random
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

FINE = 4


def luminance(c: np.ndarray | tuple[int, ...]) -> np.ndarray:
    """WCAG 2.2 relative luminance of sRGB codes (..., 3)."""
    v = np.asarray(c, float) / 255
    lin = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    return lin @ np.array([0.2126, 0.7152, 0.0722])


def ratio(a: np.ndarray | float, b: np.ndarray | float) -> np.ndarray:
    return (np.maximum(a, b) + 0.05) / (np.minimum(a, b) + 0.05)


@functools.lru_cache(maxsize=400)
def font(path: str, size: int) -> ImageFont.FreeTypeFont:
    return ImageFont.truetype(path, size, layout_engine=ImageFont.Layout.BASIC)


@functools.lru_cache(maxsize=200)
def em_heights(path: str) -> tuple[float, float]:
    """x-height and cap height per em, from the outlines of x and H."""
    big = font(path, 2000)
    return tuple(-big.getbbox(g, anchor="ls")[1] / 2000 for g in "xH")  # type: ignore[return-value]


@dataclass
class Face:
    r: random.Random
    ppi: int
    image: Image.Image
    lines: list[dict] = field(default_factory=list)

    @property
    def u(self) -> float:
        return self.ppi / 72

    def hide_under(self, box: tuple[float, float, float, float]) -> None:
        """What is painted over a tenth of a line or more hides it: nobody can ask for it to be read."""
        for line in self.lines:
            xs, ys = [p[0] for p in line["band"]], [p[1] for p in line["band"]]
            wide = min(max(xs), box[2]) - max(min(xs), box[0])
            high = min(max(ys), box[3]) - max(min(ys), box[1])
            area = (max(xs) - min(xs)) * (max(ys) - min(ys))
            if wide > 0 and high > 0 and wide * high > 0.1 * area:
                line["hidden"] = True


@dataclass
class Style:
    path: str
    points: float
    ink: tuple[int, ...]
    effect: str = "plain"
    rim: tuple[int, ...] = (0, 0, 0)
    tracking: float = 0.0  # em
    small_caps: float = 0.0  # size of small letters, which are drawn as capitals; 0: as they are


def glyph_places(f: ImageFont.FreeTypeFont, text: str, at: float) -> list[tuple[float, float, bool]]:
    """Where the ink of each glyph that shows begins and ends, of a text set at a column, and whether it is
    a letter or a figure."""
    places = []
    for i, c in enumerate(text):
        mask, (left, _) = f.getmask2(c, "L", anchor="ls")
        box = mask.getbbox()
        if box is not None:
            origin = at + f.getlength(text[: i + 1]) - f.getlength(c) + left
            places.append((origin + box[0], origin + box[2], c.isalnum()))
    return places


def along(places: list[tuple[float, float, bool]], left: float, length: float) -> list[list[float | bool]]:
    """The same as shares of the line's length: they hold at any size."""
    return [[round((a - left) / length, 4), round((b - left) / length, 4), is_letter] for a, b, is_letter in places]


def letters(style: Style, text: str, u: float) -> tuple[Image.Image, float, float, list[tuple[float, float, bool]]]:
    """Mask at the fine size, with the base line's row, the em and the places of the glyphs in fine pixels."""
    size = max(8, round(style.points * u * FINE))
    f = font(style.path, size)
    gap = style.tracking * size
    advance = [f.getlength(c) + gap for c in text] if gap else [f.getlength(text)]
    pad = size
    mask = Image.new("L", (math.ceil(sum(advance)) + 2 * pad, 3 * size), 0)
    draw, x = ImageDraw.Draw(mask), float(pad)
    places = []
    for part, step in zip(text if gap else [text], advance):
        draw.text((x, 2 * size), part, font=f, fill=255, anchor="ls")
        places += glyph_places(f, part, x)
        x += step
    return mask, 2 * size, size, places


def paint(face: Face, mask: Image.Image, at: tuple[int, int], fill: tuple[int, ...], k: float = 1.0) -> None:
    if k < 1:
        mask = mask.point(lambda v: round(v * k))
    face.image.paste(Image.new("RGB", mask.size, fill), at, mask)


def set_line(face: Face, style: Style, text: str, x: float, y: float, *, align: str = "left",
             angle: float = 0.0, ground: str = "flat", flat: tuple[int, ...] | None = None,
             mark: bool = False) -> float:
    """Sets one line with its base line starting at (x, y), turned clockwise by `angle` degrees about
    there; align moves it along itself. Returns its length in pixels."""
    u = face.u
    mask, base, em, places = letters(style, text, u)
    box = mask.getbbox()
    if box is None:
        return 0.0
    length = (box[2] - box[0]) / FINE
    shift = {"left": 0.0, "center": -length / 2, "right": -length}[align]
    a = math.radians(angle)
    c, s = math.cos(a), math.sin(a)

    def place(dx: float, dy: float) -> tuple[float, float]:
        return x + (dx + shift) * c - dy * s, y + (dx + shift) * s + dy * c

    x_em, cap_em = em_heights(style.path)
    x_px, cap_px = x_em * em / FINE, cap_em * em / FINE
    if text.isdigit():  # figures need not be as tall as capitals
        tops = [-font(style.path, 2000).getbbox(g, anchor="ls")[1] / 2000 for g in text]
        cap_em = sum(tops) / len(tops)
        even = max(tops) - min(tops) < 0.06 and all(
            font(style.path, 2000).getbbox(g, anchor="ls")[3] < 60 for g in text)
    else:
        even = True
    capitals = text == text.upper()
    b_em = -font(style.path, 2000).getbbox("b", anchor="ls")[1] / 2000
    if not capitals and text == text.lower() and b_em < 1.08 * x_em:
        capitals, cap_em = True, x_em  # a font of small capitals
    cap_px = cap_em * em / FINE
    tall = cap_px if capitals else x_px
    rise, fall = (base - box[1]) / FINE, (box[3] - base) / FINE
    corners = [place(0, -rise), place(length, -rise), place(length, fall), place(0, fall)]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    w, h = face.image.size
    if min(xs) < 1 or min(ys) < 1 or max(xs) > w - 1 or max(ys) > h - 1:
        return 0.0
    # Turn at the fine size, then reduce: an exact place to a quarter pixel.
    em_px = em / FINE
    ix, iy = math.floor(min(xs) - em_px), math.floor(min(ys) - em_px)
    size = (math.ceil(max(xs) + em_px) - ix, math.ceil(max(ys) + em_px) - iy)
    cx, cy = (x - ix) * FINE, (y - iy) * FINE
    start = -box[0] + shift * FINE
    canvas = Image.new("L", (size[0] * FINE, size[1] * FINE), 0)
    if angle:
        inverse = (c, s, -(c * cx + s * cy) - start, -s, c, s * cx - c * cy + base)
        canvas = mask.transform(canvas.size, Image.AFFINE, inverse, Image.BILINEAR)
    else:
        canvas.paste(mask, (round(cx + start), round(cy - base)))
    small = canvas.resize(size, Image.BOX)
    before = face.image.crop((ix, iy, ix + size[0], iy + size[1]))
    if style.effect == "outline":
        grow = max(1, round(em_px * 0.06)) * 2 + 1
        paint(face, small.filter(ImageFilter.MaxFilter(grow)), (ix, iy), style.rim)
    elif style.effect == "shadow":
        d = max(1, round(em_px * 0.06))
        paint(face, small.filter(ImageFilter.GaussianBlur(d * 0.4)), (ix + d, iy + d), style.rim, 0.85)
    paint(face, small, (ix, iy), style.ink)
    # Contrast reached by 90 % of the length, over the pixels right above and below the letters.
    ink_lum = float(luminance(style.ink))
    if flat is not None and style.effect != "outline":
        contrast, under = float(ratio(ink_lum, float(luminance(flat)))), float(luminance(flat))
    elif style.effect == "outline":
        under = float(luminance(style.rim))
        contrast = float(ratio(ink_lum, under))
    else:
        shape = np.asarray(small.filter(ImageFilter.MaxFilter(2 * max(1, round(0.15 * em_px)) + 1))) > 64
        lum = luminance(np.asarray(before))
        ys_, xs_ = np.nonzero(shape)
        way = ((xs_ + ix - x) * c + (ys_ + iy - y) * s) / max(4.0, 0.5 * em_px)
        cells = np.floor(way - way.min()).astype(int)
        sums = np.bincount(cells, lum[shape])
        means = sums[np.bincount(cells) > 0] / np.bincount(cells)[np.bincount(cells) > 0]
        under, contrast = float(means.mean()), float(np.percentile(ratio(ink_lum, means), 10))
    face.lines.append({
        "text": text, "mark": mark, "points": em_px / u, "x_px": x_px, "cap_px": cap_px,
        "capitals": capitals, "even": even, "angle": angle % 360, "ground": ground,
        "effect": style.effect, "contrast": contrast, "reversed": ink_lum > under,
        "flat": flat is not None and style.effect == "plain",
        "font": Path(style.path).stem,
        "band": [place(0, -tall), place(length, -tall), place(length, 0), place(0, 0)],
        "ink": corners, "glyphs": along(places, box[0], box[2] - box[0]),
    })
    return length
