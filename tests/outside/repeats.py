"""A pattern file's repeat laid out again by its own words, apart from the program: a second count of the cells."""
import functools
import itertools
import tomllib

import numpy as np
import plane
from conftest import ROOT

# Chords of a cell's arcs stay this near, in the file's unit after the shortest repeat is 1 long.
CHORD = 2e-4


def ring_of(corners):
    """A shape's corners [x, y, bulge] (bulge: tan of a quarter of the arc's angle) as chords."""
    out = []
    for k, corner in enumerate(corners):
        a, b = np.array(corner[:2], float), np.array(corners[(k + 1) % len(corners)][:2], float)
        bulge = corner[2] if len(corner) > 2 else 0.0
        out.append(a)
        if bulge:
            v = b - a
            # The centre lies left of the chord's middle by (1 - bulge^2) / (4 bulge) chords.
            centre = (a + b) / 2 + np.array([-v[1], v[0]]) * (1 - bulge**2) / (4 * bulge)
            radius, sweep = np.hypot(*(a - centre)), 4 * np.arctan(bulge)
            n = max(2, int(np.ceil(abs(sweep) / (2 * np.arccos(max(0.0, 1 - CHORD / radius))))))
            start = np.arctan2(*(a - centre)[::-1])
            turn = start + sweep * np.arange(1, n) / n
            out.extend(centre + radius * np.c_[np.cos(turn), np.sin(turn)])
    return np.array(out)


class Repeat:
    """Shapes, steps and centres with the shortest step 1 long."""

    def __init__(self, name):
        file = tomllib.loads((ROOT / f"patterns/{name}.toml").read_text())
        steps = np.array(file["repeat"], float)
        whole = [steps[0] * m + steps[1] * n for m, n in itertools.product(range(-6, 7), repeat=2) if (m, n) != (0, 0)]
        shortest = min(np.hypot(*v) for v in whole)
        self.unit = shortest
        self.steps = steps / shortest
        self.area = abs(plane.cross(self.steps[0], self.steps[1]))
        self.shapes = [ring_of([[x / shortest, y / shortest, *more] for x, y, *more in s["corners"]]) for s in file["shapes"]]
        self.centres = [(c["kind"], np.array(c["at"], float) / shortest) for c in file["centres"]]
        self.chiral = file.get("chiral", False)
        # Any of the shortest steps may lie along +x.
        self.shortest = [v / shortest for v in whole if np.hypot(*v) < shortest * (1 + 1e-9)]
        self.samples = [self.points_in(s) for s in self.shapes]
        self.widest = [depth.max() for _, depth in self.samples]
        # Every copy that may hold a point of the home parallelogram.
        home = np.array([[0, 0], self.steps[0], self.steps[1], self.steps[0] + self.steps[1]])
        self.copies = []
        for k, (m, n) in itertools.product(range(len(self.shapes)), itertools.product(range(-9, 10), repeat=2)):
            b = plane.box(self.shapes[k] + self.steps[0] * m + self.steps[1] * n)
            if (b[:2] <= home.max(0)).all() and (b[2:] >= home.min(0)).all():
                self.copies.append((k, m, n, b))

    def steps_of(self, longest):
        """Every step up to a length."""
        far = int(2 * longest) + 3
        for m, n in itertools.product(range(-far, far + 1), repeat=2):
            v = self.steps[0] * m + self.steps[1] * n
            if 0 < np.hypot(*v) < longest * (1 + 1e-5):
                yield v

    @staticmethod
    def points_in(ring):
        """Points spread over a shape and how deep each lies in it."""
        low, high = ring.min(0), ring.max(0)
        side = max((high - low).max() / 16, 1e-9)
        grid = np.stack(np.meshgrid(np.arange(low[0] + side / 3, high[0], side), np.arange(low[1] + side / 3, high[1], side)), -1)
        points = grid.reshape(-1, 2)
        points = points[plane.contains(ring, points)]
        return points, plane.distance(points, ring)

    def cell_at(self, points):
        """The cell that holds each point, as (shape, m, n), and how deep it lies in it; (-1, 0, 0) on a line or ground."""
        inverse = np.linalg.inv(self.steps.T)
        whole = np.floor(points @ inverse.T)
        home = points - whole @ self.steps
        cells = np.full((len(points), 3), -1, int)
        depth = np.zeros(len(points))
        for k, m, n, b in self.copies:
            inside = np.nonzero((home >= b[:2]).all(1) & (home <= b[2:]).all(1) & (cells[:, 0] < 0))[0]
            if not len(inside):
                continue
            local = home[inside] - self.steps[0] * m - self.steps[1] * n
            held = plane.contains(self.shapes[k], local)
            cells[inside[held]] = np.c_[np.full(held.sum(), k), m + whole[inside[held], 0], n + whole[inside[held], 1]]
            depth[inside[held]] = plane.distance(local[held], self.shapes[k])
        return cells, depth


