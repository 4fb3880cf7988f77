"""Reads a pond's outline, GeoJSON (RFC 7946) or KML (OGC 07-147r2), and lays it on a plane in feet."""

from __future__ import annotations

import json
import math
from collections import deque
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from plantpick.errors import Problem
from plantpick.files.open_file import NotRead, read_bytes
from plantpick.pond.model import Outline
from plantpick.units import FEET, spelled

MOST_BYTES = 10_000_000
MOST_POINTS = 20_000
LOWER_48 = (-125.0, 24.0, -66.0, 50.0)  # west, south, east, north, to the degree
SAVE_POLYGON = "Draw the waterline as one polygon, with islands as holes, and save it as GeoJSON or KML."


@dataclass(frozen=True)
class Plane:
    """Where the outline's plane lies: longitude and latitude of its zero, or None where it was measured in feet."""

    origin: tuple[float, float] | None

    def to_feet(self, xy: np.ndarray) -> np.ndarray:
        """Longitude and latitude (n, 2) as feet east and north of the origin, on an equal-area plane (PROJ, laea)."""
        from pyproj import Transformer

        assert self.origin is not None, "a measured plane needs no projection"
        longitude, latitude = self.origin
        plane = f"+proj=laea +lon_0={longitude!r} +lat_0={latitude!r} +datum=WGS84 +units=ft +no_defs"
        return np.column_stack(
            Transformer.from_crs("OGC:CRS84", plane, always_xy=True).transform(xy[:, 0], xy[:, 1])
        )


def read_survey_file(path: Path, most_bytes: int, problems: list[Problem]) -> bytes | None:
    """The content of a survey file, or None with a problem told."""
    try:
        return read_bytes(path, most_bytes)
    except NotRead as fault:
        remedy = "The path counts from the folder that holds the pond file."
        problems.append(fault.problem(path, remedy, "Thin it out, or cut it down to this pond."))
        return None


def read_outline(path: Path, problems: list[Problem]) -> tuple[Outline, Plane] | None:
    """The outline in a file and the plane it was laid on; None when `problems` were found."""
    before = len(problems)
    raw = read_survey_file(path, MOST_BYTES, problems)
    if raw is None:
        return None
    name, suffix = path.name, path.suffix.lower()
    if suffix == ".kmz" or raw[:2] == b"PK":
        problems.append(Problem(name, "is a zipped KMZ.", "Unzip it and name the .kml file inside."))
        return None
    feet = None
    if suffix == ".kml" or raw.lstrip(b"\xef\xbb\xbf \r\n\t")[:1] == b"<":
        polygons = _kml_polygons(raw, name, problems)
    else:
        polygons, feet = _geojson_polygons(raw, name, problems)
    if len(problems) > before:
        return None
    if len(polygons) != 1:
        problems.append(
            Problem(
                name,
                f"holds {len(polygons) or 'no'} polygons." if len(polygons) != 1 else "",
                SAVE_POLYGON if not polygons else "Keep only the one that is this pond's waterline.",
            )
        )
        return None
    rings = [_ring(ring, f"{name}:ring {number}", problems) for number, ring in enumerate(polygons[0], 1)]
    if not rings:
        problems.append(Problem(name, "the polygon is empty.", SAVE_POLYGON))
    if len(problems) == before and sum(map(len, rings)) > MOST_POINTS:
        problems.append(
            Problem(
                name,
                f"has {sum(map(len, rings)):,} points; {MOST_POINTS:,} are enough for any pond.",
                "Simplify the line.",
            )
        )
    if len(problems) == before and feet is None:
        for number, ring in enumerate(rings, 1):
            tell_misplaced(
                ring,
                lambda row, n=number: f"{name}:ring {n}, point {row + 1}",
                name,
                problems,
                'Coordinates measured in feet need "units": "feet" at the top of the GeoJSON.',
            )
    if len(problems) == before:
        _tell_invalid(rings, name, problems, digits=6 if feet is None else 1)
    if len(problems) > before:
        return None
    if feet is None:
        origin = tuple((rings[0].min(axis=0) + rings[0].max(axis=0)) / 2.0)
        plane = Plane((round(float(origin[0]), 6), round(float(origin[1]), 6)))
        rings = [plane.to_feet(ring) for ring in rings]
    else:
        plane = Plane(None)
        rings = [ring * feet for ring in rings]
    return Outline(tuple(tuple(map(tuple, ring.tolist())) for ring in rings), plane.origin), plane


def outline_of_points(
    points: tuple[tuple[float, float], ...], name: str, problems: list[Problem]
) -> tuple[Outline, Plane] | None:
    """The outline that points in feet make, in order round the shore; `name` is its key. None when `problems` were found."""
    before = len(problems)
    ring = _ring([list(point) for point in points], name, problems)
    if len(problems) == before:
        _tell_invalid([ring], name, problems, digits=1)
    if len(problems) > before:
        return None
    return Outline((tuple(map(tuple, ring.tolist())),), None), Plane(None)


