# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""The latest drawn crops, on the device that trains. Crops with mistakes come up again sooner."""

from __future__ import annotations

import numpy as np
import torch
from torch import Tensor

from draw import CROP


class Ring:
    def __init__(self, size: int, device: torch.device):
        self.size, self.device, self.count = size, device, 0
        self.images = torch.empty((size, CROP, CROP), dtype=torch.uint8, device=device)
        self.labels = torch.empty((size, 2, CROP // 2, CROP // 2), dtype=torch.uint8, device=device)
        self.error = torch.zeros(size, device=device)

    def add(self, images: np.ndarray, labels: np.ndarray) -> None:
        """Replaces the oldest crops."""
        n = len(images)
        at = torch.arange(self.count, self.count + n, device=self.device) % self.size
        self.images[at] = torch.from_numpy(images).to(self.device)
        self.labels[at] = torch.from_numpy(labels).to(self.device)
        self.error[at] = 40.0  # cells; new ones count as fairly wrong until they were shown
        self.count += n

    def batch(self, n: int, hard_share: float) -> tuple[Tensor, Tensor, Tensor]:
        """Positions, images, labels. `hard_share` of them by their error, capped so that a few
        crops nobody could solve do not fill the batch; the others evenly."""
        filled = min(self.count, self.size)
        hard = round(n * hard_share)
        even = torch.randint(filled, (n - hard,), device=self.device)
        where = even
        if hard:
            weight = self.error[:filled].clamp(1.0, 300.0)
            where = torch.cat([even, torch.multinomial(weight, hard, replacement=True)])
        return where, self.images[where], self.labels[where]

    def rate(self, where: Tensor, error: Tensor) -> None:
        self.error[where] = error