@functools.cache
def repeat(name):
    return Repeat(name)


class Laid:
    """A repeat as it lies on a piece: mm = pitch * turned(unit - origin)."""

    def __init__(self, rep, pitch, turn, step, origin):
        self.rep, self.pitch, self.turned, self.step, self.origin = rep, pitch, turn, step, origin
        angle = np.radians(turn) - np.arctan2(step[1], step[0])
        self.turn = np.array([[np.cos(angle), -np.sin(angle)], [np.sin(angle), np.cos(angle)]])

    def unit(self, points):
        return np.atleast_2d(points) / self.pitch @ self.turn + self.origin

    def mm(self, points):
        return (np.atleast_2d(points) - self.origin) @ self.turn.T * self.pitch

    def cell_at(self, points):
        cells, depth = self.rep.cell_at(self.unit(points))
        return cells, depth * self.pitch

    def cells_over(self, low, high):
        """Every (shape, m, n) whose middle lies over a box in mm, with its offset in units."""
        corners = self.unit(np.array([low, high, [low[0], high[1]], [high[0], low[1]]]))
        inverse = np.linalg.inv(self.rep.steps.T)
        whole = corners @ inverse.T
        lows, highs = np.floor(whole.min(0)).astype(int) - 2, np.ceil(whole.max(0)).astype(int) + 2
        for m, n in itertools.product(range(lows[0], highs[0] + 1), range(lows[1], highs[1] + 1)):
            yield m, n, self.rep.steps[0] * m + self.rep.steps[1] * n


def missed(laid, points, room):
    """How far, all together, points are from lying `room` mm deep in one cell each."""
    _, depth = laid.cell_at(points)
    return float(np.maximum(room - depth, 0).sum())


def laid_as(rep, resolved, points, room, run=None):
    """The ways in which a piece's openings may lie on their repeat: every listed centre of the kind that was used, with
    any of the shortest steps along x. `points` lie in openings, at least `room` mm from their cell's line. On a band of
    length `run` the step that closes it runs along, and the start is free: it is searched for."""
    pitch, kind = resolved["pitch_mm"], resolved["centre"]
    centres = [at for k, at in rep.centres if k == kind]
    if run is None:
        return (Laid(rep, pitch, resolved["turn"], step, at) for at in centres for step in rep.shortest)
    each = run / resolved["repeats"][0] / pitch
    along = [v for v in rep.steps_of(each) if abs(np.hypot(*v) - each) < 2e-6 * each]
    tell = np.argsort(-room)[:6]
    return (way for at in centres for step in along
            for way in slid(Laid(rep, pitch, 0.0, step, at), points[tell], room[tell], run / resolved["repeats"][0]))


def slid(laid, points, room, each):
    """The same moved along x within one repeat to where little is missed: the few best places."""
    start = laid.origin
    along = laid.turn.T @ [1.0, 0.0] / laid.pitch

    def moved(d):
        return Laid(laid.rep, laid.pitch, laid.turned, laid.step, start - along * d)

    def tried(places):
        return [(missed(moved(d), points, room), d) for d in places]

    coarse = tried(each * (np.arange(40) / 40 - 0.5))
    valleys = sorted(c for i, c in enumerate(coarse) if c <= coarse[i - 1] and c <= coarse[(i + 1) % 40])[:3]
    for best in valleys:
        width = each / 40
        for _ in range(6):
            best = min([best, *tried(best[1] + width * np.linspace(-1, 1, 7))])
            width /= 3
        yield moved(best[1])
