# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Fields of what grows, is combed or flows: strokes, leaves, fringes, trees, large shapes."""

from __future__ import annotations

import math
import random

import cv2
import numpy as np

from fields import AA, blank, ri


def strokes(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Grass, rain, scribbles: short strokes of one or of any direction."""
    f = blank(w, h)
    lean, spread = rng.uniform(0, math.pi), rng.choice([0.15, 0.5, 3.2])
    length, t = ri(rng, 4 * s, 40 * s), ri(rng, 0.7 * s, 3 * s)
    for _ in range(min(900, round(w * h / (length * t * rng.uniform(4, 30))))):
        x, y, a = rng.randint(0, w), rng.randint(0, h), lean + rng.uniform(-spread, spread)
        n = length * rng.uniform(0.4, 1.2)
        mid = (round(x + n * 0.5 * math.cos(a)), round(y + n * 0.5 * math.sin(a)))
        b = a + rng.uniform(-0.6, 0.6)
        end = (round(mid[0] + n * 0.5 * math.cos(b)), round(mid[1] + n * 0.5 * math.sin(b)))
        v = rng.randint(120, 255)
        cv2.line(f, (x, y), mid, v, t, AA)
        cv2.line(f, mid, end, v, t, AA)
    return f


def leaves(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Foliage: many lens-shaped leaves with a vein, or petals around a center."""
    f = blank(w, h)
    size = ri(rng, 5 * s, 30 * s)
    for _ in range(min(500, round(w * h / size**2 * rng.uniform(0.5, 2.5)))):
        x, y, a = rng.randint(0, w), rng.randint(0, h), rng.uniform(0, 360)
        r = size * rng.uniform(0.5, 1.2)
        axes = (max(1, round(r)), max(1, round(r * rng.uniform(0.25, 0.6))))
        cv2.ellipse(f, (x, y), axes, a, 0, 360, rng.randint(50, 255), -1, AA)
        dx, dy = r * math.cos(math.radians(a)), r * math.sin(math.radians(a))
        cv2.line(
            f,
            (round(x - dx), round(y - dy)),
            (round(x + dx), round(y + dy)),
            rng.randint(0, 120),
            1,
            AA,
        )
    return f


def fringe(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Combs of short strokes along curves: feelers, lashes, feathers, grass, stitches, teeth."""
    f = blank(w, h)
    for _ in range(rng.randint(2, 9)):
        x, y, a = rng.uniform(0, w), rng.uniform(0, h), rng.choice([0, 0, rng.uniform(0, 6.3)])
        pitch, length = rng.uniform(1.8, 7) * s, rng.uniform(3, 18) * s
        t, bend = max(1, round(pitch * rng.uniform(0.2, 0.6))), rng.uniform(-0.05, 0.05)
        tilt, both, spine = rng.uniform(0.6, 2.5), rng.random() < 0.4, rng.random() < 0.6
        v = rng.randint(140, 255)
        for _ in range(rng.randint(8, 60)):
            to = (x + pitch * math.cos(a), y + pitch * math.sin(a))
            n = length * rng.uniform(0.7, 1.0)
            for way in (1, -1) if both else (1,):
                tip = (x + n * math.cos(a + way * tilt), y + n * math.sin(a + way * tilt))
                cv2.line(f, (round(x), round(y)), (round(tip[0]), round(tip[1])), v, t, AA)
            if spine:
                cv2.line(f, (round(x), round(y)), (round(to[0]), round(to[1])), v, t, AA)
            (x, y), a = to, a + bend
    return f


def twigs(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Trees: branches that fork, with small leaves or blossom in clumps at their ends."""
    f = blank(w, h)
    leaf, bare, dense = rng.uniform(0.8, 4) * s, rng.random() < 0.3, rng.randint(1, 4)
    ends: list[tuple[float, float, float, float, float]] = []
    for _ in range(rng.randint(1, 4)):
        size = rng.uniform(20, 90) * s
        root = (rng.uniform(0, w), rng.uniform(h * 0.4, h))
        ends.append((*root, -1.57 + rng.gauss(0, 0.3), size, size / 9))
    for x, y, a, n, t in ends:  # grows while it is walked: all trees fork level by level
        to = (x + n * math.cos(a), y + n * math.sin(a))
        cv2.line(f, (round(x), round(y)), (round(to[0]), round(to[1])), 200, max(1, round(t)), AA)
        if n < 6 * s or len(ends) > 500:
            for _ in range(0 if bare else rng.randint(0, dense)):
                at = (round(to[0] + rng.gauss(0, 3 * leaf)), round(to[1] + rng.gauss(0, 3 * leaf)))
                axes = (max(1, round(leaf)), max(1, round(leaf * rng.uniform(0.4, 1))))
                cv2.ellipse(f, at, axes, rng.uniform(0, 180), 0, 360, rng.randint(120, 255), -1, AA)
        else:
            for _ in range(rng.choice([2, 2, 3])):
                ends.append((*to, a + rng.gauss(0, 0.5), n * rng.uniform(0.6, 0.85), t * 0.7))
    return f


def bushes(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """Dense pointed leaves, each of one of a few tones, over a dark or a light gap."""
    f = np.full((h, w), rng.choice([0, 255, rng.randint(0, 255)]), np.uint8)
    size = ri(rng, 4 * s, 26 * s)
    tones = [rng.randint(0, 255) for _ in range(rng.randint(2, 5))]
    slim, lean = rng.uniform(0.2, 0.55), rng.choice([6.3, 6.3, 1.0])
    for _ in range(min(1200, round(w * h / size**2 * rng.uniform(0.8, 3)))):
        x, y, a = rng.uniform(0, w), rng.uniform(0, h), rng.uniform(0, lean)
        n = size * rng.uniform(0.5, 1.1)
        c, d = n * math.cos(a), n * math.sin(a)
        points = [(x - c, y - d), (x + d * slim, y - c * slim), (x + c, y + d)]
        points.append((x - d * slim, y + c * slim))
        tone = min(255, max(0, rng.choice(tones) + rng.randint(-18, 18)))
        cv2.fillPoly(f, [np.rint(points).astype(np.int32)], tone, AA)
    return f


def shapes(rng: random.Random, w: int, h: int, s: float) -> np.ndarray:
    """A few large even shapes, with or without a heavy contour, as in a drawing for children:
    whatever is written over them crosses strong edges."""
    f = np.full((h, w), rng.randint(0, 255), np.uint8)
    rim, t = rng.choice([0, 0, 255]), ri(rng, 0.8 * s, 8 * s)
    contour = rng.random() < 0.7
    for _ in range(rng.randint(3, 12)):
        x, y, n = rng.uniform(0, w), rng.uniform(0, h), rng.randint(3, 9)
        size, a0 = rng.uniform(12, 110) * s, rng.uniform(0, 6.3)
        ring = [size * rng.uniform(0.45, 1.2) for _ in range(n)]
        a = np.linspace(0, 2 * math.pi, 60)
        reach = np.interp((a * n / (2 * math.pi)) % n, range(n + 1), ring + ring[:1])
        if rng.random() < 0.6:  # rounded
            reach = np.convolve(np.concatenate([reach[-8:], reach, reach[:8]]), np.ones(9) / 9)[12:72]
        points = np.rint(np.stack([x + reach * np.cos(a + a0), y + reach * np.sin(a + a0)], 1))
        cv2.fillPoly(f, [points.astype(np.int32)], rng.randint(0, 255), AA)
        if contour:
            cv2.polylines(f, [points.astype(np.int32)], True, rim, t, AA)
    return f
