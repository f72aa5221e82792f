"""The five kinds of lift from where their points are: arms as derivatives of lengths, a rolling lift as an
integrated motion, inertia as an integral. The C code has the geometry's formulas."""
import numpy as np
from scipy.integrate import dblquad, solve_ivp
from scipy.optimize import brentq, minimize_scalar

G2 = {"P_closed": [0.55, 0.3], "Q_pinion": [-0.45, 0.85]}


def turned(point, theta):
    return complex(*point) * np.exp(1j * theta)


def slope(function, at, step=1e-3):
    """The derivative, by central differences extrapolated twice."""
    def plain(h):
        return (function(at + h) - function(at - h)) / (2 * h)
    rough = [(4 * plain(h / 2) - plain(h)) / 3 for h in (step, step / 2)]
    return (16 * rough[1] - rough[0]) / 15


def distance(v, theta):
    return abs(turned(v["P_closed"], theta) - complex(*v["Q_pinion"]))


def sector(v):
    teeth_m = np.pi * 0.0254 / v["DP"]  # one circular pitch
    rim, small = v["N_sector"] * teeth_m / (2 * np.pi), v["N_pinion"] * teeth_m / (2 * np.pi)
    arc = rim * np.radians(v["theta"])
    teeth = arc / teeth_m
    turns = teeth / v["N_pinion"]
    ratio = turns * 2 * np.pi / np.radians(v["theta"])
    return {"R_sector": rim, "r_pinion": small, "arc_travel": arc, "pinion_turns": turns, "ratio": ratio,
            "T_pinion": v["M"] / ratio}


def strut(v):
    thetas = np.radians(v["theta"])
    reach = minimize_scalar(lambda t: -distance(v, t), bounds=(-np.pi, 0), method="bounded", options={"xatol": 1e-13})
    # Both dead centres: the pin, the axis and the pinion in one line.
    line = lambda t: (turned(v["P_closed"], t) * np.conj(complex(*v["Q_pinion"]))).imag
    inner = brentq(line, np.radians(60), np.radians(120), xtol=1e-15)
    outer = brentq(line, np.radians(-120), np.radians(-60), xtol=1e-15)
    arms = [-slope(lambda t: distance(v, t), t) for t in thetas]
    return {"a": abs(complex(*v["P_closed"])), "b": abs(complex(*v["Q_pinion"])),
            "psi0": np.degrees(np.angle(complex(*v["Q_pinion"]) / complex(*v["P_closed"]))),
            "theta_dead_inner": np.degrees(inner), "theta_dead_outer": np.degrees(outer),
            "D_min": distance(v, inner), "D_max": -reach.fun, "travel": [distance(v, 0) - distance(v, t) for t in thetas],
            "h": arms, "leaf_rate_at_v_rack": [np.degrees(v["v_rack"] / arm) for arm in arms]}


def pitch_line(v):
    """The rack's pitch line is tangent to the pinion's pitch circle, and passes the pin at an offset: found is the
    strut's bearing at which the pinion's axis lies one radius beside the line."""
    small = v["r_pinion"]

    def bearing(theta, sigma, offset):
        pin, axis = turned(v["P_closed"], theta), complex(*v["Q_pinion"])
        towards = np.angle(axis - pin)

        def beside(delta):
            return ((axis - pin) * np.exp(-1j * delta)).imag - (offset - sigma * small)
        return brentq(beside, towards - 0.5, towards + 0.5, xtol=1e-15)

    def counted(theta, sigma, offset):
        pin, axis = turned(v["P_closed"], theta), complex(*v["Q_pinion"])
        delta = bearing(theta, sigma, offset)
        return -((axis - pin) * np.exp(-1j * delta)).real - sigma * small * delta

    found = {}
    for name, sigma, offset in (("sp_e0", 1, 0), ("sm_e0", -1, 0), ("sm_e015", -1, 0.015)):
        thetas = np.radians(v["theta"])
        found[f"travel_{name}"] = [counted(t, sigma, offset) - counted(0, sigma, offset) for t in thetas]
        found[f"arm_{name}"] = [slope(lambda t: counted(t, sigma, offset), t) for t in thetas]
    return found


