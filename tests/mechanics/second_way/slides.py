"""Places of sliding weights: bounded least squares of scipy, and every place of a row tried. The C code tries
which places are free."""
import itertools

import numpy as np
from scipy.optimize import lsq_linear

SHARE = np.array([1000, 1])


def rails(v):
    return np.array([v["rail_one"], v["rail_two"]])


def along(rail):
    step = rail[3:5] - rail[1:3]
    return step / np.hypot(*step)


def length(rail):
    return np.hypot(*(rail[3:5] - rail[1:3]))


def fit(base, wanted, free):
    """Returns the places and the moments reached."""
    start = base + sum(rail[0] * rail[1:3] for rail in free)
    slope = np.transpose([rail[0] * along(rail) for rail in free])
    found = lsq_linear(slope * SHARE[:, None], (wanted - start) * SHARE,
                       bounds=(np.zeros(len(free)), [length(rail) for rail in free]), method="bvls", tol=1e-15)
    return found.x, start + slope @ found.x


def on_rails(v):
    found = [fit(np.array(base), np.array(v["wanted"]), rails(v)) for base in zip(v["base_x"], v["base_y"])]
    return {"place_one": [x[0] for x, _ in found], "place_two": [x[1] for x, _ in found],
            "Sx": [s[0] for _, s in found], "Sy": [s[1] for _, s in found]}


def in_rows(v):
    one, two = rails(v)
    base, wanted, step = np.array([v["base_x"], v["base_y"]]), np.array(v["wanted"]), v["step"] / 1000

    def places(rail):
        return step * np.arange(int(length(rail) / step + 1e-9) + 1)

    def moved(rail, place):
        return rail[0] * (rail[1:3] + place * along(rail))

    def error(reached):
        return (((reached - wanted) * SHARE) ** 2).sum()

    mixed = [(place,) + fit(base + moved(one, place), wanted, [two]) for place in places(one)]
    row, rail, reached = min(mixed, key=lambda found: error(found[2]))
    both = min(itertools.product(places(one), places(two)),
               key=lambda at: error(base + moved(one, at[0]) + moved(two, at[1])))
    rows = base + moved(one, both[0]) + moved(two, both[1])
    return {"row": row, "rail": rail[0], "row_rail_Sx": reached[0], "rows": both, "rows_Sx": rows[0]}


blocks = {"SL1": on_rails, "SL2": in_rows}
