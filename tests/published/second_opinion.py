#!/usr/bin/env python3
"""Recomputes the numbers that the checks here compare with, from the formulas alone, with general-purpose libraries.

    python3 -m venv venv && venv/bin/pip install -r tests/published/requirements.txt
    venv/bin/python tests/published/second_opinion.py            # compare with data/computed.csv and check_values.csv
    venv/bin/python tests/published/second_opinion.py --write    # write data/computed.csv anew

Shares no line of code with the project. Lengths mm, times us, frequencies MHz, speeds mm/us.
"""

import csv
import math
import pathlib
import sys

import mpmath
import numpy
import statsmodels.api
from scipy import optimize, special, stats

DATA = pathlib.Path(__file__).parent / "data"
LONGITUDINAL, SHEAR, DENSITY = 5.900, 3.230, 7.85
POLYSTYRENE, ACRYLIC = (2.330, 1.150, 1.05), (2.730, 1.430, 1.18)
RATIO = LONGITUDINAL / SHEAR


def degrees(sine):
    return math.degrees(math.asin(sine))


def db(ratio):
    return 20 * math.log10(abs(ratio))


def free_surface(degrees_of_incidence):
    """SV to SV at a free surface (Achenbach; Auld; Schmerr)."""
    g = mpmath.radians(degrees_of_incidence)
    t = mpmath.asin(mpmath.mpc(RATIO * mpmath.sin(g)))
    # Evanescent waves must die away from the face.
    if t.imag != 0:
        t = mpmath.mpc(t.real, -abs(t.imag))
    a = mpmath.sin(2 * g) * mpmath.sin(2 * t)
    b = RATIO**2 * mpmath.cos(2 * g) ** 2
    return complex((a - b) / (a + b))


def energy_to_longitudinal(degrees_of_incidence):
    g = math.radians(degrees_of_incidence)
    t = math.asin(RATIO * math.sin(g))
    a, b = math.sin(2 * g) * math.sin(2 * t), RATIO**2 * math.cos(2 * g) ** 2
    amplitude = RATIO * math.sin(4 * g) / (a + b)
    return amplitude**2 * RATIO * math.cos(t) / math.cos(g)


def corner(beam):
    return free_surface(beam) * free_surface(90 - beam)


def interface(wedge, refracted, welded, from_wedge=True):
    """Plane waves at a plane interface, solved as four linear boundary equations: the displacement amplitude of the SV wave
    in steel for a longitudinal wave in the wedge, or back. Films carry no shear stress."""
    cl1, ct1, rho1 = wedge
    slowness = math.sin(math.radians(refracted)) / SHEAR

    def wave(cl, ct, rho, kind, sign):
        speed = cl if kind == "L" else ct
        across = sign * numpy.sqrt(complex(1 / speed**2 - slowness**2))
        e = numpy.array([slowness, across]) * speed
        d = e if kind == "L" else numpy.array([-e[1], e[0]])
        mu, lam = rho * ct**2, rho * (cl**2 - 2 * ct**2)
        s = numpy.array([slowness, across])
        normal = lam * (s @ d) + 2 * mu * s[1] * d[1]
        shear = mu * (s[1] * d[0] + s[0] * d[1])
        return d[0], d[1], normal, shear

    up = [wave(cl1, ct1, rho1, kind, -1) for kind in "LS"]
    down = [wave(LONGITUDINAL, SHEAR, DENSITY, kind, 1) for kind in "LS"]
    coming = wave(cl1, ct1, rho1, "L", 1) if from_wedge else wave(LONGITUDINAL, SHEAR, DENSITY, "S", -1)
    incoming = coming if from_wedge else tuple(-c for c in coming)

    def equal(k):
        """The same on both sides: what is above less what is below."""
        return [w[k] for w in up] + [-w[k] for w in down], -incoming[k]

    def free(k, above):
        """Zero on one side."""
        row = [w[k] * above for w in up] + [w[k] * (not above) for w in down]
        return row, -coming[k] if above == from_wedge else 0

    equations = [equal(1), equal(2)] + ([equal(0), equal(3)] if welded else [free(3, True), free(3, False)])
    rows, right = zip(*equations)
    amplitudes = numpy.linalg.solve(numpy.array(rows), numpy.array(right))
    return amplitudes[3] if from_wedge else amplitudes[0]