def limits(v):
    arm = lambda t: -slope(lambda s: distance(G2, s), t)
    best = brentq(lambda t: slope(arm, t, 1e-2), 0.5, 0.9, xtol=1e-13)
    dead = minimize_scalar(lambda t: distance(G2, t), bounds=(1, 2), method="bounded", options={"xatol": 1e-13})
    return {"theta_of_max_arm": np.degrees(best), "max_arm": arm(best), "travel_max_before_dead_centre": distance(G2, 0) - dead.fun}


def rolling(v):
    radius, small, theta = v["R_roll"], v["r_pinion"], np.radians(v["theta"])

    def turning(_, state):
        """Each point turns about where the segment touches the track, which is below the roll centre."""
        points = state[0::2] + 1j * state[1::2]
        speed = 1j * (points - points[0].real)
        return np.ravel(np.column_stack([speed.real, speed.imag]))

    start = [0, radius, v["toe_from_roll_centre"][0], radius + v["toe_from_roll_centre"][1], v["cw_point"][0], radius + v["cw_point"][1]]
    end = solve_ivp(turning, (0, theta), start, method="DOP853", rtol=1e-13, atol=1e-14).y[:, -1]
    found = {"centre_shift": end[0], "toe_xy_after": end[2:4], "cw_xy_after": end[4:6], "toe_retreat": start[2] - end[2]}
    # A pinion on the leaf, at the roll centre, on a fixed rack below or above: it rolls as far as the centre goes, and is turned with the leaf.
    for name, side in (("below", -1), ("above", 1)):
        turns = abs(end[0]) / (2 * np.pi * small) + side * theta / (2 * np.pi)
        torque = v["M"] * theta / (turns * 2 * np.pi)  # the same work
        found |= {f"{name}_pinion_turns_in_leaf": turns, f"{name}_F_rack": torque / small, f"{name}_T_pinion": torque}
    return found


def vertical(v):
    def energy(y):
        """Of span, counterweight and ropes, as far as it changes: each rope's two parts hang from the sheaves."""
        span_side, other_side = v["span_side_len0"] - y, v["cw_side_len0"] + y
        ropes = -v["ropes"] * v["rope_weight"] * (span_side**2 + other_side**2) / 2
        return v["W_span"] * y - v["W_cw"] * y + ropes
    force = [slope(energy, y) for y in v["y"]]
    return {"drum_turns_full": v["lift"] / (np.pi * v["drum_diameter"]), "net_down_force": force,
            "drum_torque": [f * v["drum_diameter"] / 2 for f in force],
            "y_balance": brentq(lambda y: slope(energy, y), 0, v["lift"])}


def swing(v):
    area = v["width"] * (v["L_tip"] + v["L_back"])
    inertia = dblquad(lambda y, x: v["mass"] / area * (x * x + y * y), -v["L_back"], v["L_tip"], -v["width"] / 2, v["width"] / 2)[0]
    theta, turns = np.radians(v["theta"]), v["R_rack"] * np.radians(v["theta"]) / (2 * np.pi * v["r_pinion"])
    fastest = brentq(lambda w: w * (v["T_total"] - v["t_ramp"]) - theta, 0, 1, xtol=1e-15)
    peak = inertia * fastest / v["t_ramp"] + v["T_friction"]
    corner = complex(v["L_tip"], v["width"] / 2)
    return {"pinion_turns": turns, "I_pivot": inertia, "omega_max": fastest, "alpha": fastest / v["t_ramp"],
            "T_rack_circle_peak": peak, "T_pinion_peak": peak * theta / (turns * 2 * np.pi), "tip_corner_radius": abs(corner),
            "tip_chord": abs(v["L_tip"] * np.exp(1j * theta) - v["L_tip"])}


blocks = {"G1": sector, "G2": strut, "G3": pitch_line, "G4": limits, "G5": rolling, "G6": vertical, "G7": swing}
