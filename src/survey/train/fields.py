# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Small tools for drawing fields, (h, w) uint8 with 0 ground and 255 figure."""

from __future__ import annotations

import math
import random

import cv2
import numpy as np

AA = cv2.LINE_AA


def ri(rng: random.Random, a: float, b: float) -> int:
    """A whole number of pixels, log-uniform, at least 1."""
    return max(1, round(math.exp(rng.uniform(math.log(max(a, 0.5)), math.log(max(b, 0.6))))))


def blank(w: int, h: int) -> np.ndarray:
    return np.zeros((h, w), np.uint8)


def tiled(tile: np.ndarray, w: int, h: int) -> np.ndarray:
    ny, nx = -(-h // tile.shape[0]), -(-w // tile.shape[1])
    return np.tile(tile, (ny, nx))[:h, :w]


def turned(rng: random.Random, f: np.ndarray, w: int, h: int) -> np.ndarray:
    """Cut a w x h part, at any angle, out of a field that is large enough (1.5 times the diagonal)."""
    a = rng.choice([0, 0, 90, 45, 30, rng.uniform(0, 180)])
    m = cv2.getRotationMatrix2D((f.shape[1] / 2, f.shape[0] / 2), a, 1.0)
    m[:, 2] += (w / 2 - f.shape[1] / 2, h / 2 - f.shape[0] / 2)
    return cv2.warpAffine(f, m, (w, h), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REFLECT)


def smooth_noise(rng: random.Random, w: int, h: int, cell: float) -> np.ndarray:
    """Cloudy field with features of about `cell` pixels, stretched to 0..255."""
    n = np.random.default_rng(rng.getrandbits(32))
    gw, gh = max(2, math.ceil(w / cell) + 1), max(2, math.ceil(h / cell) + 1)
    f = n.integers(0, 256, (gh, gw), np.uint8)
    return cv2.resize(f, (w, h), interpolation=cv2.INTER_CUBIC)
