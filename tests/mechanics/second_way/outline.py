"""Room an opening span needs: scans of small steps. The C code has closed forms."""
import numpy as np
from scipy.optimize import brentq

STEPS = 200001


def turned(v, name):
    at = np.radians(np.linspace(0, v["theta_max"], STEPS))
    x, y = v[name]
    return at, x * np.cos(at) - y * np.sin(at), x * np.sin(at) + y * np.cos(at)


def ceiling(v):
    found = {"height_at_theta_max": [], "max_height": [], "theta_of_max": []}
    for name in ("toe_deck", "toe_top", "hip"):
        at, _, y = turned(v, name)
        top = int(np.argmax(y))
        if 0 < top < STEPS - 1:  # between two steps: where the height's rate changes sign
            rate = lambda t: v[name][0] * np.cos(t) - v[name][1] * np.sin(t)
            at[top] = brentq(rate, at[top - 1], at[top + 1], xtol=1e-14)
        found["height_at_theta_max"].append(v["trunnion_height"] + y[-1])
        found["max_height"].append(v["trunnion_height"] + y[top])
        found["theta_of_max"].append(np.degrees(at[top]))
    found["clearance"] = v["ceiling"] - max(found["max_height"])
    return found


def floor_and_wall(v):
    places = [turned(v, name)[1:] for name in ("low_back", "high_back", "low_front", "high_front")]
    x_min = [x.min() for x, _ in places]
    y_min = [y.min() for _, y in places]
    return {"x_min": x_min, "y_min": y_min, "clear_behind": min(x_min) - v["rear_wall_x"],
            "clear_below": v["trunnion_height_above_floor"] + min(y_min)}


def lift_and_counterweight(v):
    found = {}
    way = np.linspace(0, v["rise"], STEPS)
    for body, names, sign in (("span", ("span_foot", "span_top"), 1), ("weight", ("weight_top", "weight_foot"), -1)):
        height = np.concatenate([v["axis_height"] + v[name][1] + sign * way for name in names])
        found[f"{body}_above"] = v["ceiling"] - height.max()
        found[f"{body}_below"] = height.min() - v["floor"]
        found[f"{body}_behind"] = min(v[name][0] for name in names) - v["wall_x"]
    return found


blocks = {"G8": ceiling, "G9": floor_and_wall, "G10": lift_and_counterweight}
