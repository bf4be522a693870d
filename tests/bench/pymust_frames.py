#!/usr/bin/env python3
"""Speed beside a general-purpose simulator of point scatterers: PyMUST (LGPL), on the same elements, delays and points, in
one run on one machine. Not part of `cargo xtask test`.

    python3 -m venv venv && venv/bin/pip install -r tests/bench/requirements.txt
    venv/bin/python tests/bench/pymust_frames.py [--report docs/bench-pymust.md]

The native example `twelve_sheets` of crate/acoustics times the frames of this project and hands over what it computed
them of; PyMUST's simus then sends each of the 61 laws into the same points and listens with the same law.
"""

import datetime
import json
import os
import pathlib
import platform
import subprocess
import sys
import time

# Every so manyth law is timed in three dimensions, where each takes seconds; all laws cost alike.
EVERY = 4

# One thread each: a frame of ours is computed by one.
for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ[name] = "1"

import importlib.metadata  # noqa: E402

import numpy  # noqa: E402
import pymust  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parents[2]

REPORT = """# Speed beside a simulator of point scatterers

Made by `tests/bench/pymust_frames.py` on {date}.

Machine: {machine}, Linux, one thread each. PyMUST {pymust}, NumPy {numpy}. Load average when the run began: {load}, when it
ended: {load_after} (of which the run itself makes about 1).
{warning}

{points} points, 32 elements of {pitch} mm pitch, {laws} laws from 40° to 70° focused at 50 mm, {frequency} MHz.

| program | what it computes | a frame of {laws} beams |
|---|---|---|
| Trialplate, whole frame | array on its wedge over a plate: three legs and their mixed pairs, mode conversion at the faces, grain; [beam][sample] | {whole:.2f} ms (median {whole_median:.2f}) |
| Trialplate, direct leg | the same array bare on a half space, direct leg alone, no grain | {direct:.2f} ms (median {direct_median:.2f}) |
| PyMUST, 3-D | `simus` with the elements' length, one call a law, sum of the elements after the same delays (every {every}th law timed, scaled up) | {three:.0f} s |
| PyMUST, 2-D | the same without the third dimension | {two:.0f} s |

Times of Trialplate: a tenth of 300 frames are faster, the better of a run before and a run after PyMUST; times of PyMUST:
processor time. So other work on the machine counts little on either side.

The task that both have in common is the direct leg: PyMUST in 3-D takes **{ratio} times** as long ({ratio2} times in 2-D).
The whole frame of Trialplate, which does far more, is still {whole_ratio} times as fast.

Not counted: Trialplate's set-up (its tables for all later frames), {setup:.0f} ms with the wedge; PyMUST has none. The gain
comes from there: a frame of Trialplate looks up what PyMUST computes anew for each element, point and frequency.

What the two compute differs, so this compares speed and nothing else. PyMUST: linear acoustics of one homogeneous fluid
with one speed (here that of shear waves), array flat on it with a soft baffle, scatterers that are points of one
reflectivity with no direction, far-field directivity of the elements at the centre frequency, full spectrum down to
-100 dB. Trialplate: shear waves through a wedge by Snell's law, Kirchhoff's integral with mode conversion on surfaces
that have a normal, three terms over the band from tables; its own errors are in the tests of `crate/acoustics`. PyMUST
is interpreted Python over NumPy; a compiled program of the same method would be faster.
"""


def ours():
    command = ["cargo", "run", "--locked", "--release", "--quiet", "--package", "acoustics", "--example", "twelve_sheets"]
    return json.loads(subprocess.run(command, cwd=ROOT, check=True, capture_output=True).stdout)


def parameters(task):
    param = pymust.utils.Param()
    param.fc = 1e6 * task["frequency_mhz"]
    param.pitch = 1e-3 * task["pitch_mm"]
    param.width = 1e-3 * task["element_width_mm"]
    param.height = 1e-3 * task["elevation_mm"]
    param.bandwidth = task["bandwidth_percent"]
    param.c = 1e3 * task["speed_mm_per_us"]
    param.Nelements = len(task["delays_us"][0])
    param.radius = numpy.inf
    return param


def frame_ms(task, three_dimensional):
    """Processor time of all laws, each sent and heard by the same delays and summed over the elements; scaled up from some of them."""
    laws = task["delays_us"][:: EVERY if three_dimensional else 1]
    x, y, z = (1e-3 * row.reshape(1, -1) for row in numpy.array(task["points_mm"]).T)
    strength = numpy.ones_like(x)
    began = time.process_time()
    loudest = 0.0
    for delays_us in laws:
        delays = 1e-6 * numpy.array(delays_us).reshape(1, -1)
        param = parameters(task)
        param.RXdelay = delays
        options = pymust.utils.Options()
        options.WaitBar = False
        places = (x, y, z) if three_dimensional else (x, z)
        signals, _ = pymust.simus(*places, strength, delays, param, options)
        loudest = max(loudest, numpy.abs(signals.sum(axis=1)).max())
    assert numpy.isfinite(loudest) and loudest > 0, "no echo"
    return 1e3 * (time.process_time() - began) * len(task["delays_us"]) / len(laws)


def rounded(ratio):
    """Two digits: more would not be met again."""
    digits = len(str(int(ratio))) - 2
    return f"{round(ratio, -digits):,.0f}" if digits > 0 else f"{ratio:.0f}"


def machine():
    with open("/proc/cpuinfo") as file:
        names = [line.split(":")[1].strip() for line in file if line.startswith("model name")]
    return f"{names[0] if names else platform.processor()}, {len(names)} cores"


def main():
    load = os.getloadavg()[0]
    task = ours()
    three, two = frame_ms(task, True), frame_ms(task, False)
    # Once more: what else runs on the machine changes.
    again = ours()
    best = {key: [min(pair) for pair in zip(task[key], again[key])] for key in ("whole_ms", "direct_ms")}
    busy = max(load, os.getloadavg()[0] - 1) > 0.3
    report = REPORT.format(
        date=datetime.date.today().isoformat(),
        machine=machine(),
        pymust=importlib.metadata.version("pymust"),
        numpy=numpy.__version__,
        load=f"{load:.1f}",
        load_after=f"{os.getloadavg()[0]:.1f}",
        warning="Other work ran on the machine while this was measured: take the ratios, not the times." if busy else "",
        points=len(task["points_mm"]),
        pitch=task["pitch_mm"],
        laws=len(task["delays_us"]),
        every=EVERY,
        frequency=task["frequency_mhz"],
        whole=best["whole_ms"][0],
        whole_median=best["whole_ms"][1],
        direct=best["direct_ms"][0],
        direct_median=best["direct_ms"][1],
        three=three / 1e3,
        two=two / 1e3,
        ratio=rounded(three / best["direct_ms"][0]),
        ratio2=rounded(two / best["direct_ms"][0]),
        whole_ratio=rounded(three / best["whole_ms"][0]),
        setup=task["set_up_ms"],
    )
    if "--report" in sys.argv[1:]:
        pathlib.Path(sys.argv[sys.argv.index("--report") + 1]).write_text(report)
    print(report)


if __name__ == "__main__":
    main()
