"""Independent figures for src/core/photometry/tone-fit.ts: the same model written again from its description.

numpy 2.x and scipy 1.x (versions are in the JSON). Run: python3 test/reference/tone_fit.py > test/reference/tone_fit.json

Marks in six lights, seen through four cameras' curves of forms that the model does not contain, with a lens that
spills light and a printer that prints blacker than drawn; noise from a fixed generator. scipy.optimize.least_squares
(trust region, 3-point differences) finds the response; its log slopes and their standard deviations (from J'J) are
what the test compares. sRGB: IEC 61966-2-1.
"""

import json

import numpy as np
import scipy
from scipy.optimize import least_squares

POWER, S_SIZE, OTHER, LENGTH, FOOT, TOE = 0.1, 0.2, 0.12, 0.6, 0.3, 0.05
PLACES, KNOTS, TERMS = 33, 512, 6
SPILL, SPILL_SPREAD, SPILL_U, UNEVEN_U, CAUCHY = np.array([0.003, 0.002, 0.003]), 1.0, 0.2, 0.02, 2.5


def decode(c):
    return np.where(c <= 0.04045, c / 12.92, ((np.maximum(c, 0.04045) + 0.055) / 1.055) ** 2.4)


def encode(y):
    return np.where(y <= 0.0031308, 12.92 * y, 1.055 * np.maximum(y, 1e-9) ** (1 / 2.4) - 0.055)


def s_slope(c):
    return c * (4 * c - 3)


def covariance(a, b):
    d = np.sqrt(5) * np.abs(np.log((a + FOOT) / (b + FOOT))) / LENGTH
    return POWER**2 + S_SIZE**2 * s_slope(a) * s_slope(b) + OTHER**2 * (1 + d + d * d / 3) * np.exp(-d)


places = (np.arange(PLACES) + 0.5) / PLACES
values, vectors = np.linalg.eigh(covariance(places[:, None], places[None, :]))
values, vectors = values[::-1][:TERMS], vectors[:, ::-1][:, :TERMS]
vectors = vectors * np.sign(vectors[0])
slope_at = lambda c: covariance(np.atleast_1d(c)[:, None], places[None, :]) @ (vectors / np.sqrt(values))
k = np.arange(1, KNOTS + 1)
steps = np.log((k / KNOTS + TOE) / ((k - 1) / KNOTS + TOE))
pieces = slope_at((k - 0.5) / KNOTS) * steps[:, None]
eta_knots = np.vstack([-np.cumsum(pieces[::-1], axis=0)[::-1], np.zeros(TERMS)])
shapes = lambda c: np.stack([np.interp(c, np.arange(KNOTS + 1) / KNOTS, eta_knots[:, n]) for n in range(TERMS)], -1)
slopes = slope_at(places)
likely = (slopes.T @ (0.1 * s_slope(places))) / (slopes**2).sum(axis=0)


def fit(pairs):
    white, dark, u, design = (np.array([p[key] for p in pairs]) for key in ("white", "dark", "u", "reflectance"))
    around = np.array([p["around"] for p in pairs])
    prints = list(dict.fromkeys(design.tolist()))
    group = np.array([prints.index(r) for r in design])
    u_print = np.where(np.array(prints) < 0.08, 0.35, 0.15)
    cw, cd = encode(white), encode(dark)
    bw, bd = shapes(cw), shapes(cd)
    g = len(prints)
    spilt = lambda x: around @ (SPILL * np.exp(SPILL_SPREAD * x[TERMS + g :]))

    def misfit(x, doubts):
        w = decode(cw * np.exp(bw @ x[:TERMS]))
        d = decode(cd * np.exp(bd @ x[:TERMS]))
        s = spilt(x)
        ratio = np.array(prints)[group] * np.exp(x[TERMS + group])
        return np.log(d / (np.maximum(0, w - s) * ratio + s)) / doubts

    def residuals(x, doubts):
        z = misfit(x, doubts)
        robust = np.sign(z) * CAUCHY * np.sqrt(np.log1p((z / CAUCHY) ** 2))
        return np.concatenate([robust, x[:TERMS] - likely, x[TERMS : TERMS + g] / u_print, x[TERMS + g :]])

    def solve(start, scale):
        doubts = scale * np.sqrt(u**2 + UNEVEN_U**2 + (SPILL_U * spilt(start) / dark) ** 2)
        out = least_squares(lambda x: residuals(x, doubts), start, jac="3-point", xtol=1e-13, ftol=1e-13, gtol=1e-13)
        return out, misfit(out.x, doubts)

    start = np.concatenate([likely, np.zeros(g + 3)])
    out, z = solve(start, 1.0)
    scale = max(1.0, np.sort(np.abs(z))[len(z) // 2] / 0.674)
    if scale > 1.05:
        out, z = solve(out.x, scale)
    covariance_all = np.linalg.inv(out.jac.T @ out.jac)
    return out.x[:TERMS], covariance_all[:TERMS, :TERMS], scale


CURVES = {
    "plain": lambda y: y,
    "crushed shadows": lambda y: y * (1 - 0.35 * (1 - y) ** 3),
    "sine": lambda y: y - 0.4 * np.sin(2 * np.pi * y) / (2 * np.pi),
    "gamma and shoulder": lambda y: (y**1.1 + 0.25 * (1 - y) * y**3),
}
LIGHTS = [0.012, 0.03, 0.075, 0.14, 0.27, 0.46]
DESIGNED = [0.05 / 0.85, 0.08 / 0.85, 0.15 / 0.85, 0.25 / 0.85, 0.4 / 0.85, 0.6 / 0.85]
PRINTED = [0.8, 0.9, 1.05, 1.1, 1.02, 0.97]
AT = [0.12, 0.2, 0.31, 0.44, 0.6]

cases = []
for seed, (name, curve) in enumerate(CURVES.items()):
    random = np.random.default_rng(61966 + seed)
    pairs = []
    for light in LIGHTS:
        for design, printed in zip(DESIGNED, PRINTED):
            around = [0.11, 0.05 + 0.3 * light, 0.7 * light]
            spill = 0.004 * around[0] + 0.002 * around[1] + 0.005 * around[2]
            noise = np.exp(0.012 * random.standard_normal(2))
            seen = [float(decode(curve(encode(np.array(l * n))))) for l, n in zip([light + spill, light * design * printed + spill], noise)]
            pairs.append({"white": seen[0], "dark": seen[1], "u": 0.02, "reflectance": design, "around": around})
    # One mark has a stain on it.
    pairs[13]["dark"] *= 1.6
    params, cov, scale = fit(pairs)
    # h at the places the edge lies at, and its standard deviation.
    h = slope_at(np.array(AT))
    cases.append({
        "name": name,
        "pairs": pairs,
        "scale": float(scale),
        "slopes": (h @ params).tolist(),
        "u": np.sqrt(np.einsum("in,nm,im->i", h, cov, h)).tolist(),
    })
print(json.dumps({"numpy": np.__version__, "scipy": scipy.__version__, "at": AT, "cases": cases}, indent=1))
