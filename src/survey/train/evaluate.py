# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Lines found and false components, counted on label planes. Needs no PyTorch."""

from __future__ import annotations

from dataclasses import dataclass, fields

import cv2
import numpy as np

FOUND_SHARE = 0.5  # of a band's area that must answer
LEAST_AREA = 6  # cells of a component that counts
FACE_CELLS = 188 * 263  # a poker-size face, 2.5 x 3.5 in, at 75 cells an inch


@dataclass
class Score:
    lines: int = 0
    lines_found: int = 0
    marks: int = 0
    marks_found: int = 0
    false_written: int = 0  # on crops that have text
    false_bare: int = 0  # on crops that have none
    written_cells: int = 0
    bare_cells: int = 0

    def add(self, other: "Score") -> None:
        for f in fields(self):
            setattr(self, f.name, getattr(self, f.name) + getattr(other, f.name))

    def row(self) -> str:
        def share(a: int, b: int) -> float:
            return 100 * a / max(1, b)

        return (
            f"lines {share(self.lines_found, self.lines):6.2f} % of {self.lines:5d}   "
            f"marks {share(self.marks_found, self.marks):6.2f} % of {self.marks:4d}   "
            f"false a face {FACE_CELLS * self.false_written / max(1, self.written_cells):5.2f} "
            f"with text, {FACE_CELLS * self.false_bare / max(1, self.bare_cells):5.2f} without"
        )


def components(
    plane: np.ndarray, peak: np.ndarray | None = None, least_peak: float = 0.0
) -> list[np.ndarray]:
    """Masks' flat indices of the connected parts of a binary plane that are large and sure enough."""
    count, ids, stats, _ = cv2.connectedComponentsWithStats(plane.astype(np.uint8), connectivity=4)
    flat = ids.ravel()
    order = np.argsort(flat, kind="stable")
    cuts = np.searchsorted(flat[order], np.arange(1, count + 1))
    out = []
    for i in range(1, count):
        if stats[i, cv2.CC_STAT_AREA] < LEAST_AREA:
            continue
        cells = order[cuts[i - 1] : cuts[i]]
        if peak is None or peak.ravel()[cells].max() >= least_peak:
            out.append(cells)
    return out


def score(
    logits: np.ndarray, labels: np.ndarray, least_peak: float, threshold: float = 0.0
) -> Score:
    """One crop or face: logits (2, h, w) float, labels (2, h, w) as Canvas.labels makes them."""
    out = Score()
    either = logits.max(0)
    answer = either > threshold
    kept = np.zeros(answer.size, bool)
    parts = components(answer, either, least_peak)
    for cells in parts:
        kept[cells] = True
    truth = [(labels[k] > 100) & (labels[k] <= 200) for k in range(2)]
    known = (labels >= 20).any(0).ravel()
    for k, (total, found) in enumerate((("lines", "lines_found"), ("marks", "marks_found"))):
        for cells in components(truth[k]):
            setattr(out, total, getattr(out, total) + 1)
            if kept[cells].mean() >= FOUND_SHARE:
                setattr(out, found, getattr(out, found) + 1)
    false = sum(1 for cells in parts if not known[cells].any())
    if known.any():
        out.false_written, out.written_cells = false, answer.size
    else:
        out.false_bare, out.bare_cells = false, answer.size
    return out


def table(
    logits: np.ndarray, labels: np.ndarray, peaks: tuple[float, ...] = (0.0, 1.0, 2.0, 3.0)
) -> list[str]:
    """One row a least peak, over a batch (n, 2, h, w)."""
    rows = []
    for peak in peaks:
        total = Score()
        for one, truth in zip(logits, labels):
            total.add(score(one, truth, peak))
        rows.append(f"peak over {peak:3.1f}   {total.row()}")
    return rows
