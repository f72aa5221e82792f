"""Profiles walked through: the speed's pieces are added up exactly, and what is unknown is found as a root. The
examples were worked out in closed form."""
import numpy as np
from scipy.optimize import brentq, fsolve


def gone(times, speeds):
    """Distance under a speed that is straight between its knots."""
    return float(np.sum(np.diff(times) * (np.array(speeds[1:]) + np.array(speeds[:-1])) / 2))


def ramps(peak, v):
    return gone([0, peak / v["acc"], peak / v["acc"] + peak / v["dec"]], [0, peak, 0])


def trapezoid(v):
    most = v.get("v_max", np.inf)
    peak = most if ramps(min(most, 1e9), v) <= v["D"] else brentq(lambda p: ramps(p, v) - v["D"], 0, min(most, 1e9), xtol=1e-15)
    up, down = peak / v["acc"], peak / v["dec"]
    cruise = (v["D"] - ramps(peak, v)) / peak
    return {"v_peak": peak, "t_acc": up, "t_cruise": cruise, "t_dec": down, "T": up + cruise + down}


def cruising(v):
    found = trapezoid(v)
    knots = np.cumsum([0, found["t_acc"], found["t_cruise"], found["t_dec"]])
    speeds = [0, found["v_peak"], found["v_peak"], 0]

    def place(t):
        inner = [k for k in knots if k < t] + [t]
        return gone(inner, np.interp(inner, knots, speeds))

    return found | {"pos": [place(t) for t in v["t"]]}


def some(*names):
    return lambda v: {name: trapezoid(v)[name] for name in names}


def creeping(v):
    """Fast, then slow within the last zone: the two unknown times are those that bring both ends where they belong."""
    ramp = [v["v_fast"] / v["acc"], (v["v_fast"] - v["v_slow"]) / v["dec"], v["v_slow"] / v["dec_final"]]

    def ends(times):
        cruise, creep = times
        to_zone = gone(np.cumsum([0, ramp[0], cruise, ramp[1]]), [0, v["v_fast"], v["v_fast"], v["v_slow"]])
        in_zone = gone(np.cumsum([0, creep, ramp[2]]), [v["v_slow"], v["v_slow"], 0])
        return [to_zone - (v["D"] - v["slow_zone"]), in_zone - v["slow_zone"]]

    cruise, creep = fsolve(ends, [1, 1], xtol=1e-14)
    braking = gone([0, ramp[1]], [v["v_fast"], v["v_slow"]])
    return {"t_acc": ramp[0], "t_cruise": cruise, "t_dec": ramp[1], "t_creep": creep, "t_stop": ramp[2],
            "T": sum(ramp) + cruise + creep, "pos_start_dec": v["D"] - v["slow_zone"] - braking}


def walk(pieces, speed=0.0, until=np.inf):
    """Through pieces of (time, jerk), from rest or from a speed: place and speed at the end, or at a time."""
    place = push = 0.0
    for time, jerk in pieces:
        time = min(time, until)
        until -= time
        place += speed * time + push * time**2 / 2 + jerk * time**3 / 6
        speed += push * time + jerk * time**2 / 2
        push += jerk * time
    return place, speed


def change(by, v):
    """Pieces of a change of speed by so much, as fast as push and jerk allow: its length is the root."""
    jerk = v["j_max"] * np.sign(by)
    if v["j_max"] * (v["a_max"] / v["j_max"])**2 >= abs(by):
        rise, flat = brentq(lambda t: walk([(t, v["j_max"]), (t, -v["j_max"])])[1] - abs(by), 0, 1e3, xtol=1e-15), 0.0
    else:
        rise = v["a_max"] / v["j_max"]
        flat = brentq(lambda t: walk([(rise, v["j_max"]), (t, 0), (rise, -v["j_max"])])[1] - abs(by), 0, 1e4, xtol=1e-14)
    return rise, flat, [(rise, jerk), (flat, 0), (rise, -jerk)]


def both_ramps(peak, v):
    return walk(change(peak, v)[2] + change(-peak, v)[2])[0]


def smooth(v):
    peak = v["v_max"]
    if both_ramps(peak, v) > v["D"]:
        peak = brentq(lambda p: both_ramps(p, v) - v["D"], 1e-9, peak, xtol=1e-15)
    rise, flat, up = change(peak, v)
    cruise = (v["D"] - both_ramps(peak, v)) / peak
    found = {"v_peak": peak, "a_peak": v["j_max"] * rise, "t_jerk": rise, "t_const_acc": flat, "t_cruise": cruise,
             "T": 2 * (2 * rise + flat) + cruise}
    return found, up + [(cruise, 0)] + change(-peak, v)[2]


def sampled(v):
    found, pieces = smooth(v)
    times = [1, 3, 5, 6, 20, 40]
    return found | {"t_sample": times, "pos_sample": [walk(pieces, until=t)[0] for t in times]}


def from_a_speed(v):
    rise, flat, up = change(v["v_max"] - v["v0"], v)
    rise_down, flat_down, down = change(v["v1"] - v["v_max"], v)
    ramp = walk(up, speed=v["v0"])[0] + walk(down, speed=v["v_max"])[0]
    times = [2 * rise + flat, (v["q1"] - v["q0"] - ramp) / v["v_max"], 2 * rise_down + flat_down]
    return {"T_a": times[0], "T_v": times[1], "T_d": times[2], "T_j": rise, "T": sum(times)}


blocks = {"P1": cruising, "P2": some("v_peak", "t_acc", "t_cruise", "T"), "P3": some("v_peak", "t_acc", "t_dec", "T"),
          "P4": creeping, "P5": sampled, "P6": lambda v: smooth(v)[0], "P7": lambda v: smooth(v)[0],
          "P8": lambda v: smooth(v)[0], "P9": from_a_speed}
