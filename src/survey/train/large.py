# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Large letters: posters, indices in the corners of open decks, whole open faces."""

from __future__ import annotations

import math

import numpy as np

import words
from canvas import Canvas, Rect
from lettering import ink_luminance, paint, paint_icon
from library import Icon, Library
from typeset import Style, random_style, set_lines, width_of

INDICES = "A K Q J 10 9 8 7 6 5 4 3 2 1 0 B D V R X 11 12 13 21 XI IV".split()


def poster(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """One or two words of 18 to 64 pt, as wide as the box allows."""
    rng = canvas.rng
    most = min(64.0, r.h / 1.45 / canvas.px_per_pt())
    if most < 18:
        return
    size = round(rng.uniform(18, most) * canvas.px_per_pt())
    style = random_style(rng, lib.face(rng), size)
    if rng.random() < 0.25:
        style.angle = rng.uniform(-10, 10)
    for _ in range(6):
        text = words.phrase(rng, rng.randint(1, 2), style.face.accents)
        if width_of(style, text) * style.stretch <= r.w:
            break
    else:
        style.size = round(size * r.w / (width_of(style, text) * style.stretch))
        style.tracking = style.small_caps = 0.0
        if style.size < 12 * canvas.px_per_pt():
            return
    block = set_lines(style, [text.split(" ")], width_of(style, text) + 1, "l")
    h, w = block.ink.shape
    x = r.x + max(0, r.w - w) // 2 if rng.random() < 0.6 else r.x
    paint(canvas, lib, block, x, r.y + (r.h - h) // 2, style, ground)


def index(
    canvas: Canvas, lib: Library, r: Rect, ground: str, sign: Icon | None = None, turns: int = 0
) -> None:
    """A number or letter of 12 to 84 pt with a sign under or beside it, which is no part of it.
    `turns` 2 is the other end of the face, where both are upside down."""
    rng = canvas.rng
    most = min(84.0, min(r.w, r.h) / 0.85 / canvas.px_per_pt())
    if most < 12:
        return
    size = round(math.exp(rng.uniform(math.log(12), math.log(most))) * canvas.px_per_pt())
    style = Style(lib.face(rng), size, size, turns=turns)
    text = rng.choice(INDICES) if rng.random() < 0.7 else words.number(rng)
    wide = width_of(style, text)
    if wide > r.w:
        return
    block = set_lines(style, [[text]], wide, "l")
    if not block.bands:
        return
    quad = block.bands[0].quad
    low, high = quad.min(0), quad.max(0)
    tall = float(high[1] - low[1])
    over = turns == 2
    x = r.x + r.w - round(high[0]) if over else r.x - round(low[0])
    y = r.y + r.h - round(high[1]) if over else r.y - round(low[1])
    ratio = rng.choice([None, 3.0, 7.0, 12.0])
    ink = paint(canvas, lib, block, x, y, style, ground, ratio=ratio)
    if rng.random() < 0.15:
        return
    side = max(4, round(tall * rng.uniform(0.5, 1.3)))
    gap = max(1, round(tall * rng.uniform(0.08, 0.35)))
    left = x + (low[0] + high[0] - side) / 2
    if rng.random() < 0.8:  # below
        at = (left, y + low[1] - gap - side if over else y + high[1] + gap)
    else:
        at = (x + low[0] - gap - side if over else x + high[0] + gap, y + low[1])
    tone = canvas.tone(ink) if rng.random() < 0.7 else None
    paint_icon(canvas, sign or lib.icon(rng), round(at[0]), round(at[1]), side, tone, turns)


def open_face(canvas: Canvas, lib: Library, r: Rect, written: bool) -> None:
    """A face of an open deck: indices in two or four corners, signs in columns or a picture."""
    rng = canvas.rng
    lum = rng.uniform(0.7, 1.0) if rng.random() < 0.7 else rng.random() ** 2
    canvas.fill(r, canvas.tone(lum))
    sign = lib.icon(rng)
    tone = canvas.tone(ink_luminance(canvas, lum, rng.choice([2.5, 5, 10, 18])))
    m = round(r.w * rng.uniform(0.02, 0.07))
    side = round(r.w * rng.uniform(0.1, 0.22))
    inner = r.inset(m + side)
    if rng.random() < 0.3:
        paint_icon(canvas, lib.icon(rng), inner.x, inner.y, min(inner.w, inner.h), None)
    else:
        columns, rows = rng.choice([1, 2, 3]), rng.randint(1, 5)
        pip = max(4, round(min(inner.w / columns, inner.h / rows) * rng.uniform(0.3, 0.8)))
        for i in range(columns):
            for j in range(rows):
                x = inner.x + round((i + 0.5) * inner.w / columns - pip / 2)
                y = inner.y + round((j + 0.5) * inner.h / rows - pip / 2)
                turns = 2 if 2 * j >= rows and rng.random() < 0.9 else 0
                paint_icon(canvas, sign, x, y, pip, tone, turns)
    corners = [(r.x + m, r.y + m, 0), (r.x + r.w - m - side, r.y + r.h - m - side, 2)]
    if rng.random() < 0.5:
        corners.append((r.x + r.w - m - side, r.y + m, 0))
        corners.append((r.x + m, r.y + r.h - m - side, 2))
    state = rng.getstate()
    for x, y, turns in corners:
        if written:
            rng.setstate(state)  # the same value in every corner
            index(canvas, lib, Rect(x, y, side, side), "flat", sign, turns)
        else:
            paint_icon(canvas, sign, x, y, side, tone, turns)
