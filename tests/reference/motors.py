"""Motors made by chance, their equations in Python, and the library's runs of the same motors."""

import os
import subprocess

import numpy as np

KINDS = ("series", "permanent-magnet", "shunt")
NAMES = (
    "source", "source_resistance", "lead_resistance", "brush_drop", "constant", "half_at", "field_resistance",
    "field_inductance", "winding", "inductance", "inertia", "steady_drag", "viscous", "windage", "load",
    "start_temperature", "heat_capacity", "duration", "relative_tolerance",
)
PROGRAM = os.environ.get("MOTOR_RUNS", "target/release/examples/motor_runs")


def random_motor(kind, chance):
    """A starting motor of invented values, from a small 12 V one to a large 24 V one."""
    between = lambda low, high: float(np.exp(chance.uniform(np.log(low), np.log(high))))
    constant = between(0.006, 0.03)
    return {
        "source": chance.choice([12.6, 25.2]) * chance.uniform(0.9, 1.05),
        "source_resistance": between(0.002, 0.02),
        "lead_resistance": between(0.0005, 0.01),
        "brush_drop": chance.uniform(0.0, 1.5),
        "constant": constant * (1.0 if kind == "permanent-magnet" else 3.0),
        "half_at": between(60.0, 300.0) if kind == "series" else between(2.0, 10.0),
        "field_resistance": between(0.8, 4.0),
        "field_inductance": between(0.01, 0.2),
        "winding": between(0.005, 0.05),
        "inductance": between(0.000_03, 0.000_5),
        "inertia": between(0.000_2, 0.005),
        "steady_drag": constant * between(10.0, 60.0),
        "viscous": chance.choice([0.0, between(1e-5, 3e-4)]),
        "windage": between(1e-8, 1e-6),
        "load": chance.choice([0.0, constant * between(5.0, 40.0)]),
        "start_temperature": chance.uniform(-20.0, 90.0),
        "heat_capacity": between(50.0, 1000.0),
        "duration": between(0.3, 3.0),
        "relative_tolerance": 1e-10,
    }


def slope(kind, motor):
    """Its equations, written here on their own. State: armature current, speed, field current, winding temperature."""
    p = type("Motor", (), motor)
    outside = p.source_resistance + p.lead_resistance

    def equations(_, state):
        current, speed, field, temperature = state
        terminal = p.source - outside * (current + field)
        if kind == "permanent-magnet":
            constant = p.constant
        else:
            magnetizing = current if kind == "series" else field
            constant = p.constant * magnetizing / (abs(magnetizing) + p.half_at)
        winding = p.winding * (234.5 + temperature) / (234.5 + p.start_temperature)
        brushes = p.brush_drop * current / np.sqrt(current * current + 1.0)
        drag = (p.steady_drag + p.load) * speed / np.sqrt(speed * speed + 0.01)
        drag += p.viscous * speed + p.windage * speed * abs(speed)
        return (
            (terminal - winding * current - brushes - constant * speed) / p.inductance,
            (constant * current - drag) / p.inertia,
            (terminal - p.field_resistance * field) / p.field_inductance if kind == "shunt" else 0.0,
            winding * current * current / p.heat_capacity,
        )

    return equations


def line(kind, motor, times):
    numbers = [motor[name] for name in NAMES] + list(times)
    return " ".join([kind] + [repr(float(number)) for number in numbers])


def library(lines):
    """What the library answers to these lines."""
    done = subprocess.run([PROGRAM], input="\n".join(lines) + "\n", stdout=subprocess.PIPE, text=True, check=True)
    return [[float(word) for word in answer.split()] for answer in done.stdout.splitlines()]
