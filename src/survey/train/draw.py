# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""From a seed to a face with its truth, and to the crops that training uses.

    draw.py DATA SEED COUNT OUT    a sheet of crops with their labels, to look at
"""

from __future__ import annotations

import random
import sys
from pathlib import Path

import cv2
import numpy as np

from canvas import Canvas, Rect
from large import open_face
from library import Library
from scene import card, mosaic

CROP = 256  # net pixels
WIDTH, HEIGHT = 512, 768  # a canvas holds six crops
LAYOUTS = {"card": card, "mosaic": mosaic, "open": open_face}
SCALES = [1.0, 1.5, 2.0, 2.0, 2.0, 2.6]  # faces of 150 to 390 ppi


def degraded(canvas: Canvas) -> None:
    """What happened to the file before it reached us: blur, noise, resampling, JPEG."""
    rng = canvas.rng
    shape = canvas.px.shape
    if rng.random() < 0.18:
        canvas.px = cv2.GaussianBlur(canvas.px, (0, 0), rng.uniform(0.3, 0.8) * canvas.scale)
    if rng.random() < 0.12:
        k = rng.uniform(0.55, 0.95) / max(1.0, canvas.scale / 1.5)
        small = cv2.resize(canvas.px, None, fx=k, fy=k, interpolation=cv2.INTER_AREA)
        how = rng.choice([cv2.INTER_LINEAR, cv2.INTER_CUBIC, cv2.INTER_NEAREST])
        canvas.px = cv2.resize(small, (shape[1], shape[0]), interpolation=how)
    canvas.px = canvas.px.reshape(shape)
    if rng.random() < 0.12:
        spread = canvas.noise.normal(
            0, rng.uniform(2, 14), (shape[0] // 2 + 1, shape[1] // 2 + 1, 1)
        )
        spread = np.repeat(np.repeat(spread, 2, 0), 2, 1)[: shape[0], : shape[1]]
        canvas.px = (canvas.px + spread).clip(0, 255).astype(np.uint8)
    if rng.random() < 0.25:
        quality = [cv2.IMWRITE_JPEG_QUALITY, rng.randint(35, 90)]
        canvas.px = cv2.imdecode(
            cv2.imencode(".jpg", canvas.px, quality)[1],
            cv2.IMREAD_COLOR if canvas.color else cv2.IMREAD_GRAYSCALE,
        ).reshape(shape)


def face(
    seed: int,
    lib: Library,
    width: int = WIDTH,
    height: int = HEIGHT,
    *,
    scale: float | None = None,
    written: bool | None = None,
    layout: str | None = None,
) -> Canvas:
    """A finished canvas. Same seed and library, same pixels."""
    rng = random.Random(seed)
    canvas = Canvas(rng, width, height, scale or rng.choice(SCALES), lib.color)
    whole = Rect(0, 0, canvas.w, canvas.h)
    has_text = rng.random() < 0.8 if written is None else written
    chosen = layout or rng.choices(list(LAYOUTS), [0.4, 0.53, 0.07])[0]
    LAYOUTS[chosen](canvas, lib, whole, has_text)
    degraded(canvas)
    return canvas


def crops(seed: int, lib: Library) -> tuple[np.ndarray, np.ndarray]:
    """(n, 256, 256) uint8 luminance and (n, 2, 128, 128) uint8 labels of one canvas."""
    canvas = face(seed, lib)
    image, labels = canvas.net_pixels()[..., 0], canvas.labels()
    c, half = CROP, CROP // 2
    spots = [(y, x) for y in range(0, HEIGHT, c) for x in range(0, WIDTH, c)]
    return (
        np.stack([image[y : y + c, x : x + c] for y, x in spots]),
        np.stack([labels[:, y // 2 : y // 2 + half, x // 2 : x // 2 + half] for y, x in spots]),
    )


def overlay(image: np.ndarray, labels: np.ndarray) -> np.ndarray:
    """Gray image with lines in green, marks in red, cells without an answer in blue (BGR)."""
    out = cv2.cvtColor(image, cv2.COLOR_GRAY2BGR).astype(np.int32)
    up = np.repeat(np.repeat(labels, 2, 1), 2, 2)
    for plane, channel in ((0, 1), (1, 2)):
        out[..., channel] += np.where(up[plane] <= 200, up[plane].astype(np.int32) // 2, 0)
    out[..., 0] += np.where((up == 255).any(0), 110, 0)
    return out.clip(0, 255).astype(np.uint8)


def main() -> None:
    data, seed, count, out = Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]), sys.argv[4]
    lib = Library(data, "train", color=False)
    shown = []
    for s in range(seed, seed + count):
        canvas = face(s, lib)
        image = np.ascontiguousarray(canvas.net_pixels()[..., 0])
        shown.append(np.vstack([overlay(image, canvas.labels())]))
    cv2.imwrite(out, np.hstack(shown))


if __name__ == "__main__":
    main()
