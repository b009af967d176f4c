"""Does the metal hang together? Five hundred random pieces (a fifth of them on each change) whose windows stand apart, nest, touch, cross each other,
leave the edge, or cut metal off, with openings closed and drawn in: the verdict `loose-metal` against GEOS (the edge
less openings, windows and holes) and against `plane`, which paints the piece on a grid and counts. Windows that touch do
so along an edge or at corners with whole coordinates, so that all three see the same drawing.
"""
import random

import numpy as np
import plane
import pytest
import shapely
from conftest import blocks
from test_pieces import draw

JOBS, BLOCK = 500, 25
PATTERNS = ["hexagon", "square", "triangle", "holes-staggered", "fish-scale", "running-bond", "kites", "star-and-cross",
            "ogee", "floret", "evened-out", "sunflower"]


def window(shape, at, turn=0.0, border=0.8):
    return f'[[window]]\nname = "light"\n{shape}\nat = [{at[0]:g}, {at[1]:g}]\nturn = {turn:g}\nborder = {border:g}\n'


def rectangle(w, h):
    return f'shape = "rectangle"\nwidth = {w:g}\nheight = {h:g}'


def circle(d):
    return f'shape = "circle"\ndiameter = {d:g}'


def frame(rng, half, wide, gap):
    """Four bars round a square; `gap` mm of metal is left at one corner (0: they meet)."""
    at = [rng.choice([-2, -1, 0, 1, 2]), rng.choice([-2, -1, 0, 1, 2])]
    long = 2 * half + wide
    bars = [(rectangle(long, wide), (at[0], at[1] + half)), (rectangle(long, wide), (at[0], at[1] - half)),
            (rectangle(wide, long), (at[0] + half, at[1])),
            (rectangle(wide, long - wide - 2 * gap), (at[0] - half, at[1]))]
    return "".join(window(*b) for b in bars)


def cuts(kind, rng, size):
    """Windows of one kind on a piece of about this size, in mm."""
    r = size // 2
    near = lambda far: [rng.randint(-far, far), rng.randint(-far, far)]  # noqa: E731
    if kind == "apart":
        return window(circle(3), [-5, rng.randint(-3, 3)]) + window(rectangle(2, 3), [5, rng.randint(-3, 3)], rng.choice([0, 30]))
    if kind == "nested":
        # One within the other takes nothing more away.
        at = near(2)
        return window(circle(8), at) + window(rng.choice([circle(3), rectangle(2, 4)]), at)
    if kind == "beside":
        # Edge to edge: together one cut-out, and the metal stays one.
        x, y = near(2)
        return window(rectangle(4, 4), [x - 2, y]) + window(rectangle(4, rng.choice([2, 4, 6])), [x + 2, y])
    if kind == "crossing":
        at = near(2)
        return window(rectangle(9, 2), at) + window(rectangle(2, 9), at)
    if kind == "frame":
        return frame(rng, rng.choice([3, 4]), 2, 0)
    if kind == "open frame":
        return frame(rng, rng.choice([3, 4]), 2, rng.choice([0.5, 1]))
    if kind == "corners":
        # Four bars like a pinwheel, each touching the next at a corner point only: the middle falls out.
        x, y = near(1)
        return (window(rectangle(4, 2), [x - 1 + 1, y + 3]) + window(rectangle(2, 4), [x + 3, y])
                + window(rectangle(4, 2), [x, y - 3]) + window(rectangle(2, 4), [x - 3, y]))
    if kind == "bar":
        return window(rectangle(2 * size, 2), [0, rng.randint(-3, 3)], rng.choice([0, 90, 20]))
    if kind == "half bar":
        return window(rectangle(size, 2), [r, rng.randint(-3, 3)])
    if kind == "two bars":
        return window(rectangle(2 * size, 1.5), [0, 4]) + window(rectangle(2 * size, 1.5), [0, -4])
    if kind == "chain":
        # Round lights in a ring, each over the next: a disc of metal falls out; one missing, and it hangs.
        n = 12
        left = rng.choice([0, 1])
        turns = np.arange(n - left) * 2 * np.pi / n
        return "".join(window(circle(3.2), [round(5 * np.cos(t), 4), round(5 * np.sin(t), 4)]) for t in turns)
    if kind == "holes":
        return "".join(f'[[hole]]\nname = "rivet"\ndiameter = 2\nat = [{x:g}, {y:g}]\n'
                       for x, y in ([0, 0], [1.5, 0], [r - 1, 0], near(4)))
    if kind == "bite":
        return window(circle(6), [0, r])
    return ""


