"""Uncertainties of the calculators' results against the package `uncertainties`, on readings made by chance."""

import json
import math
import os
import random
import subprocess

from uncertainties import ufloat

PROGRAM = os.environ.get("FIELDCOIL", "target/debug/fieldcoil")
ROOT_3 = math.sqrt(3.0)
# Ours shifts the readings, the package differentiates: they part by the square of the relative uncertainty.
NEAR = 3e-4


def work(name, **fields):
    settings = [part for field, text in fields.items() for part in ("--set", f"{field}={text}")]
    done = subprocess.run([PROGRAM, "work", name, *settings, "--json"], capture_output=True, text=True, check=True)
    return json.loads(done.stdout)["outputs"]


class Meter:
    """A meter whose scale is off alike in all readings it takes, and whose last digit is off in each on its own."""

    def __init__(self, percent, counts, places):
        self.percent, self.counts, self.places = percent, counts, places
        self.scale = ufloat(0.0, percent / 100.0 / ROOT_3)

    def read(self, value):
        text = f"{value:.{self.places}f}"
        typed = float(text)
        digit = ufloat(0.0, self.counts * 10.0 ** -self.places / ROOT_3)
        return f"{text} ± ({self.percent} % + {self.counts})", typed + typed * self.scale + digit


def band(value, width):
    return f"{value} ± {width}", ufloat(value, width / ROOT_3)


def compare(case, outputs, expected):
    """The greatest part by which an expanded uncertainty of ours differs."""
    worst = 0.0
    for name, value in expected.items():
        ours = outputs[name]
        wanted = ours["coverage_factor"] * value.std_dev
        off = abs(ours["uncertainty"] / wanted - 1.0)
        if off > NEAR or abs(ours["value"] - value.nominal_value) > 1e-9 * abs(value.nominal_value):
            raise SystemExit(f"uncertainty: {case}: {name}: {ours}, the package says {value} (± {wanted})")
        worst = max(worst, off)
    return worst


def two_loads(chance):
    volts, amps = Meter(chance.choice([0.1, 0.5]), chance.randint(1, 3), 3), Meter(chance.choice([0.5, 1]), 2, 1)
    inside, open_circuit = chance.uniform(0.004, 0.01), chance.uniform(12.4, 12.8)
    light, heavy = chance.uniform(20.0, 60.0), chance.uniform(180.0, 320.0)
    (t1, i1), (t2, i2) = amps.read(light), amps.read(heavy)
    (t3, u1), (t4, u2) = volts.read(open_circuit - inside * light), volts.read(open_circuit - inside * heavy)
    outputs = work("source-load", light_current_a=t1, heavy_current_a=t2, light_voltage_v=t3, heavy_voltage_v=t4)
    r = (u1 - u2) / (i2 - i1)
    return compare((t1, t2, t3, t4), outputs, {"internal_resistance_ohm": r, "open_circuit_v": u1 + r * i1})


def hot_winding(chance):
    ohms = Meter(chance.choice([0.2, 0.5]), chance.randint(1, 3), 6)
    cold = chance.uniform(0.008, 0.02)
    (t1, r1), (t2, r2) = ohms.read(cold), ohms.read(cold * chance.uniform(1.05, 1.4))
    t3, at = band(round(chance.uniform(15.0, 25.0), 1), 0.5)
    outputs = work(
        "winding-temperature", cold_resistance_ohm=t1, hot_resistance_ohm=t2, cold_temperature_c=t3, metal_constant="copper-235",
    )
    return compare((t1, t2, t3), outputs, {"hot_temperature_c": r2 / r1 * (235.0 + at) - 235.0})


def peak_ratio(chance):
    amps, volts = Meter(chance.choice([1, 2]), chance.randint(1, 5), 1), Meter(0.5, 2, 2)
    (t1, peak), (t2, settled) = amps.read(chance.uniform(200.0, 500.0)), amps.read(chance.uniform(50.0, 90.0))
    t3, u = volts.read(chance.uniform(10.8, 11.6))
    t4, speed = band(round(chance.uniform(6500.0, 7500.0)), 20)
    outputs = work(
        "bench-verdict", peak_current_a=t1, settled_current_a=t2, terminal_voltage_v=t3, speed_rpm=t4,
        limit_voltage_v="11", limit_speed_min_rpm="6000", limit_speed_max_rpm="9000",
    )
    expected = {"peak_ratio": peak / settled, "speed_at_sheet_voltage_rpm": speed * 11.0 / u}
    return compare((t1, t2, t3, t4), outputs, expected)


def drop(chance):
    t1, i = band(round(chance.uniform(120.0, 250.0), 1), 3)
    t2, at = band(round(chance.uniform(10.0, 60.0), 1), 5)
    outputs = work(
        "voltage-drop", current_a=t1, conductor_temperature_c=t2, conductor_size="35 mm2", run_out_m="2",
        run_return_m="1.5", joint_count="0",
    )
    # IEC 60228, class 5, 35 mm²: 0.554 Ω/km at 20 °C.
    resistance = 0.000554 * 3.5 * (234.5 + at) / 254.5
    expected = {"drop_v": i * resistance, "loss_w": i * i * resistance}
    return compare((t1, t2), outputs, expected)


def main():
    chance = random.Random(100)
    for case in (two_loads, hot_winding, peak_ratio, drop):
        worst = max(case(chance) for _ in range(25))
        print(f"uncertainty: {case.__name__}, 25 sets of readings: at most {worst:.1e} from the package, allowed {NEAR}")


main()
