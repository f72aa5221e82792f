"""A swing span on its pivot: the edge of the wheels' polygon found by a scan of directions, the loads of its
ends from a system of three equations. The C code has closed forms."""
import numpy as np

G = 9.80665


def masses(v):
    return np.array([v["item_long"], v["item_short"], v["item_weight"]])


def edge(radius, wheels):
    turns = 2 * np.pi * np.arange(wheels) / wheels
    corner = radius * np.c_[np.cos(turns), np.sin(turns)]
    scan = np.linspace(0, 2 * np.pi, 360001)
    way = np.c_[np.cos(scan), np.sin(scan)]
    best = np.full(len(scan), np.inf)
    for a, b in zip(corner, np.roll(corner, -1, axis=0)):
        normal = np.array([b[1] - a[1], a[0] - b[0]]) / np.hypot(*(b - a))
        reach = way @ normal
        with np.errstate(divide="ignore"):
            best = np.minimum(best, np.where(reach > 1e-12, normal @ a / reach, np.inf))
    return best.min()


def tipping(v):
    m, x, y = masses(v).T
    offset = np.hypot((m * x).sum(), (m * y).sum()) / m.sum()
    torque = m.sum() * G * offset
    held = [edge(r, int(n)) for r, n in zip(v["wheels_radius"], v["wheels"])]
    return {"offset": offset, "tipping": torque, "held": np.maximum(held, v["bearing"]),
            "wheel_load": [torque / r for r in v["wheels_radius"]]}


def ends(v):
    m, x, _ = masses(v).T
    moment = G * (m * x).sum()
    lighter = [0, 1, 0] if moment >= 0 else [1, 0, 0]
    found = [np.linalg.solve([[1, 1, 1], [v["toe"], -v["heel"], 0], lighter], [m.sum() * G, moment, wedge])
             for wedge in v["wedge"]]
    return dict(zip(("toe_load", "heel_load", "pivot_load"), np.transpose(found)))


blocks = {"SW1": tipping, "SW2": ends}