KINDS = ["apart", "nested", "beside", "crossing", "frame", "open frame", "corners", "bar", "half bar", "two bars", "chain",
         "holes", "bite", "none"]


def job_of(k):
    rng = random.Random(70_000 + k)
    kind = KINDS[k % len(KINDS)]
    size = rng.choice([22, 26, 30])
    outline = rng.choice([circle(size), rectangle(size, size - 2), f'shape = "cushion"\nwidth = {size}\nheight = {size}',
                          f'shape = "polygon"\nsides = 6\nacross = {size}', f'shape = "ellipse"\nwidth = {size + 4}\nheight = {size}'])
    changes = ""
    return (f'[sheet]\nmetal = "copper"\nthickness = 0.8\n[outline]\n{outline}\nborder = {rng.choice([1, 1.5])}\n'
            f'[pattern]\nname = "{rng.choice(PATTERNS)}"\npitch = {rng.choice([3.2, 4.1])}\nbridge = {rng.choice([0.6, 0.9])}\n'
            f"turn = {rng.choice([0, 15, 90])}\nat_border = \"{rng.choice(['trim', 'whole', 'join'])}\"\n"
            f"{changes}{cuts(kind, rng, size)}"
            '[limits]\nbridge = 0.1\nborder = 0.1\nopening = 0.3\n[saw]\ndrill = 0.5\nblade = "8/0"\n')


def changed(text, p, rng):
    """The same job with one opening closed and one drawn in."""
    told = p.plan["openings"]["list"]
    one, two = rng.sample(told, 2)
    return text + (f'[[change]]\nat = [{one["x_mm"]}, {one["y_mm"]}]\nclose = true\n'
                   f'[[change]]\nat = [{two["x_mm"]}, {two["y_mm"]}]\ndraw_in = 0.05\n')


def pieces_by_geos(p):
    edge = shapely.Polygon(p.edge)
    gone = shapely.union_all([shapely.Polygon(r) for r in p.openings + p.inner], grid_size=1e-6)
    metal = shapely.difference(edge, gone, grid_size=1e-6)
    return sum(g.area > 2e-3 for g in shapely.get_parts(metal))


@pytest.mark.parametrize("block", blocks(JOBS // BLOCK, 0.2))
def test_metal(block, tmp_path):
    jobs = {f"metal-{k}": job_of(k) for k in range(block * BLOCK, (block + 1) * BLOCK)}
    pieces, refused = draw(tmp_path, jobs)
    # A cut-out wholly inside another is refused by name; everything else is drawn.
    assert all("where the metal is cut out already" in " ".join(why) for why in refused.values()), refused
    # Every third with enough openings again, with changes.
    again = {f"{s}-changed": changed(jobs[s], p, random.Random(s)) for s, p in list(pieces.items())[::3] if len(p.openings) > 4}
    more, refused = draw(tmp_path, again)
    assert not refused, refused
    jobs.update(again)
    held = fell = 0
    for stem, p in {**pieces, **more}.items():
        stops = any(v["check"] == "loose-metal" and v["level"] == "stop" for v in p.plan["verdicts"])
        geos, painted = pieces_by_geos(p), plane.pieces_of_metal(p.edge, p.openings + p.inner, step=0.04)
        said = next((v["measured"] for v in p.plan["verdicts"] if v["check"] == "loose-metal" and stops), 0)
        assert geos == painted, f"{stem}: {geos} pieces by GEOS, {painted} painted\n{jobs[stem]}"
        assert stops == (geos > 1), f"{stem}: {geos} pieces, loose-metal stops: {stops}\n{jobs[stem]}"
        assert not stops or said == geos - 1, f"{stem}: {geos} pieces, {said} said to be loose\n{jobs[stem]}"
        held, fell = held + (not stops), fell + stops
    # Both answers come often.
    assert held >= 5 and fell >= 5, (held, fell)
