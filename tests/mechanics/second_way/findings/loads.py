"""Loads: a tooth's form by its geometry, equilibrium solved as a system, trains pushed along by steps."""
import numpy as np

G = 9.80665


def form(n, tip=0.236, dedendum=1.157, alpha=np.radians(20)):
    """Returns Lewis's Y of a tooth cut by a rack with rounded tips (module 1), loaded at its tip: the parabola
    of uniform strength that just touches the fillet. Dedendum 1.157: the old full-depth standard."""
    r, ra = n / 2, n / 2 + 1
    depth = dedendum - tip
    offset = np.pi / 4 - depth * np.tan(alpha) - tip / np.cos(alpha)
    shift = np.linspace(offset - depth / np.tan(alpha), offset, 20001)
    centre = np.array([offset - shift, -depth * np.ones_like(shift)])
    touch = centre * (1 + tip / np.hypot(*centre))
    touch[1] += r
    turn = -shift / r + np.pi / n
    x = touch[0] * np.cos(turn) - touch[1] * np.sin(turn)
    y = touch[0] * np.sin(turn) + touch[1] * np.cos(turn)
    at_tip = np.arccos(r * np.cos(alpha) / ra)
    load = np.tan(at_tip) - (np.pi / 2 / n + np.tan(alpha) - alpha)
    below = r * np.cos(alpha) / np.cos(load) - y
    return 2 / 3 * (x * x / below)[below > 0].min()


def stress(v):
    """Backwards: the bending stress of a beam as thick and long as makes Y."""
    table = {12: 0.245, 16: 0.296, 20: 0.322, 24: 0.337}
    out = []
    for n in v["N"]:
        assert abs(table[n] / form(n) - 1) < 0.05
        length = 1e-3
        thick = np.sqrt(table[n] * v["m"] / 1000 * 6 * length)
        out.append(v["F"] * length / (v["b"] / 1000 * thick**2 / 6))
    return {"stress": out}


def strut_axis(v):
    """Forces and moments about the trunnion as one linear system: reaction x, y, and the strut's pull."""
    loads, pulls = [], []
    m, gx, gy = v["leaf"]
    for theta in np.radians(v["theta"]):
        c, s = np.cos(theta), np.sin(theta)
        turned = lambda x, y: np.array([x * c - y * s, x * s + y * c])
        pin, pinion = turned(*v["pin"]), np.array(v["pinion"])
        u = (pinion - pin) / np.linalg.norm(pinion - pin)
        centre = turned(gx, gy)
        system = np.array([[1, 0, u[0]], [0, 1, u[1]], [0, 0, pin[0] * u[1] - pin[1] * u[0]]])
        rest = np.array([0, m * G, centre[0] * m * G + v["friction"]])
        x, y, pull = np.linalg.solve(system, rest)
        loads.append(np.hypot(x, y))
        pulls.append(pull)
    return {"rack": pulls, "axis": loads}


def seats(v):
    """The train as 40000 wheels, pushed by 1 mm from beyond one end to beyond the other."""
    wheels = (np.arange(40000) + 0.5) / 40000 * v["length"]
    each = v["mass"] * G / 40000
    most = least = axis = 0
    for place in np.arange(v["rail"][0] - v["length"], v["rail"][1], 1e-3):
        at = place + wheels
        at = at[(at >= v["rail"][0]) & (at <= v["rail"][1])]
        toe = each * at.sum() / v["toe"]
        most, least, axis = max(most, toe), min(least, toe), max(axis, each * len(at) - toe)
    return {"toe_most": most, "toe_least": least, "axis_most": axis}


blocks = {"L2": stress, "L3": strut_axis, "L4": seats, "L5": seats, "L6": seats}
