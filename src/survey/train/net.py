# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""The text-line net: a small fully convolutional hourglass.

Input   (n, 1, H, W) float, sRGB-encoded relative luminance 0..1 at 150 ppi; H, W multiples of 16.
Output  (n, 2, H/2, W/2) logits: on the band of a line; on a single mark.

Dense 3x3 convolutions at a quarter of the input; below, depthwise ones without dilation, which
OpenCV 4.6 runs at almost no cost (dilated ones are 20 times slower); context comes from 1/8 and
1/16. Nearest-neighbor enlargement keeps any size valid in OpenCV's ONNX reader.
"""

from __future__ import annotations

import copy
import inspect
from dataclasses import dataclass
from pathlib import Path

import torch
from torch import Tensor, nn
from torch.nn.utils.fusion import fuse_conv_bn_eval


@dataclass(frozen=True)
class Shape:
    """Channels at 1/2, 1/4, 1/8, 1/16 of the input, and blocks at each of the last three."""

    stem: int
    quarter: int
    eighth: int
    sixteenth: int
    dense: int = 1
    mid: int = 4
    deep: int = 3


SHAPES = {"base": Shape(8, 24, 48, 96), "small": Shape(6, 16, 48, 96)}


class Conv(nn.Module):
    """Convolution, batch normalisation, ReLU; the normalisation folds away for use."""

    def __init__(self, i: int, o: int, k: int = 3, stride: int = 1, groups: int = 1):
        super().__init__()
        self.conv = nn.Conv2d(i, o, k, stride, k // 2, groups=groups, bias=False)
        self.norm: nn.Module = nn.BatchNorm2d(o)

    def forward(self, x: Tensor) -> Tensor:
        return torch.relu(self.norm(self.conv(x)))

    def fold(self) -> None:
        self.conv, self.norm = fuse_conv_bn_eval(self.conv, self.norm), nn.Identity()


class Separable(nn.Module):
    """Depthwise 3x3, then 1x1."""

    def __init__(self, i: int, o: int, stride: int = 1):
        super().__init__()
        self.each = Conv(i, i, 3, stride, groups=i)
        self.mix = Conv(i, o, 1)
        self.residual = i == o and stride == 1

    def forward(self, x: Tensor) -> Tensor:
        y = self.mix(self.each(x))
        return x + y if self.residual else y


def repeat(n: int, c: int) -> nn.Sequential:
    return nn.Sequential(*[Separable(c, c) for _ in range(n)])


class TextNet(nn.Module):
    def __init__(self, s: Shape):
        super().__init__()
        self.stem = nn.Sequential(Conv(1, s.stem, 5, 2), Conv(s.stem, s.quarter, 3, 2))
        self.fine = nn.Sequential(*[Conv(s.quarter, s.quarter) for _ in range(s.dense)])
        self.down = Conv(s.quarter, s.eighth, 3, 2)
        self.middle = repeat(s.mid, s.eighth)
        self.deepen = Separable(s.eighth, s.sixteenth, 2)
        self.deep = repeat(s.deep, s.sixteenth)
        self.from_deep = nn.Conv2d(s.sixteenth, s.eighth, 1)
        self.blend_middle = Separable(s.eighth, s.eighth)
        self.from_middle = nn.Conv2d(s.eighth, s.quarter, 1)
        self.blend_fine = Conv(s.quarter, s.quarter)
        self.up = nn.Upsample(scale_factor=2.0, mode="nearest")
        self.out = nn.ConvTranspose2d(s.quarter, 2, 2, 2)
        nn.init.constant_(self.out.bias, -2.0)

    def forward(self, x: Tensor) -> Tensor:
        fine = self.fine(self.stem(x))
        middle = self.middle(self.down(fine))
        deep = self.deep(self.deepen(middle))
        middle = self.blend_middle(torch.relu(middle + self.up(self.from_deep(deep))))
        fine = self.blend_fine(torch.relu(fine + self.up(self.from_middle(middle))))
        return self.out(fine)


def folded(net: TextNet) -> TextNet:
    """A copy for use only, on the CPU, with normalisations folded into their convolutions."""
    out = copy.deepcopy(net).cpu().float().eval()
    for module in out.modules():
        if isinstance(module, Conv):
            module.fold()
    return out


@torch.no_grad()
def start_from(net: TextNet, weights: dict[str, Tensor], x: Tensor) -> None:
    """Gives a net the weights of an exported one, whose normalisations are folded away. Each
    normalisation gets the mean and spread that its convolution has on `x`, and a scale and a shift
    that undo them, so that the net answers as before and learns on as if it had never been folded."""
    for name, module in net.named_modules():
        if isinstance(module, Conv):
            module.conv.weight.copy_(weights[name + ".conv.weight"])
        elif isinstance(module, (nn.Conv2d, nn.ConvTranspose2d)) and module.bias is not None:
            module.weight.copy_(weights[name + ".weight"])
            module.bias.copy_(weights[name + ".bias"])

    def calibrate(module: nn.Module, _: object, y: Tensor) -> None:
        norm, shift = module.norm_, module.shift_
        mean, spread = y.float().mean((0, 2, 3)), y.float().var((0, 2, 3))
        norm.running_mean.copy_(mean)
        norm.running_var.copy_(spread)
        norm.weight.copy_((spread + norm.eps).sqrt())
        norm.bias.copy_(shift + mean)

    hooks = []
    for name, module in net.named_modules():
        if isinstance(module, Conv):
            object.__setattr__(module.conv, "norm_", module.norm)
            object.__setattr__(module.conv, "shift_", weights[name + ".conv.bias"])
            hooks.append(module.conv.register_forward_hook(calibrate))
    net.eval()(x)
    for hook in hooks:
        hook.remove()
    net.train()


def export(net: TextNet, path: Path) -> None:
    """Writes ONNX, opset 11, which OpenCV 4.6 reads; the size written there binds nobody."""
    tracing = "dynamo" in inspect.signature(torch.onnx.export).parameters
    options = {"dynamo": False} if tracing else {}
    torch.onnx.export(
        folded(net),
        (torch.zeros(1, 1, 528, 384),),
        str(path),
        opset_version=11,
        input_names=["luminance"],
        output_names=["bands"],
        **options,
    )
