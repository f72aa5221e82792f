"""A push at the toe: bisection on the push, until the ground's reaction leaves the base or the rack's force,
from virtual work, is reached. The C code has closed forms."""
import numpy as np
from scipy.optimize import brentq

G = 9.80665
STEPS = 64


def places(v):
    return np.radians(v["theta"]) * np.arange(1, STEPS + 1) / STEPS


def along_track(v):
    m, x, y = v["leaf"]
    tower_m, centre, height, front, back = v["tower"]
    screws, at = v["screws"]
    pushes = []
    for theta in places(v):
        c, s = np.cos(theta), np.sin(theta)
        found = []
        for sense in (1, -1):
            force = sense * np.array([s, -c])

            def beyond(push):
                """How far the ground's reaction lies beyond the edge."""
                down = (tower_m + m) * G + screws - push * force[1]
                about = (tower_m * G * centre + m * G * (x * c - y * s) + screws * at
                         + push * (force[0] * (v["toe"] * s + height) - force[1] * v["toe"] * c))
                return sense * (about - down * (front if sense > 0 else back))

            if beyond(1e6) > 0:
                found.append(brentq(beyond, 0, 1e6, xtol=1e-10))
        pushes.append(min(found) if found else np.inf)
    least = int(np.argmin(pushes))
    return {"push": pushes[least], "at": np.degrees(places(v)[least])}


def by_rack(v):
    m, x, y = v["leaf"]
    pin, pinion = np.array(v["pin"]), np.array(v["pinion"])

    def reach(theta):
        c, s = np.cos(theta), np.sin(theta)
        return np.hypot(pinion[0] - pin[0] * c + pin[1] * s, pinion[1] - pin[0] * s - pin[1] * c)

    pushes = []
    for theta in places(v):
        step = 1e-6
        arm = (reach(theta - step) - reach(theta + step)) / 2 / step
        height = lambda at: G * m * (x * np.sin(at) + y * np.cos(at))
        moment = (height(theta + step) - height(theta - step)) / 2 / step
        pushes.append(brentq(lambda push: (push * v["toe"] + abs(moment)) / arm - v["rack"], -1e4, 1e4))
    least = int(np.argmin(pushes))
    return {"push": pushes[least], "at": np.degrees(places(v)[least])}


blocks = {"B6": along_track, "B7": along_track, "B8": by_rack, "B9": along_track, "B10": by_rack}
