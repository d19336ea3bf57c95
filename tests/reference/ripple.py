"""Holds the ripple and the settled current of `trace-reading` against numpy, for twenty traces of known truth.

The program is the example `ripple` of `calc-wasm`, which `run.sh` builds. The traces are made from a fixed seed, so that every run is the same.

Two comparisons:
- numpy's own estimate, done the same way (averaged pieces under a Hann window, a parabola on the logarithm) over the
  same stretch, has to agree within 1e-6 of a bin (one over the length of a piece): only the rounding of two different
  Fourier transforms lies between them, and the place of a line in thousands of bins swallows most of that.
- the truth has to lie within 0.02 of a bin and five of the program's own standard uncertainties: the parabola is off
  by at most 0.004 of a bin, the rest is noise.
"""

import json
import os
import pathlib
import subprocess
import tempfile

import numpy as np

BIN_SAME = 1e-6
BIN_TRUTH = 0.02


def piece_of(rows):
    return rows if rows <= 4096 else min(max(rows // 4, 4096), 32768)


def estimate(values, step, low, high):
    """The strongest line between two frequencies, and the length of a piece."""
    rows = len(values)
    piece = piece_of(rows)
    hop = piece // 2
    size = 1 << int(np.ceil(np.log2(2 * piece)))
    window = 0.5 - 0.5 * np.cos(2 * np.pi * (np.arange(piece) + 0.5) / piece)
    power = np.zeros(size // 2 + 1)
    for start in range(0, rows - piece + 1, hop):
        part = values[start : start + piece]
        power += np.abs(np.fft.rfft((part - part.mean()) * window, size)) ** 2
    bin_hz = 1 / (size * step)
    first, last = int(low / bin_hz), int(high / bin_hz)
    place = first + int(np.argmax(power[first : last + 1]))
    before, here, after = np.log(power[place - 1 : place + 2])
    return (place + 0.5 * (before - after) / (before - 2 * here + after)) * bin_hz, piece * step


def trace(random):
    """Times, currents and the truth of one run."""
    rate = random.choice([5e3, 10e3, 20e3, 50e3])
    rows = int(random.integers(3000, 120_000))
    bars = int(random.integers(15, 34))
    ripples = 2 * bars if bars % 2 else bars
    fastest = min(0.94 * 0.5 * rate * 60 / ripples, 8000)
    speed = random.uniform(0.1, 0.95) * fastest
    hz = ripples * speed / 60
    time = np.arange(rows) / rate
    on = 0.05 * time[-1]
    since = (time - on).clip(0)
    settled = random.uniform(40, 90)
    kick = random.uniform(200, 500) * np.exp(-since / (0.04 * time[-1])) * (1 - np.exp(-since * 2000))
    noise = random.uniform(0.2, 1.0)
    ripple = random.uniform(1, 2) * np.sin(2 * np.pi * hz * time + random.uniform(0, 6))
    current = np.where(time >= on, settled + kick + ripple, 0) + random.normal(0, noise, rows)
    current += random.uniform(-2, 2)
    return time, np.round(current, 3), bars, fastest, hz, speed, settled


def main():
    program = os.path.join(os.environ.get("FIELDCOIL_EXAMPLES", "target/release/examples"), "ripple")
    random = np.random.default_rng(20)
    worst_same = worst_truth = 0.0
    with tempfile.TemporaryDirectory() as folder:
        path = pathlib.Path(folder) / "trace.csv"
        for index in range(20):
            time, current, bars, fastest, hz, speed, settled = trace(random)
            rows = "\n".join(f"{t:.6f};{i:.3f}".replace(".", ",") for t, i in zip(time, current))
            path.write_text("Time (s);Current (A)\n" + rows + "\n")
            fields = [f"bars={bars}", f"fastest_rpm={fastest:.6f}"]
            done = subprocess.run([program, str(path), *fields], check=True, capture_output=True, text=True)
            got = json.loads(done.stdout)
            inside = (time >= got["window_from_s"] - 1e-9) & (time <= got["window_to_s"] + 1e-9)
            stretch, values = time[inside], current[inside]
            step = (stretch[-1] - stretch[0]) / (len(stretch) - 1)
            low, high = 0.05 * hz * fastest / speed, hz * fastest / speed
            same, piece_s = estimate(values, step, low, min(high, 0.95 * 0.5 / step))
            off_same = abs(got["ripple_hz"] - same) * piece_s
            off_truth = abs(got["ripple_hz"] - hz) * piece_s
            worst_same, worst_truth = max(worst_same, off_same), max(worst_truth, off_truth)
            assert off_same < BIN_SAME, f"{index}: {off_same} of a bin from numpy"
            assert off_truth < BIN_TRUTH, f"{index}: {off_truth} of a bin from the truth"
            assert abs(got["ripple_hz"] - hz) < 5 * got["ripple_uncertainty_hz"], f"{index}: outside its uncertainty"
            assert abs(got["speed_rpm"] / speed - 1) < 1e-3, f"{index}: speed {got['speed_rpm']}, not {speed}"
            mean = values.mean() - got["zero_offset_a"]
            assert abs(got["settled_a"] - mean) < 1e-9 * abs(mean), f"{index}: mean {got['settled_a']}, not {mean}"
            spread = values.std(ddof=1)
            assert abs(got["spread_a"] - spread) < 1e-9 * spread, f"{index}: spread {got['spread_a']}, not {spread}"
            # The stretch may begin while the kick is half a percent of the settled current.
            assert abs(got["settled_a"] - settled) < 0.005 * settled + 0.2, f"{index}: settled {got['settled_a']}"
            charge = np.trapezoid(current - got["zero_offset_a"], np.round(time, 6))
            assert abs(got["charge_c"] - charge) < 1e-9 * abs(charge), f"{index}: charge {got['charge_c']}"
    print(f"ripple: 20 traces: {worst_same:.2g} of a bin from numpy, {worst_truth:.2g} of a bin from the truth")


main()
