"""Reference for test/core/geometry/homography.test.ts and camera-pose.test.ts.

Made with Python 3.11, numpy 2.4.6, scipy 1.17.1. Run: python3 test/reference/homography.py > test/reference/homography.json
The homography is the least-squares one in photo px (scipy least_squares), not the algebraic one.
"""

import json

import numpy as np
from scipy.optimize import least_squares
from scipy.spatial.transform import Rotation

rng = np.random.default_rng(20261125)


def project(h, p):
    q = np.column_stack([p, np.ones(len(p))]) @ h.T
    return q[:, :2] / q[:, 2:]


cases = []
for n, noise in [(4, 0.0), (9, 0.4), (24, 0.7)]:
    rot = Rotation.from_euler("xyz", [180 + rng.uniform(-35, 35), rng.uniform(-35, 35), rng.uniform(-8, 8)], degrees=True).as_matrix()
    t = np.array([rng.uniform(-300, 300), rng.uniform(-300, 300), rng.uniform(1800, 3200)])
    f, cx, cy = rng.uniform(2400, 3400), 1999.5, 1499.5
    k = np.array([[f, 0, cx], [0, f, cy], [0, 0, 1]])
    h = k @ np.column_stack([rot[:, 0], rot[:, 1], t])
    board = np.column_stack([rng.uniform(-900, 900, n), rng.uniform(-600, 500, n)])
    photo = project(h, board) + rng.normal(0, noise, (n, 2))
    h = h / h[2, 2]
    best = least_squares(
        lambda v: (project(np.append(v, 1).reshape(3, 3), board) - photo).ravel(),
        h.ravel()[:8],
        x_scale=np.abs(h.ravel()[:8]),
        xtol=1e-15, ftol=1e-15, gtol=1e-15,
    )
    g = np.append(best.x, 1).reshape(3, 3)
    probes = np.array([[37.0, -211.0], [-512.0, 333.0], [640.0, -95.0]])
    cases.append({
        "n": n, "noisePx": noise, "board": board.tolist(), "photo": photo.tolist(),
        "homography": g.ravel().tolist(), "probes": probes.tolist(), "seen": project(g, probes).tolist(),
        "rmsPx": float(np.sqrt(np.mean(best.fun**2))),
        "rotation": rot.ravel().tolist(), "translation": t.tolist(), "focalPx": f,
    })

# A decaying cosine for the least-squares fit: parameters, covariance and cost from scipy (MINPACK).
x = np.linspace(0, 4, 25)
y = 2.3 * np.exp(-0.7 * x) * np.cos(3.1 * x + 0.4) + rng.normal(0, 0.05, x.size)
fit = least_squares(lambda p: (p[0] * np.exp(-p[1] * x) * np.cos(p[2] * x + p[3]) - y) / 0.05, [2, 0.5, 3, 0.3], method="lm", xtol=1e-14, ftol=1e-14)
curve = {
    "x": x.tolist(), "y": y.tolist(), "params": fit.x.tolist(), "cost": float(2 * fit.cost),
    "covariance": np.linalg.inv(fit.jac.T @ fit.jac).tolist(),
}
turn = Rotation.from_rotvec([0.21, -0.34, 0.11]).as_matrix()
print(json.dumps({"made": "numpy 2.4.6, scipy 1.17.1", "cases": cases, "curve": curve,
                  "rotvec": {"w": [0.21, -0.34, 0.11], "matrix": turn.ravel().tolist()}}))
