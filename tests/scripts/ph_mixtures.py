#!/usr/bin/env python3
"""Writes tests/reference/ph-mixtures.csv: photographic solutions and mixtures of them, pH by PHREEQC.

Not part of the test command. Needs `pip install phreeqpython`; any user can run it again.

    python3 tests/scripts/ph_mixtures.py > tests/reference/ph-mixtures.csv

The model is specific ion interaction over the constants below, each from the source named in
tests/reference/ph-computed.csv; no polyborates, no ion pairs. Mixtures are drawn by a seeded
generator, so the file comes out the same each time.
"""

import itertools
import pathlib
import random
import sys
import tempfile

# Component of this program: PHREEQC element, master species and its charge.
COMPONENTS = {
    "sodium": ("Na", "Na+"), "potassium": ("K", "K+"), "chloride": ("Cl", "Cl-"), "bromide": ("Br", "Br-"),
    "sulfate": ("Sulfate", "Sulfate-2"), "carbonate": ("Carb", "Carb-2"), "sulfite": ("Sulfite", "Sulfite-2"),
    "thiosulfate": ("Thios", "Thios-2"), "borate": ("Borate", "HBorate"), "acetate": ("Acet", "Acet-"),
    "citrate": ("Citr", "Citr-3"), "phosphate": ("Phos", "Phos-3"), "ammonia": ("Amm", "AmmH+"),
    "hydroquinone": ("Hq", "H2Hq"), "tartrate": ("Tart", "Tart-2"), "phthalate": ("Phth", "Phth-2"),
    "oxalate": ("Oxal", "Oxal-2"), "sulfide": ("Sulfid", "HSulfid-"), "cyanide": ("Cyan", "Cyan-"),
    "hypochlorite": ("Ocl", "Ocl-"),
}
# log K at 25 °C and enthalpy, kJ/mol, of the reaction as written.
REACTIONS = [
    ("H2O = OH- + H+", -13.995, 55.815),
    ("Carb-2 + H+ = HCarb-", 10.329, -14.7), ("Carb-2 + 2 H+ = H2Carb", 16.681, -23.86),
    ("Sulfite-2 + H+ = HSulfite-", 7.172, 3.65), ("Sulfite-2 + 2 H+ = H2Sulfite", 9.029, 21.45),
    ("Sulfate-2 + H+ = HSulfate-", 1.987, 22.4), ("Thios-2 + H+ = HThios-", 1.72, 8.253),
    ("HBorate + H2O = HBorateOH- + H+", -9.237, 13.8), ("Acet- + H+ = HAcet", 4.757, 0.41),
    ("Citr-3 + H+ = HCitr-2", 6.396, 3.3472), ("Citr-3 + 2 H+ = H2Citr-", 11.157, 1.297),
    ("Citr-3 + 3 H+ = H3Citr", 14.285, -2.7614),
    ("Phos-3 + H+ = HPhos-2", 12.35, -14.6), ("Phos-3 + 2 H+ = H2Phos-", 19.56, -18.2),
    ("Phos-3 + 3 H+ = H3Phos", 21.7, -9.72), ("AmmH+ = Amm + H+", -9.244, 52.0),
    ("Phth-2 + H+ = HPhth-", 5.408, 2.1757), ("Phth-2 + 2 H+ = H2Phth", 8.358, 4.8534),
    ("Tart-2 + H+ = HTart-", 4.366, -0.7531), ("Tart-2 + 2 H+ = H2Tart", 7.402, -3.6819),
    ("Oxal-2 + H+ = HOxal-", 4.266, 7.0), ("Oxal-2 + 2 H+ = H2Oxal", 5.536, 10.9),
    ("H2Hq = HHq- + H+", -9.93, 24.0), ("H2Hq = Hq-2 + 2 H+", -21.79, 46.0),
    ("HSulfid- + H+ = H2Sulfid", 6.99, -22.3), ("HSulfid- = Sulfid-2 + H+", -17.1, 73.278),
    ("Cyan- + H+ = HCyan", 9.21, -43.63), ("Ocl- + H+ = HOcl", 7.54, -13.8),
]
EPSILON = {
    ("Na+", "Cl-"): 0.03, ("AmmH+", "Cl-"): -0.01, ("H+", "Cl-"): 0.12, ("OH-", "Na+"): 0.04, ("Carb-2", "Na+"): -0.08,
    ("Sulfite-2", "Na+"): -0.08, ("Sulfate-2", "Na+"): -0.12, ("HSulfate-", "Na+"): -0.01, ("HBorateOH-", "Na+"): -0.07,
    ("Citr-3", "Na+"): -0.076, ("HCitr-2", "Na+"): -0.04, ("H2Citr-", "Na+"): -0.05, ("Phos-3", "Na+"): -0.25,
    ("HPhos-2", "Na+"): -0.15, ("H2Phos-", "Na+"): -0.08, ("Br-", "Na+"): 0.05, ("Oxal-2", "Na+"): -0.08,
    ("HOxal-", "Na+"): -0.07, ("Acet-", "Na+"): 0.08,
}
# What a formula unit gives, and its molar mass.
SALTS = {
    "Na2SO3": (126.04, {"sodium": 2, "sulfite": 1}), "Na2S2O5": (190.1, {"sodium": 2, "sulfite": 2}),
    "Na2CO3": (105.99, {"sodium": 2, "carbonate": 1}), "K2CO3": (138.2, {"potassium": 2, "carbonate": 1}),
    "NaHCO3": (84.01, {"sodium": 1, "carbonate": 1}), "NaOH": (40.0, {"sodium": 1}), "KOH": (56.1, {"potassium": 1}),
    "HAc": (60.05, {"acetate": 1}), "NaAc": (82.03, {"sodium": 1, "acetate": 1}), "KBr": (119.0, {"potassium": 1, "bromide": 1}),
    "borax": (381.4, {"sodium": 2, "borate": 4}), "H3BO3": (61.83, {"borate": 1}), "NaBO2": (137.86, {"sodium": 1, "borate": 1}),
    "citric": (192.1, {"citrate": 1}), "Na3Citr": (294.1, {"sodium": 3, "citrate": 1}), "tartaric": (150.1, {"tartrate": 1}),
    "oxalic": (126.1, {"oxalate": 1}), "HQ": (110.1, {"hydroquinone": 1}), "hypo": (248.2, {"sodium": 2, "thiosulfate": 1}),
    "ATS": (148.2, {"ammonia": 2, "thiosulfate": 1}), "NH4Cl": (53.49, {"ammonia": 1, "chloride": 1}), "NH3": (17.03, {"ammonia": 1}),
    "H2SO4": (98.08, {"sulfate": 1}), "NaHSO4": (120.06, {"sodium": 1, "sulfate": 1}), "Na2SO4": (142.0, {"sodium": 2, "sulfate": 1}),
    "HCl": (36.46, {"chloride": 1}), "NaCl": (58.44, {"sodium": 1, "chloride": 1}), "KCN": (65.1, {"potassium": 1, "cyanide": 1}),
    "Na2S": (78.04, {"sodium": 2, "sulfide": 1}), "NaOCl": (74.44, {"sodium": 1, "hypochlorite": 1}),
    "KH2PO4": (136.1, {"potassium": 1, "phosphate": 1}), "Na2HPO4": (142.0, {"sodium": 2, "phosphate": 1}),
    "Na3PO4": (163.9, {"sodium": 3, "phosphate": 1}), "H3PO4": (98.0, {"phosphate": 1}),
}
# Grams in a kilogram of water.
BATHS = {
    "paper developer": {"Na2SO3": 50, "HQ": 10, "Na2CO3": 60, "KBr": 2},
    "potash developer": {"Na2SO3": 60, "HQ": 12, "K2CO3": 50, "KBr": 1},
    "film developer": {"Na2SO3": 100, "HQ": 5, "borax": 2},
    "buffered borax developer": {"Na2SO3": 100, "HQ": 5, "borax": 8, "H3BO3": 8},
    "metaborate developer": {"Na2SO3": 50, "HQ": 5, "NaBO2": 15},
    "phosphate developer": {"Na2SO3": 40, "HQ": 6, "Na3PO4": 25, "KBr": 1},
    "caustic developer": {"Na2SO3": 30, "HQ": 20, "NaOH": 18, "KBr": 4},
    "lith developer": {"Na2S2O5": 22, "HQ": 15, "KOH": 20, "KBr": 2},
    "acetic stop": {"HAc": 20}, "buffered stop": {"HAc": 20, "NaAc": 20}, "citric stop": {"citric": 15},
    "bisulfate stop": {"NaHSO4": 15}, "metabisulfite stop": {"Na2S2O5": 25},
    "plain fixer": {"hypo": 240, "Na2SO3": 10}, "acid fixer": {"hypo": 240, "Na2SO3": 15, "HAc": 15},
    "metabisulfite fixer": {"hypo": 200, "Na2S2O5": 25}, "rapid fixer": {"ATS": 120, "Na2SO3": 12, "HAc": 9},
    "borate fixer": {"ATS": 110, "Na2SO3": 12, "HAc": 10, "H3BO3": 7}, "alkaline fixer": {"ATS": 120, "Na2SO3": 10, "NH3": 5},
    "wash aid": {"Na2SO3": 20, "Na2S2O5": 2}, "citrate wash aid": {"Na2SO3": 20, "Na3Citr": 5, "citric": 1},
    "tartrate bath": {"tartaric": 10, "Na2CO3": 4}, "oxalic clearer": {"oxalic": 20}, "sulfuric bleach": {"H2SO4": 10},
    "salt and acid": {"HCl": 5, "NaCl": 30}, "sulfide toner": {"Na2S": 10}, "household bleach": {"NaOCl": 30, "NaCl": 23},
    "cyanide": {"KCN": 10, "NaOH": 1}, "ammonia": {"NH3": 15, "NH4Cl": 10}, "phosphate buffer": {"KH2PO4": 10, "Na2HPO4": 15},
    "phosphoric acid": {"H3PO4": 10}, "bicarbonate": {"NaHCO3": 20}, "sulfate developer": {"Na2SO3": 30, "HQ": 5, "Na2CO3": 20, "Na2SO4": 50},
}
# What oxidises what it meets has no place in an acid–base equilibrium.
ALONE = {"household bleach"}
# The specific ion interaction model says nothing of polyborates, which matter above this, mol/kg.
MOST_BORATE = 0.1