def energy_coefficient(wedge, refracted, welded=False):
    amplitude = abs(interface(wedge, refracted, welded))
    sine = math.sin(math.radians(refracted)) * wedge[0] / SHEAR
    return (
        DENSITY * SHEAR * math.cos(math.radians(refracted)) / (wedge[2] * wedge[0] * math.sqrt(1 - sine**2)) * amplitude**2
    )


def divergence(level, circular):
    """k in sin(angle) = k wavelength / diameter, for a one-way amplitude."""
    if circular:
        x = optimize.brentq(lambda x: 2 * special.j1(x) / x - level, 1e-6, 3.8)
    else:
        x = optimize.brentq(lambda x: math.sin(x) / x - level, 1e-6, 3.1)
    return x / math.pi


def near_field_rectangle(ratio):
    """k in N = k L^2 / (4 wavelength): last axial maximum of the Fresnel field of a rectangle L by ratio L; 0 is a strip."""

    def field(k):
        # Half widths in Fresnel's variable x sqrt(2 / (wavelength z)) for L = 1, z = k / (4 wavelength).
        edge = math.sqrt(2 / k)
        value = complex(*reversed(special.fresnel(edge)))
        return abs(value) * (abs(complex(*reversed(special.fresnel(ratio * edge)))) if ratio else 1)

    grid = numpy.linspace(3, 0.4, 5000)
    values = [field(k) for k in grid]
    top = next(i for i in range(1, len(grid) - 1) if values[i] >= values[i - 1] and values[i] >= values[i + 1])
    found = optimize.minimize_scalar(lambda k: -field(k), bounds=(grid[top + 1], grid[top - 1]), method="bounded")
    return found.x


def least_time(element, focus, wedge_speed=2.33):
    """Travel time from an element (x, height) to a focus (x, depth)."""

    def time(x):
        return math.hypot(x - element[0], element[1]) / wedge_speed + math.hypot(focus[0] - x, focus[1]) / SHEAR

    return optimize.minimize_scalar(time, bounds=(element[0], focus[0]), method="bounded", options={"xatol": 1e-10}).fun


def focal_law(beam):
    """16 elements, pitch 0.6, wedge 36 deg, first element 5 mm high: element 8 of the law focused at 50 mm of path, in ns."""
    slope = math.radians(36)
    elements = [(0.6 * k * math.cos(slope), 5 + 0.6 * k * math.sin(slope)) for k in range(16)]
    centre = tuple(sum(e[k] for e in elements) / 16 for k in (0, 1))
    wedge = math.asin(math.sin(math.radians(beam)) * 2.33 / SHEAR)
    exit_x = centre[0] + centre[1] * math.tan(wedge)
    focus = (exit_x + 50 * math.sin(math.radians(beam)), 50 * math.cos(math.radians(beam)))
    times = [least_time(e, focus) for e in elements]
    return 1e3 * (max(times) - times[7])


def drop_length(flaw, level_db):
    """Length by drop of a flaw `flaw` two-way -6 dB widths long under a Gaussian beam, in those widths."""
    sigma = 0.5 / math.sqrt(2 * math.log(2))

    def height(x):
        return special.erf((x + flaw / 2) / (sigma * math.sqrt(2))) - special.erf((x - flaw / 2) / (sigma * math.sqrt(2)))

    wanted = height(0) * 10 ** (-level_db / 20)
    return 2 * optimize.brentq(lambda x: height(x) - wanted, 0, flaw + 5)


def columns(name):
    with open(DATA / name, newline="") as file:
        rows = list(csv.reader(file))[1:]
    return numpy.array(rows, dtype=float).T


def logit_fit(size, hit):
    model = statsmodels.api.GLM(hit, statsmodels.api.add_constant(size), family=statsmodels.api.families.Binomial())
    return model, model.fit(tol=1e-14, maxiter=200)


def detection(size, hit):
    """b0, b1, a50, a90, a90/95 by Wald and by likelihood."""
    model, fitted = logit_fit(size, hit)
    (b0, b1), variance = fitted.params, fitted.cov_params()
    wanted, z = math.log(9), stats.norm.ppf(0.95)
    a90 = (wanted - b0) / b1

    def short(x):
        at = numpy.array([1, x])
        return at @ fitted.params - z * math.sqrt(at @ variance @ at) - wanted

    wald = optimize.brentq(short, a90, a90 + 20)

    def excess(x):
        def loss(slope):
            eta = wanted + slope * (size - x)
            return 2 * numpy.sum(numpy.logaddexp(0, eta) - hit * eta)

        return optimize.minimize_scalar(loss, bracket=(0.1, b1), tol=1e-13).fun - fitted.deviance - stats.chi2.ppf(0.9, 1)

    return b0, b1, -b0 / b1, a90, wald, optimize.brentq(excess, a90 + 1e-6, a90 + 20)


