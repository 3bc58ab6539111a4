#!/usr/bin/env python3
# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Whole card faces with exact truth, to measure the text survey on.

    make_faces.py DATA OUT [--seed 7001] [--text 70] [--easy 20] [--hard 24]

DATA is the folder that src/survey/train/collect.py makes; only fonts, art and icons that are held
out from training are used. OUT gets NAME.ppm and NAME.json. Needs Pillow and NumPy (Debian
python3-pil, python3-numpy).

Letters are drawn at four times the size without hinting effects to speak of and reduced, so that a
line's x-height is that of the font's outline: the top of x at 2000 px per em.
"""

from __future__ import annotations

import argparse
import csv
import functools
import io
import json
import math
import random
from dataclasses import dataclass, field
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter, ImageFont

import grounds
from grounds import Pictures, color

FINE = 4
WORDS = (
    "when you reveal this choose another player then draw two cards and discard one of them if the "
    "moon is full gain three seeds for each lamp that is lit otherwise move up to four steps along "
    "the path before dawn any moth may rest here without paying its cost shuffle what is left of the "
    "orchard pile at dusk every keeper takes one token from the basket hidden under a quiet hedge"
).split()
TITLES = ("Grove Warden|Velvet Hawk|Dew Ladder|Ember Jar|The Last Lantern|Old Graft|Silk Bargain|"
          "Hollow Trunk|Night Market|Frost Warning|Pollen Thief|Quiet Hour|Wing & Wick").split("|")


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


class Library:
    def __init__(self, data: Path, every: bool = False):
        with (data / "fonts.csv").open(newline="") as source:
            held = [r for r in csv.DictReader(source) if every or r["split"] == "held-out"]
        self.families: dict[str, list[str]] = {}
        for row in held:
            path = str(data / row["file"])
            x, cap = em_heights(path)
            if 0.3 < x < 0.65 and x < 0.95 * cap:
                self.families.setdefault(row["group"], []).append(path)
        self.pictures = Pictures(data)

    def font(self, r: random.Random) -> str:
        return r.choice(self.families[r.choice(sorted(self.families))])


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


def ink_on(r: random.Random, ground: tuple[int, ...], least: float) -> tuple[int, ...]:
    """A color with at least this contrast to the ground, often not much more."""
    under, best, goal = float(luminance(ground)), None, least * r.choice([1.02, 1.3, 2, 4])
    for _ in range(80):
        c = color(r) if r.random() < 0.7 else (r.randint(0, 255),) * 3
        k = float(ratio(float(luminance(c)), under))
        if k >= least and (best is None or abs(k - goal) < best[0]):
            best = (abs(k - goal), c)
    if best is None:
        return (0, 0, 0) if under > 0.18 else (255, 255, 255)
    return best[1]


def sentence(r: random.Random, count: int) -> list[str]:
    words = [r.choice(WORDS) for _ in range(count)]
    words[0] = words[0].capitalize()
    for i in range(len(words)):
        if r.random() < 0.08:
            words[i] = str(r.randint(1, 12))
        elif r.random() < 0.1 and i + 1 < len(words):
            words[i] += r.choice([",", ".", ":", ";"])
    words[-1] += "."
    return words


def paragraph(face: Face, style: Style, box: tuple[float, float, float, float], ground: str,
              flat: tuple[int, ...] | None, align: str = "left", words: int = 30) -> None:
    r, u = face.r, face.u
    x0, y0, x1, y1 = box
    f = font(style.path, max(8, round(style.points * u * FINE)))
    lead = style.points * u * r.uniform(1.05, 1.5)
    x = {"left": x0, "center": (x0 + x1) / 2, "right": x1}[align]
    y, line = y0 + style.points * u * 0.8, ""
    for word in sentence(r, words) + [""]:
        longer = (line + " " + word).strip()
        if word and f.getlength(longer) / FINE < x1 - x0:
            line = longer
            continue
        if y > y1:
            return
        if len(line) > 1:
            set_line(face, style, line, x, y, align=align, ground=ground, flat=flat)
        y += lead
        line = word


def panel(face: Face, box: tuple[float, float, float, float]) -> tuple[str, tuple[int, ...] | None, tuple[int, ...]]:
    """Draws a panel; returns its kind, its color where it is one, and its mean color."""
    r = face.r
    x0, y0, x1, y1 = (round(v) for v in box)
    fill = color(r, 170, 255) if r.random() < 0.5 else color(r, 0, 90) if r.random() < 0.7 else color(r)
    mask = Image.new("L", face.image.size, 0)
    ImageDraw.Draw(mask).rounded_rectangle((x0, y0, x1, y1), r.choice([0, 3, 6]) * face.u, 255)
    opacity = r.choice([1.0, 1.0, 0.6, 0.75, 0.88])
    paint(face, mask, (0, 0), fill, opacity)
    face.hide_under((x0, y0, x1, y1))
    if r.random() < 0.3:
        ImageDraw.Draw(face.image).rectangle((x0, y0, x1, y1), outline=color(r), width=max(1, round(face.u * r.uniform(0.4, 1.5))))
    if opacity == 1.0:
        return "flat", fill, fill
    part = np.asarray(face.image.crop((x0, y0, x1, y1))).reshape(-1, 3)
    return "clear", None, tuple(int(v) for v in part.mean(0))


def mean_under(face: Face, box: tuple[float, float, float, float]) -> tuple[int, ...]:
    part = np.asarray(face.image.crop(tuple(round(v) for v in box))).reshape(-1, 3)
    return tuple(int(v) for v in part.mean(0)) if len(part) else (128, 128, 128)


def style_for(lib: Library, r: random.Random, points: float, ground: str, under: tuple[int, ...]) -> Style:
    """On art the color must stand clear of most of the ground, or an outline or shadow helps."""
    ink = ink_on(r, under, {"flat": 1.6, "clear": 2.6, "art": 4.5}[ground])
    style = Style(lib.font(r), points, ink)
    if r.random() < 0.15:
        style.tracking = r.uniform(0.03, 0.18)
    q = r.random()
    rim = (0, 0, 0) if float(luminance(ink)) > 0.18 else (255, 255, 255)
    if ground == "art" and q < 0.35:
        style.effect, style.rim = "outline", rim
    elif q < (0.6 if ground == "art" else 0.08):
        style.effect, style.rim = "shadow", rim
    return style


def icon_row(face: Face, lib: Library, x: float, y: float, side: int, count: int, step: float) -> None:
    r = face.r
    ink, kinds = color(r), [r.randint(0, 7) for _ in range(r.choice([1, 1, 3]))]
    use = r.choice(lib.pictures.icons) if lib.pictures.icons and r.random() < 0.4 else None
    for i in range(count):
        at = (round(x + i * step), round(y))
        if use:
            icon = Image.open(use).convert("RGBA").resize((side, side), Image.BICUBIC)
            face.image.paste(icon.convert("RGB"), at, icon.getchannel("A"))
        else:
            paint(face, grounds.symbol(r, side, r.choice(kinds)), at, ink)


def art(face: Face, lib: Library, w: int, h: int) -> Image.Image:
    r, q = face.r, face.r.random()
    if q < 0.3:
        return lib.pictures.photo(r, w, h)
    if q < 0.55:
        return lib.pictures.drawing(r, w, h)
    return r.choice([grounds.low_poly, grounds.foliage, grounds.sky])(r, w, h, face.u)


def title(r: random.Random) -> str:
    text = r.choice(TITLES)
    return text.upper() if r.random() < 0.3 else text


def classic(face: Face, lib: Library) -> None:
    """Frame, name, picture, kind, rules, small print, values in corners."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r)
    face.image.paste(fill, (0, 0, w, h))
    m = r.uniform(9, 16) * u
    top = r.uniform(40, 56) * u
    picture = art(face, lib, round(w - 2 * m), round(h * 0.36))
    face.image.paste(picture, (round(m), round(top)))
    style = style_for(lib, r, r.uniform(9, 17), "flat", fill)
    set_line(face, style, title(r), m, top - 9 * u, flat=fill)
    style = style_for(lib, r, r.uniform(14, 26), "flat", fill)
    set_line(face, style, str(r.randint(0, 9)), w - m, top - 9 * u, align="right", flat=fill, mark=True)
    y = top + h * 0.36
    style = style_for(lib, r, r.uniform(5, 8), "flat", fill)
    set_line(face, style, r.choice(["Creature: moth", "TOOL", "Event of the night"]), w / 2, y + 10 * u,
             align="center", flat=fill)
    box = (m, y + 16 * u, w - m, h - 22 * u)
    kind, flat, under = panel(face, box)
    style = style_for(lib, r, r.uniform(5.5, 10), kind, under)
    inner = (box[0] + 5 * u, box[1] + 4 * u, box[2] - 5 * u, box[3] - 4 * u)
    paragraph(face, style, inner, kind, flat, r.choice(["left", "left", "center"]), r.randint(8, 40))
    style = style_for(lib, r, r.uniform(4, 6), "flat", fill)
    set_line(face, style, f"{r.randint(1, 99)}/120 drawn by the orchard", m, h - 10 * u, flat=fill)


