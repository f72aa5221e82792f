"""Virtual work: the rack's push from the slope of the potential energy along its travel, both slopes
numerical, positions rolled out step by step; then the forces along the track."""
import numpy as np

G = 9.80665


def rolling(v):
    m, x, y = v["leaf"]
    theta = np.radians(v["theta"])
    height = lambda t: m * G * (x * np.sin(t) + y * np.cos(t))
    needs = []
    for t in theta * np.arange(65) / 64:
        h = 1e-6
        # How far the pitch line has passed the pinion: the centre's way, and for a riding pinion its turn.
        travel = lambda at: v["R"] * at + v["side"] * v["r"] * at
        push = abs((height(t + h) - height(t - h)) / (travel(t + h) - travel(t - h)))
        needs.append(push + v["friction"] / (v["R"] + v["side"] * v["r"]))
    most = int(np.argmax(needs))
    return {"push": needs[most], "at": v["theta"] * most / 64, "needed": needs[most] / m / G}


blocks = {"Q1": rolling, "Q2": rolling}
