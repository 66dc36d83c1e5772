"""Generalised least squares of readings that share causes, by numpy's matrices: test/core/beam/joint/distances.test.ts.

Each reading has a value and signed parts per cause; a cause named the same is the same error (JCGM 100:2008, 5.2.2 and
F.1.2.3). Mean and variance after Aitken: w = V^-1 1 / (1' V^-1 1). The versions that ran are in the JSON.
    python3 test/reference/shared_causes.py > test/reference/shared_causes.json
"""
import json
import sys

import numpy as np

rng = np.random.default_rng(1795)
cases = []
for n in (2, 2, 3, 3, 4, 5):
    distance = np.sort(rng.uniform(3000, 15000, n)).round()
    while distance[-1] < 1.3 * distance[0]:
        distance = np.sort(rng.uniform(3000, 15000, n)).round()
    readings = []
    for d in distance:
        readings.append({
            "distanceMm": float(d),
            "value": round(float(rng.normal(1.3, 0.15)), 4),
            # One tape to the lamp's centre, one pitch of vehicle and load: shared. Noise and floor: each board's own.
            "shared": {
                "lamp-height@l": round(float(100 * 4 / d), 5),
                "load": 0.09,
                "levelness": round(float(rng.uniform(0.02, 0.08)), 4),
            },
            "own": [round(float(rng.uniform(0.03, 0.12)), 4), round(float(100 * 5 / d), 5)],
        })
    v = np.zeros((n, n))
    for i, a in enumerate(readings):
        for j, b in enumerate(readings):
            v[i, j] = sum(a["shared"][k] * b["shared"][k] for k in a["shared"])
        v[i, i] += sum(x * x for x in a["own"]) + 0.01**2
    one = np.ones(n)
    inv = np.linalg.inv(v)
    w = inv @ one / (one @ inv @ one)
    y = np.array([r["value"] for r in readings])
    mean = w @ y
    cases.append({
        "readings": readings,
        "weights": w.tolist(),
        "mean": float(mean),
        "u": float(np.sqrt(w @ v @ w)),
        "misfit": float((y - mean) @ inv @ (y - mean)),
    })
json.dump({"python": sys.version.split()[0], "numpy": np.__version__, "cases": cases}, sys.stdout, indent=1)
print()
