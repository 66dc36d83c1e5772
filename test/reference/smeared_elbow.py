"""Where a board shows a bent edge that a wide and high lamp smears, by dense sums; no code shared with the project.

Every place (x, z) of the opening draws the far edge from where it stands. Far away log10 light across the edge falls
as -tanh(d / 0.3 deg), d the distance from the far line (on a ramp counted across it). For each column the height
where the summed light's log falls fastest is found on steps of 0.01 deg, then by a parabola. All in deg (small angles).
The versions that ran are in the JSON.
    python3 test/reference/smeared_elbow.py > test/reference/smeared_elbow.json
"""
import json
import sys

import numpy as np
import scipy

N = 44
p = (2 * (np.arange(N) + 0.5)) / N - 1
X, Z = np.meshgrid(p, p)
X, Z = X.ravel(), Z.ravel()
R = np.hypot(X, Z)
BRIGHT = {
    "disc": (R <= 1).astype(float),
    "upper-half": ((R <= 1) & (Z > 0)).astype(float),
    "centre-weighted": np.maximum(0, 1 - R**2),
    "strip": np.ones_like(R),
}
DEG = np.tan(np.pi / 180)
LINES = {
    "rise": {"side": 1, "bend": 0.4, "atBend": -0.7, "tilt": 0.003, "slope": 0.268, "length": None},
    "step": {"side": -1, "bend": -0.3, "atBend": -0.6, "tilt": -0.002, "slope": 0.8, "length": 1.6},
    "short-ramp": {"side": 1, "bend": 0.2, "atBend": -0.8, "tilt": 0.004, "slope": 0.577, "length": 0.8},
}


def board_edge(line, filling, half_width, half_height, us):
    light = BRIGHT[filling]
    k = light > 0
    x, z, light = X[k] * half_width, Z[k] * half_height, light[k]
    length = np.inf if line["length"] is None else line["length"]
    out = []
    for u in us:
        source = u - x
        t = line["side"] * (source - line["bend"])
        middle = line["atBend"] + line["tilt"] * (source - line["bend"]) + line["slope"] * np.clip(t, 0, length) + z
        slope = line["tilt"] + np.where((t > 0) & (t < length), line["side"] * line["slope"], 0)
        across = 1 / np.sqrt(1 + slope**2)
        v = np.arange(middle.min() - 0.3, middle.max() + 0.3, 0.01)
        e = np.array([np.sum(light * 10 ** (-np.tanh((h - middle) * across / 0.3))) for h in v])
        log = np.log10(e)
        fall = log[:-2] - log[2:]
        i = int(np.clip(np.argmax(fall), 1, len(fall) - 2))
        a, b, c = fall[i - 1 : i + 2]
        out.append(round(float(v[i + 1] + 0.01 * 0.5 * (a - c) / (a - 2 * b + c)), 5))
    return out


cases = []
for kind, filling, width_pct, height_pct in (
    ("rise", "disc", 1.2, 1.2),
    ("rise", "disc", 3.4, 3.4),
    ("rise", "upper-half", 5.67, 5.67),
    ("step", "disc", 1.2, 1.2),
    ("step", "disc", 3.4, 3.4),
    ("step", "upper-half", 3.4, 3.4),
    ("step", "strip", 4.4, 1.6),
    ("short-ramp", "disc", 3.4, 3.4),
    ("short-ramp", "upper-half", 3.4, 3.4),
    ("short-ramp", "centre-weighted", 3.4, 3.4),
    ("short-ramp", "disc", 5.67, 5.67),
    ("short-ramp", "strip", 4.4, 1.6),
):
    line = LINES[kind]
    us = [round(line["bend"] + 0.1 * i, 4) for i in range(-55, 56)]
    half = [x / 200 / DEG for x in (width_pct, height_pct)]
    cases.append({
        "kind": kind,
        "filling": filling,
        "widthPct": width_pct,
        "heightPct": height_pct,
        "line": line,
        "u": us,
        "v": board_edge(line, filling, half[0], half[1], us),
    })

json.dump(
    {"python": sys.version.split()[0], "numpy": np.__version__, "scipy": scipy.__version__, "cases": cases}, sys.stdout
)
print()