def database():
    lines = ["SOLUTION_MASTER_SPECIES", "H H+ -1 H 1.008", "H(1) H+ -1 0", "H(0) H2 0 H", "E e- 0 0 0", "O H2O 0 O 16.0",
             "O(-2) H2O 0 0", "O(0) O2 0 O"]
    for element, species in COMPONENTS.values():
        lines.append(f"{element} {species} 0 100 100")
    lines += ["SOLUTION_SPECIES"]
    for species in ["H+", "e-", "H2O", *(species for _, species in COMPONENTS.values())]:
        lines += [f"{species} = {species}", "    log_k 0"]
    lines += ["2H2O = O2 + 4H+ + 4e-", "    log_k -86.08", "2 H+ + 2 e- = H2", "    log_k -3.15"]
    for reaction, log_k, enthalpy in REACTIONS:
        lines += [reaction, f"    log_k {log_k}", f"    delta_h {enthalpy} kJ"]
    lines += ["SIT", "-epsilon"]
    lines += [f"    {a} {b} {value}" for (a, b), value in EPSILON.items()]
    return "\n".join(lines) + "\nEND\n"


def components(grams):
    totals = {}
    for salt, mass in grams.items():
        molar_mass, gives = SALTS[salt]
        for name, count in gives.items():
            totals[name] = totals.get(name, 0.0) + count * mass / molar_mass
    return totals


