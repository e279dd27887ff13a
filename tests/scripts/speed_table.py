#!/usr/bin/env python3
"""Whole-process times and peak memory of the program, beside general-purpose programs at the same work.

Not part of the test command. Needs a release build and, for the comparison, `pip install typst`:

    cargo build --release
    python3 tests/scripts/speed_table.py [RUNS]

Typst sets the same sheet, converted from the program's own Markdown: headings, paragraphs, lists
and tables, the same fonts not needed. The sums of the ledger and the pH solves have benches of
their own: `cargo bench --bench ledger`, `cargo bench --bench equilibrium` with
`phreeqc_compare.py`, `cargo bench --bench classify`.
"""

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = ROOT / "target" / "release" / "wetside"


def run(arguments, folder):
    """Seconds and peak kilobytes of one run."""
    started = time.perf_counter()
    child = subprocess.Popen(arguments, cwd=folder, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    _, status, usage = os.wait4(child.pid, 0)
    child.returncode = os.waitstatus_to_exitcode(status)
    if child.returncode > 1:
        sys.exit(f"{arguments} ended with {child.returncode}")
    return time.perf_counter() - started, usage.ru_maxrss


def row(name, arguments, folder, runs):
    taken = [run(arguments, folder) for _ in range(runs)]
    seconds = [seconds for seconds, _ in taken]
    peak = max(kilobytes for _, kilobytes in taken)
    print(f"{name:48} {min(seconds) * 1e3:8.1f} {statistics.median(seconds) * 1e3:8.1f} {peak / 1024:8.0f}")


def all_pairs(folder):
    """A session of one recipe with 40 chemicals, so that all pairs of them are asked about."""
    listed = subprocess.run([PROGRAM, "catalogue", "list", "--format", "json"], capture_output=True, text=True, cwd=folder)
    ids = re.findall(r'"id": "([a-z0-9-]+)"', listed.stdout)
    lines = "\n".join(f"  - {name}: 1 g" for name in ids[: 3 * 40 : 3])
    (folder / "recipes" / "forty.yaml").write_text(
        f"makes: 1 L\nkind: developer\nstart: {{water: 750 mL, at: 20 °C}}\nadd:\n{lines}\ntop_up: 1 L\n"
    )
    session = (folder / "sessions" / "thursday.yaml").read_text()
    head = session.split("make:")[0]
    (folder / "sessions" / "forty.yaml").write_text(f"{head}make:\n  - {{recipe: forty, volume: 1 L}}\n")


def five_hundred(folder):
    session = (folder / "sessions" / "thursday.yaml").read_text()
    (folder / "many").mkdir()
    for number in range(500):
        (folder / "many" / f"day-{number:03}.yaml").write_text(session)
    return [f"many/day-{number:03}.yaml" for number in range(500)]


def as_typst(markdown):
    """The sheet's Markdown in Typst's markup: the same words, headings, lists and tables."""
    plain = lambda text: re.sub(r"([#$@<>_*`\\\[\]])", r"\\\1", re.sub(r"[*_\\]", "", re.sub(r"!\[.*?\]\(.*?\)|\{[.#].*?\}", "", text)))
    out, table = ["#set page(paper: \"a4\", margin: 12mm)", "#set text(size: 9.5pt)"], []

    def close():
        if table:
            cells = [row for row in table if not all(re.fullmatch(r":?-+:?", cell) for cell in row)]
            width = max(len(row) for row in cells)
            body = ", ".join(f"[{plain(cell)}]" for row in cells for cell in row + [""] * (width - len(row)))
            out.append(f"#table(columns: {width}, {body})")
            table.clear()

    for line in markdown.splitlines():
        if line.startswith("|"):
            table.append([cell.strip() for cell in line.strip("|").split("|")])
            continue
        close()
        heading = re.match(r"(#+) (.*)", line)
        if heading:
            out.append("=" * len(heading[1]) + " " + plain(heading[2]))
        elif line.startswith("- "):
            out.append("- " + plain(line[2:]))
        else:
            out.append(plain(line))
    close()
    return "\n".join(out)


def main():
    runs = int(sys.argv[1]) if len(sys.argv) > 1 else 15
    print(f"{'':48} {'min ms':>8} {'median':>8} {'peak MB':>8}   ({runs} runs each)")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        subprocess.run([PROGRAM, "init", "--demo", "."], cwd=folder, check=True, stdout=subprocess.DEVNULL)
        all_pairs(folder)
        many = five_hundred(folder)
        session = "sessions/thursday.yaml"
        row("--help", [PROGRAM, "--help"], folder, runs)
        row("sheet of the demo, PDF", [PROGRAM, "sheet", session, "-o", "sheet.pdf"], folder, runs)
        row("check of the demo", [PROGRAM, "check", session], folder, runs)
        row("check of 40 chemicals, all pairs", [PROGRAM, "check", "sessions/forty.yaml"], folder, runs)
        row("check of 500 sessions in one call", [PROGRAM, "check", *many], folder, max(3, runs // 5))
        markdown = subprocess.run([PROGRAM, "sheet", session, "--format", "md"], cwd=folder, capture_output=True, text=True).stdout
        (folder / "sheet.typ").write_text(as_typst(markdown))
        typst = "import typst; typst.compile('sheet.typ', output='typst.pdf')"
        try:
            import typst as _  # noqa: F401
        except ImportError:
            print("typst is not installed: pip install typst")
            return
        row("Typst: the same words, PDF (with Python's start)", [sys.executable, "-c", typst], folder, runs)
        row("  of it, Python's start and the import", [sys.executable, "-c", "import typst"], folder, runs)
    print(f"binary: {PROGRAM.stat().st_size / 1e6:.1f} MB")


if __name__ == "__main__":
    main()
