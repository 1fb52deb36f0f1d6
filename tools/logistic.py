"""Weights by mark, fitted by the likeliest answer and shrunk quadratically: what the tools that fit tables share."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import minimize

LEAST_SPREAD = 0.05
Floats = NDArray[np.float64]
Marks = Mapping[str, float]


@dataclass(frozen=True)
class Model:
    """Weights by mark."""

    names: Sequence[str]
    weights: Floats
    always: float

    def odds(self, rows: Sequence[Marks]) -> Floats:
        out: Floats = matrix(rows, self.names) @ self.weights + self.always
        return out


def matrix(rows: Sequence[Marks], names: Sequence[str]) -> Floats:
    """One line for each of rows, one column for each name."""
    at = {name: k for k, name in enumerate(names)}
    out = np.zeros((len(rows), len(names)))
    for n, marks in enumerate(rows):
        for name, value in marks.items():
            if name in at:
                out[n, at[name]] = value
    return out


def scaled(x: Floats) -> tuple[Floats, Floats]:
    """Mean and spread of each column; what hardly varies is not blown up."""
    return x.mean(0), np.maximum(x.std(0), LEAST_SPREAD)


def least(what: Callable[[Floats], tuple[float, Floats]], shrink: Floats, rounds: int) -> Floats:
    """The weights with the least loss and shrinkage."""

    def loss(b: Floats) -> tuple[float, Floats]:
        value, slope = what(b)
        return value + 0.5 * float((shrink * b * b).sum()), slope + shrink * b

    out: Floats = minimize(loss, np.zeros(len(shrink)), jac=True, method="L-BFGS-B", options={"maxiter": rounds}).x
    return out


def logistic(
    rows: Sequence[Marks], names: Sequence[str], right: Sequence[float], counts: Sequence[float], *, shrink: float,
    rounds: int,
) -> Model:  # fmt: skip
    """The weights by which the marks of rows tell best which are right; counts is what each row counts."""
    x = matrix(rows, names)
    mean, spread = scaled(x)
    z = np.hstack([(x - mean) / spread, np.ones((len(x), 1))])
    y, w = np.array(right), np.array(counts)

    def what(b: Floats) -> tuple[float, Floats]:
        s = z @ b
        p = 1 / (1 + np.exp(-np.clip(s, -30, 30)))
        return float((w * (np.logaddexp(0, s) - y * s)).sum()), z.T @ (w * (p - y))

    b = least(what, np.array([shrink] * len(names) + [1e-6]), rounds)
    found = b[:-1] / spread
    return Model(names, found, float(b[-1] - mean @ found))
