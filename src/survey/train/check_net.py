# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Compares OpenCV's answer of an exported net with PyTorch's of its checkpoint.

    check_net.py CHECKPOINT NAME NET.onnx

Prints the largest difference of a logit at two sizes, and some of PyTorch's logits on a pattern
that text_net_test.cpp draws again. Normalisations are not folded in PyTorch's net here.
"""

from __future__ import annotations

import sys

import cv2
import numpy as np
import torch

from net import SHAPES, TextNet

SIZES = [(528, 384), (96, 160)]  # rows, columns; the first is a poker-size face
CELLS = [(0, 0, 0), (0, 17, 31), (1, 20, 40), (0, 47, 79), (1, 5, 66)]  # channel, row, column


def pattern(rows: int, columns: int) -> np.ndarray:
    """Whole-number arithmetic only, so that any language draws the same pixels."""
    i, j = np.mgrid[0:rows, 0:columns]
    return ((((i * 7 + j * 13) ^ (i * j // 5)) % 256) / 255).astype(np.float32)


def main() -> None:
    checkpoint, name, onnx = sys.argv[1:4]
    net = TextNet(SHAPES[name]).eval()
    net.load_state_dict(torch.load(checkpoint, map_location="cpu")[name]["mean"])
    exported = cv2.dnn.readNetFromONNX(onnx)
    for rows, columns in SIZES:
        x = pattern(rows, columns)[None, None]
        with torch.no_grad():
            expected = net(torch.from_numpy(x)).numpy()
        exported.setInput(x)
        found = exported.forward()
        assert found.shape == expected.shape == (1, 2, rows // 2, columns // 2)
        worst = float(np.abs(found - expected).max())
        print(
            f"{rows} x {columns}: logits {expected.min():.2f} to {expected.max():.2f}, "
            f"largest difference {worst:.1e}"
        )
        for c, i, j in CELLS:
            print(f"    {{{c}, {i}, {j}, {expected[0, c, i, j]:.5f}F}},")


if __name__ == "__main__":
    main()
