# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Whole canvases: card faces as designers lay them out, and mosaics that no one would."""

from __future__ import annotations

import random

import cv2
import numpy as np

from canvas import Canvas, Rect
from content import WRITTEN, badge, icon_lines, paragraph, pick, title
from decoys import UNWRITTEN, Content, emblems, icons, ornament
from large import poster
from library import Library
from textures import paint_texture, smooth_noise


def some_luminance(rng: random.Random) -> float:
    """Paper, dark panels and everything between."""
    q = rng.random()
    if q < 0.4:
        return rng.uniform(0.55, 1.0)
    if q < 0.75:
        return rng.uniform(0.0, 0.08)
    return rng.random() ** 1.5


def paint_ground(canvas: Canvas, lib: Library, r: Rect) -> str:
    """Something for the whole box to lie on; returns its kind."""
    rng = canvas.rng
    q = rng.random()
    if q < 0.34:
        paint_texture(canvas, lib, r, 1.0)
        return "art"
    if q < 0.56:
        paint_texture(canvas, lib, r, 0.0)
        return "art"
    canvas.fill(r, canvas.tone(some_luminance(rng)))
    if q > 0.85:
        gradient(canvas, r)
    return "flat"


def gradient(canvas: Canvas, r: Rect) -> None:
    """A change of tone along one axis, laid over what is there."""
    ys, xs = canvas.clip(r)
    h, w = ys.stop - ys.start, xs.stop - xs.start
    if h < 2 or w < 2:
        return
    ramp = np.linspace(0, canvas.rng.randint(90, 255), h if canvas.rng.random() < 0.6 else w)
    alpha = np.broadcast_to(ramp[:, None] if len(ramp) == h else ramp[None, :], (h, w))
    canvas.blend(
        xs.start, ys.start, alpha.astype(np.uint8), canvas.tone(some_luminance(canvas.rng))
    )


