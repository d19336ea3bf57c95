"""Circuits by modified nodal analysis in numpy, and a motor's operating point by scipy's root finder, beside the library's."""

import os
import subprocess

import numpy as np
from scipy.optimize import brentq

PROGRAM = os.path.join(os.environ.get("FIELDCOIL_EXAMPLES", "target/release/examples"), "network")
NETWORKS = 200
MOTORS = 20
WORST = 1e-9


def library(circuits):
    """What the library answers: for each circuit its nodes' volts, its devices' amperes, its motors' turns a minute."""
    text = "".join("\n".join(circuit) + "\nsolve\n" for circuit in circuits)
    done = subprocess.run([PROGRAM], input=text, stdout=subprocess.PIPE, text=True, check=True)
    answers = []
    for line in done.stdout.splitlines():
        if line.startswith("trouble"):
            raise SystemExit(f"network: {line}")
        answers.append([np.array([float(word) for word in part.split()]) for part in line.split(";")])
    return answers


class Joined:
    """Nodes in groups."""

    def __init__(self, count):
        self.group = list(range(count))

    def join(self, a, b):
        """Makes one group of two; false when they are one already."""
        old, new = self.group[a], self.group[b]
        self.group = [new if group == old else group for group in self.group]
        return old != new


def random_network(chance):
    """Parts (kind, from, to, volts, ohms) that join all nodes; ideal connections close no loop and short no source."""
    nodes = int(chance.integers(3, 31))
    ohms = lambda: float(10.0 ** chance.uniform(-6.0, 6.0))
    ideal = Joined(nodes)
    ways = [(int(chance.integers(0, node)), node) for node in range(1, nodes)]
    ways += [tuple(map(int, chance.choice(nodes, 2, replace=False))) for _ in range(int(chance.integers(2, 2 * nodes)))]
    parts = []
    for start, end in ways:
        if chance.random() < 0.12 and ideal.join(start, end):
            parts.append(("resistance", start, end, 0.0, 0.0))
        else:
            parts.append(("resistance", start, end, 0.0, ohms()))
    apart = [(a, b) for a in range(nodes) for b in range(nodes) if ideal.group[a] != ideal.group[b]]
    for _ in range(int(chance.integers(2, 6)) if apart else 0):
        minus, plus = apart[int(chance.integers(len(apart)))]
        parts.append(("source", minus, plus, float(chance.uniform(-30.0, 30.0)), float(10.0 ** chance.uniform(-4.0, 1.0))))
    return nodes, parts


def written(parts):
    return [
        f"source {end} {start} {volts!r} {ohms!r}" if kind == "source" else f"resistance {start} {end} {ohms!r}"
        for kind, start, end, volts, ohms in parts
    ]


def numpy_solution(nodes, parts):
    """Volts over the first source's minus, and amperes, with every node's voltage and every part's current unknown.

    numpy solves in double precision; what is left over is worked out with 64 bits of mantissa and solved for again,
    until it does not shrink any more.
    """
    ground = next(part[1] for part in parts if part[0] == "source")
    size = nodes + len(parts)
    matrix, right = np.zeros((size, size), np.longdouble), np.zeros(size, np.longdouble)
    for place, (_, start, end, volts, ohms) in enumerate(parts):
        row = nodes + place
        matrix[start, row] += 1
        matrix[end, row] -= 1
        # By the greater of one and the ohms, so that no row is large beside the others.
        scale = max(1.0, ohms)
        matrix[row, start] += 1 / np.longdouble(scale)
        matrix[row, end] -= 1 / np.longdouble(scale)
        matrix[row, row] = -np.longdouble(ohms) / scale
        right[row] = -np.longdouble(volts) / scale
    matrix[ground] = 0
    matrix[ground, ground] = 1
    inverse = np.linalg.inv(matrix.astype(float))
    solution, last = np.zeros(size, np.longdouble), np.inf
    for _ in range(50):
        change = inverse @ (right - matrix @ solution).astype(float)
        solution = solution + change
        step = float(np.max(np.abs(change[:nodes])) / max(np.max(np.abs(solution[:nodes])), 1e-300))
        step = max(step, float(np.max(np.abs(change[nodes:])) / max(np.max(np.abs(solution[nodes:])), 1e-300)))
        if step >= last and step < 1e-12:
            break
        last = step
    else:
        raise SystemExit(f"network: numpy finds no solution, its last step was {last:.1e}")
    return solution[:nodes].astype(float), solution[nodes:].astype(float)


def networks(chance):
    asked = []
    while len(asked) < NETWORKS:
        nodes, parts = random_network(chance)
        if any(part[0] == "source" for part in parts):
            asked.append((nodes, parts))
    worst = 0.0
    for (nodes, parts), (volts, amps, _) in zip(asked, library([written(parts) for _, parts in asked]), strict=True):
        known_volts, known_amps = numpy_solution(nodes, parts)
        for got, known in ((volts, known_volts), (amps, known_amps)):
            assert got.shape == known.shape and np.isfinite(got).all()
            worst = max(worst, float(np.max(np.abs(got - known)) / np.max(np.abs(known))))
    largest = max(len(parts) for _, parts in asked)
    print(f"network: {NETWORKS} random networks of up to {largest} parts against numpy, largest error {worst:.1e}")
    return worst


