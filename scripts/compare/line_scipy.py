"""The fit of model/testdata/uniform-line.csv with SciPy: line_scipy.py READINGS [FITS]

Prints inductance [H], winding and top capacitance [F], and their standard
uncertainties. Equations as in line_minpack.c.
"""
import sys

import numpy as np
from scipy.optimize import least_squares


def read(name):
    rows = [r.split(",") for r in open(name, encoding="utf-8") if r[0].isdigit()]
    f, u, added = (np.array([float(r[k]) for r in rows]) for k in range(3))
    return 1e3 * f, 1e3 * u, 1e-12 * added


def root(rho):
    """Root of cot t = rho t, and its slope, for all rho at once."""
    t = 1 / np.sqrt(rho + 4 / np.pi**2)
    for _ in range(20):
        sin, cos = np.sin(t), np.cos(t)
        step = (cos - rho * t * sin) / (sin * (1 + rho) + rho * t * cos)
        t += step
        if np.all(abs(step) <= 1e-12 * t):
            break
    sin, cos = np.sin(t), np.cos(t)
    return t, -t * sin / (sin * (1 + rho) + rho * t * cos)


def line(x, added):
    """Frequencies and the derivatives of their logarithms."""
    c, s = np.exp(x[1]), x[2]
    winding, top = (1 - s) * c, s * c + added
    theta, slope = root(top / winding)
    per_top = slope / theta / winding
    per_winding = -per_top * top / winding - 0.5 / winding
    f = theta / np.sqrt(np.exp(x[0]) * winding) / (2 * np.pi)
    return f, np.stack([np.full_like(f, -0.5), s * c * per_top + (1 - s) * c * per_winding,
                        c * (per_top - per_winding)], axis=1)


def fit(f, u, added):
    def residuals(x):
        return np.append((f - line(x, added)[0]) / u, (x[2] - 0.3) / 0.3)

    def jacobian(x):
        model, rows = line(x, added)
        return np.vstack([-(model / u)[:, None] * rows, [0, 0, 1 / 0.3]])

    y = 1 / (2 * np.pi * f) ** 2
    slope, height = np.polyfit(added, y, 1, w=1 / y)
    theta, _ = root(0.3 / 0.7)
    start = [np.log(slope), np.log(height / slope * theta**2 / 0.7), 0.3]
    return least_squares(residuals, start, jac=jacobian, method="lm", x_scale="jac")


readings = read(sys.argv[1])
for _ in range(int(sys.argv[2]) if len(sys.argv) > 2 else 1):
    r = fit(*readings)
c, s = np.exp(r.x[1]), r.x[2]
slopes = np.array([[np.exp(r.x[0]), 0, 0], [0, (1 - s) * c, -c], [0, s * c, c]])
u = np.sqrt(np.diag(slopes @ np.linalg.inv(r.jac.T @ r.jac) @ slopes.T))
print(*(f"{v:.9e}" for v in [np.exp(r.x[0]), (1 - s) * c, s * c, *u]), f"{r.nfev} evaluations", r.message)
