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


def geometry(v):
    inch_axial = np.pi / v["Pd"]
    lead = v["N_worm"] * inch_axial
    gear = v["N_gear"] * inch_axial / np.pi
    ratio = np.pi * gear / lead  # turns while the wheel rolls by its circumference
    return {"axial_pitch": inch_axial, "lead": lead,
            "lambda": np.degrees(np.angle(np.pi * v["D_worm"] + 1j * lead)), "D_gear": gear,
            "C": (gear + v["D_worm"]) / 2, "VR": ratio, "n_gear": v["n_worm"] / ratio}


def efficiencies(v):
    leads, pressure = np.radians(v["lambda"]), np.radians(v["phi_n"])
    return {"eta_forward": [forward(lead, v["mu"], pressure) for lead in leads],
            "eta_back": [back(lead, v["mu"], pressure) for lead in leads]}


def locking(v):
    lead, pressure = np.arctan2(v["module"] * v["starts"], v["d_worm"]), np.radians(v["phi_n"])
    critical = brentq(lambda mu: back(lead, mu, pressure), 0, 1, xtol=1e-15)
    return {"lambda": np.degrees(lead), "mu_critical": critical, "locks": [float(mu > critical) for mu in v["mu"]],
            "eta_forward": [forward(lead, mu, pressure) for mu in v["mu"]],
            "eta_back": [back(lead, mu, pressure) for mu in v["mu"]],
            "lambda_lock_limit": [np.degrees(brentq(lambda at: turned(at, mu, pressure, -1)[0], 1e-6, 1, xtol=1e-15))
                                  for mu in v["mu"]]}


def sliding(v):
    """The speed as a vector sum; friction from the table."""
    turning = v["n_worm"] * np.pi / 30
    speed = np.hypot(turning * v["d_worm"] / 2e3, turning * v["module"] / 2e3)
    mu = np.interp(speed, v["v_table"], v["mu_table"])
    lead, pressure = np.arctan2(v["module"], v["d_worm"]), np.radians(20)
    return {"v_slide": speed, "mu": mu, "eta_forward_phi20": forward(lead, mu, pressure),
            "locks": float(back(lead, mu, pressure) < 0)}


blocks = {"D5": geometry, "D6": efficiencies, "D7": locking, "D12": sliding}
