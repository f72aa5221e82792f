"""A leaf's moment as the derivative of its potential energy, by a complex step; the angle of balance as a root;
inertia by Gauss's quadrature over each rectangle. The C code sums moments and uses the parallel axis."""
import numpy as np
from scipy.integrate import quad
from scipy.optimize import brentq


def moment(items, g, theta):
    at = theta + 1e-30j
    return sum(g * m * (x * np.sin(at) + y * np.cos(at)) for m, x, y in items).imag / 1e-30


def leaf(v):
    g = v["g"]
    parts = {name: item for name, item in v.items() if name.startswith("item_")}
    items = list(parts.values())
    bare = [item for name, item in parts.items() if name != "item_cw"]
    closed = moment(items, g, 0.0)
    weight = g * sum(item[0] for item in items)
    zero = brentq(lambda theta: moment(items, g, theta), 0, np.pi / 2, xtol=1e-15)
    arm = closed / weight / np.sin(zero)  # the centre of gravity stands above the axis there
    return {"mass": weight / g, "Sx": closed / g, "Sy": -moment(items, g, np.pi / 2) / g, "W": weight, "L": arm,
            "alpha": 90 - np.degrees(zero), "theta_zero": np.degrees(zero),
            "M": [moment(items, g, np.radians(theta)) for theta in v["theta"]],
            "toe_reaction_total": closed / v["x_toe_bearing"],
            "M_as_pct_of_leaf_only_moment_at_0": 100 * closed / moment(bare, g, 0.0)}


def rectangles(v):
    points, weights = np.polynomial.legendre.leggauss(4)
    inertia = 0
    for m, x, y, length, height in np.reshape(v["rect_m_x_y_len_hgt"], (-1, 5)):
        along, up = x + length / 2 * points, y + height / 2 * points
        inertia += m * np.einsum("i,j,ij", weights, weights, along[:, None]**2 + up[None, :]**2) / 4
    alpha = np.radians(v["accelerate_to"]) / v["in_time"]
    return {"I_trunnion": inertia, "alpha": alpha, "T_inertia": inertia * alpha}


def rod(v):
    m, length = v["m"], v["L"]
    about = lambda place: quad(lambda x: m / length * (x - place)**2, -length / 2, length / 2, epsabs=1e-13)[0]
    return {"I_centre": about(0), "I_end": about(length / 2), "I_L_over_3": about(length / 3)}


blocks = {"B1": leaf, "B5": rectangles, "I1": rod}
