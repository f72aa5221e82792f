"""Bending: the curvature M/(E I) integrated twice over 200,001 points."""
import numpy as np


def integral(values, x):
    return np.concatenate(([0], np.cumsum((values[1:] + values[:-1]) / 2 * np.diff(x))))


def cantilever(v):
    """Held at the axis: its own load, and a weight at the toe for which the measured sag is made."""
    x = np.linspace(0, v["toe"], 200001)
    own = integral(integral(v["w"] * (v["toe"] - x) ** 2 / 2 / v["EI"], x), x)[-1]
    hung = integral(integral(v["F"] * (v["toe"] - x) / v["EI"], x), x)[-1]
    return {"sag": own, "EI_measured": v["F"] / hung * v["toe"] ** 3 / 3}


def train(v):
    length, on = v["span"], min(v["length"], v["span"])
    x = np.linspace(0, length, 200001)
    load = np.where(abs(x - length / 2) <= on / 2, v["w"], 0.0)
    left = v["w"] * on / 2
    moment = left * x - integral(integral(load, x), x)
    slope = integral(moment / v["EI"], x)
    down = integral(slope, x)
    first = down[-1] / length
    return {"bend": (first * x - down)[100000], "slope": first}


def section(v):
    """E I by summing thin layers."""
    y = (np.arange(400000) + 0.5) / 400000 * v["h"] / 1000 - v["h"] / 2000
    wide = np.full_like(y, v["b"] / 1000)
    wide[abs(y) < v["h"] / 2000 - v["t"] / 1000] = 2 * v["t"] / 1000
    return {"EI": 2 * v["E"] * (wide * y * y).sum() * v["h"] / 1000 / 400000}


blocks = {"S1": cantilever, "S2": train, "S3": section}
