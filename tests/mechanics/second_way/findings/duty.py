"""Losses and warmth over openings: integrals in continuous time, where the C code sums steps of the travel."""
import numpy as np
from scipy.integrate import quad, solve_ivp

import heat


def run(v):
    """Returns (duration, time -> (angle, speed, acceleration)) of the run up: radians."""
    travel = np.radians(v["theta"])
    full, creep, gain = v["full"] * travel, v["creep"] * travel, v["gain"] * travel
    ramp_s, brake_s = full / gain, (full - creep) / gain
    ramp, brake = full**2 / 2 / gain, (full**2 - creep**2) / 2 / gain
    even_s = (travel - ramp - brake) / full

    def at(t):
        if t < ramp_s:
            return gain * t * t / 2, gain * t, gain
        if t < ramp_s + even_s:
            return ramp + full * (t - ramp_s), full, 0
        s = t - ramp_s - even_s
        return ramp + full * even_s + full * s - gain * s * s / 2, full - gain * s, -gain

    return ramp_s + even_s + brake_s, at


def loss(v, t, way):
    """Returns (copper W at 20 degrees, other W) at this time of the run; down: the mirror image."""
    duration, at = run(v)
    angle, speed, gain = at(t)
    angle = angle if way > 0 else np.radians(v["theta"]) - angle
    m, x, y = v["leaf"]
    moment = 9.80665 * m * (x * np.cos(angle) - y * np.sin(angle))
    inertia = m * (x * x + y * y)
    rack = (way * moment + v["friction"] + inertia * gain) / v["R_sector"]
    eta = v["eta_rack"] * v["eta_gearbox"]
    shaft = rack * v["r_pinion"] / v["ratio"]
    torque = shaft / eta if rack > 0 else shaft * eta
    current = v["I0"] + torque / v["K"]
    motor = speed * v["R_sector"] * v["ratio"] / v["r_pinion"]
    return current**2 * v["R"], v["I0"] * v["K"] * motor


def losses(v):
    duration, at = run(v)
    out = {"duration": duration}
    for way, name in ((1, "up"), (-1, "down")):
        for which, part in ((0, "copper"), (1, "other")):
            out[f"{part}_{name}"] = quad(lambda t: loss(v, t, way)[which], 0, duration, limit=400,
                                         points=[v["full"] / v["gain"]])[0]
    out["rms_up"] = np.sqrt(out["copper_up"] / duration / v["R"])
    return out


def evening(v):
    v = dict(v, tau_winding=v["taus"][0], tau_case=v["taus"][1], to_case=v["Rth"][0], to_air=v["Rth"][1])
    duration, at = run(v)
    down_s = duration + v["open"]

    def now(t):
        t = t % v["every"]
        if t < duration:
            return loss(v, t, 1)
        if down_s <= t < down_s + duration:
            return loss(v, t - down_s, -1)
        return 0, 0

    def rates(t, at):
        copper, other = now(t)
        return heat.network(v, lambda winding: copper * heat.warmth(winding), other)(t, at)

    end = v["every"] * v["openings"]
    hottest = solve_ivp(rates, [0, end], [v["air"]] * 2, max_step=1, rtol=1e-8).y[0].max()
    return {"hottest": hottest}


blocks = {"H3": losses, "H4": evening}
