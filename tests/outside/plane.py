"""Plane geometry of our own for the outside tests, in numpy alone: the second method beside GEOS.

What it can prove, and how: rings are read from the SVG's path data by a reader of its own and cut into chords no farther
than CHORD from the curve. That a ring is simple, that two rings do not meet, and how near they come follows from
comparing every pair of chords that could be near (orientation signs and point-to-chord distances in double precision;
no booleans, no snapping, no offsets, which is where general libraries have been caught out). What lies inside what is
counted by crossings of a ray. If all cut-outs are simple rings that lie apart from each other inside a simple edge, the
metal round them is one piece: taking separate discs out of a disc leaves it connected. Where cut-outs meet or leave the
edge, `pieces_of_metal` paints the piece on a fine grid and counts what hangs together.
"""
import re

import numpy as np

CHORD = 2e-4
TOKEN = re.compile(r"[A-Za-z]|-?\d+\.?\d*(?:e-?\d+)?")


def rings_of(d, chord=CHORD):
    """Closed rings of path data in M, L, C, Z and l, c, z: an array of points each, the first not repeated."""
    out, ring, numbers, letter = [], [], [], ""

    def step():
        base = ring[-1] if letter.islower() else (0.0, 0.0)
        if letter in "MLl":
            ring.append((base[0] + numbers[-2], base[1] + numbers[-1]))
        elif letter in "Cc":
            p0 = np.array(ring[-1])
            p1, p2, p3 = np.array(numbers).reshape(3, 2) + base
            bend = max(np.hypot(*(p0 - 2 * p1 + p2)), np.hypot(*(p1 - 2 * p2 + p3)))
            n = max(2, int(np.ceil(np.sqrt(6 * bend / (8 * chord)))))
            t = (np.arange(1, n + 1) / n)[:, None]
            s = 1 - t
            ring.extend(map(tuple, s**3 * p0 + 3 * s * s * t * p1 + 3 * s * t * t * p2 + t**3 * p3))

    def close():
        points = np.array(ring)
        if len(points) > 2:
            keep = np.hypot(*(points - np.roll(points, 1, 0)).T) > 1e-9
            out.append(points[keep])

    wants = {"M": 2, "L": 2, "C": 6, "l": 2, "c": 6}
    for token in TOKEN.findall(d):
        if token.isalpha():
            assert token in "MLCZlcz", f"{token} in a path"
            if token in "MZz" and ring:
                close()
                ring = []
            letter, numbers = token, []
        else:
            numbers.append(float(token))
            if len(numbers) == wants[letter]:
                step()
                numbers = []
    if ring:
        close()
    return out


def area(ring):
    x, y = ring.T
    return 0.5 * float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1)))


def box(ring):
    return np.concatenate([ring.min(0), ring.max(0)])


def ends(ring):
    """The two ends of every chord."""
    return ring, np.concatenate([ring[1:], ring[:1]])


def cross(u, v):
    return u[..., 0] * v[..., 1] - u[..., 1] * v[..., 0]


def contains(ring, points):
    """For each point whether the ring holds it, by crossings of a ray to the right."""
    a, b = ends(ring)
    points = np.atleast_2d(points)
    out = np.zeros(len(points), bool)
    for k in range(0, len(points), 4096):
        p = points[k:k + 4096]
        y = p[:, 1:2]
        spans = (a[:, 1] <= y) != (b[:, 1] <= y)
        i, j = np.nonzero(spans)
        x = a[j, 0] + (p[i, 1] - a[j, 1]) * (b[j, 0] - a[j, 0]) / (b[j, 1] - a[j, 1])
        hits = np.zeros(len(p), int)
        np.add.at(hits, i, x > p[i, 0])
        out[k:k + 4096] = hits % 2 == 1
    return out


def to_chords(p, a, b):
    """Distance of points to chords, arrays of the same length."""
    vx, vy = b[..., 0] - a[..., 0], b[..., 1] - a[..., 1]
    wx, wy = p[..., 0] - a[..., 0], p[..., 1] - a[..., 1]
    t = (vx * wx + vy * wy) / np.maximum(vx * vx + vy * vy, 1e-300)
    t = np.minimum(np.maximum(t, 0.0), 1.0)
    return np.sqrt((wx - vx * t) ** 2 + (wy - vy * t) ** 2)