def random_motor(chance):
    """A starting motor's sheet and a circuit for it: invented values."""
    series = bool(chance.integers(2))
    winding = float(np.exp(chance.uniform(np.log(0.005), np.log(0.04))))
    volts = float(chance.choice([11.0, 11.5, 23.0]))
    brushes = float(chance.uniform(0.0, 1.5))
    amps = float(chance.uniform(0.03, 0.25)) * (volts - brushes) / winding
    rpm = float(chance.uniform(2500.0, 15000.0))
    torque = (volts - brushes - winding * amps) / (rpm * np.pi / 30.0) * amps
    return {
        "series": series, "winding": winding, "brushes": brushes, "volts": volts, "amps": amps, "rpm": rpm,
        "windage": float(chance.uniform(0.0, 1.0)), "load": float(chance.choice([0.0, chance.uniform(0.0, 2.0)])) * torque,
        "source": volts * float(chance.uniform(0.9, 1.2)), "internal": float(chance.uniform(0.002, 0.01)),
        "lead": float(chance.uniform(0.0005, 0.005)), "coil": float(chance.uniform(0.4, 2.0)),
        "contact": float(chance.choice([0.0, 0.0003])), "back": float(chance.uniform(0.0, 0.002)),
    }


def scipy_motor(m):
    """Current, turns a minute and volts at the terminals, from the motor's equations written here on their own."""
    p = type("Motor", (), m)
    brushes = lambda i: p.brushes * i / np.sqrt(i * i + 1.0)
    omega = p.rpm * np.pi / 30.0
    constant = (p.volts - p.winding * p.amps - brushes(p.amps)) / omega
    half_at = 0.25 * (p.volts - p.brushes) / p.winding
    full = constant * (p.amps + half_at) / p.amps
    k = (lambda i: full * i / (i + half_at)) if p.series else (lambda i: constant)
    standing = lambda w: w / np.sqrt(w * w + 0.01)
    steady = constant * p.amps * (1.0 - p.windage) / standing(omega)
    air = constant * p.amps * p.windage / omega**2

    def terminal(i):
        # Node voltages of source, lead and coil; the motor's way back carries its current alone.
        feed = p.internal + p.lead
        at_coil = (p.source / feed - i) / (1.0 / feed + 1.0 / p.coil)
        return at_coil - (p.contact + p.back) * i

    speed = lambda i: (terminal(i) - p.winding * i - brushes(i)) / k(i)

    def surplus(i):
        w = speed(i)
        return k(i) * i - (steady + p.load) * standing(w) - air * w * abs(w)

    most = p.source / p.winding
    locked = brentq(lambda i: terminal(i) - p.winding * i - brushes(i), 0.0, most, xtol=1e-14, rtol=1e-15)
    if surplus(0.999 * locked) < 0.0:
        return None
    current = brentq(surplus, 1e-3 * p.amps, locked, xtol=1e-14, rtol=1e-15)
    return current, speed(current) * 30.0 / np.pi, terminal(current)


def motor_circuit(m):
    kind = "series" if m["series"] else "permanent-magnet"
    numbers = " ".join(repr(m[name]) for name in ("winding", "brushes", "volts", "amps", "rpm", "windage", "load"))
    return [
        f"source 1 0 {m['source']!r} {m['internal']!r}",
        f"resistance 1 2 {m['lead']!r}",
        f"resistance 2 0 {m['coil']!r}",
        f"resistance 2 3 {m['contact']!r}",
        f"motor 3 4 {kind} {numbers}",
        f"resistance 4 0 {m['back']!r}",
    ]


def motors(chance):
    asked = []
    while len(asked) < MOTORS:
        motor = random_motor(chance)
        known = scipy_motor(motor)
        if known:
            asked.append((motor, known))
    worst = 0.0
    answers = library([motor_circuit(motor) for motor, _ in asked])
    for (motor, known), (volts, amps, turns) in zip(asked, answers, strict=True):
        for got, value in zip((amps[4], turns[0], volts[3] - volts[4]), known, strict=True):
            worst = max(worst, abs(got / value - 1.0))
    loaded = sum(motor["load"] > 0.0 for motor, _ in asked)
    print(f"network: {MOTORS} motors in circuits ({loaded} under load) against scipy, largest error {worst:.1e}")
    return worst


def main():
    chance = np.random.default_rng(20)
    worst = max(networks(chance), motors(chance))
    if not worst <= WORST:
        raise SystemExit(f"network: more than {WORST:.0e}")


main()
