"""Reads a recording with NumPy alone, by docs/recording.md. Not part of the test command:

    trialplate scan scenarios/plates/th-07.toml --index-offset 31 -o scan.npz
    python crate/desk/tests/check_npz.py scan.npz

Prints, for each pass, the place of the highest echo well inside the weld; fails where the file is not as documented.
"""

import json
import sys

import numpy as np

scan = np.load(sys.argv[1])
about = json.loads(scan["metadata.json"])
assert (about["form"], about["version"]) == ("trialplate recording", 1)
setting, scale = about["setting"], about["scale"]
thickness, step = setting["thickness_mm"], setting["path_step_mm"]

percent = scan["percent_of_code"]
levels = scale["floor_db"] + scale["step_db"] * (np.arange(1, 256) - 1)
assert percent[0] == 0 and np.allclose(percent[1:], 80 * 10 ** (levels / 20), rtol=1e-5)

angle = np.radians(scan["beam_angle_deg"])[:, None]
path = scan["beam_first_path_mm"][:, None] + np.arange(setting["samples"]) * step
time_us = (scan["beam_first_sample"][:, None] + np.arange(setting["samples"])) / setting["sampling_mhz"]
# The clock and the sound path agree: what is left of the time was spent in the wedge.
wedge_us = time_us - 2 * path / setting["plate_speed_mm_per_us"]
sine = np.sin(angle) * setting["wedge_speed_mm_per_us"] / setting["plate_speed_mm_per_us"]
height = setting["aperture_height_mm"]
assert np.allclose(wedge_us, 2 * height / np.sqrt(1 - sine**2) / setting["wedge_speed_mm_per_us"], atol=1e-6)

forward = scan["beam_exit_forward_mm"][:, None] + path * np.sin(angle)
unfolded = path * np.cos(angle)
leg = 1 + np.floor(unfolded / thickness).astype(int)
left = unfolded % thickness
depth = np.where(leg % 2 == 1, left, thickness - left)

for number, course in enumerate(about["passes"]):
    codes, recorded = scan[f"pass_{number}_amplitude"], scan[f"pass_{number}_recorded"]
    assert codes.dtype == np.uint8 and recorded.dtype == bool
    assert codes.shape == (course["lines"], len(angle), setting["samples"]) and len(recorded) == course["lines"]
    assert not codes[~recorded].any()
    assert not codes[:, path > setting["range_mm"]].any()
    sign = 1 if course["side"] == "A" else -1
    skew = np.radians(course["skew_deg"])
    offset = sign * (forward * np.cos(skew) - course["index_offset_mm"])
    inside = (np.abs(offset) < 10) & (depth > 0.2 * thickness) & (depth < 0.8 * thickness) & (leg <= 3)
    line, beam, sample = np.unravel_index(np.argmax(codes * inside), codes.shape)
    y = course["start_mm"] + line * course["step_mm"] + forward[beam, sample] * np.sin(skew)
    print(
        f"pass {number}, side {course['side']}: {20 * np.log10(percent[codes[line, beam, sample]] / 80):.1f} dB at "
        f"{y:.1f} mm along, {offset[beam, sample]:+.1f} mm across, {depth[beam, sample]:.1f} mm deep, "
        f"leg {leg[beam, sample]}, {np.degrees(angle[beam, 0]):.1f} degrees"
    )
