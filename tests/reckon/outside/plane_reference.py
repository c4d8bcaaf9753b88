"""Writes reference figures of a general-purpose geometry library for tests/reckon/outside/plane_reference.csv.

Command (once, with the library shapely 2.1.2 on GEOS 3.13.1, python 3.11):

    python3 -m pip install shapely==2.1.2
    python3 tests/reckon/outside/plane_reference.py > tests/reckon/outside/plane_reference.csv

Every case is drawn from one seeded generator, so that the file comes out the same again. Lengths in metres, angles in radians.
A polygon is written as `x y` pairs parted by commas, fields are parted by semicolons, and the expected figure comes last.
"""

import math
import random

import shapely
from shapely import affinity
from shapely.geometry import LineString, MultiPoint, Polygon, box
from shapely.ops import unary_union

rng = random.Random(20260115)


def text(polygon):
    return ",".join(f"{x:.6f} {y:.6f}" for x, y in list(polygon.exterior.coords)[:-1])


def rounded(points):
    return Polygon([(round(x, 6), round(y, 6)) for x, y in points])


def star(cx, cy, corners, low, high):
    """A simple outline, mostly not convex: corners at rising angles about a middle."""
    angles = sorted(rng.uniform(0, 2 * math.pi) for _ in range(corners))
    points = [(cx + rng.uniform(low, high) * math.cos(a), cy + rng.uniform(low, high) * math.sin(a)) for a in angles]
    outline = rounded(points)
    return outline if outline.is_valid and outline.area > 1e-3 else star(cx, cy, corners, low, high)


def convex(cx, cy, size):
    hull = MultiPoint([(cx + rng.uniform(-size, size), cy + rng.uniform(-size, size)) for _ in range(7)]).convex_hull
    return rounded(list(hull.exterior.coords)[:-1])


def leaf(pivot, angle, heel, length, offset, thickness):
    flat = box(heel, offset - thickness / 2, heel + length, offset + thickness / 2)
    turned = affinity.rotate(flat, angle, origin=(0, 0), use_radians=True)
    return affinity.translate(turned, *pivot)


def line(*fields):
    print(";".join(str(field) for field in fields))


def areas():
    for _ in range(60):
        outline = star(rng.uniform(-5, 5), rng.uniform(-5, 5), rng.randint(4, 14), 0.3, 3.0)
        line("area", text(outline), f"{outline.area:.12f}")


def booleans():
    for kind in ["union", "overlap", "minus"]:
        for _ in range(25):
            one = star(0, 0, rng.randint(4, 12), 0.5, 3.0)
            other = star(rng.uniform(-2, 2), rng.uniform(-2, 2), rng.randint(4, 12), 0.5, 3.0)
            result = {"union": one.union, "overlap": one.intersection, "minus": one.difference}[kind](other)
            line(kind, text(one), text(other), f"{result.area:.12f}")


def distances():
    for _ in range(120):
        one = star(0, 0, rng.randint(4, 12), 0.3, 2.0)
        way = rng.uniform(0, 2 * math.pi)
        far = rng.uniform(1.0, 7.0)
        other = star(far * math.cos(way), far * math.sin(way), rng.randint(4, 12), 0.3, 2.0)
        line("distance", text(one), text(other), f"{one.distance(other):.12f}")


def buffers():
    for _ in range(50):
        outline = star(rng.uniform(-5, 5), rng.uniform(-5, 5), rng.randint(4, 12), 0.3, 3.0)
        reach = round(rng.uniform(0.05, 2.0), 4)
        line("grown", text(outline), reach, f"{outline.buffer(reach, quad_segs=2000).area:.9f}")


def swings():
    """The area swept by a swing leaf: the union of its places at 3,000 steps, each joined with the next only by overlap."""
    for _ in range(40):
        heel, length = round(rng.uniform(-0.4, 0.2), 4), round(rng.uniform(1.0, 5.0), 4)
        offset, thickness = round(rng.uniform(-0.1, 0.1), 4), round(rng.uniform(0.04, 0.2), 4)
        closed, opening = round(rng.uniform(-3, 3), 4), round(rng.choice([-1, 1]) * rng.uniform(0.3, 2.2), 4)
        steps = 3000
        places = [leaf((0, 0), closed + opening * i / steps, heel, length, offset, thickness) for i in range(steps + 1)]
        area = unary_union(places).area
        line("swing", heel, length, offset, thickness, closed, opening, f"{area:.9f}")


