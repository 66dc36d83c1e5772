"""Reference for test/core/geometry/least-squares.test.ts: the same problems solved by scipy's least_squares.

Reads test/reference/nist_nonlinear.json (NIST's data and certified values) and adds fits with priors, which NIST has
none of: each prior is one more residual. The versions that ran are in the JSON.
    python3 test/reference/least_squares.py > test/reference/least_squares.json
"""
import json
import pathlib
import sys

import numpy as np
import scipy
from scipy.optimize import least_squares

here = pathlib.Path(__file__).parent
sets = {s["name"]: s for s in json.loads((here / "nist_nonlinear.json").read_text())["sets"]}


def model(s):
    code = compile(s["model"], s["name"], "eval")
    x = np.array(s["x"])

    def f(b):
        names = {f"b{i + 1}": v for i, v in enumerate(b)}
        return eval(code, {"exp": np.exp, "x": x, **names})  # noqa: S307 (our own file)

    return f


def solve(fun, start, scales):
    r = least_squares(fun, start, x_scale=scales, xtol=1e-15, ftol=1e-15, gtol=1e-15, method="lm", max_nfev=200000)
    # A central-difference Jacobian at the solution: scipy's own forward one is good to 1e-8 only.
    jac = np.column_stack([
        (fun(r.x + h) - fun(r.x - h)) / (2 * np.sum(h)) for h in np.diag(1e-6 * np.array(scales))
    ])
    return {
        "params": r.x.tolist(),
        "cost": float(2 * r.cost),
        "covariance": np.linalg.inv(jac.T @ jac).tolist(),
    }


plain = []
for s in sets.values():
    f = model(s)
    y = np.array(s["y"])
    fit = solve(lambda b, f=f, y=y: f(b) - y, s["starts"][1], np.abs(s["certified"]))
    assert np.allclose(fit["params"], s["certified"], rtol=1e-6), s["name"]
    plain.append({"name": s["name"], **fit})

# Priors that pull: away from what the data say by some of the prior's own width.
priors = []
for name, sigma, means, spreads in (
    ("Thurber", 13.7, [1300, 1400, 500, 60, 0.9, 0.35, 0.04], [10, 60, 60, 12, 0.05, 0.03, 0.01]),
    ("MGH09", 0.0066, [0.2, 0.3, 0.2, 0.1], [0.02, 0.1, 0.05, 0.07]),
    ("Eckerle4", 0.0068, [1.6, 4.0, 451], [0.03, 0.1, 0.2]),
):
    s = sets[name]
    f = model(s)
    y = np.array(s["y"])
    means = np.array(means, float)
    spreads = np.array(spreads, float)
    fit = solve(
        lambda b: np.concatenate([(f(b) - y) / sigma, (b - means) / spreads]), s["starts"][1], spreads
    )
    priors.append({"name": name, "sigma": sigma, "means": means.tolist(), "spreads": spreads.tolist(), **fit})

json.dump(
    {
        "python": sys.version.split()[0],
        "numpy": np.__version__,
        "scipy": scipy.__version__,
        "plain": plain,
        "priors": priors,
    },
    sys.stdout,
    indent=1,
)
print()
