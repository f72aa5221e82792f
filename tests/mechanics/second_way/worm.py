"""Worms from the forces on the thread: what enters by the shaft against what leaves by the wheel, and locking as
a root. The C code has the formula of the efficiency."""
import numpy as np
from scipy.optimize import brentq


def turned(lead, mu, pressure, sense):
    """Force across the shaft and along it, of a unit pressure on the thread; sense -1: the wheel drives."""
    axis = np.array([np.cos(pressure) * np.sin(lead), np.cos(pressure) * np.cos(lead)])
    rubbing = sense * mu * np.array([np.cos(lead), -np.sin(lead)])
    return axis + rubbing


def forward(lead, mu, pressure):
    across, along = turned(lead, mu, pressure, 1)
    return along * np.tan(lead) / across


def back(lead, mu, pressure):
    across, along = turned(lead, mu, pressure, -1)
    return across / (along * np.tan(lead))


def efficiencies(v):
    leads, pressure = np.radians(v["lambda"]), np.radians(v["phi_n"])
    return {"eta_forward": [forward(lead, v["mu"], pressure) for lead in leads],
            "eta_back": [back(lead, v["mu"], pressure) for lead in leads]}


def locking(v):
    lead, pressure = np.arctan2(v["module"] * v["starts"], v["d_worm"]), np.radians(v["phi_n"])
    critical = brentq(lambda mu: back(lead, mu, pressure), 0, 1, xtol=1e-15)
    return {"lambda": np.degrees(lead), "mu_critical": critical, "locks": [float(mu > critical) for mu in v["mu"]],
            "eta_forward": [forward(lead, mu, pressure) for mu in v["mu"]],
            "eta_back": [back(lead, mu, pressure) for mu in v["mu"]]}


blocks = {"D6": efficiencies, "D7": locking}
