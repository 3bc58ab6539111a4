# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""The mean of the weights of nets that were trained on from one start (model soup: Wortsman et al.,
2022), with the statistics of their normalisations taken anew on drawn crops.

    average.py DATA OUT.onnx NET.onnx CHECKPOINT...

NET.onnx is the start of them all; each counts the same, to a hundredth. `base` is the shape.
"""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import onnx
import onnx.numpy_helper
import torch
from torch import nn

from draw import crops
from library import Library
from loss import augmented
from net import SHAPES, TextNet, export, start_from

SEEDS = range(7000, 7200)  # canvases of six crops
BATCH, BATCHES = 128, 6


def main() -> None:
    data, out, start, *checkpoints = sys.argv[1:]
    lib = Library(Path(data), "train", color=False)
    drawn = [crops(seed, lib) for seed in SEEDS]
    torch.manual_seed(0)
    images, labels = (torch.from_numpy(np.concatenate(parts)) for parts in zip(*drawn))
    x, _ = augmented(images, labels)
    first = TextNet(SHAPES["base"])
    tensors = onnx.load(start).graph.initializer
    weights = {t.name: torch.from_numpy(onnx.numpy_helper.to_array(t).copy()) for t in tensors}
    start_from(first, weights, x[:256])
    states = [first.state_dict()]
    states += [torch.load(c, map_location="cpu")["base"]["mean"] for c in checkpoints]
    shares = [round(1 / len(states), 2)] * (len(states) - 1)
    shares.append(1 - sum(shares))
    mean = {
        name: (
            sum(s[name] * share for s, share in zip(states, shares))
            if value.dtype.is_floating_point
            else value
        )
        for name, value in states[0].items()
    }
    net = TextNet(SHAPES["base"])
    net.load_state_dict(mean)
    for module in net.modules():
        if isinstance(module, nn.BatchNorm2d):
            module.reset_running_stats()
            module.momentum = None  # the mean over all that follows
    net.train()
    with torch.no_grad():
        for i in range(BATCHES):
            net(x[i * BATCH : (i + 1) * BATCH])
    export(net, Path(out))


if __name__ == "__main__":
    main()
