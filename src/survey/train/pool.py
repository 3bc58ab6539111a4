# Copyright the paleproof authors
# SPDX-License-Identifier: MIT
"""Processes that draw canvases into shared memory, without end and in a fixed order of seeds each.

The memory is an anonymous map made before the fork, so it needs no room in /dev/shm.
"""

from __future__ import annotations

import mmap
import multiprocessing as mp
import os
import queue
import signal
from collections.abc import Callable

import cv2
import numpy as np

from draw import CROP, HEIGHT, WIDTH, crops
from library import Library

PER_CANVAS = (WIDTH // CROP) * (HEIGHT // CROP)
IMAGE = (PER_CANVAS, CROP, CROP)
LABEL = (PER_CANVAS, 2, CROP // 2, CROP // 2)
IMAGE_BYTES, LABEL_BYTES = int(np.prod(IMAGE)), int(np.prod(LABEL))
SEED_STRIDE = 1_000_003  # no two processes meet in less than a million canvases


class Pool:
    def __init__(self, lib: Library, processes: int, slots: int, first_seed: int):
        self.slots = slots
        self.memory = mmap.mmap(-1, slots * (IMAGE_BYTES + LABEL_BYTES))
        context = mp.get_context("fork")
        self.free: mp.Queue = context.Queue()
        self.ready: mp.Queue = context.Queue()
        self.errors: list[str] = []
        for slot in range(slots):
            self.free.put(slot)
        self.workers = [
            context.Process(
                target=self._work, args=(lib, first_seed + i * SEED_STRIDE), daemon=True
            )
            for i in range(processes)
        ]
        for worker in self.workers:
            worker.start()

    def views(self, slot: int) -> tuple[np.ndarray, np.ndarray]:
        """Images (6, 256, 256) and labels (6, 2, 128, 128) of a slot, in shared memory."""
        at = slot * (IMAGE_BYTES + LABEL_BYTES)
        image = np.frombuffer(self.memory, np.uint8, IMAGE_BYTES, at).reshape(IMAGE)
        label = np.frombuffer(self.memory, np.uint8, LABEL_BYTES, at + IMAGE_BYTES)
        return image, label.reshape(LABEL)

    def _work(self, lib: Library, seed: int) -> None:
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        cv2.setNumThreads(1)
        parent = os.getppid()
        while os.getppid() == parent:
            seed += 1
            try:
                images, labels = crops(seed, lib)
            except Exception as error:  # one bad canvas must not end the run; it is counted
                self.ready.put(f"seed {seed}: {error!r}")
                continue
            slot = self.free.get()
            image, label = self.views(slot)
            image[:], label[:] = images, labels
            self.ready.put(slot)

    def take(self, wait: float, use: Callable[[np.ndarray, np.ndarray], None], most: int) -> int:
        """Hands up to `most` finished canvases to `use`; waits up to `wait` s for the first."""
        taken = 0
        while taken < most:
            try:
                item = (
                    self.ready.get(timeout=wait) if taken == 0 and wait else self.ready.get_nowait()
                )
            except queue.Empty:
                break
            if isinstance(item, str):
                self.errors.append(item)
                continue
            use(*self.views(item))
            self.free.put(item)
            taken += 1
        return taken

    def close(self) -> None:
        for worker in self.workers:
            worker.terminate()


_LIB: Library | None = None


def _one(seed: int) -> tuple[np.ndarray, np.ndarray]:
    cv2.setNumThreads(1)
    assert _LIB is not None
    return crops(seed, _LIB)


def drawn(lib: Library, seeds: range, processes: int) -> tuple[np.ndarray, np.ndarray]:
    """The crops of these seeds, in order: a fixed set, for validation."""
    global _LIB
    _LIB = lib
    with mp.get_context("fork").Pool(processes) as pool:
        parts = pool.map(_one, seeds, chunksize=2)
    return np.concatenate([p[0] for p in parts]), np.concatenate([p[1] for p in parts])
