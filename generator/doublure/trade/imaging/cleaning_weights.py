"""Weights."""
from __future__ import annotations
from dataclasses import dataclass
import numpy as np
from numpy.typing import NDArray
Floats = NDArray[np.float32]
@dataclass(frozen=True, slots=True)
class Weights:
    middle: Floats
    spread: Floats
    layers: tuple[tuple[Floats, Floats], ...]
    def apply(self, seen: Floats) -> Floats:
        out = np.clip((seen - self.middle) / self.spread, -6, 6)
        for matrix, shift in self.layers[:-1]:
            out = np.maximum(out @ matrix + shift, 0)
        matrix, shift = self.layers[-1]
        return np.asarray((out @ matrix + shift)[:, 0], np.float32)