def computed():
    """(id, what) -> value."""
    out = {}

    def put(ident, what, value):
        out[ident, what] = float(value)

    put("C01", "ratio", (LONGITUDINAL**2 - 2 * SHEAR**2) / (2 * (LONGITUDINAL**2 - SHEAR**2)))
    for beam in (45, 60, 70):
        put("C02", f"wedge_deg_{beam}", degrees(math.sin(math.radians(beam)) * 2.33 / SHEAR))
    for name, wedge in (("polystyrene", POLYSTYRENE), ("acrylic", ACRYLIC)):
        put("C03", f"{name}_first_deg", degrees(wedge[0] / LONGITUDINAL))
        put("C03", f"{name}_second_deg", degrees(wedge[0] / SHEAR))
    put("C04", "critical_deg", degrees(SHEAR / LONGITUDINAL))
    for angle in (0, 10, 20, 25, 30, 45):
        put("C05", f"reflection_{angle}", abs(free_surface(angle)))
    lowest = optimize.minimize_scalar(lambda a: abs(free_surface(a)), bounds=(28, 33), method="bounded", options={"xatol": 1e-9})
    put("C06", "reflection", lowest.fun)
    put("C06", "angle_deg", lowest.x)
    worst = max(abs(abs(free_surface(a)) ** 2 + energy_to_longitudinal(a) - 1) for a in numpy.arange(0.5, 33, 0.5))
    put("C07", "energy", 1 + (worst if worst > 1e-12 else 0))
    for beam in (45, 50, 55):
        put("C08", f"phase_deg_{beam}", math.degrees(numpy.angle(corner(beam))))
    for beam in (57, 58, 60, 65, 70, 75):
        put("C09", f"corner_db_{beam}", db(corner(beam)))
    put("C10", "asymmetry", round(abs(corner(40) - corner(50)), 12))
    for ident, wedge in (("C11", POLYSTYRENE), ("C12", ACRYLIC)):
        for beam in (45, 60, 70):
            put(ident, f"round_trip_db_{beam}", db(energy_coefficient(wedge, beam)))
    there_and_back = interface(POLYSTYRENE, 45, False) * interface(POLYSTYRENE, 45, False, from_wedge=False)
    put("C13", "there_and_back_over_energy", abs(there_and_back) / energy_coefficient(POLYSTYRENE, 45))
    put("C13", "welded_db_45", db(energy_coefficient(POLYSTYRENE, 45, welded=True)))
    for beam in (40, 50, 55, 60, 65, 70, 75):
        relative = db(energy_coefficient(POLYSTYRENE, beam)) - db(energy_coefficient(POLYSTYRENE, 45))
        put("C14", f"relative_db_{beam}", relative)
    for ident, drop, level in (("C15", 6, math.sqrt(0.5)), ("C16", 20, math.sqrt(0.1))):
        put(ident, "circular", divergence(level, True))
        put(ident, "rectangular", divergence(level, False))
    wavelength = SHEAR / 5
    put("C17", "paraxial_mm", 100 / (4 * wavelength))
    put("C17", "exact_mm", (100 - wavelength**2) / (4 * wavelength))
    for ratio in (1.0, 0.8, 0.6, 0.5):
        put("C18", f"ratio_{ratio}", near_field_rectangle(ratio))
    put("C18", "strip", near_field_rectangle(0))
    steer = math.sin(math.radians(6.677))
    put("C19", "minus_deg", degrees(steer - 0.466 / 0.6))
    put("C19", "plus_deg", degrees(steer + 0.466 / 0.6))
    put("C20", "pitch_mm", wavelength / (1 + math.sin(math.radians(70))))
    slope = math.radians(36)
    for beam in (45, 60, 70):
        wedge = math.asin(math.sin(math.radians(beam)) * 2.33 / SHEAR)
        put("C21", f"step_ns_{beam}", 1e3 * 0.6 * math.sin(wedge - slope) / 2.33)
        put("C22", f"delay_ns_{beam}", focal_law(beam))
        put("C23", f"time_ns_{beam}", 1e3 * (5 + 7.5 * 0.6 * math.sin(slope)) / (2.33 * math.cos(wedge)))
    # S / (2 lambda s), sqrt(D / 2s) of it for a cylinder, and two spreadings for disc and sphere.
    put("C24", "wall_db", db(0.5))
    put("C24", "hole_db", db(0.5**1.5))
    put("C24", "disc_db", db(0.25))
    put("C25", "hole_db", db(math.sqrt(0.5)))
    put("C26", "constant", math.sqrt(math.sqrt(2) / math.pi))
    put("C26", "disc_mm", math.sqrt(math.sqrt(2) / math.pi * SHEAR / 4 * math.sqrt(3 * 50)))
    put("C34", "surface_mm", 60 * math.sin(math.radians(60)))
    put("C34", "depth_mm", 2 * 20 - 60 * math.cos(math.radians(60)))
    put("C34", "half_skip_mm", 20 * math.tan(math.radians(60)))
    for flaw in (2, 1, 0.5):
        put("C35", f"flaw_{flaw}", drop_length(flaw, 20 * math.log10(2)))
    for beam in (45, 60, 70):
        put("C36", f"height_mm_{beam}", SHEAR / (2 * math.cos(math.radians(beam))))
    put("C37", "r100_us", 2 * 100 / SHEAR)
    put("C37", "r50_us", 2 * 50 / SHEAR)
    temperature, distress = columns("o_ring_23.csv")
    _, fitted = logit_fit(temperature, distress)
    put("C40", "o_ring_intercept", fitted.params[0])
    put("C40", "o_ring_slope", fitted.params[1])
    put("C40", "o_ring_intercept_error", fitted.bse[0])
    put("C40", "o_ring_slope_error", fitted.bse[1])
    put("C40", "o_ring_deviance", fitted.deviance)
    size, hit = columns("hit_miss_60.csv")
    for name, sizes in (("linear", size), ("log", numpy.log(size))):
        values = detection(sizes, hit)
        for what, value in zip(("intercept", "slope", "a50", "a90", "wald", "likelihood"), values):
            in_mm = math.exp(value) if name == "log" and what in ("a50", "a90", "wald", "likelihood") else value
            put("C40", f"{name}_{what}", in_mm)
    return out


