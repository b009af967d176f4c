"""Small pieces made up from a number, of seven kinds: plain, bands, cones, fitted, with rows, with windows, and with cut-outs
nested in kept places. What comes out is a job's text and the drawings it names."""
import math
import random

import repeats
from test_pieces import FILES, flat_sizes, scaled

KINDS = ["flat", "band", "cone", "fitted", "rows", "windows", "nested"]
BORDERS = ["trim", "whole", "join", "ease"]


def outline_of(rng, size):
    """An outline that does not close on itself: its lines, and the drawing it names."""
    w, h = size * rng.uniform(0.9, 1.1), size * rng.uniform(0.9, 1.3)
    shape = rng.choice(["circle", "ellipse", "rectangle", "polygon", "teardrop", "heart", "marquise", "cushion", "crescent",
                        "drawn", "file"])
    if shape == "file":
        name = rng.choice(sorted(FILES))
        return f'shape = "file"\nfile = "{name}.svg"', {f"{name}.svg": scaled(FILES[name], size / 36)}
    more = flat_sizes(rng, size, w, h).get(shape, f"width = {w:.3f}\nheight = {h:.3f}")
    return f'shape = "{shape}"\n{more}', {}


def cone(rng, size):
    """A cone whose blank goes anything from 5 to 355 degrees round, and a place on that blank."""
    degrees = rng.uniform(5, 355)
    slant, small = size * rng.uniform(0.5, 0.8), rng.uniform(4, 12)
    more = degrees / 180 * slant
    height = math.sqrt(max(slant**2 - more**2 / 4, 4.1))
    slant = math.hypot(height, more / 2)
    inner, outer, half = slant * small / more, slant * (small + more) / more, math.pi * more / slant / 2
    high = -outer * math.cos(half) if half >= math.pi / 2 else -inner * math.cos(half)
    apex = (outer - high) / 2

    def place(room):
        r, a = rng.uniform(inner + room, max(outer - room, inner + room + 0.1)), rng.uniform(-half, half)
        return f"[{r * math.sin(a):.3f}, {apex - r * math.cos(a):.3f}]"

    return f'shape = "cone"\ntop = {small:.4f}\nbottom = {small + more:.4f}\nheight = {height:.4f}', place


def piece(k, names, repeating):
    """Piece `k`: its kind, the job's text and the drawings it names. `names` are all patterns, `repeating` those with a
    file."""
    rng = random.Random(900_000 + k)
    kind = KINDS[k % len(KINDS)]
    name = (repeating if kind == "fitted" else names)[k // len(KINDS) % len(repeating if kind == "fitted" else names)]
    bridge, border = round(rng.uniform(0.5, 1.1), 3), round(rng.uniform(0.8, 2.0), 3)
    pattern, side = "", rng.uniform(9, 13)
    if name in repeating:
        rep = repeats.repeat(name)
        pitch = min((bridge + rng.choice([0.8, 1.0, 1.2, 1.6])) / (2 * min(rep.widest)), 14)
        pattern = f"pitch = {pitch:.3f}\n"
        side = math.sqrt(rng.uniform(6, 18) * rep.area / len(rep.shapes)) * pitch
    size = min(max(1.15 * side + 2 * border, 11), 40)
    files = {}

    def place(part):
        return f"[{rng.uniform(-part, part) * size:.3f}, {rng.uniform(-part, part) * size:.3f}]"

    if kind == "band":
        outline = f'shape = "band"\ninside = {max(size / 2.6, 12.5):.3f}\nwidth = {max(size / 2.6, 5):.3f}'
        outline += rng.choice(["", "", "\nplain = 9"])
        border = min(border, 1.3)
        wide = max(size / 2.6, 5)
        place = lambda part: f"[{rng.uniform(-0.8, 0.8) * size:.3f}, {rng.uniform(-0.06, 0.06) * wide:.3f}]"  # noqa: E731
    elif kind == "cone":
        outline, on_cone = cone(rng, size)
        place = lambda part: on_cone(2.2)  # noqa: E731
    else:
        outline, files = outline_of(rng, size * (1.35 if kind == "rows" else 1))
    at_border = "fit" if kind == "fitted" else rng.choice(BORDERS)
    more = ""
    if kind == "rows":
        across = rng.uniform(1.3, 2.0)
        shape = rng.choice(["round", "drop", "brick", "petal", "lozenge"])
        more += (f'[[row]]\nshape = "{shape}"\nsize = [{across * rng.uniform(0.6, 1):.3f}, {across:.3f}]\n'
                 f"apart = {rng.uniform(bridge, 1.7):.3f}\n")
    if kind == "windows" or kind in ("cone", "band") and rng.random() < 0.4:
        shape = rng.choice(["circle", "heart", "rectangle"])
        sizes = "diameter = 2.6" if shape == "circle" else "width = 2.8\nheight = 3"
        more += (f'[[window]]\nname = "light"\nshape = "{shape}"\n{sizes}\nborder = {rng.uniform(0.7, 1.4):.3f}\n'
                 f"turn = {rng.choice([0, 20, 45])}\nat = {place(0.15)}\n")
    if kind == "windows" and rng.random() < 0.5 or kind == "cone" and rng.random() < 0.4:
        more += f'[[hole]]\nname = "rivet"\ndiameter = {rng.uniform(1, 1.6):.3f}\nat = {place(0.3)}\n'
    if kind == "nested":
        at = place(0.12)
        wide = rng.uniform(4.5, 6)
        more += f'[[keep_solid]]\nname = "seat"\nshape = "circle"\ndiameter = {wide:.3f}\nat = {at}\n'
        more += (f'[[window]]\nname = "light"\nshape = "circle"\ndiameter = {wide * 0.4:.3f}\nborder = 0.8\nat = {at}\n'
                 if rng.random() < 0.6 else f'[[hole]]\nname = "rivet"\ndiameter = {wide * 0.3:.3f}\nat = {at}\n')
    elif rng.random() < 0.15:
        more += f'[[keep_solid]]\nname = "tab"\nshape = "circle"\ndiameter = {rng.uniform(2, 4):.3f}\nat = {place(0.2)}\n'
    text = (f'skill = "fine-work"\n[sheet]\nmetal = "copper"\nthickness = 0.8\n[outline]\n{outline}\nborder = {border}\n'
            f'[pattern]\nname = "{name}"\nbridge = {bridge}\n{pattern}'
            f"turn = {rng.choice([0, 30, 45, rng.uniform(0, 360)]):.3f}\n"
            f'centre = "{rng.choice(["opening", "crossing", "bridge"])}"\nat_border = "{at_border}"\n'
            f"corner_radius = {rng.choice([0, 0, 0.2])}\nvariation = {k % 7 + 1}\n{more}"
            '[limits]\nbridge = 0.1\nborder = 0.1\nopening = 0.3\n[saw]\ndrill = 0.5\nblade = "8/0"\n')
    return kind, text, files
