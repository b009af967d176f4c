"""Three hundred shapes nobody here drew: each becomes a pierced piece or a refusal that says why.

The shapes come with the package `heroicons` of the Python registry (MIT licence), which the test set-up installs;
nothing of it is kept here.
"""
import importlib.resources
import io
import json
import re
import subprocess
import zipfile

import pytest
from conftest import blocks, program

WANTED, BLOCKS = 300, 10
JOB = """
title = "{stem}"
skill = "fine-work"
[sheet]
metal = "copper"
thickness = 0.8
[outline]
shape = "file"
file = "{stem}.svg"
border = 0.8
[pattern]
name = "{pattern}"
pitch = 2.2
bridge = 0.7
[saw]
blade = "6/0"
drill = 0.5
"""
PATTERNS = ["hexagon", "square", "triangle"]
# FILE:LINE:COLUMN: what is wrong; what to do. The place is left out where the whole job is meant.
REFUSAL = re.compile(r"^[^:]+(:\d+:\d+)?: .{15,}; .{5,}$", re.S)
# Never a bare "no": one of the reasons the reader gives.
REASONS = ["is open", "outside the largest", "runs into", "fall out", "touches itself", "leaves no room", "nothing that could be"]


def icons():
    whole = importlib.resources.files("heroicons").joinpath("heroicons.zip").read_bytes()
    box = zipfile.ZipFile(io.BytesIO(whole))
    # Filled drawings mostly, and some of lines, which must be refused as open.
    names = sorted(n for n in box.namelist() if n.startswith(("solid/", "mini/")))
    lines = sorted(n for n in box.namelist() if n.startswith("outline/"))
    step = len(names) / (WANTED - 40)
    chosen = [names[int(k * step)] for k in range(WANTED - 40)] + lines[:: len(lines) // 40][:40]
    return {n.replace("/", "-")[:-4]: box.read(n) for n in chosen}


def sized(drawing):
    """The icons say no size: a millimetre to the unit."""
    wide, high = re.search(rb'viewBox="0 0 ([\d.]+) ([\d.]+)"', drawing).groups()
    bare = re.sub(rb'(<svg[^>]*?) (?:width|height)="[^"]*"', rb"\1", re.sub(rb'(<svg[^>]*?) (?:width|height)="[^"]*"', rb"\1", drawing))
    return bare.replace(b"<svg", b'<svg width="%smm" height="%smm"' % (wide, high), 1)


@pytest.mark.parametrize("block", blocks(BLOCKS, 0.2))
def test_each_is_a_sound_piece_or_a_refusal(block, tmp_path):
    pieces = refusals = 0
    for k, (stem, drawing) in list(enumerate(icons().items()))[block::BLOCKS]:
        (tmp_path / f"{stem}.svg").write_bytes(sized(drawing))
        job = tmp_path / f"{stem}.toml"
        job.write_text(JOB.format(stem=stem, pattern=PATTERNS[k % 3]))
        done = subprocess.run([program(), "plan", job, "--json", "--bridges"], capture_output=True, text=True, timeout=120)
        assert "panicked" not in done.stderr, f"{stem}: {done.stderr}"
        if done.returncode in (0, 1):
            pieces += 1
            sound(stem, json.loads(done.stdout))
            continue
        refusals += 1
        assert done.returncode == 2, f"{stem}: exit {done.returncode}\n{done.stderr}"
        said = done.stderr.strip()
        assert REFUSAL.match(said), f"{stem}: {said}"
        assert any(reason in said for reason in REASONS), f"{stem}: {said}"
    print(f"{pieces} pieces, {refusals} refusals")
    # Both kinds really occur; fewer pieces than this and the reader has begun to refuse what it should take.
    assert pieces >= WANTED // BLOCKS // 5 and refusals >= WANTED // BLOCKS // 8, (pieces, refusals)


def sound(stem, plan):
    for opening in plan["openings"]["list"]:
        assert opening["area_mm2"] > 0 and opening["widest_drill_mm"] > 0, stem
    # No two openings nearer than the bridge, to a micrometre.
    for bridge in plan["bridges"].get("list", []):
        between = bridge["between"]
        if all(isinstance(b, int) and b > 0 for b in between):
            assert bridge["width_mm"] >= 0.7 - 1e-3, f"{stem}: {bridge}"
    assert 0 <= plan["openings"]["open_fraction"] < 1, stem


def test_there_are_as_many_as_wanted():
    assert len(icons()) == WANTED