def printed_numbers(text):
    """Numbers of a cell of check_values.csv."""
    out, word = [], ""
    for character in text.replace("+", " ") + " ":
        if character.isdigit() or character == "." or (character == "-" and not word):
            word += character
        else:
            if any(c.isdigit() for c in word):
                out.append(float(word.strip(".")))
            word = ""
    return out


def main():
    values = computed()
    path = DATA / "computed.csv"
    if "--write" in sys.argv[1:]:
        with open(path, "w", newline="\n") as file:
            file.write("id,what,value\n")
            for (ident, what), value in values.items():
                file.write(f"{ident},{what},{value:.9g}\n")
        print(f"{len(values)} values written")
    with open(path, newline="") as file:
        kept = {(row["id"], row["what"]): float(row["value"]) for row in csv.DictReader(file)}

    def same(key):
        return math.isclose(kept.get(key, math.nan), values.get(key, math.nan), rel_tol=2e-6, abs_tol=1e-9)

    wrong = [key for key in kept.keys() | values.keys() if not same(key)]
    for ident, what in sorted(wrong):
        print(f"{ident} {what}: kept {kept.get((ident, what))}, computed {values.get((ident, what))}")
    # Of every printed value at least one number must be met within its own tolerance; words and indices among the
    # printed numbers are met by nothing.
    with open(DATA / "check_values.csv", newline="") as file:
        rows = {row["id"]: row for row in csv.DictReader(file)}
    unmet = []
    for ident in sorted({ident for ident, _ in values}):
        ours = [abs(value) for (other, _), value in values.items() if other == ident]
        printed, tolerance = printed_numbers(rows[ident]["value"]), rows[ident]["tolerance"]
        met = [n for n in printed if any(close(abs(n), value, tolerance) for value in ours)]
        print(f"{ident}: {len(met)} of {len(printed)} printed numbers met ({rows[ident]['value']})")
        if printed and not met:
            unmet.append(ident)
    print(f"{len(values)} values, {len(wrong)} differ from {path.name}, printed but not met: {unmet or 'none'}")
    return 1 if wrong or unmet else 0


def close(printed, value, tolerance):
    # Where there are two tolerances the wider one is that of the degrees or decibels.
    firsts = [part.split()[0] for part in tolerance.split(";")]
    allowed = max([float(word) for word in firsts if word[0].isdigit()], default=1e-9)
    if "%" in tolerance:
        allowed *= value / 100
    return abs(printed - value) <= max(allowed, 1e-9)


if __name__ == "__main__":
    sys.exit(main())
