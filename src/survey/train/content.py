# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What fills a box of a face: text of all kinds, and the things beside it that are not text.

Each function takes (canvas, library, box, ground) and paints inside the box. `ground` names what
lies there already: flat, panel, clear or art.
"""

from __future__ import annotations

import math

import cv2
import numpy as np

import words
from canvas import Canvas, Rect
from decoys import Content
from lettering import ink_luminance, paint, paint_emblem, paint_icon, plate
from large import index, poster
from library import Library
from typeset import Style, filled, random_style, set_lines, width_of


def point_size(canvas: Canvas, low: float, high: float, r: Rect) -> int:
    """An em in pixels, log-uniform between two point sizes as far as the box has room; 0 if none."""
    most = min(high, r.h / 1.5 / canvas.px_per_pt(), r.w / 2.2 / canvas.px_per_pt())
    if most < low:
        return 0
    pt = math.exp(canvas.rng.uniform(math.log(low), math.log(most)))
    px = pt * canvas.px_per_pt()
    return (
        round(px) if px < 24 else round(1.06 ** round(math.log(px, 1.06)))
    )  # few sizes, to reuse fonts


def place(
    canvas: Canvas,
    lib: Library,
    r: Rect,
    style: Style,
    lines: list[list[str]],
    align: str,
    ground: str,
    ink: float | None = None,
) -> float | None:
    """Sets lines into a box from its top; turns swap the sides. Returns the ink's luminance."""
    if not lines or not any(lines):
        return ink
    long_side = r.h if style.turns % 2 else r.w
    widths = [
        sum(width_of(style, t) for t in ts) + width_of(style, " ") * (len(ts) - 1) for ts in lines
    ]
    measure = max(widths) if align == "l" else long_side / style.stretch
    block = set_lines(style, lines, max(measure, max(widths)), align)
    pad = math.ceil(style.size * 0.55) + 2
    h, w = block.ink.shape
    x, y = r.x - pad, r.y - pad
    if style.turns % 2:
        y = r.y + max(0, (r.h - h) // 2)
    if style.turns == 2:
        x, y = r.x + r.w - w + pad, r.y
    return paint(canvas, lib, block, x, y, style, ground, ink)


def paragraph(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """Rules or flavor text: one to many lines, any alignment, now and then slanted or turned."""
    rng = canvas.rng
    turns = rng.choice([1, 2, 3]) if rng.random() < 0.12 else 0
    inner = Rect(r.x, r.y, r.h, r.w) if turns % 2 else r
    size = point_size(canvas, 3.7, 14 if rng.random() < 0.75 else 36, inner)
    if not size:
        return
    style = random_style(rng, lib.face(rng), size)
    style.turns = turns
    if rng.random() < 0.06:
        style.angle = rng.uniform(-12, 12)
    most = rng.choice([1, 2, 3, 4, 6, 8, 12, 16])
    lines = filled(rng, style, inner.w / max(1.0, style.stretch), inner.h, most, 0.25)
    place(canvas, lib, r, style, lines, rng.choice("lllccrjj"), ground)


def title(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """One line, often in capitals or spaced, sometimes with a value or icons at its end."""
    rng = canvas.rng
    size = point_size(canvas, 5, 36, r)
    if not size:
        return
    style = random_style(rng, lib.face(rng), size)
    if rng.random() < 0.08:
        style.angle = rng.uniform(-12, 12)
    text = words.phrase(rng, rng.randint(1, 4), style.face.accents)
    room = r.w
    side = round(size * rng.uniform(0.7, 1.2))
    ends = rng.choice([0, 0, 0, 1, 1, 2, 3]) if side * 4 < r.w else 0
    room -= ends * round(side * 1.2)
    lines = [t.split(" ") for t in [text] if width_of(style, t) * style.stretch <= room]
    if not lines:
        lines = filled(rng, style, room / max(1.0, style.stretch), size * 1.4, 1, 0.0)
    box = Rect(r.x, r.y + max(0, (r.h - round(size * 1.3)) // 2), room, round(size * 1.3))
    ink = place(canvas, lib, box, style, lines, rng.choice("lllccr"), ground)
    same, tone = lib.icon(rng), canvas.tone(ink if ink is not None else rng.random())
    number = rng.random() < 0.4
    for i in range(ends):
        x = r.x + room + round(i * side * 1.2) + 2
        if number and i == ends - 1:
            place(
                canvas,
                lib,
                Rect(x, box.y, side, box.h),
                Style(style.face, size, size),
                [[words.number(rng)]],
                "l",
                ground,
                ink,
            )
        else:
            icon = same if rng.random() < 0.6 else lib.icon(rng)
            paint_icon(
                canvas, icon, x, box.y + size // 4, side, tone if rng.random() < 0.6 else None
            )


def bullets(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """A list: a dot, an icon or a number before each item; the picture is not part of the line."""
    rng = canvas.rng
    size = point_size(canvas, 4, 12, r)
    if not size:
        return
    style = random_style(rng, lib.face(rng), size)
    style.leading = size * rng.uniform(1.15, 1.9)
    indent = round(size * rng.uniform(1.0, 1.8))
    icon, how, ink = lib.icon(rng), rng.choice("dni"), None
    for i in range(min(8, int(r.h / style.leading))):
        box = Rect(r.x + indent, r.y + round(i * style.leading), r.w - indent, round(size * 1.4))
        lines = filled(rng, style, box.w / max(1.0, style.stretch), box.h, 1, 0.0)
        if how == "n" and lines:
            box.x, lines[0] = r.x, [f"{i + 1}.", *lines[0][:-1]] if len(lines[0]) > 1 else lines[0]
        ink = place(canvas, lib, box, style, lines, "l", ground, ink)
        middle = box.y + round(size * 0.72)
        if how == "d" and ink is not None:
            dot = np.zeros((size, size), np.uint8)
            cv2.circle(
                dot, (size // 2, size // 2), max(1, round(size * 0.15)), 255, -1, cv2.LINE_AA
            )
            canvas.blend(r.x, middle - size // 2, dot, canvas.tone(ink))
        elif how == "i":
            tone = canvas.tone(ink) if ink is not None and rng.random() < 0.6 else None
            paint_icon(
                canvas,
                icon if rng.random() < 0.7 else lib.icon(rng),
                r.x,
                middle - round(size * 0.45),
                round(size * 0.9),
                tone,
            )


def table(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """Rows and columns of numbers, short words and now and then a sign, with or without rules."""
    rng = canvas.rng
    size = point_size(canvas, 4, 13, r)
    if not size:
        return
    style = random_style(rng, lib.face(rng), size)
    style.stretch, style.shear = 1.0, 0.0
    row_h = round(size * rng.uniform(1.3, 2.0))
    columns = max(1, min(rng.randint(2, 7), r.w // (size * 3)))
    col_w = r.w // columns
    ruled, ink = rng.random() < 0.5, None
    wordy = [rng.random() < 0.3 for _ in range(columns)]
    aligns = [rng.choice("lcr") for _ in range(columns)]
    signs = [lib.icon(rng) for _ in range(rng.choice([0, 0, 1, 3]))]
    for j in range(min(10, r.h // row_h)):
        for i in range(columns):
            if signs and rng.random() < 0.12:
                tone = canvas.tone(ink) if ink is not None and rng.random() < 0.7 else None
                x = r.x + i * col_w + rng.randint(0, max(0, col_w - 2 * size))
                paint_icon(canvas, rng.choice(signs), x, r.y + j * row_h, size, tone)
                continue
            text = (
                words.phrase(rng, 1, style.face.accents) if wordy[i] or j == 0 else words.cell(rng)
            )
            if width_of(style, text) > col_w - size // 2:
                continue
            box = Rect(r.x + i * col_w, r.y + j * row_h, col_w - size // 2, row_h)
            ink = place(canvas, lib, box, style, [[text]], aligns[i], ground, ink)
        if ruled and ink is not None:
            y = r.y + (j + 1) * row_h
            canvas.fill(
                Rect(r.x, y, r.w, max(1, round(canvas.scale * rng.uniform(0.4, 1.5)))),
                canvas.tone(ink),
            )


def columns(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """Two or three columns side by side in one style, the gap as small as two spaces."""
    rng = canvas.rng
    count = rng.choice([2, 2, 3])
    size = point_size(canvas, 3.8, 11, Rect(r.x, r.y, r.w // count, r.h))
    if not size:
        return
    style = random_style(rng, lib.face(rng), size)
    gap = round(size * rng.uniform(1.0, 3.0))
    each = (r.w - gap * (count - 1)) // count
    most, align, ink = rng.randint(1, 12), rng.choice("ljjc"), None
    for i in range(count):
        box = Rect(r.x + i * (each + gap), r.y, each, r.h)
        lines = filled(rng, style, each / max(1.0, style.stretch), r.h, most, 0.05)
        ink = place(canvas, lib, box, style, lines, align, ground, ink)


def badge(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """A number or a letter alone: bare, on a disc or shield, or on an icon."""
    rng = canvas.rng
    text = words.number(rng)
    side = min(
        r.w, r.h, round(math.exp(rng.uniform(math.log(9), math.log(46))) * canvas.px_per_pt())
    )
    if side < 10 * canvas.scale:
        return
    x, y = r.x + rng.randint(0, r.w - side), r.y + rng.randint(0, r.h - side)
    q, where = rng.random(), ground
    if q < 0.5:
        under = plate(rng, side)
        lum = rng.random() ** 2
        canvas.blend(x, y, under, canvas.tone(lum))
        if rng.random() < 0.4:
            rim = cv2.morphologyEx(under, cv2.MORPH_GRADIENT, np.ones((3, 3), np.uint8))
            canvas.blend(x, y, rim, canvas.tone(rng.random()))
        where = "panel"
    elif q < 0.6:
        paint_icon(canvas, lib.icon(rng), x, y, side, canvas.tone(rng.random() ** 2))
        where = "art"
    face = lib.face(rng)
    size = max(6, round(side * rng.uniform(0.45, 0.75)))
    style = Style(face, size, size, turns=2 if rng.random() < 0.1 else 0)
    w = width_of(style, text)
    if w > side * 0.95:
        style.size = max(6, round(size * side * 0.8 / w))
        w = width_of(style, text)
    block = set_lines(style, [[text]], w, "c")
    h, wd = block.ink.shape
    cap = block.bands[0].quad[:, 1].mean() if block.bands else h / 2
    paint(
        canvas,
        lib,
        block,
        x + (side - wd) // 2,
        y + round(side / 2 - cap),
        style,
        where,
        ratio=None if rng.random() < 0.5 else rng.choice([4.5, 7, 12]),
    )


def icon_lines(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """Icons before or after a word or a value, line by line: cost lines, legends."""
    rng = canvas.rng
    size = point_size(canvas, 5, 20, r)
    if not size:
        return
    style, ink = random_style(rng, lib.face(rng), size), None
    style.stretch, style.shear = 1.0, 0.0
    row, side = round(size * rng.uniform(1.3, 2.2)), round(size * rng.uniform(0.7, 1.3))
    gap = round(size * rng.uniform(0.15, 0.7))
    for j in range(min(5, r.h // row)):
        x, y = r.x, r.y + j * row
        while x < r.x + r.w - size * 2:
            if rng.random() < 0.5:
                for _ in range(rng.choice([1, 1, 2, 3])):
                    tone = canvas.tone(ink) if ink is not None and rng.random() < 0.6 else None
                    if x + side < r.x + r.w:
                        top = y + round(size * 0.6 - side / 2)
                        if rng.random() < 0.3:
                            lum = rng.random()
                            pair = (lum, ink_luminance(canvas, lum, 5.0))
                            paint_emblem(
                                canvas,
                                lib.icon(rng),
                                x,
                                top,
                                side,
                                plate(rng, side),
                                (canvas.tone(pair[0]), canvas.tone(pair[1])),
                            )
                        else:
                            paint_icon(canvas, lib.icon(rng), x, top, side, tone)
                    x += side + gap
            else:
                text = (
                    words.number(rng)
                    if rng.random() < 0.4
                    else words.phrase(rng, rng.randint(1, 2), False)
                )
                wide = round(width_of(style, text))
                if x + wide < r.x + r.w:
                    ink = place(
                        canvas,
                        lib,
                        Rect(x, y, wide, row),
                        style,
                        [text.split(" ")],
                        "l",
                        ground,
                        ink,
                    )
                x += wide + gap
            if rng.random() < 0.3:
                break


WRITTEN: list[tuple[Content, float]] = [
    (paragraph, 5.0),
    (title, 3.0),
    (bullets, 1.0),
    (table, 1.6),
    (columns, 1.0),
    (badge, 2.2),
    (icon_lines, 1.2),
    (poster, 1.6),
    (index, 0.9),
]


def pick(canvas: Canvas, choices: list[tuple[Content, float]]) -> Content:
    return canvas.rng.choices([c for c, _ in choices], [w for _, w in choices])[0]