def tell_misplaced(xy: np.ndarray, where, name: str, problems: list[Problem], hint: str = "") -> None:
    """Tell the longitudes and latitudes (n, 2) that cannot be in the lower 48; `where(row)` names a row."""
    west, south, east, north = LOWER_48
    x, y = xy[:, 0], xy[:, 1]
    fits = (west <= x) & (x <= east) & (south <= y) & (y <= north)
    swapped = ~fits & (west <= y) & (y <= east) & (south <= x) & (x <= north)
    unsigned = ~fits & ~swapped & (west <= -x) & (-x <= east) & (south <= y) & (y <= north)
    elsewhere = ~(fits | swapped | unsigned)
    tell_rows(
        np.flatnonzero(swapped),
        len(xy),
        where,
        name,
        problems,
        lambda row: f"longitude and latitude are swapped ({x[row]:g}, {y[row]:g}).",
        "Longitude comes first: in the lower 48 it is negative, from -125 to -66.",
    )
    tell_rows(
        np.flatnonzero(unsigned),
        len(xy),
        where,
        name,
        problems,
        lambda row: f"the longitude {x[row]:g} is in the eastern hemisphere.",
        "West of Greenwich it takes a minus sign.",
    )
    tell_rows(
        np.flatnonzero(elsewhere),
        len(xy),
        where,
        name,
        problems,
        lambda row: f"({x[row]:g}, {y[row]:g}) is not a longitude and latitude in the lower 48.",
        f"Longitude runs from -125 to -66, latitude from 24 to 50. {hint}".strip(),
    )


def tell_rows(
    rows, of: int, where, name: str, problems: list[Problem], what, remedy: str, most: int = 10
) -> None:
    """One problem a row, at most ten and then how many more; a single one when every row has it."""
    rows = list(rows)
    if len(rows) == of and of > 3:
        problems.append(Problem(where(rows[0]), what(rows[0])[:-1] + ", and so it is in every row.", remedy))
        return
    for row in rows[:most]:
        problems.append(Problem(where(row), what(row), remedy))
    if len(rows) > most:
        problems.append(
            Problem(name, f"{len(rows) - most:,} more rows have the same mistake as {where(rows[most - 1])}.")
        )


def _ring(points, where: str, problems: list[Problem]) -> np.ndarray:
    """A ring as an array (n, 2), not closed, points that repeat left out."""
    found: list[tuple[float, ...]] = []
    for number, point in enumerate(points if isinstance(points, list) else [], 1):
        numbers = point[:2] if isinstance(point, (list, tuple)) else ()
        if len(numbers) < 2 or any(
            isinstance(v, bool) or not isinstance(v, (int, float)) or abs(v) > 1e9 or not math.isfinite(v)
            for v in numbers
        ):
            problems.append(
                Problem(
                    f"{where}, point {number}",
                    "is not a pair of numbers.",
                    "A point is longitude, then latitude.",
                )
            )
            return np.empty((0, 2))
        if not found or found[-1] != tuple(numbers):
            found.append(tuple(map(float, numbers)))
    if len(found) > 1 and found[0] == found[-1]:
        found.pop()
    if len(set(found)) < 3:
        problems.append(
            Problem(
                where,
                f"has too few points ({len(set(found))}) to enclose water.",
                "A ring needs three at least, and a good outline fifty or more.",
            )
        )
    return np.array(found, dtype=float).reshape(-1, 2)


def _tell_invalid(rings: list[np.ndarray], name: str, problems: list[Problem], digits: int) -> None:
    """Rings that cross themselves or one another, and islands outside the water."""
    from shapely import LinearRing, Polygon, is_valid_reason, prepare

    shown = len(problems)
    for number, ring in enumerate(rings, 1):
        if not Polygon(ring).is_valid:
            problems.append(
                Problem(
                    f"{name}:ring {number}",
                    f"the line crosses or touches itself ({_place(is_valid_reason(Polygon(ring)), digits)}).",
                    "Walk the points in order round the shore, and take out loops.",
                )
            )
    if len(problems) > shown:
        return
    shore = Polygon(rings[0])
    prepare(shore)
    for number, ring in enumerate(rings[1:], 2):
        if not shore.contains(LinearRing(ring)):
            problems.append(
                Problem(
                    f"{name}:ring {number}",
                    "the island is not inside the water.",
                    "The first ring is the shore; the others are islands in it.",
                )
            )
    whole = Polygon(rings[0], rings[1:])
    if len(problems) == shown and not whole.is_valid:
        problems.append(
            Problem(
                name,
                f"islands cross or touch ({_place(is_valid_reason(whole), digits)}).",
                "Join islands that touch, and take out those inside another.",
            )
        )


