# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Paints set text onto a canvas: tone against the ground, outline, shadow, glow, icons inside."""

from __future__ import annotations

import math
import random

import cv2
import numpy as np

import words
from canvas import Canvas, Line, Rect, contrast
from library import Icon, Library
from typeset import Block, Style

# Lines at the edge of legibility are the ones to flag, so they are drawn often.
CONTRASTS = [1.5, 1.6, 1.8, 2.0, 2.5, 3.0, 4.5, 4.5, 7.0, 7.0, 10.0, 14.0, 21.0]


def ink_luminance(canvas: Canvas, ground: float, ratio: float) -> float:
    """A luminance with about this contrast to `ground`, lighter or darker, as far as it goes."""
    dark, light = (ground + 0.05) / ratio - 0.05, (ground + 0.05) * ratio - 0.05
    options = [v for v in (dark, light) if 0.0 <= v <= 1.0]
    if options:
        return canvas.rng.choice(options)
    return 0.0 if ground > 0.18 else 1.0


def paint(
    canvas: Canvas,
    lib: Library,
    block: Block,
    x: int,
    y: int,
    style: Style,
    ground: str,
    ink: float | None = None,
    ratio: float | None = None,
) -> float:
    """Paints a block with its top left at (x, y). Returns the ink's luminance, for the next block.

    ground: flat, panel, clear (translucent) or art; on art the text gets an outline, a shadow or
    a glow more often, as designers do.
    """
    rng = canvas.rng
    h, w = block.ink.shape
    box = Rect(x, y, w, h)
    under = canvas.mean_luminance(box)
    busy = ground == "art"
    if ink is None:
        least = 1.8 if busy else 1.5
        wanted = ratio or max(least, rng.choice(CONTRASTS) * rng.uniform(0.97, 1.15))
        ink = ink_luminance(canvas, under, wanted)
    guard = _effects(canvas, block, x, y, style, ink, busy)
    opacity = rng.uniform(0.6, 0.95) if rng.random() < 0.06 else 1.0
    seen = [_contrasts(canvas, band.quad + (x, y), ink, guard) for band in block.bands]
    alpha = block.ink if opacity == 1.0 else (block.ink * opacity).astype(np.uint8)
    color = canvas.tone(ink)
    if rng.random() < 0.1:
        color = _graded(canvas, ink, under, block.ink)
    canvas.blend(x, y, alpha, color)
    for band, ratios in zip(block.bands, seen):
        low, usual = np.percentile(ratios, (10, 35)) if len(ratios) else (21.0, 21.0)
        usual = 1 + (usual - 1) * opacity
        line = Line(
            quad=np.empty(0),
            mark=words.is_mark(band.text),
            text=band.text,
            point_size=style.size / canvas.px_per_pt(),
            contrast=float(usual),
            ground=ground,
            ignored=False,
            angle=style.angle + 90 * style.turns,
        )
        canvas.add_line(band.quad + (x, y), line)
        line.contrast = float(1 + (low - 1) * opacity)
    for slot in block.slots:
        _inline_icon(canvas, lib, slot, x, y, ink)
    return ink


def _contrasts(canvas: Canvas, quad: np.ndarray, ink: float, guard: float | None) -> np.ndarray:
    """Contrast of the ink to each pixel under the band; to the outline where there is one."""
    if guard is not None:
        return np.array([contrast(ink, guard)])
    low, high = quad.min(0), quad.max(0)
    box = Rect(int(low[0]), int(low[1]), int(high[0] - low[0]) + 1, int(high[1] - low[1]) + 1)
    values = canvas.luminances(box, 400) + 0.05
    return np.maximum(values, ink + 0.05) / np.minimum(values, ink + 0.05)


def _graded(canvas: Canvas, ink: float, under: float, mask: np.ndarray) -> np.ndarray:
    """The ink runs over, from top to bottom or along the line, into a tone that stands out more
    from the ground; now and then with a step in the middle, as polished metal is drawn."""
    rng = canvas.rng
    h, w = mask.shape
    end = ink + (float(ink > under) - ink) * rng.uniform(0.2, 1.0)
    a, b = canvas.tone(ink).astype(np.float32), canvas.tone(end).astype(np.float32)
    down = rng.random() < 0.75
    used = np.flatnonzero(mask.max(1 if down else 0) > 0)
    low, high = (used[0], used[-1] + 1) if len(used) else (0, h if down else w)
    t = np.clip((np.arange(h if down else w) - low) / max(1, high - low), 0, 1)
    if rng.random() < 0.25:
        t = np.where(t < 0.5, t, 1.5 - t)
    if rng.random() < 0.5:
        t = 1 - t
    t = t[:, None, None] if down else t[None, :, None]
    return np.broadcast_to((a * (1 - t) + b * t).astype(np.uint8), (h, w, a.size))


