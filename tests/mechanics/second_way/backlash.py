"""Backlash: every shaft turned by its play in turn, and the leaf's angle found again from the strut's length."""
import numpy as np
from scipy.optimize import brentq


def toe(v):
    pin, pinion = np.array(v["pin"]), np.array(v["pinion"])

    def reach(at):
        c, s = np.cos(at), np.sin(at)
        return np.hypot(pinion[0] - pin[0] * c + pin[1] * s, pinion[1] - pin[0] * s - pin[1] * c)

    def angle(rack):
        return brentq(lambda at: reach(0) - reach(at) - rack, -0.2, 0.2, xtol=1e-15)

    gearbox, wheel = np.radians(v["gearbox"]), np.radians(v["wheel"])
    plays = [gearbox / v["worm"] * v["r"], wheel * v["r"], v["rack"] / 1000]
    turned = sum(angle(play) for play in plays)
    return {"at_rack": sum(plays) * 1000, "at_toe": turned * v["toe"] * 1000}


blocks = {"K1": toe}
