# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Grounds of the second set of benchmark faces: materials, landscapes, and patterns that only look
like text. None of them shares code with grounds.py or with what the net was trained on.

Everything takes a random.Random and a size and returns a PIL image; u = pixels of one point.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

from grounds import color, near


def smooth(r: random.Random, w: int, h: int, cells: float, stretch: float = 1.0) -> np.ndarray:
    """Noise 0..1 whose features are about w / cells wide, `stretch` times as long down."""
    rng = np.random.default_rng(r.getrandbits(32))
    field = np.zeros((h, w))
    for octave in range(4):
        n = max(2, round(cells * 2**octave))
        m = max(2, round(cells * 2**octave * h / w / stretch))
        grid = Image.fromarray((rng.random((m, n)) * 255).astype(np.uint8))
        field += np.asarray(grid.resize((w, h), Image.BICUBIC), float) / 255 / 2**octave
    field -= field.min()
    return field / max(1e-6, field.max())


def toned(field: np.ndarray, a: tuple[int, ...], b: tuple[int, ...]) -> Image.Image:
    share = field[..., None].clip(0, 1)
    return Image.fromarray((np.array(a) + (np.array(b) - np.array(a)) * share).astype(np.uint8))


def wood(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Planks with rings that wander."""
    ys, xs = np.mgrid[0:h, 0:w] / u
    planks = np.floor(xs / r.uniform(20, 50))
    bend = smooth(r, w, h, 3, 4) * r.uniform(8, 24)
    rings = 0.5 + 0.5 * np.sin((xs + bend + 7 * planks) * r.uniform(0.8, 3.0))
    base = color(r, 40, 170)
    return toned(0.6 * rings + 0.4 * smooth(r, w, h, 60, 9), base, near(r, base, 60))


def stone(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Cells around scattered points with dark joints."""
    n = r.randint(12, 60)
    pts = np.array([(r.uniform(0, w), r.uniform(0, h)) for _ in range(n)])
    k = max(1, round(u))
    ys, xs = np.mgrid[0:h:k, 0:w:k]
    d = np.hypot(xs[..., None] - pts[:, 0], ys[..., None] - pts[:, 1])
    order = np.sort(d, axis=-1)
    joint = np.clip((order[..., 1] - order[..., 0]) / (2.5 * u), 0, 1)
    which = np.argmin(d, axis=-1)
    base = color(r, 50, 200)
    shade = np.array([near(r, base, 26) for _ in range(n)])[which] * (0.35 + 0.65 * joint[..., None])
    image = Image.fromarray(shade.clip(0, 255).astype(np.uint8)).resize((w, h), Image.BICUBIC)
    grain = toned(smooth(r, w, h, 70), (110, 110, 110), (146, 146, 146))
    return Image.blend(image, grain, 0.18)


def parchment(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    base = (r.randint(190, 250), r.randint(180, 235), r.randint(140, 210))
    field = 0.7 * smooth(r, w, h, 4) + 0.3 * smooth(r, w, h, 90)
    return toned(field, tuple(v - r.randint(15, 60) for v in base), base)


def mountains(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Ridges one behind the other under a sky, a disc in it."""
    image = Image.new("RGB", (w, h))
    draw = ImageDraw.Draw(image)
    top, low = color(r), color(r)
    for y in range(h):
        draw.line((0, y, w, y), fill=tuple(round(a + (b - a) * y / h) for a, b in zip(top, low)))
    q = w * r.uniform(0.06, 0.2)
    x, y = r.uniform(0, w), r.uniform(0, h / 2)
    draw.ellipse((x - q, y - q, x + q, y + q), fill=color(r, 170, 255))
    base = color(r, 0, 160)
    for ridge in range(r.randint(3, 6)):
        height = h * (0.35 + 0.12 * ridge)
        steps = [height + r.uniform(-1, 1) * h * 0.09 for _ in range(r.randint(6, 30))]
        line = [(w * i / (len(steps) - 1), v) for i, v in enumerate(steps)]
        draw.polygon(line + [(w, h), (0, h)], fill=near(r, base, 40))
    return image


def water(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    ys, xs = np.mgrid[0:h, 0:w] / u
    bend = smooth(r, w, h, 4)
    field = 0.5 + 0.5 * np.sin(ys * r.uniform(0.5, 1.6) + 9 * bend + 0.1 * xs)
    field = field ** r.uniform(1, 5)
    a = color(r, 0, 200)
    return toned(field, a, near(r, a, 90))


def brush(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Broad strokes laid over each other."""
    image = Image.new("RGB", (w, h), color(r))
    draw = ImageDraw.Draw(image)
    base = color(r)
    for _ in range(r.randint(60, 400)):
        x, y, a = r.uniform(0, w), r.uniform(0, h), r.uniform(0, math.pi)
        length, wide = u * r.uniform(10, 60), u * r.uniform(2, 14)
        draw.line((x, y, x + length * math.cos(a), y + length * math.sin(a)),
                  fill=near(r, base, 70), width=max(1, round(wide)))
    return image.filter(ImageFilter.GaussianBlur(u * r.uniform(0.1, 0.8)))


def stars(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    image = toned(smooth(r, w, h, 3), color(r, 0, 40), color(r, 10, 100))
    draw = ImageDraw.Draw(image)
    for _ in range(r.randint(50, 500)):
        x, y, q = r.uniform(0, w), r.uniform(0, h), u * r.choice([0.15, 0.25, 0.4, 0.9])
        draw.ellipse((x - q, y - q, x + q, y + q), fill=color(r, 150, 255))
    return image


def land(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """A map without names: coast, height lines, roads, woods."""
    field = smooth(r, w, h, 3)
    image = toned((field > 0.45) * 0.8 + field * 0.2, color(r, 90, 230), color(r, 90, 230))
    draw = ImageDraw.Draw(image)
    for _ in range(r.randint(2, 6)):
        x, y, a = r.uniform(0, w), r.uniform(0, h), r.uniform(0, 6.3)
        path = []
        for _ in range(60):
            path.append((x, y))
            a += r.uniform(-0.5, 0.5)
            x, y = x + 5 * u * math.cos(a), y + 5 * u * math.sin(a)
        draw.line(path, fill=color(r, 0, 140), width=max(1, round(u * r.uniform(0.4, 1.6))))
    for _ in range(r.randint(10, 80)):
        x, y, q = r.uniform(0, w), r.uniform(0, h), u * r.uniform(1, 2.5)
        draw.polygon([(x, y - 2 * q), (x - q, y), (x + q, y)], fill=(20, r.randint(60, 120), 40))
    return image


# Patterns ----------------------------------------------------------------------------------------


def two(r: random.Random) -> tuple[tuple[int, ...], tuple[int, ...]]:
    a, b = color(r, 130, 255), color(r, 0, 120)
    return (a, b) if r.random() < 0.5 else (b, a)


def large(w: int, h: int, fill: tuple[int, ...]) -> tuple[Image.Image, ImageDraw.ImageDraw]:
    image = Image.new("RGB", (2 * w, 2 * h), fill)
    return image, ImageDraw.Draw(image)


def rows_of(r: random.Random, w: int, h: int, u: float,
            one: Callable[[ImageDraw.ImageDraw, float, float, float], None],
            image: Image.Image, sizes: tuple[float, float]) -> Image.Image:
    """`one` drawn side by side in rows of changing size, as borders and trackers have them."""
    draw = ImageDraw.Draw(image)
    y = 2 * u * r.uniform(6, 14)
    while y < 2 * h - 2 * u * sizes[1]:
        side = 2 * u * r.uniform(*sizes)
        step = side * r.uniform(1.0, 1.6)
        x = 2 * u * r.uniform(6, 30)
        count = r.randint(3, max(3, int((2 * w - 2 * x) / step)))
        for _ in range(count):
            one(draw, x, y, side)
            x += step
        y += side * r.uniform(1.1, 2.6)
    return image.resize((w, h), Image.BOX)


def pips(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Dice and dominoes."""
    fill, ink = two(r)
    at = [(0.25, 0.25), (0.75, 0.75), (0.25, 0.75), (0.75, 0.25), (0.25, 0.5), (0.75, 0.5)]
    image, _ = large(w, h, color(r))

    def one(draw: ImageDraw.ImageDraw, x: float, y: float, s: float) -> None:
        draw.rounded_rectangle((x, y, x + s, y + s), s * 0.15, fill)
        n = r.randint(1, 6)
        for px, py in at[: n - n % 2] + ([(0.5, 0.5)] if n % 2 else []):
            draw.ellipse((x + s * (px - 0.09), y + s * (py - 0.09), x + s * (px + 0.09),
                          y + s * (py + 0.09)), fill=ink)

    return rows_of(r, w, h, u, one, image, (7, 30))


def meander(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Greek keys in bands."""
    fill, ink = two(r)
    image, _ = large(w, h, fill)
    turns = r.choice([[(0, 1), (0, 0), (0.8, 0), (0.8, 0.7), (0.4, 0.7), (0.4, 0.4)],
                      [(0, 1), (0, 0), (0.5, 0), (0.5, 1), (1, 1)],
                      [(0, 1), (0.5, 0), (1, 1)]])
    wide = r.uniform(0.06, 0.16)

    def one(draw: ImageDraw.ImageDraw, x: float, y: float, s: float) -> None:
        draw.line([(x + s * px, y + s * py) for px, py in turns], fill=ink,
                  width=max(1, round(s * wide)))

    return rows_of(r, w, h, u, one, image, (4, 20))


def links(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Chains, beads and lace: rings that touch."""
    fill, ink = two(r)
    image, _ = large(w, h, fill)
    flat, wide = r.uniform(0.5, 1.0), r.uniform(0.08, 0.25)

    def one(draw: ImageDraw.ImageDraw, x: float, y: float, s: float) -> None:
        draw.ellipse((x, y, x + s * 1.05, y + s * flat), outline=ink, width=max(1, round(s * wide)))

    return rows_of(r, w, h, u, one, image, (3, 16))


def scales(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Fish scales, roof tiles or feathers, row over row."""
    fill, ink = two(r)
    image, draw = large(w, h, fill)
    s = 2 * u * r.uniform(4, 14)
    y, odd = -s, 0
    while y < 2 * h:
        x = -s * (1 + odd / 2)
        while x < 2 * w:
            draw.pieslice((x, y - s / 2, x + s, y + s / 2 + s * 0.3), 0, 180, near(r, fill, 20), ink,
                          max(1, round(s * 0.07)))
            x += s
        y, odd = y + s * 0.42, 1 - odd
    return image.resize((w, h), Image.BOX)


def windows(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Houses at night, their windows lit here and there."""
    image, draw = large(w, h, color(r, 0, 90))
    lit, dark = color(r, 190, 255), color(r, 30, 80)
    x = 0.0
    while x < 2 * w:
        wide, top = 2 * u * r.uniform(25, 60), 2 * h * r.uniform(0.1, 0.6)
        draw.rectangle((x, top, x + wide, 2 * h), fill=color(r, 10, 110))
        s = 2 * u * r.uniform(1.5, 4)
        gap = s * r.uniform(0.4, 1.2)
        y = top + 2 * gap
        while y < 2 * h:
            px = x + gap
            while px + s < x + wide - gap / 2:
                draw.rectangle((px, y, px + s * 0.7, y + s), fill=lit if r.random() < 0.5 else dark)
                px += s + gap
            y += 1.4 * s + gap
        x += wide * r.uniform(0.9, 1.2)
    return image.resize((w, h), Image.BOX)


def keys(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Piano keys, film edges, ladders, rulers: bars at even steps."""
    fill, ink = two(r)
    image, _ = large(w, h, fill)
    tall = r.uniform(0.4, 2.5)

    def one(draw: ImageDraw.ImageDraw, x: float, y: float, s: float) -> None:
        long = s * tall * (1.0 if r.random() < 0.7 else 0.6)
        draw.rectangle((x, y, x + s * 0.45, y + long), fill=ink)

    return rows_of(r, w, h, u, one, image, (2, 10))


def zebra(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Coats of animals: stripes or spots."""
    field = smooth(r, w, h, r.uniform(4, 14), r.uniform(0.3, 3))
    if r.random() < 0.5:
        field = 0.5 + 0.5 * np.sin(field * r.uniform(20, 60))
    fill, ink = two(r)
    edge = np.clip((field - r.uniform(0.4, 0.6)) * 12 + 0.5, 0, 1)
    return toned(edge, fill, ink)


def circuit(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Boards: tracks with bends of 45 degrees, pads, feet of chips."""
    fill, ink = two(r)
    image, draw = large(w, h, fill)
    for _ in range(r.randint(10, 40)):
        x, y, s = r.uniform(0, 2 * w), r.uniform(0, 2 * h), 2 * u * r.uniform(1, 3)
        n = r.randint(4, 14)
        draw.rectangle((x, y, x + 2 * n * s, y + 5 * s), outline=ink, width=max(1, round(s / 3)))
        for i in range(n):
            for off in (-1.5 * s, 5.3 * s):
                draw.rectangle((x + 2 * i * s, y + off, x + (2 * i + 1) * s, y + off + 1.2 * s), fill=ink)
    for _ in range(r.randint(20, 90)):
        x, y = r.uniform(0, 2 * w), r.uniform(0, 2 * h)
        dx, dy = r.uniform(-1, 1) * 80 * u, r.choice([-1, 1]) * 16 * u
        path = [(x, y), (x + dx, y), (x + dx + dy, y + dy), (x + dx + dy, y + 4 * dy)]
        draw.line(path, fill=ink, width=max(1, round(u)))
        draw.ellipse((x - 3 * u, y - 3 * u, x + 3 * u, y + 3 * u), outline=ink, width=max(1, round(u)))
    return image.resize((w, h), Image.BOX)


def chevrons(r: random.Random, w: int, h: int, u: float) -> Image.Image:
    """Arrows, ticks and stitches in rows."""
    fill, ink = two(r)
    image, _ = large(w, h, fill)
    kind, wide = r.randint(0, 3), r.uniform(0.08, 0.25)

    def one(draw: ImageDraw.ImageDraw, x: float, y: float, s: float) -> None:
        width = max(1, round(s * wide))
        lines = [[(0, 0), (0.5, 0.5), (0, 1)], [(0, 0), (0.7, 1)], [(0, 0), (0.8, 1), (0, 1), (0.8, 0)],
                 [(0.35, 0), (0.35, 1), (0, 0.6), (0.35, 1), (0.7, 0.6)]][kind]
        draw.line([(x + s * px, y + s * py) for px, py in lines], fill=ink, width=width)

    return rows_of(r, w, h, u, one, image, (3, 18))


EASY = [mountains, wood, stone, water, brush, stars, land, parchment]
HARD = [pips, meander, links, scales, windows, keys, zebra, circuit, chevrons]
