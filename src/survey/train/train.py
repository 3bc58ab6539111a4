# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Trains the nets of net.SHAPES side by side on crops that other processes draw meanwhile.

    train.py --data data --out OUT --seconds 540 [--resume OUT/checkpoint.pt --rate 1e-3]
                                                 [--start NET.onnx --rate 2e-3]

Writes OUT/NAME.onnx for each net, OUT/checkpoint.pt, OUT/log.txt and OUT/validation.txt (fonts and
art that training never saw). Without a GPU it runs too, slowly, for a test.
"""

from __future__ import annotations

import argparse
import copy
import math
import os
import time
from pathlib import Path

import cv2
import numpy as np
import torch
from torch import Tensor

from evaluate import table
from library import Library
from loss import augmented, errors, loss_of
from net import SHAPES, TextNet, export, start_from
from pool import PER_CANVAS, Pool, drawn
from ring import Ring

VALIDATION_SEEDS = 1_900_000_000
MEAN_EVERY = 4  # steps


class Learner:
    """One net with its optimiser and the running mean of its weights, which is what is kept."""

    def __init__(self, name: str, device: torch.device):
        self.name = name
        self.net = TextNet(SHAPES[name]).to(device)
        if device.type == "cuda":
            self.net = self.net.to(memory_format=torch.channels_last)
        self.mean = copy.deepcopy(self.net).eval()
        self.optimiser = torch.optim.AdamW(self.net.parameters(), weight_decay=1e-4)
        self.steps, self.smooth = 0, 0.0

    def step(self, x: Tensor, y: Tensor, rate: float) -> Tensor:
        for group in self.optimiser.param_groups:
            group["lr"] = rate
        kind = x.device.type
        with torch.autocast(kind, torch.bfloat16, enabled=kind == "cuda"):
            logits = self.net(x)
        loss = loss_of(logits.float(), y)
        self.optimiser.zero_grad(set_to_none=True)
        loss.backward()
        torch.nn.utils.clip_grad_norm_(self.net.parameters(), 1.0)
        self.optimiser.step()
        self.steps += 1
        if self.steps % MEAN_EVERY == 0:
            self._follow()
        if self.steps % 20 == 0:
            value = float(loss.detach())
            self.smooth = value if not self.smooth else 0.9 * self.smooth + 0.1 * value
        return logits.detach()

    @torch.no_grad()
    def _follow(self) -> None:
        """Moves the running mean toward the weights; over about a thousand steps in the end."""
        keep = min(0.999**MEAN_EVERY, self.steps / (self.steps + 80))
        for a, b in zip(self.mean.state_dict().values(), self.net.state_dict().values()):
            if a.dtype.is_floating_point:
                a.lerp_(b, 1 - keep)
            else:
                a.copy_(b)

    def state(self) -> dict:
        return {
            "net": self.net.state_dict(),
            "mean": self.mean.state_dict(),
            "optimiser": self.optimiser.state_dict(),
            "steps": self.steps,
        }

    def load(self, state: dict) -> None:
        self.net.load_state_dict(state["net"])
        self.mean.load_state_dict(state["mean"])
        self.optimiser.load_state_dict(state["optimiser"])
        self.steps = state["steps"]

    def start(self, path: Path, ring: Ring, batch: int) -> None:
        import onnx  # needed here only
        import onnx.numpy_helper

        tensors = onnx.load(str(path)).graph.initializer
        device = next(self.net.parameters()).device
        weights = {
            t.name: torch.from_numpy(onnx.numpy_helper.to_array(t).copy()).to(device)
            for t in tensors
        }
        x, _ = augmented(*ring.batch(batch, hard_share=0.0)[1:])
        start_from(self.net, weights, x)
        self.mean.load_state_dict(self.net.state_dict())

    @torch.no_grad()
    def logits(self, images: np.ndarray, device: torch.device) -> np.ndarray:
        parts = [
            self.mean(torch.from_numpy(images[i : i + 64]).to(device)[:, None].float() / 255)
            .cpu()
            .numpy()
            for i in range(0, len(images), 64)
        ]
        return np.concatenate(parts)


def options() -> argparse.Namespace:
    p = argparse.ArgumentParser()
    p.add_argument("--data", type=Path, required=True)
    p.add_argument("--out", type=Path, required=True)
    p.add_argument("--seconds", type=float, default=540, help="from start to files written")
    p.add_argument("--processes", type=int, default=max(1, (os.cpu_count() or 2) - 1))
    p.add_argument("--batch", type=int, default=192)
    p.add_argument("--ring", type=int, default=60_000, help="crops kept for drawing batches from")
    p.add_argument("--rate", type=float, default=4e-3)
    p.add_argument("--seed", type=int, default=1)
    p.add_argument("--nets", default="base,small")
    p.add_argument("--validation", type=int, default=240, help="canvases of six crops")
    p.add_argument("--resume", type=Path)
    p.add_argument("--start", type=Path, help="an exported net of the shape of the first of --nets")
    return p.parse_args()


def main() -> None:
    o = options()
    start = time.monotonic()
    o.out.mkdir(parents=True, exist_ok=True)
    log_file = (o.out / "log.txt").open("w")

    def log(text: str) -> None:
        line = f"{time.monotonic() - start:6.1f} s  {text}"
        print(line, flush=True)
        print(line, file=log_file, flush=True)

    log(
        " ".join(
            f"{k}={v}" for k, v in sorted(vars(o).items()) if k not in ("data", "out", "resume", "start")
        )
    )
    cv2.setNumThreads(1)
    held = Library(o.data, "held-out", color=False)
    seen_images, seen_labels = drawn(
        held, range(VALIDATION_SEEDS, VALIDATION_SEEDS + o.validation), o.processes
    )
    log(f"validation: {len(seen_images)} crops")
    lib = Library(o.data, "train", color=False)
    log(f"{len(lib.names)} families, {len(lib.art)} pictures, {len(lib.icons)} icons for training")
    pool = Pool(lib, o.processes, 32 * o.processes, o.seed * 50_000_000)

    torch.manual_seed(o.seed)
    device = torch.device("cuda" if torch.cuda.is_available() else "cpu")
    torch.backends.cudnn.benchmark = True
    ring = Ring(o.ring, device)
    learners = [Learner(name, device) for name in o.nets.split(",")]
    if o.resume:
        states = torch.load(o.resume, map_location=device)
        for learner in learners:
            learner.load(states[learner.name])
        log("resumed")
    log(
        f"{device}; "
        + ", ".join(
            f"{a.name} {sum(p.numel() for p in a.net.parameters())} weights" for a in learners
        )
    )

    least = min(2 * o.batch, o.ring)
    while ring.count < least:
        pool.take(1.0, ring.add, 64)
    log("first crops drawn")
    if o.start:
        learners[0].start(o.start, ring, o.batch)
        log("started from an exported net")
    train_start, reserve = time.monotonic(), 20.0 if device.type == "cuda" else 35.0
    length = max(1.0, o.seconds - reserve - (train_start - start))
    step, told, used = 0, train_start, 0
    while (done := (time.monotonic() - train_start) / length) < 1:
        pool.take(0.0, ring.add, 16)
        where, x, y = ring.batch(o.batch, hard_share=0.15 + 0.25 * done)
        x, y = augmented(x, y)
        rate = o.rate * min(1.0, (step + 1) / 300) * (0.5 + 0.5 * math.cos(math.pi * done)) + 1e-5
        for i, learner in enumerate(learners):
            logits = learner.step(x, y, rate)
            if i == 0:
                ring.rate(where, errors(logits, y))
        step, used = step + 1, used + o.batch
        if time.monotonic() - told > 15:
            told = time.monotonic()
            spent = told - train_start
            log(
                f"step {step}  "
                + "  ".join(f"{a.name} {a.smooth:.4f}" for a in learners)
                + f"  rate {rate:.1e}  drawn {ring.count} ({ring.count / spent:.0f}/s)"
                + f"  used {used / spent:.0f}/s  failed {len(pool.errors)}"
            )
    pool.close()
    log(f"{step} steps, {ring.count} crops drawn, each used {used / max(1, ring.count):.1f} times")
    for error in pool.errors[:5]:
        log("failed: " + error)
    torch.save({a.name: a.state() for a in learners}, o.out / "checkpoint.pt")
    report = []
    for learner in learners:
        path = o.out / f"{learner.name}.onnx"
        export(learner.mean, path)
        log(f"{path.name} written, {path.stat().st_size} bytes")
        report += [
            f"{learner.name}  {row}"
            for row in table(learner.logits(seen_images, device), seen_labels)
        ]
    for row in report:
        log(row)
    (o.out / "validation.txt").write_text("\n".join(report) + "\n")
    log(f"{PER_CANVAS} crops a canvas; done")


if __name__ == "__main__":
    main()
