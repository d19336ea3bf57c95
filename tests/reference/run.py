"""Fifty motors of each kind, run by the library and by scipy's order-8 integrator at 1e-12: the same to a millionth."""

import sys

import numpy as np
from scipy.integrate import solve_ivp

from motors import KINDS, library, line, random_motor, slope

MOTORS, TIMES, BOUND = 50, 20, 1e-6


def expected(kind, motor, times):
    solved = solve_ivp(
        slope(kind, motor), (0.0, motor["duration"]), [0.0, 0.0, 0.0, motor["start_temperature"]],
        method="DOP853", rtol=1e-12, atol=1e-13, t_eval=times,
    )
    assert solved.success and solved.y.shape[1] == len(times), solved.message
    return solved.y.T


def main():
    chance = np.random.default_rng(20)
    asked = []
    for kind in KINDS:
        for _ in range(MOTORS):
            motor = random_motor(kind, chance)
            # Close together at first, where most happens.
            times = motor["duration"] * (np.arange(1, TIMES + 1) / TIMES) ** 3
            asked.append((kind, motor, times))
    answers = library([line(*one) for one in asked])
    assert len(answers) == len(asked) * TIMES, f"{len(answers)} answers"
    worst = (0.0, "")
    for index, (kind, motor, times) in enumerate(asked):
        ours = np.array(answers[index * TIMES:(index + 1) * TIMES])[:, 1:]
        theirs = expected(kind, motor, times)
        # A value's own scale is its greatest size in the run; a temperature counts from absolute zero of copper's line.
        scale = np.abs(theirs).max(axis=0)
        scale[2] = max(scale[2], 1e-12)
        scale[3] = np.abs(theirs[:, 3] - motor["start_temperature"]).max()
        off = np.abs(ours - theirs) / scale
        name = f"{kind} motor {index % MOTORS}, {('current', 'speed', 'field current', 'temperature')[off.max(axis=0).argmax()]}"
        worst = max(worst, (float(off.max()), name))
    verdict = "same" if worst[0] <= BOUND else "DIFFERENT"
    print(f"run: {len(asked)} motors at {TIMES} times against scipy, greatest difference {worst[0]:.1e} ({worst[1]}), "
          f"bound {BOUND:.0e}: {verdict}")
    sys.exit(worst[0] > BOUND)


main()