def _place(reason: str, digits: int) -> str:
    """Where shapely found the fault, as "near x, y"."""
    inside = reason.partition("[")[2].rstrip("]").split()
    try:
        return "near " + ", ".join(f"{float(v):.{digits}f}" for v in inside[:2]) if inside else reason.lower()
    except ValueError:
        return reason.lower()


def _geojson_polygons(raw: bytes, name: str, problems: list[Problem]) -> tuple[list, float | None]:
    try:
        told = json.loads(raw.decode("utf-8-sig"))
    except json.JSONDecodeError as fault:
        problems.append(
            Problem(f"{name}:{fault.lineno}:{fault.colno}", f"is not valid JSON: {fault.msg}.", SAVE_POLYGON)
        )
        return [], None
    except (UnicodeDecodeError, RecursionError, ValueError):
        problems.append(Problem(name, "is not GeoJSON text.", SAVE_POLYGON))
        return [], None
    if not isinstance(told, dict):
        problems.append(Problem(name, "is JSON but not GeoJSON.", SAVE_POLYGON))
        return [], None
    feet = None
    if "units" in told:
        feet = FEET.get(spelled(str(told["units"])))
        if feet is None:
            problems.append(
                Problem(
                    f"{name}:units",
                    f'"{str(told["units"])[:40]}" is not a unit known here.',
                    'Allowed: "feet" or "meters", for an outline measured on a plane; leave the member '
                    "out for longitude and latitude.",
                )
            )
    crs = json.dumps(told.get("crs")) if told.get("crs") else ""
    if crs and feet is None and not any(known in crs for known in ("CRS84", "EPSG::4326", "EPSG:4326")):
        problems.append(
            Problem(
                f"{name}:crs",
                "the outline is in another reference system.",
                "Save it in longitude and latitude (WGS 84), as GeoJSON has it.",
            )
        )
    found, others = [], set()
    queue: deque[Any] = deque([told])
    while queue:
        item = queue.popleft()
        if not isinstance(item, dict):
            continue
        kind = item.get("type")
        if kind == "FeatureCollection":
            queue += _list_of(item.get("features"))
        elif kind == "Feature":
            queue.append(item.get("geometry"))
        elif kind == "GeometryCollection":
            queue += _list_of(item.get("geometries"))
        elif kind in ("Polygon", "MultiPolygon"):
            inside = _list_of(item.get("coordinates"))
            found += [inside] if kind == "Polygon" else [p for p in inside if isinstance(p, list)]
        else:
            others.add(str(kind)[:40])
    if not found and not problems and others:
        problems.append(Problem(name, f"holds no polygon, only {', '.join(sorted(others))}.", SAVE_POLYGON))
    return found, feet


def _list_of(value) -> list[Any]:
    """The value if it is a list; what is none holds nothing."""
    return value if isinstance(value, list) else []


def _kml_polygons(raw: bytes, name: str, problems: list[Problem]) -> list:
    from xml.etree.ElementTree import ParseError

    from defusedxml import DefusedXmlException
    from defusedxml.ElementTree import fromstring

    try:
        root = fromstring(raw, forbid_dtd=True)
    except DefusedXmlException:
        problems.append(
            Problem(
                name,
                "holds a document type or entities, which KML has no use for.",
                "Take them out, or save the file again.",
            )
        )
        return []
    except (ParseError, ValueError, LookupError, RecursionError) as fault:
        line, column = getattr(fault, "position", (0, 0))
        problems.append(
            Problem(f"{name}:{line}:{column + 1}" if line else name, "is not valid XML.", SAVE_POLYGON)
        )
        return []

    def inside(element, tag):
        return [e for e in element.iter() if isinstance(e.tag, str) and e.tag.rpartition("}")[2] == tag]

    found = []
    shapes = inside(root, "Polygon")
    if len(shapes) > 1:
        return [[] for _ in shapes]  # too many, whatever is in them
    for number, shape in enumerate(shapes, 1):
        rings: list[list] = []
        for side in ("outerBoundaryIs", "innerBoundaryIs"):
            for boundary in (e for e in shape if isinstance(e.tag, str) and e.tag.rpartition("}")[2] == side):
                rings += [
                    _kml_ring(c.text or "", f"{name}:polygon {number}, ring {len(rings) + 1}", problems)
                    for c in inside(boundary, "coordinates")
                ]
        found.append(rings)
    if not found:
        problems.append(
            Problem(
                name,
                "holds no polygon" + (", only a path." if inside(root, "LineString") else "."),
                SAVE_POLYGON,
            )
        )
    return found


def _kml_ring(text: str, where: str, problems: list[Problem]) -> list:
    points = []
    for number, word in enumerate(text.split(), 1):
        try:
            points.append([float(v) for v in word.split(",")[:2]])
        except ValueError:
            points.append([])
        if len(points[-1]) < 2:
            problems.append(
                Problem(
                    f"{where}, point {number}",
                    f'"{word[:40]}" is not longitude,latitude.',
                    "Points are separated by spaces, numbers by a comma without a space.",
                )
            )
            return []
    return points
