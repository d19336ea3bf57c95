"""A run of five seconds: the library and scipy's RK45, each at the tolerance that gives the same error, timed."""

import time

import numpy as np
from scipy.integrate import solve_ivp

from motors import library, line, slope

# The demo motor of the course (invented), free spin after 11 V, 65 A, 7200 rpm.
MOTOR = {
    "source": 12.6, "source_resistance": 0.006, "lead_resistance": 0.0015, "brush_drop": 1.0, "constant": 0.0514,
    "half_at": 208.0, "field_resistance": 2.0, "field_inductance": 0.05, "winding": 0.012, "inductance": 0.000_05,
    "inertia": 0.000_8, "steady_drag": 0.4, "viscous": 0.0, "windage": 7e-7, "load": 0.0, "start_temperature": 20.0,
    "heat_capacity": 300.0, "duration": 5.0, "relative_tolerance": 1e-6,
}
CONSTANTS = {"series": (0.0514, 208.0), "permanent-magnet": (0.0122, 208.0), "shunt": (0.0244, 5.5)}
TIMES = 5.0 * (np.arange(1, 201) / 200) ** 3


def error(ours, reference):
    """The greatest difference of current, speed and field current, as a part of each one's greatest size."""
    scale = np.maximum(np.abs(reference[:, :3]).max(axis=0), 1e-12)
    return float((np.abs(ours[:, :3] - reference[:, :3]) / scale).max())


def scipy_run(kind, motor, tolerance, times=None):
    atol = tolerance * np.array([0.6, 0.8, 0.006, 0.1])
    return solve_ivp(
        slope(kind, motor), (0.0, motor["duration"]), [0.0, 0.0, 0.0, motor["start_temperature"]],
        method="RK45", rtol=tolerance, atol=atol, t_eval=times,
    )


def equal_tolerance(kind, motor, reference, wanted):
    """The loosest tolerance with which scipy comes as near to the reference."""
    for power in np.arange(-3.0, -11.0, -0.25):
        if error(scipy_run(kind, motor, 10.0 ** power, TIMES).y.T, reference) <= wanted:
            return 10.0 ** power
    raise SystemExit(f"speed: scipy never comes within {wanted:.1e}")


def main():
    for kind, (constant, half_at) in CONSTANTS.items():
        motor = dict(MOTOR, constant=constant, half_at=half_at)
        exact = dict(motor, relative_tolerance=1e-13)
        reference = np.array(library([line(kind, exact, TIMES)]))[:, 1:]
        (micros, steps), *answers = library(["time " + line(kind, motor, TIMES)])
        off = error(np.array(answers)[:, 1:], reference)
        tolerance = equal_tolerance(kind, motor, reference, off)
        best = np.inf
        for _ in range(3):
            start = time.perf_counter()
            scipy_run(kind, motor, tolerance)
            best = min(best, time.perf_counter() - start)
        print(f"speed: {kind}, 5 s, error {off:.1e}: library {micros:.0f} µs in {steps:.0f} steps at 1e-6, "
              f"scipy RK45 {best * 1e3:.1f} ms at {tolerance:.0e}: {best * 1e6 / micros:.0f} times")


main()
