"""Household measurements: the forward model is written down, and a general solver finds the values that make
the readings. The C code has closed forms."""
import numpy as np
from scipy.optimize import brentq, fsolve

G = 9.80665


def leaf(v):
    """Forces and moments on the leaf, level and raised: unknown mass, x, y."""
    angle = np.radians(v["angle"])

    def off(unknown):
        m, x, y = unknown
        raised = m * (x * np.cos(angle) - y * np.sin(angle)) - v["raised"] / G * v["toe"] * np.cos(angle)
        return [m * x - v["level"] / G * v["toe"], raised, m - (v["level"] + v["axis"]) / G]

    m, x, y = fsolve(off, [5, 0.5, 0.1], xtol=1e-10)
    return {"mass": m, "x": x, "y": y}


def motor(v):
    """Six equations of four runs for six unknowns: R, Vb, Ke, and what the free runs share."""
    def off(unknown):
        r, drop, ke = unknown
        held = [v["held_V"][i] - drop - v["held_I"][i] * r for i in range(2)]
        return held + [v["free_V"][0] - drop - v["free_I"][0] * r - ke * v["free_n"][0] * np.pi / 30]

    r, drop, ke = fsolve(off, [1, 0.1, 0.01], xtol=1e-10)
    no_load = np.mean(v["free_I"])

    def steady(torque):
        """Speed and current at the sheet's voltage against this torque."""
        return np.linalg.solve([[ke, r], [0, ke]], [v["at"] - drop, torque + ke * no_load])

    stalled = brentq(lambda torque: steady(torque)[0], 0, 100, xtol=1e-15)
    return {"R": r, "Vb": drop, "Ke": ke, "n0": steady(0)[0] * 30 / np.pi, "stall_T": stalled,
            "stall_I": steady(stalled)[1]}


def creeping(v):
    eta = v["eta_gearbox"] * v["eta_rack"]
    ratio = v["ratio"] * v["arm"] / v["r"]

    def off(unknown):
        friction, imbalance = unknown
        return [v["Kt"] * (volts / v["R"] - v["I0"]) * ratio * eta - friction - way * imbalance
                for volts, way in ((v["up"], 1), (v["down"], -1))]

    friction, imbalance = fsolve(off, [1, 0], xtol=1e-10)
    return {"friction": friction, "imbalance": imbalance}


blocks = {"M1": leaf, "M2": motor, "M3": creeping}
