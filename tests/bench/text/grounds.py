# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Grounds of benchmark faces: pictures, scenes drawn by code, and patterns that only look like text.

Everything takes a random.Random and a size and returns a PIL image; lengths are in pixels at the
face's resolution, u = pixels of one point.
"""

from __future__ import annotations

import csv
import math
import random
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

# Held-out pictures that show writing of their own, so that no truth can be stated for them.
WRITTEN = ("GreenTraditional", "xylophone")


class Pictures:
    """Held-out art and icons of a data folder (see src/survey/train/collect.py)."""

    def __init__(self, data: Path):
        def rows(name: str) -> list[dict[str, str]]:
            with (data / name).open(newline="") as source:
                return [r for r in csv.DictReader(source) if r["split"] == "held-out"]

        art = [r for r in rows("art.csv") if not any(w in r["source"] for w in WRITTEN)]
        self.photos = [data / r["file"] for r in art if r["kind"] == "photo"]
        self.drawings = [data / r["file"] for r in art if r["kind"] == "drawing"]
        self.icons = [data / r["file"] for r in rows("icons.csv")]

    def cover(self, r: random.Random, path: Path, w: int, h: int) -> Image.Image:
        """A random part of a picture that fills w x h."""
        image = Image.open(path).convert("RGB")
        k = max(w / image.width, h / image.height) * r.uniform(1.01, 1.6)
        size = (math.ceil(image.width * k), math.ceil(image.height * k))
        image = image.resize(size, Image.BICUBIC)
        x, y = r.randint(0, image.width - w), r.randint(0, image.height - h)
        image = image.crop((x, y, x + w, y + h))
        return image.transpose(Image.FLIP_LEFT_RIGHT) if r.random() < 0.5 else image

    def photo(self, r: random.Random, w: int, h: int) -> Image.Image:
        return self.cover(r, r.choice(self.photos), w, h)

    def drawing(self, r: random.Random, w: int, h: int) -> Image.Image:
        return self.cover(r, r.choice(self.drawings), w, h)


def color(r: random.Random, low: int = 0, high: int = 255) -> tuple[int, int, int]:
    return (r.randint(low, high), r.randint(low, high), r.randint(low, high))


def near(r: random.Random, c: tuple[int, ...], d: int) -> tuple[int, ...]:
    return tuple(min(255, max(0, v + r.randint(-d, d))) for v in c)


def low_poly(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Triangles over a jittered grid, colored by a vertical gradient."""
    image = Image.new("RGB", (w, h))
    draw = ImageDraw.Draw(image)
    n = r.randint(4, 11)
    m = round(n * h / w)
    p = [[(w * (i + r.uniform(-0.35, 0.35)) / n, h * (j + r.uniform(-0.35, 0.35)) / m)
          for i in range(-1, n + 3)] for j in range(-1, m + 3)]
    top, bottom = color(r), color(r)
    for j in range(m + 3):
        mix = tuple(round(a + (b - a) * j / (m + 2)) for a, b in zip(top, bottom))
        for i in range(n + 3):
            draw.polygon([p[j][i], p[j][i + 1], p[j + 1][i]], fill=near(r, mix, 28))
            draw.polygon([p[j + 1][i + 1], p[j][i + 1], p[j + 1][i]], fill=near(r, mix, 28))
    return image


