"""A train to its stop: the equation of motion integrated step by step until it stands. The C code
has closed forms."""
import numpy as np
from scipy.integrate import solve_ivp


def run(speed, braking, grade=0.0, reaction=0.0, g=9.80665):
    """Returns how far it runs."""
    def stands(time, state):
        return state[1]

    stands.terminal, stands.direction = True, -1
    slowing = braking + g * grade
    found = solve_ivp(lambda time, state: [state[1], -slowing], (0, 10 * speed / slowing), [speed * reaction, speed],
                      events=stands, rtol=1e-12, atol=1e-14)
    return found.y_events[0][0][0]


def on_the_level(v):
    return {"stop": [run(speed, v["dec"], reaction=v["t_react"]) for speed in v["v"]]}


def on_a_grade(v):
    g, speed = v["g"], v["v"]
    coasting = run(speed, 0, v["c_rr"], g=g)  # rolling friction slows like a grade as steep
    return {"stop_up": run(speed, v["dec"], v["grade"], g=g), "stop_down": run(speed, v["dec"], -v["grade"], g=g),
            "coast_dec_level": speed**2 / 2 / coasting, "coast_stop_level": coasting}


def dead_section(v):
    more = v["pickup_span"] + v["margin"]
    return {"L_dead": run(v["v"], v["dec"], reaction=v["t_react"]) + more}


def scale_speeds(v):
    """By metres: a foot has 0.3048, a mile 1609.344."""
    scale, mph = np.array(v["scale"]), 1609.344 / 3600
    return {"smph_per_ft_s": 0.3048 * scale / mph, "model_speed_at_40_smph": 40 * mph / scale,
            "s_per_yard_1_19_at_10mph": 0.9144 * 19 / (10 * mph)}


blocks = {"R1": on_the_level, "R2": on_a_grade, "R3": dead_section, "R4": scale_speeds}
