# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""What only looks like text: rules, screens, hatching, foliage, bricks, maps and the like.

Each function returns a field (h, w) uint8, 0 ground to 255 figure; `s` is canvas pixels per net
pixel, so that sizes stay the same on paper. `paint` gives a field two tones.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import cv2
import numpy as np

from canvas import Canvas, Rect
from fields import AA, blank, ri, smooth_noise, tiled, turned
from growth import bushes, fringe, leaves, shapes, strokes, twigs
from library import Library


def stripes(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Ruled lines of even or varied distance, some broken into dashes."""
    d = round(math.hypot(w, h)) + 2
    f = blank(d, d)
    p = ri(rng, 3 * s, 26 * s)
    t = max(1, round(p * rng.uniform(0.08, 0.6)))
    jitter, dash = rng.random() < 0.3, rng.random() < 0.25
    y = 0
    while y < d:
        cv2.rectangle(f, (0, y), (d, y + t - 1), 255, -1)
        y += p if not jitter else max(t + 1, round(p * rng.uniform(0.6, 1.6)))
    if dash:
        q = ri(rng, 4 * s, 40 * s)
        for x in range(0, d, 2 * q):
            f[:, x : x + max(1, round(q * rng.uniform(0.3, 1)))] = 0
    return turned(rng, f, w, h)


def hatching(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    return np.maximum(stripes(rng, w, h, s), stripes(rng, w, h, s))


def dots(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """A grid of dots, rings, squares or crosses, straight or staggered."""
    p = ri(rng, 3.5 * s, 26 * s)
    r = max(1, round(p * rng.uniform(0.12, 0.45)))
    kind, stagger = rng.randint(0, 3), rng.random() < 0.5
    d = round(math.hypot(w, h)) + 2
    tile = blank(2 * p, 2 * p)
    for j in range(2):
        for i in range(-1, 3):
            c = (round((i + (0.5 if stagger and j else 0) + 0.5) * p), round((j + 0.5) * p))
            if kind == 0:
                cv2.circle(tile, c, r, 255, -1, AA)
            elif kind == 1:
                cv2.circle(tile, c, r, 255, max(1, r // 3), AA)
            elif kind == 2:
                cv2.rectangle(tile, (c[0] - r, c[1] - r), (c[0] + r, c[1] + r), 255, -1)
            else:
                cv2.line(tile, (c[0] - r, c[1]), (c[0] + r, c[1]), 255, max(1, r // 3))
                cv2.line(tile, (c[0], c[1] - r), (c[0], c[1] + r), 255, max(1, r // 3))
    return turned(rng, tiled(tile, d, d), w, h)


def checks(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    p = ri(rng, 2 * s, 24 * s)
    q = p if rng.random() < 0.6 else ri(rng, 2 * s, 24 * s)
    tile = blank(2 * p, 2 * q)
    tile[:q, :p] = tile[q:, p:] = 255
    d = round(math.hypot(w, h)) + 2
    return turned(rng, tiled(tile, d, d), w, h)


def glyphlike(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """One or a few stroke motifs repeated in rows: the hardest of the patterned backs."""
    p = ri(rng, 5 * s, 34 * s)
    n = rng.choice([1, 1, 2, 3])
    gap = max(1, round(p * rng.choice([1.1, 1.3, 1.7, 2.2])))
    tile = blank(gap * n, gap)
    for i in range(n):
        _motif(rng, tile, i * gap + gap // 2, gap // 2, p * 0.45)
    if rng.random() < 0.35:
        second = np.roll(tile if rng.random() < 0.5 else tile[:, ::-1], gap // 2, axis=1)
        tile = np.concatenate([tile, second])
    d = round(math.hypot(w, h)) + 2
    f = tiled(tile, d, d)
    return turned(rng, f, w, h) if rng.random() < 0.5 else np.ascontiguousarray(f[:h, :w])


def _motif(rng: random.Random, f: np.ndarray, x: int, y: int, r: float) -> None:
    t = max(1, round(r * rng.uniform(0.1, 0.5)))
    kind = rng.randint(0, 6)
    n = rng.randint(3, 8)
    a0 = rng.uniform(0, 6.3)
    ring = [
        (x + r * math.cos(a0 + k * 2 * math.pi / n), y + r * math.sin(a0 + k * 2 * math.pi / n))
        for k in range(n)
    ]
    pts = np.rint(ring).astype(np.int32)
    if kind == 0:
        cv2.fillPoly(f, [pts], 255, AA)
    elif kind == 1:
        cv2.polylines(f, [pts], True, 255, t, AA)
    elif kind == 2:
        for q in pts:
            cv2.line(f, (x, y), tuple(int(v) for v in q), 255, t, AA)
    elif kind == 3:
        star = [
            q if k % 2 else (np.asarray(q) - (x, y)) * 0.45 + (x, y)
            for k, q in enumerate(ring + ring)
        ]
        cv2.fillPoly(f, [np.rint(star).astype(np.int32)], 255, AA)
    elif kind == 4:
        axes = (max(1, round(r)), max(1, round(r * rng.uniform(0.3, 1))))
        cv2.ellipse(f, (x, y), axes, math.degrees(a0), 0, rng.choice([180, 270, 360]), 255, t, AA)
    elif kind == 5:
        for q in pts:
            cv2.circle(f, tuple(int(v) for v in q), max(1, round(r * 0.3)), 255, -1, AA)
    else:
        cv2.polylines(f, [pts], False, 255, t, AA)


def noise(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    f = smooth_noise(rng, w, h, rng.choice([1, 1.5, 2, 3, 5, 9]) * s)
    return ((f > rng.randint(90, 190)) * np.uint8(255)) if rng.random() < 0.4 else f


def clouds(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    a = smooth_noise(rng, w, h, rng.uniform(40, 160) * s)
    b = smooth_noise(rng, w, h, rng.uniform(8, 30) * s)
    return cv2.addWeighted(a, 0.8, b, 0.2, 0)


def woodgrain(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    y = np.arange(h, dtype=np.float32)[:, None] / s
    warp = smooth_noise(rng, w, h, 90 * s).astype(np.float32) * rng.uniform(0.05, 0.4)
    f = np.sin((y + warp) * rng.uniform(0.3, 1.6)) * 90 + 128
    f += smooth_noise(rng, w, h, 2 * s).astype(np.float32) * 0.25 - 32
    f = f.clip(0, 255).astype(np.uint8)
    return np.ascontiguousarray(np.rot90(cv2.resize(f, (h, w)))) if rng.random() < 0.3 else f


def contours(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Lines of equal height of a map, with a dotted road and a river."""
    f = smooth_noise(rng, w, h, rng.uniform(40, 120) * s).astype(np.float32)
    step = rng.uniform(10, 30)
    thin = np.abs((f / step) % 1 - 0.5) < rng.uniform(0.05, 0.16)
    out = thin.astype(np.uint8) * 255
    for dashed in (False, True):
        pts = [(rng.randint(0, w), 0)]
        while pts[-1][1] < h:
            pts.append(
                (pts[-1][0] + round(rng.uniform(-30, 30) * s), pts[-1][1] + ri(rng, 6 * s, 25 * s))
            )
        t = ri(rng, 1 * s, 4 * s)
        for i in range(0, len(pts) - 1, 2 if dashed else 1):
            cv2.line(out, pts[i], pts[i + 1], 255, t, AA)
    return out


def bricks(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    bh = ri(rng, 5 * s, 30 * s)
    bw = round(bh * rng.uniform(1.4, 3.2))
    t = max(1, round(bh * rng.uniform(0.06, 0.22)))
    tile = np.full((2 * bh, bw), 255, np.uint8)
    tile[:t], tile[bh : bh + t] = 0, 0
    tile[:bh, :t] = 0
    tile[bh:, bw // 2 : bw // 2 + t] = 0
    return tiled(tile, w, h)


def chain(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Links, scales, beads or braids in rows."""
    r = ri(rng, 3 * s, 15 * s)
    t = max(1, round(r * rng.uniform(0.12, 0.4)))
    px, py = max(2, round(r * rng.uniform(1.0, 2.2))), max(2, round(r * rng.uniform(1.0, 2.6)))
    f = blank(w, h)
    wide = rng.uniform(0.6, 1.6)
    end = rng.choice([180, 360])
    for j, y in enumerate(range(0, h + r, py)):
        for x in range(-(px // 2) * (j % 2), w + r, px):
            cv2.ellipse(f, (x, y), (max(1, round(r * wide)), r), 0, 0, end, 255, t, AA)
    return f


def facets(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """A low-poly scene: a jittered grid cut into triangles of various tones."""
    p = ri(rng, 10 * s, 90 * s)
    nx, ny = w // p + 3, h // p + 3
    grid = [
        [
            (round((i - 1 + rng.uniform(0, 0.9)) * p), round((j - 1 + rng.uniform(0, 0.9)) * p))
            for i in range(nx)
        ]
        for j in range(ny)
    ]
    f = blank(w, h)
    for j in range(ny - 1):
        for i in range(nx - 1):
            a, b, c, d = grid[j][i], grid[j][i + 1], grid[j + 1][i + 1], grid[j + 1][i]
            for t in ((a, b, c), (a, c, d)):
                cv2.fillPoly(f, [np.array(t, np.int32)], rng.randint(0, 255), AA)
    return f


def bars(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Rows of bars of varied width, like a bar code or a skyline."""
    row = ri(rng, 10 * s, 70 * s)
    f = blank(w, h)
    for y in range(0, h, round(row * rng.uniform(1.1, 2))):
        x, t = 0, ri(rng, 1 * s, 5 * s)
        while x < w:
            n = t * rng.randint(1, 4)
            top = 0 if rng.random() < 0.8 else rng.randint(0, row // 2)
            cv2.rectangle(f, (x, y + top), (x + n - 1, y + row), 255, -1)
            x += n + t * rng.randint(1, 4)
    return f


def wires(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Right-angled paths with pads, a maze or a circuit."""
    p, t = ri(rng, 5 * s, 22 * s), ri(rng, 1 * s, 3 * s)
    f = blank(w, h)
    for y in range(0, h, p):
        for x in range(0, w, p):
            if rng.random() < 0.55:
                cv2.line(f, (x, y), (x + p, y), 255, t)
            if rng.random() < 0.45:
                cv2.line(f, (x, y), (x, y + p), 255, t)
            if rng.random() < 0.1:
                cv2.circle(f, (x, y), t + 1, 255, -1, AA)
    return f


def rosette(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Guilloche: turning curves as on banknotes and card backs."""
    f = blank(w, h)
    a = np.linspace(0, 2 * math.pi, 1400)
    for _ in range(rng.randint(1, 4)):
        n, k = rng.randint(5, 40), rng.randint(1, 7)
        r = max(w, h) * rng.uniform(0.15, 0.5)
        m = r * (0.7 + 0.3 * np.sin(n * a))
        x = w * rng.random() + m * np.cos(k * a)
        y = h * rng.random() + m * np.sin(k * a)
        pts = np.rint(np.stack([x, y], 1)).astype(np.int32)
        cv2.polylines(f, [pts], True, 255, ri(rng, 1 * s, 2 * s), AA)
    return f


def halftone(rng: random.Random, gray: np.ndarray, s: float) -> np.ndarray:
    """A photograph screened into dots or lines of 30 to 75 an inch, at an angle."""
    h, w = gray.shape
    p, a = rng.uniform(2, 7) * s, math.radians(rng.choice([0, 15, 45, 75, 30]))
    y, x = np.mgrid[0:h, 0:w].astype(np.float32)
    u = (x * math.cos(a) + y * math.sin(a)) * (2 * math.pi / p)
    screen = np.cos(u)
    if rng.random() < 0.65:
        v = (y * math.cos(a) - x * math.sin(a)) * (2 * math.pi / p)
        screen = (screen + np.cos(v)) / 2
    edge = rng.uniform(2, 8)
    return ((screen + gray / 127.5 - 1) * edge * 127 + 128).clip(0, 255).astype(np.uint8)


Field = Callable[[random.Random, int, int, float], np.ndarray]
FIELDS: list[Field] = [
    stripes,
    hatching,
    dots,
    checks,
    glyphlike,
    glyphlike,
    noise,
    clouds,
    woodgrain,
    contours,
    bricks,
    chain,
    strokes,
    strokes,
    leaves,
    bushes,
    bushes,
    shapes,
    shapes,
    facets,
    facets,
    bars,
    wires,
    rosette,
    fringe,
    fringe,
    twigs,
    twigs,
]


def toned(canvas: Canvas, field: np.ndarray, low: float, high: float) -> np.ndarray:
    """A field as pixels (h, w, C) between two luminances."""
    t = np.linspace(0, 1, 256)[:, None]
    a, b = canvas.tone(low).astype(np.float32), canvas.tone(high).astype(np.float32)
    return np.rint(a * (1 - t) + b * t).astype(np.uint8)[field]


def art_pixels(canvas: Canvas, lib: Library, w: int, h: int) -> np.ndarray:
    """Part of a picture, scaled 0.5 to 1.6, sometimes mirrored."""
    rng = canvas.rng
    art = lib.some_art(rng).pixels
    ah, aw = art.shape[:2]
    k = max(w / aw, h / ah, rng.uniform(0.35, 0.9) * canvas.scale)
    cw, ch = min(aw, max(2, round(w / k))), min(ah, max(2, round(h / k)))
    x, y = rng.randint(0, aw - cw), rng.randint(0, ah - ch)
    part = np.ascontiguousarray(art[y : y + ch, x : x + cw])
    out = cv2.resize(part, (w, h), interpolation=cv2.INTER_LINEAR).reshape(h, w, -1)
    return out[:, ::-1] if rng.random() < 0.4 else out


def pattern_pixels(canvas: Canvas, lib: Library, w: int, h: int) -> np.ndarray:
    """Any of the fields in two tones; halftoned art among them."""
    rng = canvas.rng
    if rng.random() < 0.1:
        art = art_pixels(canvas, lib, w, h)
        field = halftone(
            rng,
            cv2.cvtColor(art, cv2.COLOR_RGB2GRAY) if canvas.color else art[..., 0],
            canvas.scale,
        )
    else:
        field = rng.choice(FIELDS)(rng, w, h, canvas.scale)
    low, high = rng.random() ** 2, rng.random() ** 2
    return toned(canvas, field, low, high)


def paint_texture(canvas: Canvas, lib: Library, r: Rect, art_share: float) -> None:
    ys, xs = canvas.clip(r)
    w, h = xs.stop - xs.start, ys.stop - ys.start
    if w < 2 or h < 2:
        return
    make = art_pixels if canvas.rng.random() < art_share else pattern_pixels
    canvas.put(xs.start, ys.start, make(canvas, lib, w, h))