def _effects(
    canvas: Canvas, block: Block, x: int, y: int, style: Style, ink: float, busy: bool
) -> float | None:
    """Outline, shadow or glow under the letters. Returns the luminance that surrounds them if it
    is all around and strong."""
    rng = canvas.rng
    q = rng.random()
    rim = 0.0 if ink > 0.18 else 1.0
    if rng.random() < 0.2:
        rim = rng.random()
    reach = (0.30, 0.50, 0.62) if busy else (0.06, 0.13, 0.16)
    if q < reach[0]:
        wide = (0.08, 0.16) if rng.random() < 0.25 else (0.03, 0.09)
        r = max(1, round(style.size * rng.uniform(*wide)))
        kernel = cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (2 * r + 1, 2 * r + 1))
        grown = cv2.dilate(block.ink, kernel)
        if rng.random() < 0.2:  # a second rim, or a shadow of the first
            again = canvas.tone(rng.random())
            if rng.random() < 0.5:
                canvas.blend(x, y, cv2.dilate(grown, kernel), again)
            else:
                canvas.blend(x + r, y + r, (grown * rng.uniform(0.5, 1.0)).astype(np.uint8), again)
        canvas.blend(x, y, grown, canvas.tone(rim))
        return rim if contrast(ink, rim) > 1.5 else None
    if q < reach[1]:
        d = max(1, round(style.size * rng.uniform(0.03, 0.12)))
        shade = block.ink
        if rng.random() < 0.6:
            shade = cv2.GaussianBlur(shade, (0, 0), max(0.6, d * 0.5))
        dx = d if rng.random() < 0.8 else -d
        strength, tone = rng.uniform(0.5, 1.0), canvas.tone(rim)
        shade = (shade * strength).astype(np.uint8)
        for k in range(1, rng.choice([1, 1, 1, 2, 3]) + 1):  # more than one: letters as blocks
            canvas.blend(x + k * dx, y + k * d, shade, tone)
        return None
    if q < reach[2]:
        sigma = max(0.8, style.size * rng.uniform(0.05, 0.15))
        halo = cv2.GaussianBlur(block.ink, (0, 0), sigma).astype(np.float32) * rng.uniform(1.5, 3)
        canvas.blend(x, y, np.minimum(halo, 255).astype(np.uint8), canvas.tone(rim))
        return None
    return None


def paint_icon(
    canvas: Canvas,
    icon: Icon,
    x: int,
    y: int,
    side: int,
    tone: np.ndarray | None = None,
    turns: int = 0,
    opacity: float = 1.0,
) -> None:
    """An icon fitted into a square; in one tone if `tone` is given."""
    h, w = icon.alpha.shape
    k = side / max(h, w)
    size = (max(2, round(w * k)), max(2, round(h * k)))
    how = cv2.INTER_AREA if k < 1 else cv2.INTER_LINEAR
    alpha = np.rot90(cv2.resize(icon.alpha, size, interpolation=how), turns)
    if opacity < 1:
        alpha = (alpha * opacity).astype(np.uint8)
    if tone is None:
        pixels = cv2.resize(icon.pixels, size, interpolation=how)
        pixels = np.rot90(pixels.reshape(size[1], size[0], -1), turns)
    else:
        pixels = tone
    dx, dy = (side - alpha.shape[1]) // 2, (side - alpha.shape[0]) // 2
    canvas.blend(x + dx, y + dy, alpha, pixels)


def plate(rng: random.Random, side: int) -> np.ndarray:
    """What a value or an emblem stands on: a disc or a regular polygon, (side, side) uint8."""
    out = np.zeros((side, side), np.uint8)
    c, rad = side // 2, max(1, side // 2 - 1)
    n = rng.choice([0, 0, 0, 4, 5, 6, 8])
    if n:
        a0 = rng.uniform(0, 6.3)
        pts = [
            (c + rad * math.cos(a0 + 6.2832 * k / n), c + rad * math.sin(a0 + 6.2832 * k / n))
            for k in range(n)
        ]
        cv2.fillPoly(out, [np.rint(pts).astype(np.int32)], 255, cv2.LINE_AA)
    else:
        cv2.circle(out, (c, c), rad, 255, -1, cv2.LINE_AA)
    return out


def paint_emblem(
    canvas: Canvas,
    icon: Icon,
    x: int,
    y: int,
    side: int,
    on: np.ndarray,
    tones: tuple[np.ndarray, np.ndarray],
    turns: int = 0,
) -> None:
    """An icon on a plate, as values stand on plates: ground first, figure second of `tones`."""
    canvas.blend(x, y, on, tones[0])
    inner = max(2, round(side * 0.62))
    d = (side - inner) // 2
    paint_icon(canvas, icon, x + d, y + d, inner, tones[1], turns)


def _inline_icon(
    canvas: Canvas, lib: Library, slot: np.ndarray, x: int, y: int, ink: float
) -> None:
    """A picture that stands for a word. Between two words the line goes on under it: no loss."""
    corners = slot[:4] + (x, y)
    low, high = corners.min(0), corners.max(0)
    side = int(max(high - low))
    if side < 3:
        return
    tone = canvas.tone(ink) if canvas.rng.random() < 0.5 else None
    icon, at = lib.icon(canvas.rng), (int(low[0]), int(low[1]))
    if canvas.rng.random() < 0.35:
        tones = (canvas.tone(ink), canvas.tone(ink_luminance(canvas, ink, 6.0)))
        paint_emblem(canvas, icon, *at, side, plate(canvas.rng, side), tones)
    else:
        paint_icon(canvas, icon, *at, side, tone)
    if slot[4, 0]:
        canvas.ignore(corners)
