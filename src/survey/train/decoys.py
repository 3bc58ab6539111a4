# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What stands among text on faces and is none: icons, emblems, tendrils, rules and frames.

Each function takes (canvas, library, box, ground) and paints inside the box.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import cv2
import numpy as np

from canvas import Canvas, Rect
from lettering import ink_luminance, paint_emblem, paint_icon, plate
from library import Library

Content = Callable[[Canvas, Library, Rect, str], None]


def icons(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """Rows of icons, equal or mixed, tinted or in full color, as close as letters stand."""
    rng = canvas.rng
    side = round(math.exp(rng.uniform(math.log(5), math.log(60))) * canvas.scale)
    side = min(side, r.w, r.h)
    if side < 4:
        return
    step = max(2, round(side * rng.choice([0.9, 1.05, 1.15, 1.3, 1.8])))
    nx, ny = min(r.w // step, rng.choice([1, 2, 3, 5, 8, 14])), min(
        r.h // step, rng.choice([1, 1, 2, 4])
    )
    tint = rng.random() < 0.65
    lum = ink_luminance(canvas, canvas.mean_luminance(r), rng.choice([1.6, 2.5, 4.5, 8, 15]))
    tone, kinds = canvas.tone(lum), [lib.icon(rng) for _ in range(rng.choice([1, 1, 2, 3, 12]))]
    turns = rng.choice([0, 0, 0, 1, 2])
    for j in range(ny):
        for i in range(nx):
            icon = kinds[0] if len(kinds) == 1 else rng.choice(kinds)
            paint_icon(
                canvas, icon, r.x + i * step, r.y + j * step, side, tone if tint else None, turns
            )


def emblems(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """Icons on plates, one or in a row or a grid: they stand where values might, but are none."""
    rng = canvas.rng
    side = min(round(math.exp(rng.uniform(math.log(9), math.log(60))) * canvas.scale), r.w, r.h)
    if side < 7:
        return
    step = max(3, round(side * rng.choice([1.05, 1.2, 1.5, 2.2])))
    nx = min(max(1, r.w // step), rng.choice([1, 1, 2, 3, 5, 9]))
    ny = min(max(1, r.h // step), rng.choice([1, 1, 1, 2, 6]))
    lum = rng.random() ** 2
    tones = (
        canvas.tone(lum),
        canvas.tone(ink_luminance(canvas, lum, rng.choice([1.8, 3, 6, 12]))),
    )
    under, kinds = plate(rng, side), [lib.icon(rng) for _ in range(rng.choice([1, 1, 2, 4]))]
    rings, moons, turns = rng.random() < 0.15, rng.random() < 0.15, rng.choice([0, 0, 0, 2])
    for j in range(ny):
        for i in range(nx):
            x, y = r.x + i * step, r.y + j * step
            if rings:
                _rings(canvas, x, y, side)
            elif moons:
                canvas.blend(x, y, under, tones[0])
                cut = under.copy()
                shift = rng.randint(0, max(1, side // 2))
                cut[:, : side // 2 - shift // 2 if rng.random() < 0.5 else shift] = 0
                canvas.blend(x, y, cut, tones[1])
            else:
                paint_emblem(canvas, rng.choice(kinds), x, y, side, under, tones, turns)


def _rings(canvas: Canvas, x: int, y: int, side: int) -> None:
    """Discs in one another, as an eye, a target or a nut."""
    rad = side // 2
    while rad >= 1:
        disc = np.zeros((side, side), np.uint8)
        cv2.circle(disc, (side // 2, side // 2), rad, 255, -1, cv2.LINE_AA)
        canvas.blend(x, y, disc, canvas.tone(canvas.rng.random() ** 1.5))
        rad = int(rad * canvas.rng.uniform(0.35, 0.85))


def flourish(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """A tendril with leaves, beads or curls, mirrored about its middle: what parts two texts."""
    rng = canvas.rng
    tone = canvas.tone(ink_luminance(canvas, canvas.mean_luminance(r), rng.choice([1.8, 3, 6, 12])))
    high = min(r.h, round(rng.uniform(4, 22) * canvas.scale))
    half = min(r.w // 2, round(high * rng.uniform(1.5, 9)))
    if high < 5 or half < 8:
        return
    field = np.zeros((high, half), np.uint8)
    t = max(1, round(canvas.scale * rng.uniform(0.4, 1.3)))
    waves, swing, lean = rng.uniform(0.5, 3), rng.uniform(0.1, 0.45), rng.uniform(0.2, 1.2)
    xs = np.linspace(0, half - 1, 48)
    ys = high / 2 + high * swing * np.sin(xs / half * waves * 6.2832)
    cv2.polylines(
        field, [np.rint(np.stack([xs, ys], 1)).astype(np.int32)], False, 255, t, cv2.LINE_AA
    )
    each, kind = rng.randint(2, 7), rng.choice("lbc")
    leaf = max(1, round(high * rng.uniform(0.1, 0.3)))
    for k in range(2, 47, each):
        at, side = (round(xs[k]), round(ys[k])), 1 if (k // each) % 2 else -1
        if kind == "l":
            at = (at[0], at[1] + side * leaf)
            axes = (leaf, max(1, leaf // 2))
            cv2.ellipse(field, at, axes, side * math.degrees(lean), 0, 360, 255, -1, cv2.LINE_AA)
        elif kind == "b":
            cv2.circle(field, at, max(1, leaf // 2), 255, -1, cv2.LINE_AA)
        else:
            cv2.ellipse(field, at, (leaf, leaf), 0, side * 30, side * 260, 255, t, cv2.LINE_AA)
    whole = np.concatenate([field[:, ::-1], field], 1)
    if rng.random() < 0.15:
        whole = np.ascontiguousarray(np.rot90(whole))
    y = r.y + rng.randint(0, max(0, r.h - whole.shape[0]))
    canvas.blend(r.x + max(0, (r.w - whole.shape[1]) // 2), y, whole, tone)


def picture(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """One large icon."""
    side = min(r.w, r.h)
    tone = canvas.tone(canvas.rng.random()) if canvas.rng.random() < 0.5 else None
    paint_icon(
        canvas, lib.icon(canvas.rng), r.x, r.y, side, tone, canvas.rng.choice([0, 0, 1, 2, 3])
    )


def ornament(canvas: Canvas, lib: Library, r: Rect, ground: str) -> None:
    """A rule, a row of beads or stars, a double border: what frames text."""
    rng = canvas.rng
    tone = canvas.tone(ink_luminance(canvas, canvas.mean_luminance(r), rng.choice([1.8, 3, 6, 12])))
    t = max(1, round(canvas.scale * rng.uniform(0.5, 4)))
    q = rng.random()
    if q < 0.3:
        for k in range(rng.choice([1, 2, 3])):
            canvas.fill(Rect(r.x, r.y + k * t * 3, r.w, t), tone)
    elif q < 0.6:
        step = max(3, round(canvas.scale * rng.uniform(3, 16)))
        bead = np.zeros((step, step), np.uint8)
        rad = max(1, round(step * rng.uniform(0.2, 0.45)))
        cv2.circle(
            bead,
            (step // 2, step // 2),
            rad,
            255,
            -1 if rng.random() < 0.6 else max(1, rad // 3),
            cv2.LINE_AA,
        )
        edge = rng.random() < 0.5
        for x in range(r.x, r.x + r.w - step, step):
            canvas.blend(x, r.y, bead, tone)
            if edge:
                canvas.blend(x, r.y + r.h - step, bead, tone)
        if edge:
            for y in range(r.y, r.y + r.h - step, step):
                canvas.blend(r.x, y, bead, tone)
                canvas.blend(r.x + r.w - step, y, bead, tone)
    else:
        for k in range(rng.choice([1, 1, 2])):
            b = r.inset(3 * k * t)
            for edge_box in (
                Rect(b.x, b.y, b.w, t),
                Rect(b.x, b.y + b.h - t, b.w, t),
                Rect(b.x, b.y, t, b.h),
                Rect(b.x + b.w - t, b.y, t, b.h),
            ):
                canvas.fill(edge_box, tone)


UNWRITTEN: list[tuple[Content, float]] = [
    (icons, 3.0),
    (emblems, 2.0),
    (flourish, 1.2),
    (picture, 1.0),
    (ornament, 1.2),
]
