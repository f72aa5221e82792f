"""Motor heat: an adaptive eighth-order integration with events, where the C code takes fixed steps."""
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
import numpy as np


def network(v, winding_w, case_w):
    c1, c2 = v["tau_winding"] / v["to_case"], v["tau_case"] / v["to_air"]

    def rates(t, at):
        winding, case = at
        across = (winding - case) / v["to_case"]
        out = (case - v["air"]) / v["to_air"]
        return [(winding_w(winding) - across) / c1, (case_w + across - out) / c2]

    return rates


def warmth(winding):
    return 1 + 0.00393 * (winding - 20)


def steady_losses(v):
    rates = network(v, lambda winding: v["copper"] * warmth(winding), v["other"])
    run = solve_ivp(rates, [0, max(v["t"])], [v["air"], v["air"]], t_eval=v["t"], method="DOP853",
                    rtol=1e-11, atol=1e-9)
    return {"winding": run.y[0], "case": run.y[1]}


def stalls(v):
    lasted = []
    for limit_a in v["supply"]:
        def winding_w(winding):
            ohm = v["R"] * warmth(winding)
            return min(limit_a, v["V"] / ohm) ** 2 * ohm

        def reached(t, at):
            return at[0] - v["limit"]

        reached.terminal = True
        run = solve_ivp(network(v, winding_w, 0), [0, 2e4], [v["winding"], v["case"]],
                        method="DOP853", rtol=1e-11, atol=1e-9, events=reached)
        lasted.append(run.t_events[0][0] if len(run.t_events[0]) else float("inf"))
    return {"time": lasted}


blocks = {"H1": steady_losses, "H2": stalls}
