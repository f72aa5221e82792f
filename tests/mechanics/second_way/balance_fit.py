"""Balance and friction out of measured torques: least squares of cosine, sine and the way it goes, by exact
rational sums; errors carried by derivatives of what was found."""
from fractions import Fraction

import numpy as np

import least_squares
import motor
import worm


def fitted(v):
    theta = np.radians(v["theta"])
    columns = [list(np.cos(theta)) * 2, list(np.sin(theta)) * 2, [1.0] * len(theta) + [-1.0] * len(theta)]
    return least_squares.fit([[Fraction(value) for value in column] for column in columns],
                             [Fraction(value) for value in v["T_raise"] + v["T_lower"]])


def bearing(a, b):
    return np.degrees(np.angle(a - 1j * b))


def clean(v):
    found = fitted(v)
    a, b, friction = found["beta"]
    return {"A": a, "B": b, "F": friction, "WL": np.hypot(a, b), "alpha": bearing(a, b),
            "rms_resid": np.sqrt(found["ss"] / (2 * len(v["theta"]))),
            "imbalance_half_sum": (np.array(v["T_raise"]) + np.array(v["T_lower"])) / 2}


def scattered(v):
    found = fitted(v)
    a, b, friction = found["beta"]
    cov, step = np.array(found["cov"])[:2, :2], 1e-5

    def error(function):
        slope = np.array([function(a + step, b) - function(a - step, b), function(a, b + step) - function(a, b - step)]) / (2 * step)
        return float(np.sqrt(slope @ cov @ slope))

    return {"A": a, "B": b, "F": friction, "SSE": found["ss"], "dof": found["dof"], "s_resid": found["s"],
            "se_A": found["se"][0], "se_B": found["se"][1], "se_F": found["se"][2], "cov_AB": cov[0, 1],
            "WL": np.hypot(a, b), "se_WL": error(np.hypot), "alpha": bearing(a, b), "se_alpha": error(bearing)}


def behind_a_worm(v):
    lead, pressure = np.radians(v["worm_lambda"]), np.radians(v["phi_n"])
    ideal = v["r_pinion"] / v["h_strut"] / (v["i_worm"] * v["i_planetary"])
    sheet = motor.of_sheet(12, 16800, 1, 0.2788, 42)

    def up(moment):
        return moment * ideal / worm.forward(lead, v["mu"], pressure) / v["eta_planetary"]

    def down(moment):
        return moment * ideal * worm.back(lead, v["mu"], pressure) / v["eta_planetary"]

    weight = v["test_mass"] * 9.80665 * v["x_toe"]
    bare = up(v["M_true"] + v["F_true"]), down(v["M_true"] - v["F_true"])
    loaded = up(v["M_true"] + weight + v["F_true"]), down(v["M_true"] + weight - v["F_true"])
    gain = [(b - a) / weight for a, b in zip(bare, loaded)]
    both = np.linalg.solve([[1, 1], [1, -1]], [bare[0] / gain[0], bare[1] / gain[1]])
    naive = lambda m, f: (up(m + f) + down(m - f)) / 2 * v["eta_planetary"] / ideal
    return {"tau_raise_0": bare[0], "tau_lower_0": bare[1], "tau_raise_test": loaded[0], "tau_lower_test": loaded[1],
            "gain_raise": gain[0], "gain_lower": gain[1], "M_est": both[0], "F_est": both[1],
            "naive_half_sum_M_est": naive(v["M_true"], v["F_true"]), "coef_on_M": naive(1, 0), "coef_on_F": naive(0, 1),
            "I_raise_0": 1 + bare[0] / sheet["Ke"], "I_lower_0": 1 - bare[1] / sheet["Ke"],
            "amps_per_Nm_leaf_raising": gain[0] / sheet["Ke"]}


def by_spring(v):
    middle, friction = np.linalg.solve([[1, 1], [1, -1]], [v["F_up"] * v["x_toe"], v["F_down"] * v["x_toe"]])
    return {"M0": middle, "F_friction_moment": friction, "toe_reaction": middle / v["x_toe"]}


blocks = {"T1": clean, "T2": scattered, "T7": behind_a_worm, "T8": by_spring}
