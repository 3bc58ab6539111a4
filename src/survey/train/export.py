# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Writes the ONNX file of one net of a checkpoint again.

    export.py CHECKPOINT NAME OUT.onnx
"""

from __future__ import annotations

import sys
from pathlib import Path

import torch

from net import SHAPES, TextNet, export


def main() -> None:
    checkpoint, name, out = sys.argv[1:4]
    net = TextNet(SHAPES[name])
    net.load_state_dict(torch.load(checkpoint, map_location="cpu")[name]["mean"])
    export(net, Path(out))


if __name__ == "__main__":
    main()