def full_art(face: Face, lib: Library) -> None:
    """The picture fills the face; words lie on it or on see-through panels."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(art(face, lib, w, h), (0, 0))
    y = r.uniform(30, 44) * u
    for _ in range(r.randint(2, 4)):
        points = r.choice([6, 8, 10, 12, 16, 24]) * r.uniform(0.9, 1.1)
        y += points * u * 1.6
        style = style_for(lib, r, points, "art", mean_under(face, (w * 0.2, y - points * u, w * 0.8, y)))
        text = title(r) if points > 9 else " ".join(sentence(r, r.randint(3, 6)))
        set_line(face, style, text, w / 2, y, align="center", ground="art")
    box = (12 * u, h * r.uniform(0.55, 0.7), w - 12 * u, h - 16 * u)
    if r.random() < 0.65:
        kind, flat, under = panel(face, box)
    else:
        kind, flat, under = "art", None, mean_under(face, box)
    style = style_for(lib, r, r.uniform(6, 11), kind, under)
    paragraph(face, style, (box[0] + 6 * u, box[1] + 5 * u, box[2] - 6 * u, box[3] - 5 * u), kind, flat,
              r.choice(["left", "center", "right"]), r.randint(8, 26))


def two_heads(face: Face, lib: Library) -> None:
    """Upright above, upside down below, labels along the sides."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r, 150, 255) if r.random() < 0.5 else color(r, 0, 100)
    face.image.paste(fill, (0, 0, w, h))
    if r.random() < 0.5:
        part = art(face, lib, round(w * 0.6), round(h * 0.3))
        face.image.paste(part, (round(w * 0.2), round(h * 0.35)))
    for angle in (0, 180):
        style = style_for(lib, r, r.uniform(8, 15), "flat", fill)
        x, y = (w / 2, 34 * u) if angle == 0 else (w / 2, h - 34 * u)
        set_line(face, style, title(r).title(), x, y, align="center", angle=angle, flat=fill)
        style = style_for(lib, r, r.uniform(5, 8), "flat", fill)
        x, y = (w / 2, 50 * u) if angle == 0 else (w / 2, h - 50 * u)
        set_line(face, style, " ".join(sentence(r, 5)), x, y, align="center", angle=angle, flat=fill)
        style = style_for(lib, r, r.uniform(16, 24), "flat", fill)
        x, y = (10 * u, 30 * u) if angle == 0 else (w - 10 * u, h - 30 * u)
        set_line(face, style, str(r.randint(0, 9)), x, y, angle=angle, flat=fill, mark=True)
    for angle, x in ((270, 18 * u), (90, w - 18 * u)):
        style = style_for(lib, r, r.uniform(5, 11), "flat", fill)
        text = " ".join(sentence(r, 4)) if r.random() < 0.6 else title(r).upper()
        set_line(face, style, text, x, h / 2, align="center", angle=angle, flat=fill)


