# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""How the second set of benchmark faces sets its lines, with their exact truth: see other_faces.py."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
from PIL import Image, ImageChops, ImageDraw, ImageFilter

import other_grounds
from lettering import Face, Style, along, em_heights, font, glyph_places, luminance, ratio


def fineness(em_px: float) -> int:
    """How many times larger letters are drawn than shown."""
    return 6 if em_px < 60 else 3 if em_px < 160 else 2


def spread(mask: Image.Image, reach: int) -> Image.Image:
    """The mask grown by a square; in few pixels where the reach is wide, as that is much faster."""
    k = max(1, reach // 3)
    small = mask.reduce(k).point(lambda v: 255 if v else 0) if k > 1 else mask
    return small.filter(ImageFilter.MaxFilter(2 * max(1, round(reach / k)) + 1)).resize(mask.size, Image.NEAREST)



def text_length(path: str, em_px: float, text: str) -> float:
    return font(path, max(8, round(6 * em_px))).getlength(text) / 6


def glyphs(style: Style, text: str, em_px: float, wide: float,
           fine: int) -> tuple[Image.Image, float, list[tuple[float, float, bool]]]:
    """The mask at the fine size, the row of its base line and the places of the glyphs; `wide` stretches it
    along the line."""
    size = round(em_px * fine)
    gap = style.tracking * size
    parts = list(text) if gap or style.small_caps else [text]
    fonts = [font(style.path, round(size * style.small_caps) if style.small_caps and p.islower() else size)
             for p in parts]
    if style.small_caps:
        parts = [p.upper() for p in parts]
    steps = [f.getlength(p) + gap for p, f in zip(parts, fonts)]
    mask = Image.new("L", (math.ceil(sum(steps)) + 2 * size, 3 * size), 0)
    draw, x = ImageDraw.Draw(mask), float(size)
    places = []
    for part, f, step in zip(parts, fonts, steps):
        layer = Image.new("L", mask.size, 0) if gap < 0 else mask
        (draw if gap >= 0 else ImageDraw.Draw(layer)).text((x, 2 * size), part, font=f, fill=255, anchor="ls")
        if gap < 0:
            mask = ImageChops.lighter(mask, layer)
        places += glyph_places(f, part, x)
        x += step
    if wide != 1.0:
        mask = mask.resize((max(1, round(mask.width * wide)), mask.height), Image.BICUBIC)
    return mask, 2.0 * size, [(wide * a, wide * b, is_letter) for a, b, is_letter in places]


def heights(path: str, text: str) -> tuple[float, float, bool, bool]:
    """x-height and height of capitals per em as this text shows them, whether it is all capitals or
    figures, and whether its tops are even enough to be compared."""
    x_em, cap_em = em_heights(path)
    big = font(path, 2000)
    letters = [c for c in text if c.isalnum()]
    even = bool(letters)
    if letters and all(c.isdigit() for c in letters):
        tops = [-big.getbbox(c, anchor="ls")[1] / 2000 for c in letters]
        cap_em = sum(tops) / len(tops)
        even = max(tops) - min(tops) < 0.06 and all(big.getbbox(c, anchor="ls")[3] < 60 for c in letters)
    capitals = text == text.upper()
    if not capitals and -big.getbbox("b", anchor="ls")[1] / 2000 < 1.08 * x_em:
        even = False  # a font of small capitals: both heights show
    if capitals and not all(c.isdigit() for c in letters) and any(c.isdigit() for c in letters):
        tops = [-big.getbbox(c, anchor="ls")[1] / 2000 for c in letters if c.isdigit()]
        even = min(tops) > 0.93 * cap_em  # old style figures among capitals
    return x_em, cap_em, capitals, even


def put(face: Face, style: Style, text: str, x: float, y: float, *, align: str = "left", angle: float = 0.0,
        ground: str = "flat", flat: tuple[int, ...] | None = None, mark: bool = False, wide: float = 1.0,
        second: tuple[int, ...] | None = None) -> float:
    """Draws one line with its base line from (x, y), turned clockwise by `angle`; `second` is the color
    that the letters run into downward. Returns its length."""
    fine = fineness(style.points * face.u)
    em_px = max(8, round(style.points * face.u * fine)) / fine
    mask, base, places = glyphs(style, text, em_px, wide, fine)
    box = mask.getbbox()
    if box is None:
        return 0.0
    length = (box[2] - box[0]) / fine
    shift = {"left": 0.0, "center": -length / 2, "right": -length}[align]
    a = math.radians(angle)
    c, s = math.cos(a), math.sin(a)

    def place(dx: float, dy: float) -> tuple[float, float]:
        return x + (dx + shift) * c - dy * s, y + (dx + shift) * s + dy * c

    x_em, cap_em, capitals, even = heights(style.path, text)
    if style.small_caps and not capitals:
        x_em, even = cap_em * style.small_caps, False  # two heights of capitals show
    rise, fall = (base - box[1]) / fine, (box[3] - base) / fine
    corners = [place(0, -rise), place(length, -rise), place(length, fall), place(0, fall)]
    xs, ys = [p[0] for p in corners], [p[1] for p in corners]
    w, h = face.image.size
    if min(xs) < 1 or min(ys) < 1 or max(xs) > w - 1 or max(ys) > h - 1:
        return 0.0
    ix, iy = math.floor(min(xs) - em_px), math.floor(min(ys) - em_px)
    size = (math.ceil(max(xs) + em_px) - ix, math.ceil(max(ys) + em_px) - iy)
    cx, cy = (x - ix) * fine, (y - iy) * fine
    start = -box[0] + shift * fine
    inverse = (c, s, -(c * cx + s * cy) - start, -s, c, s * cx - c * cy + base)
    canvas = mask.transform((size[0] * fine, size[1] * fine), Image.AFFINE, inverse, Image.BILINEAR)
    small = canvas.resize(size, Image.HAMMING)
    before = face.image.crop((ix, iy, ix + size[0], iy + size[1]))

    def paint(plane: Image.Image, fill: Image.Image | tuple[int, ...], dx: int = 0, dy: int = 0) -> None:
        picture = fill if isinstance(fill, Image.Image) else Image.new("RGB", size, fill)
        face.image.paste(picture, (ix + dx, iy + dy), plane)

    reach = max(1, round(em_px * 0.07))
    if style.effect == "outline":
        rim = canvas.filter(ImageFilter.GaussianBlur(fine * reach * 0.55)).point(lambda v: min(255, v * 9))
        paint(rim.resize(size, Image.BOX), style.rim)
    elif style.effect == "shadow":
        soft = small.filter(ImageFilter.GaussianBlur(reach * 0.7))
        paint(soft.point(lambda v: round(v * 0.75)), style.rim, reach, round(reach * 1.4))
    elif style.effect == "glow":
        soft = spread(small, reach).filter(ImageFilter.GaussianBlur(reach * 1.6))
        paint(soft.point(lambda v: min(255, round(v * 1.5))), style.rim)
    fill: Image.Image | tuple[int, ...] = style.ink
    if second is not None:
        share = np.clip((np.arange(size[1])[:, None] + iy - (y - rise)) / max(1.0, rise), 0, 1)
        fill = other_grounds.toned(np.repeat(share, size[0], 1), style.ink, second)
    after_rim = face.image.crop((ix, iy, ix + size[0], iy + size[1]))
    paint(small, fill)
    ink = luminance(style.ink) if second is None else (luminance(style.ink) + luminance(second)) / 2
    rimmed = style.effect in ("outline", "glow")
    if flat is not None and not rimmed:
        under = float(luminance(flat))
        contrast = float(ratio(ink, under))
    else:
        # What lies 0.15 em around the letters, with the rim that was painted; by half ems of length.
        shape = np.asarray(spread(small, max(1, round(0.15 * em_px)))) > 64
        if rimmed:
            shape &= np.asarray(small.filter(ImageFilter.MaxFilter(3))) < 8
            near = np.asarray(spread(small, reach)) > 64
            shape = near & shape if (near & shape).any() else shape
        lum = luminance(np.asarray(after_rim if rimmed else before))
        ys_, xs_ = np.nonzero(shape)
        way = ((xs_ + ix - x) * c + (ys_ + iy - y) * s) / max(4.0, 0.5 * em_px)
        cells = np.floor(way - way.min()).astype(int)
        counts = np.bincount(cells)
        means = np.bincount(cells, lum[shape])[counts > 0] / counts[counts > 0]
        under, contrast = float(means.mean()), float(np.percentile(ratio(float(ink), means), 10))
    tall = (cap_em if capitals else x_em) * em_px
    face.lines.append({
        "text": text, "mark": mark, "points": em_px / face.u, "x_px": x_em * em_px, "cap_px": cap_em * em_px,
        "capitals": capitals, "even": even, "angle": angle % 360, "ground": ground, "effect": style.effect,
        "contrast": contrast, "reversed": bool(ink > under),
        "flat": flat is not None and style.effect == "plain" and second is None,
        "font": Path(style.path).stem,
        "band": [place(0, -tall), place(length, -tall), place(length, 0), place(0, 0)],
        "ink": corners, "glyphs": along(places, box[0], box[2] - box[0]),
    })
    return length
