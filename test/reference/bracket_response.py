"""A camera's response from frames of one scene, by another road than ours, for merge-response.test.ts.

Data: light spread log-evenly, four frames, each true exposure up to 5 % off the stated one, coded by sRGB
(IEC 61966-2-1) and an S-curve y - s sin(2 pi y)/(2 pi) on top; ln ratios are never seen, only coded values.
Road: ln(linear light) over coded value is a cubic B-spline with 14 knots and a second-difference penalty, and each frame
has a log exposure; scipy least_squares fits both at once (Debevec and Malik 1997, with a spline in place of a table).
A response is known but for a power of it: the stated exposures, 3.5 % each, fix that.
    python3 test/reference/bracket_response.py > test/reference/bracket_response.json
"""
import json
import sys

import numpy as np
import scipy
from scipy.interpolate import BSpline
from scipy.optimize import least_squares

rng = np.random.default_rng(20261125)


def srgb(x):
    return np.where(x <= 0.0031308, 12.92 * x, 1.055 * np.maximum(x, 1e-12) ** (1 / 2.4) - 0.055)


def code(x, s):
    y = srgb(x)
    return y - s * np.sin(2 * np.pi * y) / (2 * np.pi)


KNOTS = np.concatenate([[0.05] * 3, np.linspace(0.05, 0.95, 14), [0.95] * 3])
COUNT = len(KNOTS) - 4
AT = [0.12, 0.2, 0.3, 0.45, 0.6, 0.75, 0.88]

cases = []
for s, stops in [(0.0, [-2, -1, 0, 1]), (0.3, [-2, 0, 1, 2]), (0.5, [-1, 0, 1, 2.5]), (-0.2, [-2, -0.5, 1, 2])]:
    stated = 2.0 ** np.array(stops)
    true = stated * (1 + rng.uniform(-0.05, 0.05, len(stated)))
    scene = np.exp(np.linspace(np.log(0.004), np.log(0.9), 160))
    pairs = []
    for a in range(len(stated)):
        for b in range(a + 1, len(stated)):
            for e in scene[:: 5]:
                la, lb = e * true[a] / 2, e * true[b] / 2
                if min(la, lb) < 0.01 or max(la, lb) > 0.85:
                    continue
                # Eight bits, averaged over many cells: a fiftieth of a level is left.
                ca = float(code(la, s) + rng.normal(0, 0.02 / 255))
                cb = float(code(lb, s) + rng.normal(0, 0.02 / 255))
                pairs.append((a, b, ca, cb))
    a = np.array([p[0] for p in pairs])
    b = np.array([p[1] for p in pairs])
    ca = np.array([p[2] for p in pairs])
    cb = np.array([p[3] for p in pairs])

    def curve(c, x):
        return BSpline(KNOTS, c, 3, extrapolate=True)(x)

    def residuals(p):
        c, g = p[:COUNT], p[COUNT:]
        r = (curve(c, cb) - curve(c, ca) - g[b] + g[a]) / 0.01
        prior = (g - np.log(stated)) / 0.035
        # Smooth: second differences of the spline's bends about those of plain sRGB, weakly.
        plain = np.diff(c - START, 2) / 0.08
        return np.concatenate([r, prior, plain, [(curve(c, 0.5) - np.log(lin(0.5))) / 1e-3]])

    def lin(y):
        return np.where(y <= 0.04045, y / 12.92, ((y + 0.055) / 1.055) ** 2.4)

    grid = np.linspace(0.05, 0.95, 400)
    START = np.linalg.lstsq(BSpline.design_matrix(grid.clip(0.0500001, 0.9499999), KNOTS, 3).toarray(), np.log(lin(grid)), rcond=None)[0]
    fit = least_squares(residuals, np.concatenate([START, np.log(stated)]))
    c = fit.x[:COUNT]
    x = np.linspace(0, 1, 20001)
    coded = code(x, s)
    true_ln = np.log(np.interp(AT, coded, x))
    cases.append(
        {
            "strength": s,
            "stated": stated.tolist(),
            "pairs": [{"a": p[0], "b": p[1], "codedA": round(p[2], 6), "codedB": round(p[3], 6)} for p in pairs],
            "at": AT,
            "fitted": np.round(curve(c, np.array(AT)) - curve(c, 0.45), 5).tolist(),
            "true": np.round(true_ln - true_ln[AT.index(0.45)], 5).tolist(),
        }
    )

print(
    json.dumps(
        {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__, "cases": cases}, indent=1
    )
)
