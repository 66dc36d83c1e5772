"""Place of the steepest log10 light behind an evenly lit disc, by adaptive quadrature.

Every point of the disc sends out log10 I(v) = -b tanh(v / s); the board's light at v is the mean over the disc of
I(v - z / D), the disc's chord as weight. The versions that ran
are in the JSON.
    python3 test/reference/near_field_disc.py > test/reference/near_field_disc.json
"""
import json
import sys

import numpy as np
import scipy
from scipy.integrate import quad
from scipy.optimize import minimize_scalar

DEG = np.pi / 180


def light(v, b, s, radius, distance):
    def f(t):  # t = angle on the disc: z = radius sin t, chord = 2 radius cos t
        return 10 ** (-b * np.tanh((v - radius * np.sin(t) / distance) / s)) * np.cos(t) ** 2 * 2 / np.pi

    return quad(f, -np.pi / 2, np.pi / 2, epsabs=1e-13, epsrel=1e-12, limit=400)[0]


def steepest(b, s, radius, distance):
    h = 0.004 * DEG

    def slope(v):
        return np.log10(light(v + h, b, s, radius, distance)) - np.log10(light(v - h, b, s, radius, distance))

    grid = np.linspace(-1 * DEG, 3 * DEG, 161)
    k = int(np.argmin([slope(v) for v in grid]))
    found = minimize_scalar(slope, bracket=(grid[k - 1], grid[k], grid[k + 1]), options={"xtol": 1e-7})
    return float(found.x)


rows = []
for b, s_deg in ((1.0, 0.34), (0.8, 0.5), (1.15, 0.25)):
    for diameter in (60.0, 170.0):
        for distance in (3000.0, 5000.0, 7600.0, 10000.0):
            v = steepest(b, s_deg * DEG, diameter / 2, distance)
            rows.append({"b": b, "sDeg": s_deg, "diameterMm": diameter, "distanceMm": distance, "shiftPct": round(100 * v, 5)})
json.dump(
    {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__, "rows": rows},
    sys.stdout,
    indent=1,
)
print()
