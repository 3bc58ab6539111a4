# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Pixels with exact ground truth: what is drawn on a canvas also lands in its label planes.

A canvas has `scale` pixels for each pixel the net will see (150 ppi, half of the survey's 300).
It is gray or color: the net sees relative luminance only, so training draws in gray, and the
benchmark draws the same faces in color. Tones are relative luminances 0..1 (WCAG 2.2) throughout;
pixels hold them sRGB-encoded (IEC 61966-2-1).
"""

from __future__ import annotations

import random
from dataclasses import dataclass

import cv2
import numpy as np

_CODES = np.arange(256) / 255.0
LINEAR = np.where(_CODES <= 0.04045, _CODES / 12.92, ((_CODES + 0.055) / 1.055) ** 2.4).astype(
    np.float32
)
WEIGHTS = np.array([0.2126, 0.7152, 0.0722], np.float32)
LEAST_CONTRAST = 1.42  # fainter lines are neither right nor wrong to find
LEAST_X_HEIGHT = 3.2  # net pixels; about 3.3 pt at 150 ppi


def encoded(luminance: float) -> int:
    """sRGB code 0..255 of a linear value 0..1."""
    v = min(max(luminance, 0.0), 1.0)
    return round(255 * (v * 12.92 if v <= 0.0031308 else 1.055 * v ** (1 / 2.4) - 0.055))


def contrast(a: float, b: float) -> float:
    """WCAG 2.2 contrast ratio of two relative luminances, 1..21."""
    return (max(a, b) + 0.05) / (min(a, b) + 0.05)


def luminance_plane(rgb: np.ndarray) -> np.ndarray:
    """(H, W, 3) sRGB codes to (H, W) sRGB-encoded relative luminance, the net's input."""
    linear = LINEAR[rgb] @ WEIGHTS
    code = np.where(linear <= 0.0031308, linear * 12.92, 1.055 * linear ** (1 / 2.4) - 0.055)
    return np.rint(255 * code).clip(0, 255).astype(np.uint8)


@dataclass
class Line:
    """One true line or mark. `quad`: band corners (4, 2) in net pixels, base line first."""

    quad: np.ndarray
    mark: bool
    text: str
    point_size: float
    contrast: float
    ground: str
    ignored: bool
    angle: float = 0.0


@dataclass
class Rect:
    """Whole canvas pixels."""

    x: int
    y: int
    w: int
    h: int

    def inset(self, d: int) -> "Rect":
        return Rect(self.x + d, self.y + d, max(1, self.w - 2 * d), max(1, self.h - 2 * d))


class Canvas:
    def __init__(self, rng: random.Random, width: int, height: int, scale: float, color: bool):
        """width, height in net pixels (multiples of 2)."""
        self.rng = rng
        self.noise = np.random.default_rng(rng.getrandbits(32))
        self.scale = scale
        self.color = color
        self.net_size = (width, height)
        self.w, self.h = round(width * scale), round(height * scale)
        self.px = np.zeros((self.h, self.w, 3 if color else 1), np.uint8)
        self.line = np.zeros((height, width), np.uint8)
        self.mark = np.zeros((height, width), np.uint8)
        self.skip = np.zeros((height, width), np.uint8)
        self.lines: list[Line] = []

    def px_per_pt(self) -> float:
        return 150.0 * self.scale / 72.0

    def tone(self, luminance: float, saturation: float | None = None) -> np.ndarray:
        """A color (C,) uint8 of this relative luminance; its hue is drawn at random."""
        code = encoded(luminance)
        if not self.color:
            return np.array([code], np.uint8)
        s = self.rng.choice([0, 0.3, 0.7, 1.0]) if saturation is None else saturation
        hue = np.array([self.rng.random() ** 2 for _ in range(3)], np.float32) + 0.004
        lin = (1 - s) * luminance + s * hue * (luminance / float(hue @ WEIGHTS))
        top = float(lin.max())
        if top > 1:  # pull toward the gray of the same luminance until it fits
            k = (1 - luminance) / (top - luminance) if top > luminance else 0.0
            lin = luminance + (lin - luminance) * max(0.0, k)
        return np.array([encoded(float(v)) for v in lin], np.uint8)

    def clip(self, r: Rect) -> tuple[slice, slice]:
        x0, y0 = max(0, r.x), max(0, r.y)
        return slice(y0, max(y0, min(self.h, r.y + r.h))), slice(
            x0, max(x0, min(self.w, r.x + r.w))
        )

    def fill(self, r: Rect, value: np.ndarray) -> None:
        self.px[self.clip(r)] = value

    def put(self, x: int, y: int, image: np.ndarray) -> None:
        """Opaque pixels (h, w, C), cut at the edge."""
        r = Rect(x, y, image.shape[1], image.shape[0])
        ys, xs = self.clip(r)
        self.px[ys, xs] = image[ys.start - y : ys.stop - y, xs.start - x : xs.stop - x]

    def blend(self, x: int, y: int, alpha: np.ndarray, value: np.ndarray) -> None:
        """Paint `value`, (C,) or (h, w, C), through `alpha` (h, w) uint8, cut at the edge."""
        h, w = alpha.shape
        ys, xs = self.clip(Rect(x, y, w, h))
        if ys.start >= ys.stop or xs.start >= xs.stop:
            return
        cut = (slice(ys.start - y, ys.stop - y), slice(xs.start - x, xs.stop - x))
        a = alpha[cut].astype(np.int32)[..., None]
        top = value[cut] if value.ndim == 3 else value
        roi = self.px[ys, xs].astype(np.int32)
        self.px[ys, xs] = (roi + ((top.astype(np.int32) - roi) * a + 127) // 255).astype(np.uint8)

    def luminances(self, r: Rect, most: int) -> np.ndarray:
        """Relative luminance of about `most` pixels spread over a box; empty if it lies outside."""
        ys, xs = self.clip(r)
        area = max(0, ys.stop - ys.start) * max(0, xs.stop - xs.start)
        step = max(1, int((area / most) ** 0.5))
        part = self.px[ys.start : ys.stop : step, xs.start : xs.stop : step]
        part = part.reshape(-1, self.px.shape[2])
        return LINEAR[part[:, 0]] if part.shape[1] == 1 else LINEAR[part] @ WEIGHTS

    def mean_luminance(self, r: Rect) -> float:
        values = self.luminances(r, 2000)
        return float(values.mean()) if len(values) else 0.5

    def paint_label(self, plane: np.ndarray, quad: np.ndarray, value: int) -> None:
        """Fill a polygon (n, 2), canvas pixels, in a label plane at net size."""
        points = np.rint(quad / self.scale * 16 - 8).astype(np.int32)
        cv2.fillPoly(plane, [points], value, cv2.LINE_AA, 4)

    def add_line(self, quad: np.ndarray, line: Line) -> None:
        """Record a line; quad in canvas pixels. Faint or tiny ones are left out of the loss."""
        height = min(
            float(np.linalg.norm(quad[0] - quad[3])), float(np.linalg.norm(quad[1] - quad[2]))
        )
        ignored = line.contrast < LEAST_CONTRAST or height / self.scale < LEAST_X_HEIGHT
        line.quad, line.ignored = quad / self.scale, ignored
        self.lines.append(line)
        if ignored:
            self.paint_label(self.skip, quad, 255)
            return
        self.paint_label(self.mark if line.mark else self.line, quad, 255)
        if line.mark and len(line.text.replace(" ", "")) > 1:
            self.paint_label(self.skip, quad, 255)

    def ignore(self, quad: np.ndarray) -> None:
        """No answer is wrong in this area, whatever was written there."""
        self.paint_label(self.line, quad, 0)
        self.paint_label(self.mark, quad, 0)
        self.paint_label(self.skip, quad, 255)

    def labels(self) -> np.ndarray:
        """(2, h/2, w/2) uint8: share of each cell inside a band of a line, of a mark, as 0..200;
        255 where no answer is wrong. A mark of several glyphs may also answer as a line."""
        w, h = self.net_size
        size = (w // 2, h // 2)
        small = [cv2.resize(p, size, interpolation=cv2.INTER_AREA) for p in (self.line, self.mark)]
        free = cv2.resize(self.skip, size, interpolation=cv2.INTER_AREA) > 60
        out = np.stack([(p.astype(np.uint16) * 200 // 255).astype(np.uint8) for p in small])
        out[0][free & (out[0] < 100)] = 255
        out[1][free & (out[1] < 100)] = 255
        return out

    def net_pixels(self) -> np.ndarray:
        """The canvas as the net sees it: (h, w, C) at net size."""
        if self.px.shape[1::-1] == self.net_size:
            return self.px
        out = cv2.resize(self.px, self.net_size, interpolation=cv2.INTER_AREA)
        return out if out.ndim == 3 else out[..., None]