def distance(points, ring):
    """From each point to the ring's line."""
    a, b = ends(ring)
    points = np.atleast_2d(points)
    size = max(1, 400_000 // len(a))
    parts = [to_chords(points[k:k + size, None, :], a[None], b[None]).min(1) for k in range(0, len(points), size)]
    return np.concatenate(parts) if parts else np.zeros(0)


def crossing(a, b, c, d):
    """Whether chords ab and cd properly cross, or an end of one lies on the other."""
    r, s = b - a, d - c
    o1, o2 = cross(r, c - a), cross(r, d - a)
    o3, o4 = cross(s, a - c), cross(s, b - c)
    proper = (o1 * o2 <= 0) & (o3 * o4 <= 0)
    level = (o1 == 0) & (o2 == 0)
    # Chords of one line, but for rounding, only seem to cross where they lie apart on it.
    touch = np.ones(len(a), bool)
    for k in (0, 1):
        touch &= np.minimum(a[:, k], b[:, k]) <= np.maximum(c[:, k], d[:, k])
        touch &= np.minimum(c[:, k], d[:, k]) <= np.maximum(a[:, k], b[:, k])
    return proper & ~level & touch


def is_simple(ring):
    """Whether no two chords of the ring meet but neighbours at their common end."""
    a, b = ends(ring)
    n = len(a)
    low, high = np.minimum(a, b), np.maximum(a, b)
    near = np.ones((n, n), bool)
    for k in (0, 1):
        near &= (low[:, None, k] <= high[None, :, k]) & (low[None, :, k] <= high[:, None, k])
    i, j = np.nonzero(np.triu(near, 2))
    apart = ~((i == 0) & (j == n - 1))
    i, j = i[apart], j[apart]
    return not crossing(a[i], b[i], a[j], b[j]).any()


def least_gaps(rings, others, within):
    """Least distance of every pair (i of rings, j of others) that comes within `within` mm, as {(i, j): mm}; 0 where
    their lines meet. With `others` None each pair of `rings` is taken once. Nothing is said of one inside another."""
    same = others is None
    others = rings if same else others
    first, second = np.array([box(r) for r in rings]), np.array([box(r) for r in others])
    if not len(first) or not len(second):
        return {}
    near = np.ones((len(first), len(second)), bool)
    for k in (0, 1):
        near &= first[:, None, k] <= second[None, :, k + 2] + within
        near &= second[None, :, k] <= first[:, None, k + 2] + within
    if same:
        near = np.triu(near, 1)
    all_ends = [ends(r) for r in rings]
    their_ends = all_ends if same else [ends(r) for r in others]
    found = {}

    def facing(chords, b):
        """Chords that come within `within` of a box."""
        p, q = chords
        low, high = np.minimum(p, q), np.maximum(p, q)
        return np.nonzero((low <= b[2:] + within).all(1) & (high >= b[:2] - within).all(1))[0]

    for i, j in zip(*np.nonzero(near)):
        ours, theirs = facing(all_ends[i], second[j]), facing(their_ends[j], first[i])
        if not len(ours) or not len(theirs):
            continue
        a, b = all_ends[i][0][ours], all_ends[i][1][ours]
        c, d = their_ends[j][0][theirs], their_ends[j][1][theirs]
        m, n = (a + b) / 2, (c + d) / 2
        half = np.hypot(*(b - a).T) / 2, np.hypot(*(d - c).T) / 2
        apart = np.hypot(m[:, None, 0] - n[None, :, 0], m[:, None, 1] - n[None, :, 1])
        u, v = np.nonzero(apart <= half[0][:, None] + half[1][None, :] + within)
        if not len(u):
            continue
        # Only the nearest of them are measured: what surely lies farther than another pair is passed over.
        bound = (apart - half[0][:, None] - half[1][None, :])[u, v]
        near_enough = bound <= apart[u, v].min()
        u, v = u[near_enough], v[near_enough]
        a, b, c, d = a[u], b[u], c[v], d[v]
        gap = np.minimum(np.minimum(to_chords(a, c, d), to_chords(b, c, d)),
                         np.minimum(to_chords(c, a, b), to_chords(d, a, b)))
        gap[crossing(a, b, c, d)] = 0.0
        least = float(gap.min())
        if least <= within:
            found[int(i), int(j)] = least
    return found


def widest_circle(ring, known=0.0, within=2e-4):
    """Radius of the widest circle in a ring if it is wider than `known` by more than `within`, else `known`. Squares are split
    in four as long as one of them could hold a middle with so much room."""
    low, high = ring.min(0), ring.max(0)
    half = min(high - low) / 8
    at = [np.arange(low[k] + half, high[k] + half, 2 * half) for k in (0, 1)]
    middles = np.stack(np.meshgrid(*at), -1).reshape(-1, 2)
    best = known
    while len(middles):
        room = distance(middles, ring)
        may = room + half * 1.4143 > best + within
        middles, room = middles[may], room[may]
        if not len(middles):
            break
        inside = contains(ring, middles)
        best = max(best, float(room[inside].max(initial=0.0)))
        # A square whose middle lies outside reaches inside by what is left of it.
        may = np.where(inside, room, -room) + half * 1.4143 > best + within
        half /= 2
        middles = (middles[may][:, None, :] + half * np.array([[1, 1], [1, -1], [-1, 1], [-1, -1]])).reshape(-1, 2)
    return best


def pieces_of_metal(edge, cut_outs, step=0.01, speck=10):
    """How many pieces the metal comes to, painted on a grid of `step` mm: what lies inside the edge and in none of the
    cut-outs. Specks of fewer than `speck` spots are passed over. Pieces that touch only at corners of spots are apart."""
    x0, y0, x1, y1 = box(edge)
    x0, y0 = x0 - 2.37 * step, y0 - 2.61 * step
    shape = int((y1 - y0) / step) + 5, int((x1 - x0) / step) + 5

    def painted(rings):
        """Spots inside any of the rings, by how often they are wound round."""
        winds = np.zeros((shape[0], shape[1] + 1), np.int16)
        for ring in rings:
            a, b = ends((ring if area(ring) > 0 else ring[::-1]) / step - [x0 / step, y0 / step])
            up = a[:, 1] <= b[:, 1]
            a, b = np.where(up[:, None], a, b), np.where(up[:, None], b, a)
            first, last = np.ceil(a[:, 1]).astype(int), np.ceil(b[:, 1]).astype(int)
            count = last - first
            which = np.repeat(np.arange(len(a)), count)
            row = first[which] + np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
            x = a[which, 0] + (row - a[which, 1]) * (b[which, 0] - a[which, 0]) / (b[which, 1] - a[which, 1])
            inside = (row >= 0) & (row < shape[0])
            at = row[inside], np.clip(np.ceil(x[inside]).astype(int), 0, shape[1])
            np.add.at(winds, at, np.where(up[which[inside]], -1, 1).astype(np.int16))
        return np.cumsum(winds, axis=1, dtype=np.int16)[:, :-1] > 0

    metal = painted([edge]) & ~painted(cut_outs)
    # Runs of metal along each row; runs of neighbouring rows that overlap hang together.
    wide = np.pad(metal, ((0, 0), (1, 1))).astype(np.int8)
    turns = np.diff(wide, axis=1)
    row, start = np.nonzero(turns == 1)
    stop = np.nonzero(turns == -1)[1]
    if not len(row):
        return 0
    far = shape[1] + 2
    keys_start, keys_stop = row * far + start, row * far + stop
    # For each run the first and last run of the next row that overlap it.
    low = np.searchsorted(keys_stop, (row + 1) * far + start, side="right")
    high = np.searchsorted(keys_start, (row + 1) * far + stop, side="left")
    count = np.maximum(high - low, 0)
    one = np.repeat(np.arange(len(row)), count)
    two = low[one] + np.arange(count.sum()) - np.repeat(np.cumsum(count) - count, count)
    label = np.arange(len(row))
    while True:
        before = label.copy()
        least = np.minimum(label[one], label[two])
        np.minimum.at(label, label[one], least)
        np.minimum.at(label, label[two], least)
        label = label[label]
        if (label == before).all():
            break
    spots = np.bincount(label, weights=stop - start)
    return int((spots >= speck).sum())
