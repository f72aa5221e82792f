"""Froude's law out of motion itself: a leaf that swings about its axis, full size and small."""
import numpy as np
from scipy.integrate import solve_ivp

G = 9.80665


def swing(length):
    """Returns (period, greatest speed of the toe) of an even bar let go at 60 degrees from hanging."""
    def rates(t, at):
        return [at[1], -1.5 * G / length * np.sin(at[0])]

    def through(t, at):
        return at[0]

    run = solve_ivp(rates, [0, 20 * np.sqrt(length)], [np.pi / 3, 0], events=through, method="DOP853",
                    rtol=1e-12, atol=1e-13)
    quarter = run.t_events[0][0]
    return 4 * quarter, abs(run.y_events[0][0][1]) * length


def froude(v):
    period, speed = swing(v["length"])
    small_period, small_speed = swing(v["length"] / v["ratio"])
    return {"model_period": v["period"] * small_period / period, "back": v["period"],
            "prototype_speed": v["speed"] * speed / small_speed,
            "prototype_mass": v["mass"] * v["ratio"] * v["ratio"] * v["ratio"]}


blocks = {"F1": froude}
