"""Pitch diameters from the circumference: as many teeth as go around it, one circular pitch each."""
import numpy as np


def pitch_circles(v):
    teeth, pitch_mm = np.array(v["N"]), np.pi * 25.4 / np.array(v["DP"])
    around_mm = teeth * pitch_mm
    return {"d_in": around_mm / np.pi / 25.4, "d_mm": around_mm / np.pi, "module_mm": pitch_mm / np.pi}


blocks = {"D1": pitch_circles}
