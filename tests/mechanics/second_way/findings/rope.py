"""A hanging rope as a chain of 20,000 short springs, all of it below the sheave, the weight at its end."""
import numpy as np

G = 9.80665


def hanging(v):
    pieces = 20000
    length = sum(v["sides"])
    piece = length / pieces
    below = (np.arange(pieces) + 0.5) * piece * v["w"] * G
    tension = v["cw"] * G / v["n"] + below
    stiff = v["E"] * np.pi * (v["d"] / 1000) ** 2 / 4
    return {"tension": v["cw"] * G / v["n"] + length * v["w"] * G,
            "stretch": (tension / stiff * piece).sum() * 1000}


blocks = {"W1": hanging}