def table(face: Face, lib: Library) -> None:
    """A reference card: rows of name, icons and number between rules."""
    r, u, (w, h) = face.r, face.u, face.image.size
    fill = color(r, 190, 255) if r.random() < 0.6 else color(r, 0, 70)
    face.image.paste(fill, (0, 0, w, h))
    style = style_for(lib, r, r.uniform(10, 14), "flat", fill)
    set_line(face, style, "HOW TO SCORE", w / 2, 26 * u, align="center", flat=fill)
    name = style_for(lib, r, r.uniform(5, 9), "flat", fill)
    number = style_for(lib, r, name.points * 1.1, "flat", fill)
    y, step = 44 * u, name.points * u * r.uniform(1.5, 2.4)
    draw = ImageDraw.Draw(face.image)
    rule = color(r)
    while y < h - 20 * u:
        set_line(face, name, r.choice(TITLES), 14 * u, y, flat=fill)
        side = round(name.points * u * 0.9)
        icon_row(face, lib, w * 0.56, y - side * 0.85, side, r.randint(1, 4), side * 1.25)
        set_line(face, number, f"{r.randint(10, 99)}", w - 14 * u, y, align="right", flat=fill)
        if r.random() < 0.7:
            draw.line((12 * u, y + step * 0.35, w - 12 * u, y + step * 0.35), fill=rule, width=max(1, round(0.4 * u)))
        y += step


