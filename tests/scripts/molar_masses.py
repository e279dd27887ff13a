#!/usr/bin/env python3
"""Regenerates tests/reference/molar-masses.csv from two PyPI libraries.

    python3 -m venv venv && venv/bin/pip install periodictable==2.1.0 molmass==2026.1.8 pyyaml
    venv/bin/python tests/scripts/molar_masses.py > tests/reference/molar-masses.csv
"""
import csv, glob, os, sys
from importlib.metadata import version

import molmass
import periodictable
import yaml

HERE = os.path.dirname(os.path.abspath(__file__))


def parts(formula):
    """A hydrate as (count, formula) pairs, since the two libraries write the dot differently."""
    for part in formula.split("."):
        digits = len(part) - len(part.lstrip("0123456789"))
        yield int(part[:digits] or 1), part[digits:]


def main():
    print(f"# Molar masses, g/mol: PyPI periodictable {version('periodictable')} and molmass {version('molmass')}.")
    print("# How obtained: computed by the libraries from the formula. Made by tests/scripts/molar_masses.py.")
    print("# Tolerance: 0.02 g/mol (the libraries differ by up to 0.004 from one edition of atomic weights to another).")
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["id", "formula", "periodictable", "molmass"])
    paths = glob.glob(os.path.join(HERE, "..", "..", "hazards", "chemicals", "*.yaml"))
    entries = {entry["id"]: entry for entry in (yaml.safe_load(open(path, encoding="utf-8")) for path in paths)}
    for _, entry in sorted(entries.items()):
        root = entries.get(entry.get("form_of"), {})
        formula = entry.get("formula", root.get("formula"))
        if not formula:
            continue
        first = sum(n * periodictable.formula(f).mass for n, f in parts(formula))
        second = sum(n * molmass.Formula(f).mass for n, f in parts(formula))
        out.writerow([entry["id"], formula, f"{first:.4f}", f"{second:.4f}"])


if __name__ == "__main__":
    main()
