#!/usr/bin/env python3
"""Kills the program in the middle of booking, again and again, and looks at what is left.

    tests/scripts/ledger_kill.py target/release/wetside [RUNS]

One run: `wetside log pour` in a loop, each acknowledged by the line it prints; SIGKILL at a random
moment. Afterwards every acknowledged entry must be in the book, at most one more, and the chain
must verify. Entries are counted over all runs, in one book.
"""
import json
import os
import pathlib
import random
import subprocess
import sys
import tempfile
import time


def json_of(command):
    done = subprocess.run(command, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{command}: {done.stdout}{done.stderr}")
    return json.loads(done.stdout) if done.stdout.strip().startswith("{") else None


def main():
    program, runs = pathlib.Path(sys.argv[1]).resolve(), int((sys.argv[2:] or ["500"])[0])
    random.seed(7)
    with tempfile.TemporaryDirectory() as folder:
        workspace = pathlib.Path(folder)
        (workspace / "darkroom.yaml").write_text("rules: us\n")
        run = [str(program), "-C", folder]
        book = [*run, "log", "--who", "Ilse", "--on", "2026-12-03", "--format", "json"]
        json_of([*book, "add-container", "drum", "--stream", "spent-fixer"])
        acknowledged = 1
        amid, more = 0, 0
        started = time.perf_counter()
        for number in range(runs):
            add = [*book, "add", "fixer", "1mL", "--stream", "spent-fixer", "--into", "drum"]
            until = time.monotonic() + random.uniform(0.0, 0.4)
            killed = False
            while not killed:
                child = subprocess.Popen(add, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL)
                try:
                    out, _ = child.communicate(timeout=max(until - time.monotonic(), 0.0))
                    acknowledged += len(json.loads(out)["booked"])
                except subprocess.TimeoutExpired:
                    os.kill(child.pid, 9)
                    child.communicate()
                    killed = True
            verified = json_of([*run, "ledger", "verify", "--format", "json"])
            unacknowledged = verified["entries"] - acknowledged
            if unacknowledged not in (0, 1):
                sys.exit(f"run {number}: {acknowledged} acknowledged, {verified['entries']} in the book")
            more += unacknowledged
            acknowledged = verified["entries"]
            amid += (workspace / "waste.db-journal").exists()
        litres = json_of([*run, "tally", "--on", "2026-12-03", "--format", "json"])["containers"][0]["litres"]
        assert abs(litres - (acknowledged - 1) / 1000) < 1e-9, (litres, acknowledged)
        print(
            f"{runs} kills, {acknowledged} entries in the book, none acknowledged and lost, none half there; "
            f"{more} were booked and killed before they could say so, {amid} left a journal to roll back; "
            f"{litres} L in the drum; {time.perf_counter() - started:.0f} s"
        )


if __name__ == "__main__":
    main()
