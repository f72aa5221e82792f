"""The whole chain by teeth and by power: what enters at the motor against what leaves at the leaf."""
import numpy as np

import balance
import lift
import motor

ITEMS = {"item_deck": [14, 1.2, 0.02], "item_trusses": [16.5, 1.05, 0.3], "item_toe": [1.2, 2.3, 0.05],
         "item_heel": [4, -0.2, 0.05], "item_cw": [58, -0.575, -0.07]}  # the leaf of B1
GRAVITY, PINION_M = 9.80665, 0.00635
SHEET = motor.of_sheet(12, 16800, 1, 0.2788, 42)  # the motor of D2


def arm(theta):
    return -lift.slope(lambda t: lift.distance(lift.G2, t), theta)


def turns(v):
    step_mm = v["N_pinion"] * np.pi * 25.4 / v["DP"]
    motor_step_mm = step_mm / (v["planetary"] * v["worm"])
    rpm, needed = np.array(v["motor_rpm"]), v["travel"] / motor_step_mm
    return {"rack_per_pinion_turn": step_mm, "rack_per_motor_turn": motor_step_mm, "rack_speed": rpm * motor_step_mm / 60,
            "pinion_rpm": rpm / v["ratio"], "motor_turns_for_travel": needed,
            "motor_rpm_needed": needed / (v["time_constant_speed"] / 60), "time_at_3000rpm": needed / 3000 * 60}


def torques(v):
    rows = []
    for theta in np.radians(v["theta"]):
        leaf = balance.moment(list(ITEMS.values()), GRAVITY, theta) + v["T_friction_trunnion"]
        rack = leaf / arm(theta)
        # Power from the leaf's turn of 1 rad/s back to the motor; where the load drives, losses take from it.
        driven = leaf > 0
        rate = arm(theta) / PINION_M
        pinion = leaf / rate * (1 / v["eta_rack"] if driven else v["eta_rack"])
        worm = pinion / v["ratio_worm"] * (1 / v["eta_worm"] if driven else v["eta_worm_back"])
        push = worm / v["ratio_planetary"] / v["eta_planetary"]  # a locked worm must be driven, too
        amps = 1 + push / SHEET["Ke"]
        rows.append((leaf, rack, pinion, push, amps, amps * SHEET["R"] + SHEET["Ke"] * v["motor_rpm"] * motor.TURN))
    return dict(zip(("T_leaf", "F_rack", "T_pinion", "T_motor", "I_motor", "V_motor"), np.array(rows).T))


def inertia(v):
    rate = v["N"] * lift.slope(lambda t: -lift.distance(lift.G2, t) / v["r_pinion"], 0.0)
    return {"dmotor_dtheta": rate, "motor_turns_per_leaf_degree": rate * np.radians(1) / (2 * np.pi),
            "I_leaf_seen_at_motor": v["I_leaf"] / rate**2}


blocks = {"D8": turns, "D9": torques, "D13": inertia}
