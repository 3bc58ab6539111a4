# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Loss, per-crop error and the augmentations that are cheap on the device that trains."""

from __future__ import annotations

import torch
import torch.nn.functional as F
from torch import Tensor

IGNORE = 255
FULL = 200.0  # label value of a cell that lies wholly inside a band


def truth(y: Tensor) -> tuple[Tensor, Tensor]:
    """Labels (n, 2, h, w) uint8 to targets 0..1 and a mask of cells that count."""
    counted = (y != IGNORE).float()
    return (y.float() / FULL).clamp(max=1) * counted, counted


def gaps(t: Tensor) -> Tensor:
    """1 on ground between two bands that are at most 4 cells apart: where lines would merge."""
    grown = F.max_pool2d(t, 5, 1, 2)
    closed = -F.max_pool2d(-grown, 5, 1, 2)
    return ((closed - t) > 0.5).float()


def loss_of(logits: Tensor, y: Tensor) -> Tensor:
    """Cross entropy with weight on narrow gaps, faint hits and false alarms, and soft Dice.

    Dice: Milletari et al., V-Net, 2016; weights on gaps: Ronneberger et al., U-Net, 2015.
    """
    t, counted = truth(y)
    p = torch.sigmoid(logits)
    with torch.no_grad():
        weight = 1.0 + 2.0 * (t > 0.5) + 2.0 * gaps(t)
        weight = weight + 3.0 * ((t < 0.05) & (p > 0.3)) + 2.0 * ((t > 0.9) & (p < 0.5))
        weight = weight * counted
    cross = F.binary_cross_entropy_with_logits(logits, t, reduction="none")
    p = p * counted
    both = (p * t).sum((0, 2, 3))
    dice = 1 - (2 * both + 1) / ((p * p).sum((0, 2, 3)) + (t * t).sum((0, 2, 3)) + 1)
    return (cross * weight).mean() + 0.3 * dice.mean()


@torch.no_grad()
def errors(logits: Tensor, y: Tensor) -> Tensor:
    """Area of clear mistakes of each crop (n,), in cells: what makes it worth showing again."""
    t, counted = truth(y)
    p = torch.sigmoid(logits.float())
    return ((p - t).abs() * counted * ((p - t).abs() > 0.4)).sum((1, 2, 3))


def augmented(x: Tensor, y: Tensor) -> tuple[Tensor, Tensor]:
    """x (n, 256, 256) uint8 to (n, 1, 256, 256) float 0..1. Tone, noise, blur; half and quarter
    turns of some; mirrored where there is no text, which has no mirror image."""
    n, device = len(x), x.device
    x = x[:, None].float() / 255

    def draw(*shape: int) -> Tensor:
        return torch.rand(shape, device=device)

    bare = (y == 0).flatten(1).all(1)
    flip = (bare & (draw(n) < 0.5))[:, None, None, None]
    x, y = torch.where(flip, x.flip(3), x), torch.where(flip, y.flip(3), y)
    half = (draw(n) < 0.05)[:, None, None, None]
    x, y = torch.where(half, x.flip((2, 3)), x), torch.where(half, y.flip((2, 3)), y)
    quarter = (draw(n) < 0.04)[:, None, None, None]
    x = torch.where(quarter, torch.rot90(x, 1, (2, 3)), x)
    y = torch.where(quarter, torch.rot90(y, 1, (2, 3)), y)

    gamma = torch.exp((draw(n, 1, 1, 1) - 0.5) * 0.9)
    x = x.clamp(min=1e-4) ** gamma
    gain, lift = 0.78 + 0.3 * draw(n, 1, 1, 1), 0.16 * (draw(n, 1, 1, 1) - 0.3)
    toned = x * gain + lift
    x = torch.where(draw(n, 1, 1, 1) < 0.5, toned, x)
    x = torch.where(draw(n, 1, 1, 1) < 0.4, 1 - x, x)
    soft = F.avg_pool2d(F.pad(x, (1, 1, 1, 1), mode="replicate"), 3, 1)
    mix = (draw(n, 1, 1, 1) * 0.9) * (draw(n, 1, 1, 1) < 0.12)
    x = x * (1 - mix) + soft * mix
    spread = 0.04 * draw(n, 1, 1, 1) ** 2 * (draw(n, 1, 1, 1) < 0.5)
    x = x + spread * torch.randn(x.shape, device=device)
    if device.type == "cuda":
        x = x.contiguous(memory_format=torch.channels_last)
    return x.clamp(0, 1), y
