"""Trim weights: every number of blocks in every pocket is tried."""
import numpy as np

GRAVITY, TOE_M, BASE, TARGET_N, TARGET_DEG = 9.80665, 2.4, np.array([4.1, 1.7]), 6, 30  # as B3


def wanted(g, toe, reaction, alpha):
    """The moments of mass whose weight loads the toe so, and whose centre lies at this bearing."""
    return np.linalg.solve([[g / toe, 0], [np.sin(np.radians(alpha)), -np.cos(np.radians(alpha))]], [reaction, 0])


def target(v):
    x, y = wanted(v["g"], v["x_toe"], v["toe_reaction_target"], v["alpha_target"])
    return {"Sx_target": x, "Sy_target": y}


def best(slots, block, most):
    counts = np.array(np.meshgrid(*[np.arange(most + 1)] * 3, indexing="ij")).reshape(3, -1).T
    sums = BASE + block * counts @ slots
    off = sums - wanted(GRAVITY, TOE_M, TARGET_N, TARGET_DEG)
    least = np.argmin(np.sum(off**2, axis=1))
    return counts[least], off[least], sums[least]


def filled(v):
    slots = np.reshape(v["slots_xy"], (3, 2))
    found = {}
    for names, most in ((("counts", ""), v["n_max"]), (("counts_n_max_24", "_24"), 24)):
        counts, off, sums = best(slots, v["block_mass"], int(most))
        found |= {names[0]: counts, f"err_Sx{names[1]}": off[0], f"err_Sy{names[1]}": off[1],
                  f"toe_reaction{names[1]}": sums[0] * GRAVITY / TOE_M, f"alpha{names[1]}": np.degrees(np.arctan2(sums[1], sums[0]))}
    return found


blocks = {"B3": target, "B4": filled}
