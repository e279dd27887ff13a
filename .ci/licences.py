#!/usr/bin/env python3
"""Whether every dependency may be built in: its licence and where it comes from, by .ci/deny.toml.

The expressions are SPDX's: `A OR B` is met by either, `A AND B` by both; `/` is an old `OR`."""

import json
import pathlib
import re
import subprocess
import sys
import tomllib

RULES = tomllib.loads((pathlib.Path(__file__).parent / "deny.toml").read_text())
ALLOWED = set(RULES["licenses"]["allow"])
REGISTRIES = {f"registry+{url}" for url in RULES["sources"]["allow-registry"]}


def allowed(expression: str) -> bool:
    """Whether an expression can be met with the licences allowed."""
    words = re.findall(r"[()]|[^()\s]+(?:\s+WITH\s+[^()\s]+)?", expression.replace("/", " OR "))
    met = [str(re.sub(r"\s+", " ", w) in ALLOWED) if w not in {"(", ")", "OR", "AND"} else w.lower() for w in words]
    # Only True, False, and, or and parentheses are left.
    return bool(eval(" ".join(met), {"__builtins__": {}}))


def main() -> int:
    assert allowed("(MIT OR GPL-3.0-only) AND Zlib") and not allowed("MIT AND GPL-3.0-only")
    asked = ["cargo", "metadata", "--format-version", "1", "--locked"]
    packages = json.loads(subprocess.run(asked, check=True, capture_output=True).stdout)["packages"]
    faults = []
    for package in packages:
        name = f"{package['name']} {package['version']}"
        if not allowed(package["license"] or "none stated"):
            faults.append(f"{name}: licence {package['license']}")
        if package["source"] not in REGISTRIES | {None}:
            faults.append(f"{name}: from {package['source']}")
    print("\n".join(faults) or f"licences: {len(packages)} packages, all allowed")
    return 1 if faults else 0


sys.exit(main())
