#!/usr/bin/env python3
"""Sets this program beside PHREEQC on the same solutions: pH and time a solve.

Not part of the test command. Needs `pip install phreeqpython` and a release build:

    cargo bench --bench equilibrium          # this program's side, printed first
    python3 tests/scripts/phreeqc_compare.py

PHREEQC's own databases have no developing agents, and phreeqc.dat no acetate, citrate or EDTA;
those are left out on its side (which makes its task smaller), and metol's sulfate stays. Its
ion pairs (NaCO3-, NaSO4- ...) lower the pH of carbonate against the pH standards: see the notes
in tests/reference/ph-computed.csv for the models that rule.
"""

import re
import statistics
import subprocess
import sys
import time

BATHS = {
    "carbonate buffer, 3 components": {"Na": 75, "C": 50, "Cl": 1},
    "paper developer, without agents": {
        "Na": 1980, "K": 17, "Br": 17, "S(6)": 9, "C": 640, "[SO3]": 350,
    },
    "waste, without agents and organics": {
        "Na": 1500, "K": 200, "Br": 20, "S(6)": 20, "C": 300, "B": 50, "N(-3)": 800, "P": 30, "Cl": 100,
        "[SO3]": 300, "[S2O3]": 400,
    },
}

# Sulfite and thiosulfate as components of their own, as in the reference computations.
EXTRA = """
SOLUTION_MASTER_SPECIES
[SO3] [SO3]-2 0 80.06 80.06
[S2O3] [S2O3]-2 0 112.12 112.12
SOLUTION_SPECIES
[SO3]-2 = [SO3]-2
    log_k 0
[SO3]-2 + H+ = H[SO3]-
    log_k 7.17
[SO3]-2 + 2H+ = H2[SO3]
    log_k 9.03
[S2O3]-2 = [S2O3]-2
    log_k 0
[S2O3]-2 + H+ = H[S2O3]-
    log_k 1.72
END
"""


def main():
    try:
        from phreeqpython import PhreeqPython
    except ImportError:
        sys.exit("phreeqpython is not installed: pip install phreeqpython")
    print("this program:")
    ours = own_times()
    print("PHREEQC, phreeqc.dat:")
    phreeqc = PhreeqPython(database="phreeqc.dat")
    phreeqc.ip.run_string(EXTRA)
    for (name, totals), own in zip(BATHS.items(), ours):
        composition = {"units": "mmol/kgw", "temp": 20, "pH": "7 charge", **totals}
        times, ph = [], float("nan")
        for _ in range(400):
            start = time.perf_counter()
            solution = phreeqc.add_solution(composition)
            times.append((time.perf_counter() - start) * 1e6)
            ph = solution.pH
            solution.forget()
        print(
            f"{name}: pH {ph:.3f}; {min(times):.0f} µs a solve at the fastest, {statistics.median(times):.0f} in the "
            f"middle: {min(times) / own:.0f} times ours (fastest beside fastest)"
        )


def own_times():
    """Prints the benchmark's lines; gives µs a solve, each the fastest of many rounds."""
    run = subprocess.run(
        ["cargo", "bench", "--quiet", "--bench", "equilibrium"], capture_output=True, text=True
    )
    print(run.stdout or run.stderr)
    return [float(time) for time in re.findall(r"solve ([0-9.]+) µs", run.stdout)]


if __name__ == "__main__":
    main()
