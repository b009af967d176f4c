"""What the outside tests share: running the built program and reading its SVG with a reader we did not write."""
import json
import math
import os
import pathlib
import subprocess
import xml.etree.ElementTree as ET

import numpy as np
import pytest
import svgelements

ROOT = pathlib.Path(__file__).resolve().parents[2]
SVG = "{http://www.w3.org/2000/svg}"
# `./test --whole` sets it: all random pieces; otherwise a share of them, the same ones every time.
WHOLE = os.environ.get("SAWPIERCE_REFEREES") == "whole"


def blocks(count, share):
    """The places of `count` blocks of random pieces to be tried: all, or every so manieth, a `share` of them."""
    return range(0, count, 1 if WHOLE else round(1 / share))


def program():
    """The program under test: SAWPIERCE, or whichever build is newest."""
    named = os.environ.get("SAWPIERCE")
    built = [p for p in (ROOT / "target/debug/sawpierce", ROOT / "target/release/sawpierce") if p.exists()]
    if not named and not built:
        pytest.fail("build the program first: cargo build")
    return named or str(max(built, key=lambda p: p.stat().st_mtime))


@pytest.fixture(scope="session")
def sawpierce():
    exe = program()

    def run(*args, ok=(0, 1), **kw):
        done = subprocess.run([exe, *map(str, args)], capture_output=True, text=True, timeout=300, **kw)
        assert done.returncode in ok, f"{args}: exit {done.returncode}\n{done.stderr}\n{done.stdout[-2000:]}"
        return done

    return run


@pytest.fixture(scope="session")
def examples():
    found = sorted((ROOT / "examples").glob("*.toml"))
    assert len(found) >= 5
    return found


@pytest.fixture(scope="session")
def drawn(sawpierce, tmp_path_factory):
    """Draws a job file; gives its folder, stem, plan with bridges, and the SVG's root, or what was said if it cannot be
    used."""

    def draw(job):
        out = tmp_path_factory.mktemp("drawn")
        told = sawpierce("draw", job, "--out", out, ok=(0, 1, 2))
        if told.returncode == 2:
            assert not list(out.iterdir()), "refused, and yet something was written"
            return told.stderr
        plan = json.loads(sawpierce("plan", job, "--json", "--bridges").stdout)
        stem = pathlib.Path(job).stem
        return Drawn(out, stem, plan, ET.parse(out / f"{stem}.svg").getroot())

    return draw


class Drawn:
    def __init__(self, out, stem, plan, root):
        self.out, self.stem, self.plan, self.root = out, stem, plan, root

    def group(self, name):
        """The group with this id (or the first copy's)."""
        for suffix in ["", "-1"]:
            for g in self.root.iter(SVG + "g"):
                if g.get("id") == name + suffix:
                    return g
        if name == "openings" and self.plan["openings"]["count"] == 0:
            return ET.Element("g")
        raise AssertionError(f"no group {name}")

    def middle(self):
        for el in self.root.iter():
            if el.get("data-middle"):
                text = el.get("data-middle").replace(",", " ").split()
                return float(text[0]), float(text[1])
        raise AssertionError("no data-middle")

    def openings(self):
        return {int(p.get("data-opening")): rings(p.get("d"))[0] for p in self.group("openings").iter(SVG + "path")}

    def outline(self):
        """Outer ring first, then windows and holes."""
        (path,) = list(self.group("outline").iter(SVG + "path"))
        return sorted(rings(path.get("d")), key=lambda r: -abs(area(r)))


def rings(d, chord=5e-5):
    """Closed lines of a path, curves cut into chords within `chord` mm. Steps are added up in binary by the reader, so that
    a line would come back to its start but for 1e-15 mm: places are rounded to 1e-9 mm."""
    place = lambda x, y: (round(x, 9), round(y, 9))
    out, ring = [], []
    for seg in svgelements.Path(d):
        kind = type(seg).__name__
        if kind == "Move":
            if len(ring) > 2:
                out.append(ring)
            ring = [place(seg.end.x, seg.end.y)]
        elif kind in ("Line", "Close"):
            ring.append(place(seg.end.x, seg.end.y))
        elif kind == "CubicBezier":
            p = [complex(q.x, q.y) for q in (seg.start, seg.control1, seg.control2, seg.end)]
            bend = max(abs(p[0] - 2 * p[1] + p[2]), abs(p[1] - 2 * p[2] + p[3]))
            t = np.linspace(0, 1, max(2, math.ceil(math.sqrt(6 * bend / (8 * chord)))) + 1)[1:]
            u = 1 - t
            line = u**3 * p[0] + 3 * u * u * t * p[1] + 3 * u * t * t * p[2] + t**3 * p[3]
            ring.extend(place(x, y) for x, y in zip(line.real.tolist(), line.imag.tolist()))
        else:
            raise AssertionError(f"{kind} in a path: only lines and cubics are drawn")
    if len(ring) > 2:
        out.append(ring)
    return out


def area(ring):
    return sum(a[0] * b[1] - a[1] * b[0] for a, b in zip(ring, ring[1:] + ring[:1])) / 2
