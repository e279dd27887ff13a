#!/usr/bin/env python3
"""Measures the ledger through the program, beside two general-purpose yardsticks.

    tests/scripts/ledger_scale.py target/release/wetside [ENTRIES ...]

Writes an export of so many entries with its chain of hashes (a second implementation of the form),
imports it, and prints what one further entry, a tally and a verification take through the
program; what `sqlite3` takes to add up the same transfers by hand-written SQL; and what the
plain-text accounting program `ledger` of Debian takes to balance the same transfers. The balances
of all three are compared. Needs: sqlite3, ledger (apt).
"""
import datetime
import hashlib
import json
import pathlib
import re
import resource
import subprocess
import sys
import tempfile
import time

DRUMS = 24
ML = 1000  # microlitres


def compact(value):
    return json.dumps(value, separators=(",", ":"), ensure_ascii=False)


def place(name, kind, stream=None):
    made = {"name": name, "kind": kind, "stream": stream, "unit": "uL", "capacity": None}
    return "place", [], {"place": made}


def moved(kind, source, destination, millilitres, details=None):
    fixer = {"name": "fixer", "stream": "spent-fixer", "keeps_days": 0, "mm2_per_l": 0}
    line = {"from": source, "to": destination, "what": fixer, "unit": "uL", "amount": millilitres * ML}
    return kind, [line], details or {}


def happenings():
    """A round of the darkroom, for ever: mixed, used, poured away, collected."""
    yield place("tray", "tray")
    for drum in range(DRUMS):
        yield place(f"drum {drum}", "container", "spent-fixer")
    at = 0
    while True:
        drum = f"drum {at % DRUMS}"
        yield moved("made", "mixed", "tray", 1000)
        yield moved("pour", "tray", drum, 900)
        yield moved("carried over", "tray", "carried over", 25)
        yield moved("collected", drum, "collected", 500, {"receipt": "N 1", "carrier": "harbour"})
        at += 1


def write_export(path, entries):
    transfers, previous = [], bytes(32)
    start = datetime.date(2026, 1, 1)
    with open(path, "w") as out:
        for number, (kind, lines, details) in zip(range(1, entries + 1), happenings()):
            record = {
                "number": number,
                "kind": kind,
                "day": str(start + datetime.timedelta(days=number // 3000)),
                "who": "Ilse",
                "note": "",
                "session": "",
                "reverses": None,
                "lines": lines,
                "details": compact(details),
                "hash": "",
            }
            previous = hashlib.sha256(previous + compact(record).encode()).digest()
            record["hash"] = previous.hex()
            out.write(compact(record) + "\n")
            transfers += [(record["day"], line["from"], line["to"], line["amount"] // ML) for line in lines]
    return transfers, previous.hex()


def processor_time():
    used = resource.getrusage(resource.RUSAGE_CHILDREN)
    return used.ru_utime + used.ru_stime


def timed(command, runs=5):
    """Best elapsed and best processor time of several runs, milliseconds, and what was printed."""
    elapsed, worked, output = float("inf"), float("inf"), ""
    for _ in range(runs):
        started, before = time.perf_counter(), processor_time()
        done = subprocess.run(command, capture_output=True, text=True)
        elapsed = min(elapsed, (time.perf_counter() - started) * 1000)
        worked = min(worked, (processor_time() - before) * 1000)
        output = done.stdout
        if done.returncode not in (0, 1):
            sys.exit(f"{command}: {done.stderr}")
    return (elapsed, worked), output


def balances_of_sqlite(text):
    return {name: int(amount) // ML for name, amount in (line.split("|") for line in text.split("\n") if line)}


def balances_of_journal(text):
    found = re.findall(r"^ *(-?\d+) mL  (.+)$", text, re.M)
    return {name.strip(): int(amount) for amount, name in found}


SUM = """SELECT p.name, sum(b.amount) FROM
 (SELECT destination AS place, amount FROM transfer UNION ALL SELECT source, -amount FROM transfer) b
 JOIN place p ON p.id = b.place GROUP BY p.id HAVING sum(b.amount) <> 0"""


def measure(program, entries, folder):
    workspace = folder / f"of-{entries}"
    workspace.mkdir()
    (workspace / "darkroom.yaml").write_text("rules: us\nholder: business\n")
    export = folder / "export.jsonl"
    transfers, last = write_export(export, entries)
    run = [program, "-C", workspace]
    importing, _ = timed([*run, "ledger", "import", export], 1)
    pour = [*run, "log", "pour", "tray", "1mL", "drum 1", "--who", "Ilse", "--on", "2027-01-01"]
    verifying, told = timed([*run, "ledger", "verify"], 1)
    assert last in told, "the two implementations of the chain differ"
    tally_command = [*run, "tally", "--on", "2027-01-01", "--format", "json"]
    tallying, tally = timed(tally_command, 9)
    summing, of_sqlite = timed(["sqlite3", "-readonly", workspace / "waste.db", SUM], 3)
    held = {line["name"]: round(line["litres"] * 1000) for line in json.loads(tally)["containers"]}
    summed = balances_of_sqlite(of_sqlite)
    assert held == {name: summed.get(name, 0) for name in held}, "tally and sqlite3 differ"
    journal = folder / "journal"
    with open(journal, "w") as out:
        for day, source, destination, amount in transfers:
            out.write(f"{day.replace('-', '/')} entry\n  {destination}  {amount} mL\n  {source}\n\n")
    balancing, of_journal = timed(["ledger", "-f", journal, "balance", "--flat"], 3 if entries < 500_000 else 1)
    journal_held = balances_of_journal(of_journal)
    assert all(journal_held.get(name, 0) == amount for name, amount in held.items()), "tally and ledger differ"
    booking, _ = timed(pour, 9)
    for name, (elapsed, worked) in [
        ("import, whole", importing),
        ("log pour, one entry", booking),
        ("tally", tallying),
        ("ledger verify", verifying),
        ("sqlite3 summing", summing),
        ("ledger balance", balancing),
    ]:
        print(f"{entries:>9}  {name:<22}{elapsed:>10.0f}{worked:>12.0f}", flush=True)


def main():
    program = pathlib.Path(sys.argv[1]).resolve()
    sizes = [int(word) for word in sys.argv[2:]] or [10_000, 100_000, 1_000_000]
    print("  entries  what                  ms elapsed  ms processor")
    with tempfile.TemporaryDirectory() as folder:
        for entries in sizes:
            measure(program, entries, pathlib.Path(folder))


if __name__ == "__main__":
    main()
