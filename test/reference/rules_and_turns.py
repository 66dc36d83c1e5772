"""Independent answers for rules, turns and uncertainty, by numpy and scipy.

Run: python3 test/reference/rules_and_turns.py > test/reference/rules-and-turns.json
Made with Python 3, numpy 2.4.6, scipy 1.17.1.
"""
import json

import numpy as np
import scipy
from scipy.stats import norm

rng = np.random.default_rng(20261125)

# The normal distribution and JCGM 106 conformance probabilities.
cdf = [{"z": z, "p": float(norm.cdf(z))} for z in (-8, -5.3, -3.1, -2, -1.38585, -0.4, 0, 0.1, 0.77, 1.96, 2.83, 2.9, 4.2, 6)]
conformance = []
for value, u, lo, hi in [
    (1.30, 0.072158, 0.5, 2.75),
    (0.60, 0.072158, 0.5, 2.75),
    (0.30, 0.072158, 0.5, 2.75),
    (1.24, 0.4, 1.0, 1.5),
    (2.9, 0.11, 1.25, 2.75),
    (-0.4, 0.5, -1.3333, 1.3333),
]:
    conformance.append({"value": value, "u": u, "min": lo, "max": hi,
                        "p": float(norm.cdf(hi, value, u) - norm.cdf(lo, value, u))})

# Turns: solve the plane z = c + a x + b y by numpy's own least squares, not by the project's formulas.
def plane(supports, moved):
    """(a, b) when support `moved` goes 1 mm forward and all the others stay; least movement where a turn is open."""
    rows, rhs = [], []
    for i, (kind, x, y) in enumerate(supports):
        if kind == "spring":
            continue
        rows.append([x, y, 1.0])
        rhs.append(1.0 if i == moved else 0.0)
    a, b, _c = np.linalg.lstsq(np.array(rows), np.array(rhs), rcond=None)[0]
    return a, b

def jacobian(supports, pitches):
    """2 x n, per cent per turn clockwise; clockwise forward for pitch > 0, back for pitch < 0."""
    columns, k = [], 0
    for i, (kind, _x, _y) in enumerate(supports):
        if kind != "screw":
            continue
        a, b = plane(supports, i)
        columns.append([100 * b * pitches[k], -100 * a * pitches[k]])
        k += 1
    return np.array(columns).T

cases = []
layouts = {
    "pivot and two screws": [("fixed", 0, 0), ("screw", -8, 143), ("screw", 131, 12)],
    "pivot away from the origin, spring": [("fixed", -62, -47), ("screw", 55, -51), ("spring", 70, 66), ("screw", -58, 71)],
    "three screws": [("screw", 5, 88), ("screw", -79, -41), ("screw", 83, -37)],
    "hinge and one screw": [("fixed", -70, 4), ("fixed", 66, -3), ("screw", 9, 112)],
}
for name, supports in layouts.items():
    n = sum(k == "screw" for k, _, _ in supports)
    pitches = [0.8, -0.7, 1.0][:n]
    J = jacobian(supports, pitches)
    change = np.array([-0.37, 0.52])
    turns = np.array([change[0] / J[0, 0]]) if n == 1 else np.linalg.pinv(J) @ change
    cases.append({"name": name, "supports": supports, "pitches": pitches, "J": J.tolist(),
                  "change": change.tolist(), "turns": turns.tolist()})

print(json.dumps({"made_with": {"numpy": np.__version__, "scipy": scipy.__version__},
                  "cdf": cdf, "conformance": conformance, "turns": cases}, indent=1))