def poster(face: Face, lib: Library) -> None:
    """Large and slanted words over a scene, a dark foot with small reversed lines."""
    r, u, (w, h) = face.r, face.u, face.image.size
    face.image.paste(art(face, lib, w, h), (0, 0))
    y = 0.2 * h
    for _ in range(2):
        points = r.uniform(16, 36)
        under = mean_under(face, (0.1 * w, y - 20 * u, 0.9 * w, y + 20 * u))
        style = style_for(lib, r, points, "art", under)
        text = r.choice(["Dusk", "Moth", "Graft", "Wick", "Bloom", "Frost Gate", "EMBER"])
        set_line(face, style, text, w / 2, y, align="center", angle=r.choice([0, r.uniform(-7, 7)]), ground="art")
        y += points * u * 1.5
    foot = color(r, 0, 60)
    face.image.paste(foot, (0, round(0.75 * h), w, h))
    face.hide_under((0, 0.75 * h, w, h))
    style = style_for(lib, r, r.uniform(5, 8), "flat", foot)
    paragraph(face, style, (14 * u, 0.77 * h, w - 14 * u, h - 12 * u), "flat", foot, "left", 24)


LAYOUTS = [classic, classic, full_art, full_art, two_heads, table, poster]


def worn(face: Face) -> None:
    """What files go through: blur, JPEG. The truth stays."""
    r = face.r
    if r.random() < 0.2:
        face.image = face.image.filter(ImageFilter.GaussianBlur(face.ppi / 300 * r.uniform(0.3, 0.8)))
    if r.random() < 0.35:
        data = io.BytesIO()
        face.image.save(data, "JPEG", quality=r.randint(45, 92))
        face.image = Image.open(data).convert("RGB")


def easy(face: Face, lib: Library, i: int) -> str:
    w, h = face.image.size
    kind = ["photo", "low_poly", "foliage", "drawing", "sky"][i % 5]
    if kind in ("photo", "drawing"):
        picture = getattr(lib.pictures, kind)(face.r, w, h)
    else:
        picture = getattr(grounds, kind)(face.r, w, h, face.u)
    face.image.paste(picture, (0, 0))
    return kind


def hard(face: Face, lib: Library, i: int) -> str:
    r, u, (w, h) = face.r, face.u, face.image.size
    kind = ["icons", "halftone", "tiles", "ruled", "hatching", "rosettes", "maze", "speckle"][i % 8]
    if kind == "icons":
        fill = color(r)
        face.image.paste(fill, (0, 0, w, h))
        y = 12 * u
        while y < h - 40 * u:
            side = round(u * r.uniform(5, 26))
            step = side * r.uniform(1.05, 1.7)
            icon_row(face, lib, 10 * u, y, side, r.randint(3, max(3, int((w - 20 * u) / step))), step)
            y += side * r.uniform(1.2, 2.2)
    elif kind == "halftone":
        face.image = grounds.halftone(r, w, h, u, lib.pictures.photo(r, w, h))
    else:
        face.image.paste(getattr(grounds, kind)(r, w, h, u), (0, 0))
    return kind


def arguments(seed: int, **counts: int) -> argparse.ArgumentParser:
    """What every generator of faces is asked for; `counts`: faces of each group."""
    p = argparse.ArgumentParser()
    p.add_argument("data", type=Path)
    p.add_argument("out", type=Path)
    p.add_argument("--seed", type=int, default=seed)
    for group, count in counts.items():
        p.add_argument("--" + group, type=int, default=count)
    return p


def save(face: Face, folder: Path, group: str, number: int, kind: str) -> None:
    """A face and the truth about it."""
    name = f"{group}-{number:03d}"
    face.image.save(folder / f"{name}.ppm")
    truth = {"name": name, "group": group, "kind": kind, "ppi": face.ppi, "lines": face.lines}
    (folder / f"{name}.json").write_text(json.dumps(truth))


def main() -> None:
    o = arguments(seed=7001, text=70, easy=20, hard=24).parse_args()
    o.out.mkdir(parents=True, exist_ok=True)
    lib = Library(o.data)
    for group, count in (("text", o.text), ("easy", o.easy), ("hard", o.hard)):
        for i in range(count):
            r = random.Random(f"{o.seed} {group} {i}")
            ppi = r.choice([150, 200, 300, 300, 300, 300, 400, 600]) if group == "text" else r.choice([200, 300, 300, 400])
            face = Face(r, ppi, Image.new("RGB", (round(2.5 * ppi), round(3.5 * ppi))))
            if group == "text":
                layout = LAYOUTS[i % len(LAYOUTS)]
                layout(face, lib)
                kind = layout.__name__
            else:
                kind = (easy if group == "easy" else hard)(face, lib, i)
            worn(face)
            save(face, o.out, group, i, kind)


if __name__ == "__main__":
    main()
