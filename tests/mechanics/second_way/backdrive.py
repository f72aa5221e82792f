"""What holds the span: forces on the worm's thread, moments as differences of the potential energy, arms as
cross products, and the margin as a root by Brent's method or by bisection where nothing holds at the motor.
The C code multiplies efficiencies. Leaf B1, strut G2."""
import numpy as np
from scipy.optimize import brentq

G = 9.80665
ITEMS = [(14, 1.2, 0.02), (16.5, 1.05, 0.3), (1.2, 2.3, 0.05), (4, -0.2, 0.05), (58, -0.575, -0.07)]
PIN, PINION, PINION_RADIUS = (0.55, 0.3), (-0.45, 0.85), 0.00635
THETA = np.radians(np.linspace(0, 80, 6401))


def energy(at):
    return G * sum(m * (x * np.sin(at) + y * np.cos(at)) for m, x, y in ITEMS)


MOMENT = np.abs(energy(THETA + 1e-5) - energy(THETA - 1e-5)) / 2e-5
PX = PIN[0] * np.cos(THETA) - PIN[1] * np.sin(THETA)
PY = PIN[0] * np.sin(THETA) + PIN[1] * np.cos(THETA)
UX, UY = PINION[0] - PX, PINION[1] - PY
ARM = (PX * UY - PY * UX) / np.hypot(UX, UY)


def thread(ease, worm):
    """Torque of the worm's shaft for one of its wheel; 0: it locks."""
    if worm is None:
        return 1.0
    ratio, lead, mu = worm
    mu, lead, pressure = mu / ease, np.radians(lead), np.radians(20)
    along = np.cos(pressure) * np.cos(lead) + mu * np.sin(lead)
    across = np.cos(pressure) * np.sin(lead) - mu * np.cos(lead)
    return max(0, across / along) / (ratio * np.tan(lead))


def at_motor(v, ease, friction, worm):
    rack = max(0, 1 - (1 - v["eta_rack"]) / ease)
    planetary = max(0, 1 - (1 - v["eta_planetary"]) / ease)
    net = np.maximum(0, MOMENT - friction / ease)
    return (net / ARM).max() * PINION_RADIUS * rack * thread(ease, worm) / v["ratio_planetary"] * planetary


def margin(v, stop, friction, worm):
    def over(log_ease):
        return at_motor(v, np.exp(log_ease), friction, worm) - stop / np.exp(log_ease)

    low, high = np.log(1e-3), np.log(1e3)
    if stop > 0:
        return np.exp(brentq(over, low, high, xtol=1e-14))
    for _ in range(200):
        middle = (low + high) / 2
        low, high = (low, middle) if over(middle) > 0 else (middle, high)
    return np.exp(low)


def through_a_worm(v):
    found = {"margin": [], "torque_at_motor": []}
    for lead, mu, friction, rest in zip(v["lead"], v["mu"], v["trunnion_friction"], v["motor_rest"]):
        worm = (v["ratio_worm"], lead, mu)
        found["margin"].append(margin(v, rest, friction, worm))
        found["torque_at_motor"].append(at_motor(v, 1, friction, worm))
    return found


def without_a_worm(v):
    cases = list(zip(v["brake"], v["trunnion_friction"]))
    return {"margin": [margin(v, brake, friction, None) for brake, friction in cases],
            "torque_at_motor": [at_motor(v, 1, friction, None) for _, friction in cases]}


def push_turns(v):
    """A push at the toe that the stop just holds: a root, at each of the C code's places."""
    found = {"push": [], "at": []}
    for is_worm, stop, friction in zip(v["has_worm"], v["stop"], v["trunnion_friction"]):
        worm = (v["ratio_worm"], v["lead"], v["mu"]) if is_worm else None
        gears = PINION_RADIUS * v["eta_rack"] * thread(1, worm) / v["ratio_planetary"] * v["eta_planetary"]
        pushes = []
        for moment, arm in zip(MOMENT[100::100], ARM[100::100]):
            over = lambda push: (moment + push * v["toe"] - friction) / arm * gears - stop
            pushes.append(brentq(over, 0, 1e6, xtol=1e-12) if over(0) < 0 else 0.0)
        least = int(np.argmin(pushes))
        found["push"].append(pushes[least])
        found["at"].append(np.degrees(THETA[100::100][least]))
    return found


blocks = {"BD1": through_a_worm, "BD2": without_a_worm, "BD3": push_turns}