def foliage(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Layers of leaves, each leaf two arcs, the nearer ones lighter."""
    image = Image.new("RGB", (w, h), color(r, 0, 60))
    draw = ImageDraw.Draw(image)
    base = color(r, 10, 120)
    for layer in range(4):
        size = u * r.uniform(5, 16)
        for _ in range(round(w * h / (size * size) * 1.3)):
            x, y, a = r.uniform(0, w), r.uniform(0, h), r.uniform(0, 2 * math.pi)
            length, wide = size * r.uniform(0.6, 1.4), size * r.uniform(0.15, 0.35)
            points = []
            for t in range(13):
                s = t / 12 if t <= 6 else 1 - t / 12
                off = (1 if t <= 6 else -1) * wide * math.sin(math.pi * 2 * s)
                points.append((x + 2 * s * length * math.cos(a) - off * math.sin(a),
                               y + 2 * s * length * math.sin(a) + off * math.cos(a)))
            draw.polygon(points, fill=near(r, tuple(v + 22 * layer for v in base), 24))
    return image


def sky(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Clouds of several octaves between two colors."""
    field = np.zeros((h, w))
    rng = np.random.default_rng(r.getrandbits(32))
    for octave in range(5):
        n = 3 << octave
        grid = (rng.random((n + 1, n + 1)) * 255).astype(np.uint8)
        layer = Image.fromarray(grid).resize((w, h), Image.BICUBIC)
        field += np.asarray(layer, float) / 255 / 1.8**octave
    field = (field - field.min()) / (field.max() - field.min())
    a, b = np.array(color(r)), np.array(color(r))
    return Image.fromarray((a + (b - a) * field[..., None]).astype(np.uint8))


def fine(w: int, h: int) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    """A gray plane at twice the size, for smooth edges."""
    image = Image.new("L", (2 * w, 2 * h), 0)
    return image, ImageDraw.Draw(image)


def inked(r: random.Random, plane: Image.Image, w: int, h: int) -> Image.Image:
    """The plane in two colors of some contrast."""
    paper, ink = color(r, 150, 255), color(r, 0, 110)
    if r.random() < 0.5:
        paper, ink = ink, paper
    mask = plane.resize((w, h), Image.BOX)
    return Image.composite(Image.new("RGB", (w, h), ink), Image.new("RGB", (w, h), paper), mask)


def halftone(r: random.Random, w: int, h: int, u: float, tone: Image.Image) -> Image.Image:
    """Round dots on a turned grid, their area by the tone under them (AM screen)."""
    plane, draw = fine(w, h)
    small = np.asarray(tone.convert("L"), float) / 255
    pitch, angle = 2 * u * r.uniform(1.2, 4.5), math.radians(r.choice([0, 15, 45, 75]))
    n = int(math.hypot(w, h) * 2 / pitch)
    c, s = math.cos(angle), math.sin(angle)
    for j in range(-n, n):
        for i in range(-n, n):
            x, y = w + pitch * (i * c - j * s), h + pitch * (i * s + j * c)
            if 0 <= x < 2 * w and 0 <= y < 2 * h:
                q = pitch * 0.68 * math.sqrt(1 - small[int(y / 2), int(x / 2)])
                if q > 0.5:
                    draw.ellipse((x - q, y - q, x + q, y + q), fill=255)
    return inked(r, plane, w, h)


def hatching(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Engraver's hatching in patches: short strokes of one direction each."""
    plane, draw = fine(w, h)
    patch = 2 * u * r.uniform(14, 40)
    for py in range(int(2 * h / patch) + 1):
        for px in range(int(2 * w / patch) + 1):
            a, pitch = r.uniform(0, math.pi), 2 * u * r.uniform(0.8, 3)
            c, s = math.cos(a), math.sin(a)
            for k in range(int(patch / pitch)):
                off = (k - patch / pitch / 2) * pitch
                cx, cy = (px + 0.5) * patch - off * s, (py + 0.5) * patch + off * c
                half = patch * r.uniform(0.2, 0.5)
                draw.line((cx - half * c, cy - half * s, cx + half * c, cy + half * s),
                          fill=255, width=max(1, round(pitch * 0.35)))
    return inked(r, plane, w, h)


def ruled(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Score sheets, staves and ledgers: rules, some double, some broken, with columns."""
    plane, draw = fine(w, h)
    y, pitch = 2 * u * r.uniform(4, 12), 2 * u * r.uniform(3, 14)
    broken = r.random() < 0.4
    while y < 2 * h:
        wide = max(1, round(2 * u * r.choice([0.25, 0.5, 1.0])))
        x = 0.0
        while x < 2 * w:
            length = 2 * u * r.uniform(2, 12) if broken else 2 * w
            draw.line((x, y, x + length, y), fill=255, width=wide)
            x += length + 2 * u * r.uniform(1, 4)
        if not broken and r.random() < 0.2:
            draw.line((0, y + 3 * wide, 2 * w, y + 3 * wide), fill=255, width=wide)
        y += pitch
    for _ in range(r.randint(0, 4)):
        x = r.uniform(0, 2 * w)
        draw.line((x, 0, x, 2 * h), fill=255, width=max(1, round(u)))
    return inked(r, plane, w, h)


def tiles(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """A card back: one small motif of arcs and lines, mirrored into a tile and repeated."""
    side = round(2 * u * r.uniform(5, 18))
    tile = Image.new("L", (side, side), 0)
    draw = ImageDraw.Draw(tile)
    for _ in range(r.randint(2, 6)):
        x, y, q = r.uniform(0, side), r.uniform(0, side), r.uniform(0.1, 0.6) * side
        wide = max(1, round(side * r.uniform(0.04, 0.12)))
        if r.random() < 0.6:
            draw.arc((x - q, y - q, x + q, y + q), r.randint(0, 360), r.randint(360, 700), 255, wide)
        else:
            draw.line((x, y, r.uniform(0, side), r.uniform(0, side)), fill=255, width=wide)
    quad = Image.new("L", (2 * side, 2 * side))
    for i in range(2):
        for j in range(2):
            part = tile.transpose(Image.FLIP_LEFT_RIGHT) if i else tile
            quad.paste(part.transpose(Image.FLIP_TOP_BOTTOM) if j else part, (i * side, j * side))
    plane, _ = fine(w, h)
    for y in range(0, 2 * h, 2 * side):
        for x in range(0, 2 * w, 2 * side):
            plane.paste(quad, (x, y))
    return inked(r, plane, w, h)


def rosettes(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Guilloche: fine closed curves wound around each other."""
    plane, draw = fine(w, h)
    for _ in range(r.randint(3, 9)):
        x, y = r.uniform(0, 2 * w), r.uniform(0, 2 * h)
        big, n, amp = r.uniform(0.15, 0.5) * w, r.randint(5, 24), r.uniform(0.08, 0.4)
        for turn in range(r.randint(3, 9)):
            points = []
            for t in range(721):
                a = math.radians(t / 2)
                q = big * (1 + amp * math.cos(n * a + turn * 0.7))
                points.append((x + q * math.cos(a), y + q * math.sin(a)))
            draw.line(points, fill=255, width=max(1, round(u * 0.5)))
    return inked(r, plane, w, h)


def maze(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Circuit tracks or a labyrinth on a grid."""
    plane, draw = fine(w, h)
    pitch = 2 * u * r.uniform(2.5, 8)
    wide = max(1, round(pitch * r.uniform(0.15, 0.4)))
    for j in range(int(2 * h / pitch) + 1):
        for i in range(int(2 * w / pitch) + 1):
            x, y = i * pitch, j * pitch
            straight = [(1, 0), (0, 1)]
            dx, dy = r.choice(straight + [(1, 1), (1, -1)] if r.random() < 0.3 else straight)
            draw.line((x, y, x + dx * pitch, y + dy * pitch), fill=255, width=wide)
            if r.random() < 0.08:
                q = pitch * 0.3
                draw.ellipse((x - q, y - q, x + q, y + q), fill=255)
    return inked(r, plane, w, h)


def speckle(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Scanned noise, checkerboards and woven cloth."""
    kind = r.randint(0, 2)
    ys, xs = np.mgrid[0:h, 0:w]
    if kind == 0:
        rng = np.random.default_rng(r.getrandbits(32))
        field = rng.normal(128, r.uniform(20, 60), (h, w))
    elif kind == 1:
        side = max(1, round(u * r.uniform(1, 6)))
        field = 255.0 * ((xs // side + ys // side) % 2)
    else:
        p = u * r.uniform(1.5, 5)
        field = 128 + 70 * np.sin(xs * 2 * math.pi / p) * np.sin(ys * 2 * math.pi / p * 0.8)
    plane = Image.fromarray(field.clip(0, 255).astype(np.uint8))
    if kind == 0 and r.random() < 0.6:
        plane = plane.filter(ImageFilter.GaussianBlur(u * r.uniform(0.1, 0.5)))
    a, b = np.array(color(r)), np.array(color(r))
    share = np.asarray(plane, float)[..., None] / 255
    return Image.fromarray((a + (b - a) * share).astype(np.uint8))


def symbol(r: random.Random, side: int, kind: int) -> Image.Image:
    """The mask of a small icon: star, gem, drop, moon, leaf, ring, arrow, sparkle."""
    n = 4 * side
    mask = Image.new("L", (n, n), 0)
    draw = ImageDraw.Draw(mask)
    m, q = n / 2, n * 0.46

    def star(points: int, inner: float, phase: float = -math.pi / 2) -> list[tuple[float, float]]:
        return [(m + q * (inner if i % 2 else 1) * math.cos(phase + i * math.pi / points),
                 m + q * (inner if i % 2 else 1) * math.sin(phase + i * math.pi / points))
                for i in range(2 * points)]

    if kind == 0:
        draw.polygon(star(5, 0.42), fill=255)
    elif kind == 1:
        draw.polygon([(m, m - q), (m + 0.7 * q, m), (m, m + q), (m - 0.7 * q, m)], fill=255)
    elif kind == 2:
        draw.ellipse((m - 0.6 * q, m - 0.2 * q, m + 0.6 * q, m + q), fill=255)
        draw.polygon([(m, m - q), (m + 0.55 * q, m + 0.2 * q), (m - 0.55 * q, m + 0.2 * q)], fill=255)
    elif kind == 3:
        draw.ellipse((m - q, m - q, m + q, m + q), fill=255)
        draw.ellipse((m - 0.4 * q, m - q, m + 1.4 * q, m + 0.8 * q), fill=0)
    elif kind == 4:
        draw.chord((m - q, m - q, m + q, m + q), 100, 260, fill=255)
        draw.line((m - q, m + q, m, m - q), fill=255, width=round(0.1 * n))
    elif kind == 5:
        draw.ellipse((m - q, m - q, m + q, m + q), outline=255, width=round(n * r.uniform(0.08, 0.2)))
    elif kind == 6:
        draw.polygon([(m, m - q), (m + q, m), (m + 0.35 * q, m), (m + 0.35 * q, m + q),
                      (m - 0.35 * q, m + q), (m - 0.35 * q, m), (m - q, m)], fill=255)
    else:
        draw.polygon(star(4, 0.25, r.choice([0.0, math.pi / 4])), fill=255)
    return mask.resize((side, side), Image.BOX)