def rounded(w: int, h: int, radius: int) -> np.ndarray:
    mask = np.zeros((h, w), np.uint8)
    r = max(0, min(radius, w // 2 - 1, h // 2 - 1))
    cv2.rectangle(mask, (r, 0), (w - r - 1, h - 1), 255, -1)
    cv2.rectangle(mask, (0, r), (w - 1, h - r - 1), 255, -1)
    for c in ((r, r), (w - r - 1, r), (r, h - r - 1), (w - r - 1, h - r - 1)):
        if r:
            cv2.circle(mask, c, r, 255, -1, cv2.LINE_AA)
    return mask


def panel(canvas: Canvas, lib: Library, r: Rect) -> str:
    """A box for text: flat, with a gradient, see-through, of paper, with or without a rim."""
    rng = canvas.rng
    if r.w < 8 or r.h < 8:
        return "art"
    radius = rng.choice([0, 0, round(4 * canvas.scale), round(11 * canvas.scale), 999])
    mask = rounded(r.w, r.h, radius)
    lum, q = some_luminance(rng), rng.random()
    if rng.random() < 0.2:
        shade = cv2.GaussianBlur(mask, (0, 0), 3 * canvas.scale)
        canvas.blend(r.x + 3, r.y + 4, (shade * 0.6).astype(np.uint8), canvas.tone(0.0))
    if rng.random() < 0.3:
        t = max(1, round(rng.uniform(0.5, 3) * canvas.scale))
        canvas.blend(
            r.x - t, r.y - t, rounded(r.w + 2 * t, r.h + 2 * t, radius), canvas.tone(rng.random())
        )
    if q < 0.22:
        canvas.blend(r.x, r.y, (mask * rng.uniform(0.35, 0.9)).astype(np.uint8), canvas.tone(lum))
        return "clear"
    canvas.blend(r.x, r.y, mask, canvas.tone(lum))
    if q < 0.36:
        gradient(canvas, r)
    elif q < 0.5:  # paper or parchment: faint spots
        spots = smooth_noise(rng, r.w, r.h, rng.choice([1.5, 4, 20]) * canvas.scale)
        canvas.blend(
            r.x,
            r.y,
            (cv2.min(spots, mask) * rng.uniform(0.05, 0.25)).astype(np.uint8),
            canvas.tone(rng.random()),
        )
    return "panel"


def split(rng: random.Random, r: Rect, least: int) -> list[Rect]:
    """Cuts a box into boxes of at least `least` pixels a side, at random."""
    across = r.w > r.h * rng.uniform(0.5, 2.0)
    size = r.w if across else r.h
    if size < 2 * least or (max(r.w, r.h) < 6 * least and rng.random() < 0.25):
        return [r]
    cut = rng.randint(least, size - least)
    if across:
        parts = [Rect(r.x, r.y, cut, r.h), Rect(r.x + cut, r.y, r.w - cut, r.h)]
    else:
        parts = [Rect(r.x, r.y, r.w, cut), Rect(r.x, r.y + cut, r.w, r.h - cut)]
    return [q for p in parts for q in split(rng, p, least)]


def mosaic(canvas: Canvas, lib: Library, r: Rect, written: bool) -> None:
    """A ground cut into boxes, each with a panel, a texture or nothing, and something in it."""
    rng = canvas.rng
    kind = paint_ground(canvas, lib, r)
    for box in split(rng, r, round(rng.uniform(26, 90) * canvas.scale)):
        inner, where, q = box.inset(round(rng.uniform(1, 6) * canvas.scale)), kind, rng.random()
        if q < 0.4:
            where = panel(canvas, lib, inner)
        elif q < 0.58:
            paint_texture(canvas, lib, inner, 0.4)
            where = "art"
        inner = inner.inset(round(rng.uniform(2, 6) * canvas.scale))
        if min(inner.w, inner.h) < 8 * canvas.scale or rng.random() < 0.1:
            continue
        if not written or rng.random() < 0.27:
            pick(canvas, UNWRITTEN)(canvas, lib, inner, where)
        else:
            pick(canvas, WRITTEN)(canvas, lib, inner, where)


def card(canvas: Canvas, lib: Library, r: Rect, written: bool) -> None:
    """A face: border, title bar, art window, rules box, flavor, collector line, corner values."""
    rng = canvas.rng
    kind = paint_ground(canvas, lib, r)
    m = round(r.w * rng.uniform(0.03, 0.08))
    if rng.random() < 0.4:
        canvas.fill(r, canvas.tone(some_luminance(rng)))
        paint_texture(canvas, lib, r.inset(m), 0.7)
        kind = "art"
    if rng.random() < 0.2:
        ornament(canvas, lib, r.inset(m // 2), kind)
    full = rng.random() < 0.35
    x, w, y = r.x + m, r.w - 2 * m, r.y + m
    bar = round(r.h * rng.uniform(0.06, 0.13))
    top = Rect(x, y, w, bar)
    value = rng.random() < 0.6
    if value:
        top = Rect(x + bar, y, w - bar, bar) if rng.random() < 0.5 else Rect(x, y, w - bar, bar)
    written_in(canvas, lib, top, kind, written, title, 0.65)
    if value:
        corner = Rect(x if top.x > x else x + w - bar, y, bar, bar)
        (badge if written and rng.random() < 0.75 else emblems)(canvas, lib, corner, kind)
    y += bar + m // 3
    rest = r.y + r.h - m - y
    window = round(rest * rng.uniform(0.3, 0.6))
    if not full:
        paint_texture(canvas, lib, Rect(x, y, w, window), 0.8)
        if rng.random() < 0.3:
            ornament(canvas, lib, Rect(x, y, w, window), "art")
        if rng.random() < 0.25:
            pick(canvas, UNWRITTEN)(canvas, lib, Rect(x, y, w, window).inset(m), "art")
    over = Rect(x + m, y + m, w - 2 * m, window - 2 * m)
    if rng.random() < 0.45:
        over_art = poster if rng.random() < 0.4 else pick(canvas, WRITTEN)
        (over_art if written else icons)(canvas, lib, over, "art")
    y += window + m // 3
    if rng.random() < 0.6:
        strip = Rect(x, y, w, round(r.h * rng.uniform(0.035, 0.07)))
        written_in(canvas, lib, strip, kind, written, rng.choice([title, icon_lines]), 0.5)
        y += strip.h + m // 3
    foot = round(r.h * rng.uniform(0.025, 0.045))
    rules = Rect(x, y, w, max(8, r.y + r.h - m - y - foot - m // 3))
    where = panel(canvas, lib, rules) if rng.random() < 0.75 else kind
    inner = rules.inset(max(2, m // 2))
    cut = split(rng, inner, max(8, round(r.h * 0.12))) if rng.random() < 0.5 else [inner]
    for part in (c.inset(round(4 * canvas.scale)) for c in cut):
        if written:
            chosen = paragraph if rng.random() < 0.55 else pick(canvas, WRITTEN + UNWRITTEN[:1])
            chosen(canvas, lib, part, where)
        else:
            icons(canvas, lib, part, where)
    if written:
        paragraph(canvas, lib, Rect(x, r.y + r.h - m - foot, w // 2, foot), kind)
        if rng.random() < 0.5:
            badge(canvas, lib, Rect(x + w - 2 * bar, r.y + r.h - m - bar, 2 * bar, bar), kind)
        if rng.random() < 0.2:
            paragraph(canvas, lib, Rect(r.x + 2, r.y + r.h // 3, m, r.h // 2), kind)


def written_in(
    canvas: Canvas, lib: Library, r: Rect, kind: str, written: bool, what: Content, boxed: float
) -> None:
    where = panel(canvas, lib, r) if canvas.rng.random() < boxed else kind
    inner = r.inset(max(1, round(r.h * 0.12)))
    (what if written else icons)(canvas, lib, inner, where)