def gaps():
    """The least gap between a swing leaf and an outline at 20,001 evenly spaced positions, so at most a little too great."""
    for _ in range(60):
        heel, length = round(rng.uniform(-0.3, 0.1), 4), round(rng.uniform(1.5, 4.0), 4)
        closed, opening = round(rng.uniform(-3, 3), 4), round(rng.choice([-1, 1]) * rng.uniform(0.5, 2.2), 4)
        way, far = rng.uniform(0, 2 * math.pi), rng.uniform(0.8, 6.0)
        outline = star(far * math.cos(way), far * math.sin(way), rng.randint(3, 8), 0.1, 0.6)
        steps = 20000
        places = shapely.linearrings(
            [list(leaf((0, 0), closed + opening * i / steps, heel, length, 0.02, 0.06).exterior.coords) for i in range(steps + 1)]
        )
        least = float(shapely.distance(shapely.polygons(places), outline).min())
        line("gap", heel, length, closed, opening, text(outline), f"{least:.9f}")


def blinds():
    """The blind area for a body: places from which it misses all lines in at least one of 720, and of 1440, evenly spaced directions, or
    in that of one of the lines. Both are too small, by about a number over the count of directions; so twice the second less the first
    comes near the truth."""
    for _ in range(30):
        long, short = round(rng.uniform(0.3, 0.8), 3), round(rng.uniform(0.1, 0.3), 3)
        zone = convex(2.0, 0.0, 2.0)
        lines = []
        for _ in range(rng.randint(1, 4)):
            y = rng.uniform(-1.5, 1.5)
            ends = [rng.uniform(-0.5, 1.5), y, rng.uniform(2.5, 4.5), y + rng.uniform(-0.3, 0.3)]
            lines.append([round(v, 4) for v in ends])
        unseen = []
        along = [math.atan2(y1 - y0, x1 - x0) for x0, y0, x1, y1 in lines]
        for angle in [math.pi * step / 1440 for step in range(1440)] + along:
            body = affinity.rotate(box(-long / 2, -short / 2, long / 2, short / 2), angle, origin=(0, 0), use_radians=True)
            seen = []
            for x0, y0, x1, y1 in lines:
                corners = [(x + dx, y + dy) for x, y in [(x0, y0), (x1, y1)] for dx, dy in body.exterior.coords]
                seen.append(MultiPoint(corners).convex_hull)
            unseen.append(zone.difference(unary_union(seen)))
        half = unary_union(unseen[:1440:2] + unseen[1440:]).area
        area = unary_union(unseen).area
        written = ",".join(f"{x0} {y0},{x1} {y1}" for x0, y0, x1, y1 in lines)
        line("blind", text(zone), written, long, short, f"{half:.9f}", f"{area:.9f}")


def bifolds():
    """The area swept by a folding leaf of two panels, as the union of its places at 3,000 steps."""
    for _ in range(24):
        first, thickness = round(rng.uniform(0.8, 2.5), 4), round(rng.uniform(0.04, 0.15), 4)
        second = first if rng.random() < 0.3 else round(first + rng.uniform(0, 1), 4)
        ratio = rng.choice([0.0, round(rng.uniform(0.5, 1.5), 3)])
        closed, opening = round(rng.uniform(-3, 3), 4), round(rng.choice([-1, 1]) * rng.uniform(0.5, 1.55), 4)
        places = []
        for step in range(3001):
            angle = opening * step / 3000
            back = ratio * angle if ratio else math.asin(max(-1.0, min(1.0, first * math.sin(angle) / second)))
            fold = (first * math.cos(closed + angle), first * math.sin(closed + angle))
            places.append(leaf((0, 0), closed + angle, 0.0, first, 0.0, thickness))
            places.append(leaf(fold, closed - back, 0.0, second, 0.0, thickness))
        line("bifold", first, second, ratio, thickness, closed, opening, f"{unary_union(places).area:.9f}")


print("# Reference figures of shapely", shapely.__version__, "on GEOS", ".".join(map(str, shapely.geos_version)))
print("# Made by: python3 tests/reckon/outside/plane_reference.py > tests/reckon/outside/plane_reference.csv")
print("# Fields are told in that script; the last field of a line is the expected figure.")
for part in [areas, booleans, distances, buffers, swings, gaps, blinds, bifolds]:
    part()
