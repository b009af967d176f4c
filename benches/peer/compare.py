"""The whole program on a sound piece and on one with faults beside its peer (peer.py), one after the other at every size,
and the table that comes of it.

    python3 benches/peer/compare.py [SIZE ...]

Takes the release build (`cargo build --release`) and makes a Python environment of its own below `target`. CPU is user and
system time of the whole process, interpreter and all; memory the most it held.
"""

import math
import os
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SIZES = [300, 1_000, 10_000, 100_000, 1_000_000]


def environment():
    python = ROOT / "target/peer/bin/python"
    if not python.exists():
        subprocess.run([sys.executable, "-m", "venv", str(ROOT / "target/peer")], check=True)
        packages = ["numpy", "shapely", "pikepdf"]
        subprocess.run([str(python), "-m", "pip", "install", "-q", "--disable-pip-version-check", *packages], check=True)
    return python


def measured(command, folder):
    """CPU seconds, MB, exit code of a command."""
    pid = os.fork()
    if pid == 0:
        null = os.open(os.devnull, os.O_WRONLY)
        os.dup2(null, 1)
        os.environ["SAWPIERCE_SETTINGS"] = str(folder / "settings")
        os.chdir(folder)
        os.execv(command[0], command)
    _, status, used = os.wait4(pid, 0)
    return used.ru_utime + used.ru_stime, used.ru_maxrss / 1024, os.waitstatus_to_exitcode(status)


def job(count, sound):
    """A disc of so many openings: with thin bridges and small openings, whose remedies are looked for, or sound."""
    pitch, border = 4.0, 2.5
    bridge, limits = (1.2, "[limits]\nopening = 1.0\n") if sound else (1.0, "")
    across = math.sqrt(count * pitch * pitch * math.sqrt(3) / 2 * 4 / math.pi) + 2 * border
    return (
        'skill = "practised"\n[sheet]\nmetal = "copper"\nthickness = 0.9\ntemper = "half-hard"\n'
        f'[outline]\nshape = "circle"\ndiameter = {across:.3f}\nborder = {border}\n'
        f'[pattern]\nname = "hexagon"\npitch = {pitch}\nbridge = {bridge}\nat_border = "trim"\n[saw]\ndrill = 0.8\n{limits}'
    )


def bytes_of(folder, ending):
    return sum(f.stat().st_size for f in folder.glob(f"*.{ending}"))


def main():
    sizes = [int(float(a)) for a in sys.argv[1:]] or SIZES
    python = str(environment())
    program = os.path.realpath(os.environ.get("SAWPIERCE", ROOT / "target/release/sawpierce"))
    if not os.access(program, os.X_OK):
        sys.exit(f"{program}: build it first (cargo build --release)")
    print(f"{'openings':>9} {'who':<9} {'CPU s':>8} {'MB':>7} {'SVG MB':>8} {'PDF MB':>8} {'JSON MB':>8} {'B an opening':>13} {'growth':>7}")
    before = {}
    for count in sizes:
        for who in ["sound", "faulty", "peer"]:
            with tempfile.TemporaryDirectory() as name:
                folder = Path(name)
                if who != "peer":
                    (folder / "disc.toml").write_text(job(count, who == "sound"))
                    command = [program, "draw", "disc.toml"]
                else:
                    command = [python, str(ROOT / "benches/peer/peer.py"), str(count), name]
                cpu, mb, code = measured(command, folder)
                if code not in (0, 1):
                    print(f"{count:>9} {who:<9} refused (exit {code})")
                    before.pop(who, None)
                    continue
                growth, each = "", ""
                if who in before:
                    n, c, m = before[who]
                    growth = f"{math.log(cpu / c) / math.log(count / n):.2f}"
                    each = f"{(mb - m) * 1048576 / (count - n):.0f}"
                before[who] = (count, cpu, mb)
                sizes_of = [bytes_of(folder, ending) / 1e6 for ending in ["svg", "pdf", "json"]]
                print(
                    f"{count:>9} {who:<9} {cpu:>8.3f} {mb:>7.0f} {sizes_of[0]:>8.2f} {sizes_of[1]:>8.2f} {sizes_of[2]:>8.2f}"
                    f" {each:>13} {growth:>7}",
                    flush=True,
                )


main()