def mixed(*parts):
    whole = sum(share for _, share in parts)
    totals = {}
    for bath, share in parts:
        for name, amount in components(BATHS[bath]).items():
            totals[name] = totals.get(name, 0.0) + amount * share / whole
    return totals


def solutions():
    for bath in BATHS:
        yield bath, components(BATHS[bath])
    draw = random.Random(4)
    pairs = [pair for pair in itertools.combinations([b for b in BATHS if b not in ALONE], 2)]
    for one, other in draw.sample(pairs, 140):
        a, b = draw.choice([(1, 1), (1, 4), (4, 1), (1, 15), (15, 1)])
        yield f"{one} + {other} {a}:{b}", mixed((one, a), (other, b))
    for _ in range(40):
        three = draw.sample([b for b in BATHS if b not in ALONE], 3)
        shares = [draw.choice([1, 2, 5]) for _ in three]
        yield " + ".join(three) + " " + ":".join(map(str, shares)), mixed(*zip(three, shares))


def main():
    try:
        from phreeqpython import PhreeqPython
    except ImportError:
        sys.exit("phreeqpython is not installed: pip install phreeqpython")
    folder = pathlib.Path(tempfile.mkdtemp())
    (folder / "mixtures.dat").write_text(database())
    phreeqc = PhreeqPython(database="mixtures.dat", database_directory=folder)
    print("# Photographic solutions and mixtures of them: pH and ionic strength by PHREEQC (phreeqpython 1.6.2),")
    print("# specific ion interaction theory, the constants of tests/reference/ph-computed.csv; no polyborates.")
    print("# Written by tests/scripts/ph_mixtures.py; never edited by hand. How obtained: computed.")
    print("# Tolerance: 0.15 below 0.5 mol/kg, 0.35 up to 3 mol/kg. Components in mol/kg water.")
    print("temperature_c,components,ph,ionic_strength,description")
    draw = random.Random(7)
    for name, totals in solutions():
        if totals.get("borate", 0.0) > MOST_BORATE:
            continue
        celsius = draw.choice([18, 20, 25, 25, 38])
        composition = {"units": "mol/kgw", "temp": celsius, "pH": "7 charge"}
        composition.update({COMPONENTS[name][0]: amount for name, amount in totals.items()})
        try:
            solution = phreeqc.add_solution(composition)
        except Exception as error:
            print(f"{name}: {error}", file=sys.stderr)
            continue
        if solution.I <= 3.0:
            parts = " ".join(f"{part}:{amount:.6g}" for part, amount in totals.items())
            print(f"{celsius},{parts},{solution.pH:.4f},{solution.I:.4f},{name}")
        solution.forget()


if __name__ == "__main__":
    main()
