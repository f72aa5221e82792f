"""Brushed motors as a resistance and a voltage that grows with the speed; the best efficiency by search."""
import numpy as np
from scipy.optimize import brentq, minimize_scalar

TURN = 2 * np.pi / 60


def of_sheet(volts, rpm, idle_a, torque, stalled_a):
    ohm = volts / stalled_a
    constant = (volts - idle_a * ohm) / (rpm * TURN)

    def speed(a):
        return (volts - a * ohm) / constant

    def share(a):
        return constant * (a - idle_a) * speed(a) / (volts * a)

    # A search ends at the square root of the machine's precision: the last digits are the slope's root. Power is a
    # parabola of the current, so that its central difference is exact, and the slope of power / current follows.
    near = minimize_scalar(lambda a: -share(a), bounds=(idle_a, stalled_a), method="bounded").x
    step = 1e-3 * near
    best = brentq(lambda a: share(a + step) * (1 + step / a) - share(a - step) * (1 - step / a) - 2 * step / a * share(a),
                  near * 0.9, near * 1.1, xtol=1e-15)
    power = -minimize_scalar(lambda w: -torque * (1 - w / (rpm * TURN)) * w, bounds=(0, rpm * TURN), method="bounded").fun
    return {"R": ohm, "Ke": constant, "I_eff": best, "n_eff": speed(best) / TURN, "eta_max": share(best), "P_max": power}


def one(v):
    found = of_sheet(v["V"], v["n0"], v["I0"], v["T_stall"], v["I_stall"])
    return {"R": found["R"], "omega0": v["n0"] * TURN, "Ke": found["Ke"],
            "Kt_from_stall_over_stall_minus_I0": v["T_stall"] / (v["I_stall"] - v["I0"]),
            "Kt_naive_Ts_over_Is": v["T_stall"] / v["I_stall"],
            "T_stall_predicted_with_Kt_eq_Ke": found["Ke"] * (v["I_stall"] - v["I0"]),
            "I_eff": found["I_eff"], "n_eff": found["n_eff"], "eta_max": found["eta_max"], "P_max_from_sheet": found["P_max"]}


def three(v):
    columns = [of_sheet(*(v[name][i] for name in ("V", "n0", "I0", "T_stall", "I_stall"))) for i in range(3)]
    found = {name: [column[name] for column in columns] for name in columns[0]}
    found["Kt_stall"] = [t / (s - i) for t, s, i in zip(v["T_stall"], v["I_stall"], v["I0"])]
    slope = np.polyfit([0, v["T_stall"][0]], [v["n0"][0], 0], 1)
    amps = np.polyfit([0, v["T_stall"][0]], [v["I0"][0], v["I_stall"][0]], 1)
    return found | {"RF500_n_at_1p79mNm": np.polyval(slope, 1.79e-3), "RF500_I_at_1p79mNm": np.polyval(amps, 1.79e-3)}


def half_way(v):
    free, torque = np.array(v["n0"]), np.array(v["T_stall"])
    most = [minimize_scalar(lambda n: -t * (1 - n / f) * n * TURN, bounds=(0, f), method="bounded", options={"xatol": 1e-9})
            for f, t in zip(free, torque)]
    return {"n_half": [m.x for m in most], "T_half": [t * (1 - m.x / f) for m, f, t in zip(most, free, torque)],
            "P_max": [-m.fun for m in most]}


blocks = {"D2": one, "D3": three, "D11": half_way}
