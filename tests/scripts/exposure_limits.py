#!/usr/bin/env python3
"""Regenerates tests/reference/exposure-limits-library.csv from the PyPI library `chemicals`.

    python3 -m venv venv && venv/bin/pip install chemicals==1.5.2 pyyaml
    venv/bin/python tests/scripts/exposure_limits.py > tests/reference/exposure-limits-library.csv

The library carries one list of limits, that of Ontario, as printed by its agency.
"""
import csv, glob, os, re, sys
from importlib.metadata import version

import chemicals
import yaml

HERE = os.path.dirname(os.path.abspath(__file__))
LIST = os.path.join(os.path.dirname(chemicals.__file__), "Safety", "Ontario Exposure Limits.tsv")
COLUMNS = [("TWA", 2), ("STEL", 3), ("ceiling", 4)]


def our_cas_numbers():
    paths = glob.glob(os.path.join(HERE, "..", "..", "hazards", "chemicals", "*.yaml"))
    return {yaml.safe_load(open(path, encoding="utf-8")).get("cas") for path in paths}


def main():
    ours = our_cas_numbers()
    print(f"# Occupational exposure limits of Ontario as carried by the PyPI library chemicals {version('chemicals')}.")
    print("# How obtained: printed by the library (its own table). Made by tests/scripts/exposure_limits.py. Exact.")
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["cas", "kind", "value", "unit"])
    rows = set()
    with open(LIST, encoding="utf-8") as table:
        for line in csv.reader(table, delimiter="\t"):
            if not line or line[0] not in ours:
                continue
            for kind, column in COLUMNS:
                text = line[column] if column < len(line) else ""
                for value, unit in re.findall(r"([\d.]+)\s*(ppm|mg/m3)", text):
                    rows.add((line[0], kind, float(value), unit))
    for cas, kind, value, unit in sorted(rows):
        out.writerow([cas, kind, f"{value:g}", unit])


if __name__ == "__main__":
    main()
