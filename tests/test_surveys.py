"""Survey files: what is read, and what each mistake is told."""

from __future__ import annotations

import json
import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plantpick.cli.app import run
from plantpick.errors import PlantpickError
from plantpick.files import outlines, pond_file, survey_tables, surveys
from plantpick.pond import basin
from plantpick.pond.depth_bands import describe
from plantpick.pond.model import ACRE_FT2

POND = """
name = "Made-up Pond"
invented = true
state = "MS"
hardiness_zone = "8b"
{files}
[water]
area_acres = {acres}
max_depth_ft = {deep}
clarity_in = 30
usual_drop_ft = 1.5
[[shore]]
name = "all round"
length_ft = {shore}
slope = 4
"""
SIDE = 400.0  # feet; a square pond of 3.67 acres and 12 ft


def depth_ft(x, y):
    """A made-up bottom: 12 ft in the middle, 4:1 banks."""
    edge = np.minimum.reduce([x, y, SIDE - x, SIDE - y])
    return np.minimum(12.0, np.maximum(0.0, edge / 4.0))


def grid(step=20.0):
    x, y = (a.ravel() for a in np.meshgrid(np.arange(step / 2, SIDE, step), np.arange(step / 2, SIDE, step)))
    return x, y, depth_ft(x, y)


def rows(x, y, z, heading="x,y,depth"):
    return heading + "\n" + "".join(f"{a:.6f},{b:.6f},{c:.2f}\n" for a, b, c in zip(x, y, z))


def feet_outline(*rings, **extra):
    rings = rings or ([[0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE], [0, 0]],)
    return json.dumps({"type": "Polygon", "coordinates": list(rings), "units": "feet", **extra})


@pytest.fixture
def project(tmp_path):
    """Writes files beside a pond file and reads it; gives the pond, or the problems as lines."""

    def write(acres=SIDE**2 / ACRE_FT2, deep=12, shore=4 * SIDE, **files):
        names = {"soundings": "soundings.csv", "contours": "contours.csv", "outline": "outline.geojson"}
        keys = []
        for key, text in files.items():
            name = names[key]
            if isinstance(text, tuple):
                name, text = text
            (tmp_path / name).write_bytes(text if isinstance(text, bytes) else text.encode())
            keys.append(f'{key} = "{name}"')
        path = tmp_path / "pond.toml"
        path.write_text(
            POND.format(files="\n".join(keys), acres=acres, deep=deep, shore=shore), encoding="utf-8"
        )
        try:
            return pond_file.read_pond(str(path)), []
        except PlantpickError as fault:
            assert fault.code == "pond-file"
            return None, [str(p) for p in fault.problems]

    return write


def one(told, *words):
    """The only problem, with all these words in it."""
    pond, problems = told
    assert pond is None and len(problems) == 1, problems
    assert all(w in problems[0] for w in words), problems[0]


# --- what is read -----------------------------------------------------------------------------------------------


def test_soundings_in_feet(project):
    pond, problems = project(soundings=rows(*grid()), outline=feet_outline())
    assert not problems and pond.survey.how == "soundings"
    assert pond.area_ft2 == pytest.approx(SIDE**2) and pond.max_depth_ft == pytest.approx(12.0)
    assert pond.survey.shore_ft == pytest.approx(4 * SIDE)
    z = np.linspace(0, 12, 200)
    side = SIDE - 8 * z
    assert basin.volume_ft3(pond) == pytest.approx(np.trapezoid(side**2, z), rel=0.02)


@pytest.mark.parametrize(
    "heading, factor", [("x,y,Depth (ft)", 1.0), ("X_ft,Y_ft,depth_m", 0.3048), ("x;y;depth", 1.0)]
)
def test_headings_and_separators(project, heading, factor):
    x, y, z = grid()
    text = rows(x, y, z, "#")[2:]
    text = (
        heading
        + "\n"
        + "".join(
            (";" if ";" in heading else ",").join(f"{v:.3f}" for v in row) + "\n"
            for row in zip(x, y, z * factor)
        )
    )
    pond, problems = project(soundings=text, outline=feet_outline())
    assert not problems and pond.max_depth_ft == pytest.approx(12.0, abs=0.01)


def test_extra_columns_remarks_and_a_byte_order_mark_are_passed_over(project):
    x, y, z = grid()
    lines = ["# taken on a still day", "time,x,y,temp_f,depth"]
    lines += [f"09:00,{a},{b},71,{c}" for a, b, c in zip(x, y, z)] + [""]
    pond, problems = project(soundings=b"\xef\xbb\xbf" + "\r\n".join(lines).encode(), outline=feet_outline())
    assert not problems and len(pond.survey.soundings) == len(x)


def test_longitude_and_latitude_against_the_ellipsoid():
    """The equal-area plane against the geodesic area and length on the ellipsoid (GeographicLib, through pyproj)."""
    from pyproj import Geod
    from shapely import Polygon

    ring = np.array([[-89.412, 32.866], [-89.4105, 32.8662], [-89.4102, 32.8675], [-89.4119, 32.8671]])
    plane = outlines.Plane((-89.411, 32.8668))
    flat = Polygon(plane.to_feet(ring))
    area, length = Geod(ellps="WGS84").geometry_area_perimeter(Polygon(ring))
    assert flat.area * 0.3048**2 == pytest.approx(abs(area), rel=1e-6)
    assert flat.length * 0.3048 == pytest.approx(length, rel=1e-6)


def test_the_demo_survey_agrees_with_its_pond():
    pond = pond_file.read_pond("demo-surveyed")
    assert (
        pond.invented
        and pond.survey.how == "soundings"
        and [o.how for o in pond.survey.others] == ["contours"]
    )
    assert pond.area_acres == pytest.approx(3.1, rel=0.01) and pond.max_depth_ft == pytest.approx(
        13, rel=0.02
    )
    assert pond.survey.shore_ft == pytest.approx(sum(s.length_ft for s in pond.stretches), rel=0.01)
    assert pond.survey.others[0].volumes_ft3[0] == pytest.approx(pond.survey.volumes_ft3[0], rel=0.05)
    south = pond_file.read_pond("demo")
    assert pond.stretches == tuple(
        next(t for t in pond.stretches if t.name == s.name) for s in south.stretches
    )


KML = """<?xml version="1.0" encoding="UTF-8"?>
<kml xmlns="http://www.opengis.net/kml/2.2"><Document><Placemark><name>pond</name><Polygon>
<outerBoundaryIs><LinearRing><coordinates>
 -89.4120,32.8660,0 -89.4105,32.8660,0 -89.4105,32.8672,0 -89.4120,32.8672,0 -89.4120,32.8660,0
</coordinates></LinearRing></outerBoundaryIs>
<innerBoundaryIs><LinearRing><coordinates>
 -89.4115,32.8664 -89.4112,32.8664 -89.4112,32.8667 -89.4115,32.8664
</coordinates></LinearRing></innerBoundaryIs>
</Polygon></Placemark></Document></kml>"""


def read_outline(tmp_path, name, text):
    path = tmp_path / name
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    problems = []
    found = outlines.read_outline(path, problems)
    return found, [str(p) for p in problems]


def test_kml_and_geojson_of_one_pond_agree(tmp_path):
    found, problems = read_outline(tmp_path, "pond.kml", KML)
    assert not problems and [len(r) for r in found[0].rings] == [4, 3]
    rings = [
        [[-89.412, 32.866], [-89.4105, 32.866], [-89.4105, 32.8672], [-89.412, 32.8672], [-89.412, 32.866]],
        [[-89.4115, 32.8664], [-89.4112, 32.8664], [-89.4112, 32.8667], [-89.4115, 32.8664]],
    ]
    for wrap in (
        lambda g: g,
        lambda g: {"type": "Feature", "geometry": g, "properties": {}},
        lambda g: {"type": "FeatureCollection", "features": [{"type": "Feature", "geometry": g}]},
    ):
        other, problems = read_outline(
            tmp_path, "pond.geojson", json.dumps(wrap({"type": "Polygon", "coordinates": rings}))
        )
        assert not problems and other[0] == found[0]


def test_only_an_outline_gives_shore_and_surface(project):
    pond, problems = project(outline=feet_outline())
    assert not problems and pond.survey.how == "outline"
    assert basin.volume_ft3(pond) == basin.offset_volume_ft3(pond)
    told = describe(pond)
    assert (
        told.way == "stretches"
        and told.shore_from == "outline"
        and any("outline gives" in r for r in told.remarks)
    )


def test_contours_whose_last_stands_above_the_bottom(project):
    pond, problems = project(acres=4, deep=13, contours="depth_ft,area_acres\n0,4\n5,3\n10,1\n")
    assert not problems and pond.max_depth_ft == 13 and float(basin.area_at_depth_ft2(pond, 156)) == 0
    frusta = 5 / 3 * (4 + 3 + 12**0.5) + 5 / 3 * (3 + 1 + 3**0.5) + 3 / 3 * 1
    assert basin.volume_ft3(pond) / ACRE_FT2 == pytest.approx(frusta)


def test_measured_values_stand_in_for_said_ones(project):
    pond, problems = project(acres=4.2, deep=12.5, contours="depth_ft,area_acres\n0,4\n6,3\n12,0\n")
    assert not problems and pond.area_acres == pytest.approx(4) and pond.max_depth_ft == pytest.approx(12)
    assert sum("as measured" in n for n in pond.notes) == 2


def test_positions_a_little_outside_are_left_out_with_a_word(project):
    x, y, z = grid()
    pond, problems = project(soundings=rows([*x, -0.6], [*y, 200], [*z, 1.0]), outline=feet_outline())
    assert not problems and len(pond.survey.soundings) == len(x)
    assert any("1 sounding on the outline or up to 1 ft outside" in n for n in pond.notes)


# --- what is refused --------------------------------------------------------------------------------------------


def on_earth(swap=False, sign=1.0):
    """The square pond in longitude and latitude, by the same plane: soundings and outline."""
    from pyproj import Transformer

    to = Transformer.from_crs(
        "+proj=laea +lon_0=-89.4 +lat_0=32.8 +datum=WGS84 +units=ft", "OGC:CRS84", always_xy=True
    )
    x, y, z = grid()
    lon, lat = to.transform(x - SIDE / 2, y - SIDE / 2)
    ring = [
        list(to.transform(a - SIDE / 2, b - SIDE / 2))
        for a, b in ((0, 0), (SIDE, 0), (SIDE, SIDE), (0, SIDE), (0, 0))
    ]
    lon = np.array(lon) * sign
    return (lat, lon, z) if swap else (lon, lat, z), json.dumps({"type": "Polygon", "coordinates": [ring]})


EARTH = "longitude,latitude,depth_ft"


def test_longitude_and_latitude_in_feet_and_meters(project):
    (lon, lat, z), outline = on_earth()
    feet, _ = project(soundings=rows(lon, lat, z, EARTH), outline=outline)
    meters, _ = project(soundings=rows(lon, lat, z * 0.3048, "Lon,Lat,Depth (m)"), outline=outline)
    assert feet.area_ft2 == pytest.approx(SIDE**2, rel=1e-5)
    assert basin.volume_ft3(meters) == pytest.approx(basin.volume_ft3(feet), rel=2e-3)


def test_swapped_everywhere_is_one_problem(project):
    xyz, outline = on_earth(swap=True)
    one(
        project(soundings=rows(*xyz, EARTH), outline=outline),
        "soundings.csv:2:longitude",
        "swapped",
        "every row",
    )


def test_swapped_in_some_rows_names_them(project):
    (lon, lat, z), outline = on_earth()
    lon, lat = np.array(lon), np.array(lat)
    lon[[3, 7]], lat[[3, 7]] = lat[[3, 7]], lon[[3, 7]]
    _, problems = project(soundings=rows(lon, lat, z, EARTH), outline=outline)
    assert [p.split(": ")[0] for p in problems] == ["soundings.csv:5:longitude", "soundings.csv:9:longitude"]


def test_a_longitude_without_its_minus_sign(project):
    xyz, outline = on_earth(sign=-1.0)
    one(project(soundings=rows(*xyz, EARTH), outline=outline), "eastern hemisphere", "minus sign")


def test_no_unit_of_depth_with_longitude(project):
    xyz, outline = on_earth()
    one(
        project(soundings=rows(*xyz, "longitude,latitude,depth"), outline=outline),
        ":1:depth",
        "not named",
        "depth_ft",
    )


def test_swapped_outline(project):
    xyz, outline = on_earth()
    turned = json.loads(outline)
    turned["coordinates"] = [[[b, a] for a, b in turned["coordinates"][0]]]
    one(
        project(soundings=rows(*xyz, EARTH), outline=json.dumps(turned)),
        "outline.geojson:ring 1, point 1",
        "swapped",
    )


def test_negative_depths(project):
    x, y, z = grid()
    one(
        project(soundings=rows(x, y, -z), outline=feet_outline()),
        "soundings.csv:2:depth",
        "negative",
        "every row",
    )
    z[[0, 5]] *= -1
    _, problems = project(soundings=rows(x, y, z), outline=feet_outline())
    assert [p.split(": ")[0] for p in problems] == ["soundings.csv:2:depth", "soundings.csv:7:depth"]


def test_meters_taken_for_feet(project):
    x, y, z = grid()
    one(
        project(soundings=rows(x, y, z * 0.3048), outline=feet_outline()),
        "3.7 ft",
        "max_depth_ft says 12",
        "look like meters",
    )


def test_feet_and_meters_mixed(project):
    x, y, z = grid()
    z[[145, 189, 250]] *= 0.3048
    _, problems = project(soundings=rows(x, y, z), outline=feet_outline())
    assert [p.split(": ")[0] for p in problems] == [f"soundings.csv:{n + 2}:depth" for n in (145, 189, 250)]
    assert all("mixed" in p for p in problems)
    text = "x,y,depth,unit\n" + "".join(
        f"{a},{b},{c:.2f},{'m' if n in (145, 189, 250) else 'ft'}\n"
        for n, (a, b, c) in enumerate(zip(x, y, z))
    )
    pond, problems = project(soundings=text, outline=feet_outline())
    assert not problems
    assert basin.volume_ft3(pond) == pytest.approx(
        basin.volume_ft3(project(soundings=rows(*grid()), outline=feet_outline())[0]), rel=1e-3
    )


def dam_and_cove(x, y):
    """A made-up bottom: a dam of 3:1 along y = 0, a cove of 10:1 at the far end, 4:1 along both sides, 12 ft at the most."""
    return np.minimum(
        12.0, np.maximum(0.0, np.minimum.reduce([x / 4, (SIDE - x) / 4, y / 3, (SIDE - y) / 10]))
    )


DAM_AND_COVE = """[[shore]]
name = "{}"
from_ft = {}
to_ft = {}
length_ft = 400
slope = {}
"""


@pytest.mark.parametrize("located", [True, False])
@pytest.mark.parametrize("first, after", [(200, 400), (0, 140), (120, 260)])
def test_a_run_of_rows_in_meters_is_named(project, tmp_path, first, after, located):
    """A survey of 400 soundings in twenty lines, a part of it in meters, each sounding off by 4 % or so (made up). Row 0 stands in
    line 2 of the file. As it was, the pond with its shallow cove and steep dam is read without a word."""
    x, y, _ = grid()
    z = dam_and_cove(x, y) * np.random.default_rng(5).normal(1.0, 0.04, len(x))
    z *= 12.0 / z.max()
    shore = "".join(
        DAM_AND_COVE.format(name, 400 * k, (400 * k + 400) % 1600 or 1600, slope)
        for k, (name, slope) in enumerate((("dam", 3), ("east", 4), ("cove", 10), ("west", 4)))
    )
    if not located:
        shore = "\n".join(line for line in shore.splitlines() if not line.startswith(("from_ft", "to_ft")))

    def told(depths):
        project(soundings=rows(x, y, depths), outline=feet_outline())
        path = tmp_path / "pond.toml"
        path.write_text(path.read_text(encoding="utf-8").split("[[shore]]")[0] + shore, encoding="utf-8")
        try:
            return pond_file.read_pond(str(path)), []
        except PlantpickError as fault:
            return None, [str(p) for p in fault.problems]

    pond, problems = told(z)
    assert not problems and pond.survey.how == "soundings"
    mixed = z.copy()
    mixed[first:after] *= 0.3048
    pond, problems = told(mixed)
    assert pond is None and len(problems) == 1 and "look like meters among feet" in problems[0], problems
    assert "a column headed unit" in problems[0]
    begin, end = (int(n) for n in re.search(r"rows (\d+) to (\d+)", problems[0]).groups())
    assert abs(begin - (first + 2)) <= 2 and abs(end - (after + 1)) <= 2, problems


def test_units_in_cells(project):
    x, y, z = grid()
    text = "x,y,depth\n" + "".join(
        f"{a},{b},{c:.1f}{' m' if n == 9 else ' ft' if n in (4, 6) else ''}\n"
        for n, (a, b, c) in enumerate(zip(x, y, z))
    )
    _, problems = project(soundings=text, outline=feet_outline())
    assert "mixed" in problems[0] and "ft and m" in problems[0]
    assert [p.split(": ")[0] for p in problems[1:]] == [f"soundings.csv:{n}:depth" for n in (6, 8, 11)]


def test_points_outside_and_on_an_island(project):
    x, y, z = grid()
    island = [[195, 195], [235, 195], [235, 235], [195, 235], [195, 195]]
    outline = feet_outline([[0, 0], [SIDE, 0], [SIDE, SIDE], [0, SIDE], [0, 0]], island)
    _, problems = project(soundings=rows([*x, 450], [*y, 10], [*z, 2]), outline=outline)
    lines = [int(p.split(":")[1]) for p in problems]
    assert lines[-1] == len(x) + 2 and "50 ft outside" in problems[-1]
    assert all(195 < x[n - 2] < 235 and 195 < y[n - 2] < 235 for n in lines[:-1]) and len(lines) == 5


def test_another_pond_altogether_is_one_problem(project):
    x, y, z = grid()
    one(project(soundings=rows(x + 5000, y, z), outline=feet_outline()), "400 of 400 soundings lie outside")


def test_too_few(project):
    x, y, z = (a[:5] for a in grid())
    one(project(soundings=rows(x, y, z), outline=feet_outline()), "too few soundings (5)")


def test_a_lost_bottom(project):
    x, y, z = grid()
    z[210] = 0
    one(
        project(soundings=rows(x, y, z), outline=feet_outline()), "soundings.csv:212:depth", "lost the bottom"
    )


def test_soundings_without_an_outline(project):
    one(project(soundings=rows(*grid())), "pond.toml: outline", "waterline")


def test_two_planes(project):
    xyz, outline = on_earth()
    one(
        project(soundings=rows(*xyz, EARTH), outline=feet_outline()),
        "has longitude and latitude",
        "outline is in feet",
    )
    one(project(soundings=rows(*grid()), outline=outline), "has x and y", "longitude and latitude")


def test_area_depth_and_shore_that_disagree_are_all_told(project):
    pond, problems = project(acres=4.6, deep=20, shore=2400, soundings=rows(*grid()), outline=feet_outline())
    assert pond is None and len(problems) == 3
    text = "\n".join(problems)
    assert "3.67 acres, but area_acres says 4.6" in text and "12.0 ft, but max_depth_ft says 20" in text
    assert "2,400 ft, but the outline measures 1,600 ft" in text


def test_mistakes_in_all_files_are_told_at_once(project):
    _, problems = project(
        soundings="x,y,depth\n1,2,three\n" + rows(*grid())[10:], outline="{", contours="depth,area\n0,1\n"
    )
    text = "\n".join(problems)
    assert (
        'soundings.csv:2:depth: "three" is not a number' in text
        and "outline.geojson:1:2: is not valid JSON" in text
    )
    assert "contours.csv:1:area: the unit of area is not named" in text and "too few contours (1)" in text


@pytest.mark.parametrize(
    "ring, words",
    [
        (
            [[0, 0], [400, 400], [400, 0], [0, 400], [0, 0]],
            ("crosses or touches itself", "near 200.0, 200.0"),
        ),
        ([[0, 0], [400, 0], [0, 0]], ("too few points (2)",)),
        ([[0, 0], [400, 0], ["a", 1], [0, 0]], ("point 3", "not a pair of numbers")),
        ([[0, 0], [400, 0], [1e300, 1], [0, 0]], ("point 3",)),
        ([], ("too few points (0)",)),
    ],
)
def test_rings_that_enclose_nothing(tmp_path, ring, words):
    found, problems = read_outline(tmp_path, "outline.geojson", feet_outline(ring))
    assert found is None and len(problems) == 1 and all(w in problems[0] for w in words), problems


def test_islands_outside_and_islands_that_cross(tmp_path):
    shore = [[0, 0], [400, 0], [400, 400], [0, 400], [0, 0]]
    out = [[500, 500], [520, 500], [520, 520], [500, 500]]
    a, b = ([[100 + s, 100], [150 + s, 100], [150 + s, 150], [100 + s, 100]] for s in (0, 20))
    assert "island is not inside" in read_outline(tmp_path, "o.geojson", feet_outline(shore, out))[1][0]
    assert "islands cross" in read_outline(tmp_path, "o.geojson", feet_outline(shore, a, b))[1][0]


@pytest.mark.parametrize(
    "name, text, words",
    [
        (
            "o.geojson",
            '{"type": "LineString", "coordinates": [[0, 0], [1, 1]]}',
            "holds no polygon, only LineString",
        ),
        ("o.geojson", "[1, 2]", "not GeoJSON"),
        ("o.geojson", "null", "not GeoJSON"),
        ("o.geojson", b"\xff\xfe\x00", "not GeoJSON text"),
        ("o.geojson", "[" * 100_000, "not"),
        ("o.geojson", '{"type": "Polygon"}', "polygon is empty"),
        ("o.geojson", '{"type": "MultiPolygon", "coordinates": [[], []]}', "holds 2 polygons"),
        (
            "o.geojson",
            '{"type": "Polygon", "units": "fathoms", "coordinates": []}',
            '"fathoms" is not a unit',
        ),
        (
            "o.geojson",
            '{"type": "Polygon", "crs": {"properties": {"name": "EPSG:2254"}}, "coordinates": []}',
            "another reference",
        ),
        ("o.kml", "<kml><Placemark><LineString/></Placemark></kml>", "only a path"),
        ("o.kml", "<kml>", "o.kml:1:"),
        ("o.kml", "", "not valid XML"),
        ("o.kmz", b"PK\x03\x04", "Unzip"),
        (
            "o.kml",
            '<!DOCTYPE k [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><kml>&b;</kml>',
            "document type or entities",
        ),
        (
            "o.kml",
            '<!DOCTYPE k [<!ENTITY x SYSTEM "file:///etc/passwd">]><kml>&x;</kml>',
            "document type or entities",
        ),
        ("o.kml", KML.replace("-89.4120,32.8660,0 -", "-89.4120, 32.8660 -", 1), "is not longitude,latitude"),
        ("o.kml", KML.replace("-89.4112,32.8664", "x,y"), "is not longitude,latitude"),
    ],
)
def test_outlines_that_cannot_be_read(tmp_path, name, text, words):
    found, problems = read_outline(tmp_path, name, text)
    assert found is None and problems and words in problems[0], problems


@pytest.mark.parametrize(
    "text, words",
    [
        ("depth_ft,area_acres\n0,4\n6,5\n12,0\n", ("contours.csv:3:area_acres", "larger than 4")),
        ("depth_ft,area_acres\n2,4\n6,3\n12,0\n", ("no contour stands at depth 0",)),
        (
            "depth_ft,area_acres\n0,4\n6,3\n6,2\n12,0\n",
            ("contours.csv:4:depth_ft", "same depth stands in row 3"),
        ),
        ("depth_ft,area_acres\n0,4\n6,\n12,0\n", ("contours.csv:3:area_acres", "empty")),
        ("depth_ft,area_acres\n0,4\n6,nan\n12,0\n", ("contours.csv:3:area_acres", '"nan" is not a number')),
        ("depth_ft,area_acres\n0,4\n6,3,5\n-12,0\n", ("contours.csv:4:depth_ft", "negative")),
        ("depth_ft,acreage\n0,4\n", ("contours.csv:1:area", "missing")),
        ("depth_ft,area_acres\n0,4\n2,3\n", ("deepest contour is at 2.0 ft", "12")),
        ("depth_ft,area_acres\n0,4\n2,3\n30,0\n", ("deepest contour is at 30.0 ft",)),
        ("depth_ft,area_acres\n0,2\n6,1\n12,0\n", ("2.00 acres, but area_acres says 4",)),
        ("", ("empty",)),
        ("depth_ft,area_acres\n", ("too few contours (0)",)),
        (b"\xff\xfe\x00a", ("not UTF-8",)),
        ('depth_ft,area_acres\n0,"4\n6,3\n', ("contours.csv",)),
    ],
)
def test_contours_that_are_wrong(project, text, words):
    pond, problems = project(acres=4, contours=text)
    assert pond is None and problems and all(w in "\n".join(problems) for w in words), problems


def test_files_that_are_missing_or_folders(project, tmp_path):
    (tmp_path / "folder.csv").mkdir()
    path = tmp_path / "pond.toml"
    path.write_text(
        POND.format(
            files='contours = "nowhere.csv"\nsoundings = "folder.csv"\noutline = "x.kml"',
            acres=3,
            deep=12,
            shore=1400,
        ),
        encoding="utf-8",
    )
    with pytest.raises(PlantpickError) as fault:
        pond_file.read_pond(str(path))
    assert [p.what for p in fault.value.problems] == [
        "there is no such file.",
        "there is no such file.",
        "is a folder, not a file.",
    ]


def test_sizes_are_limited(project, monkeypatch):
    few = replace(survey_tables.FORMAT, most_rows=50)
    monkeypatch.setattr(survey_tables, "FORMAT", few)
    one(project(soundings=rows(*grid()), outline=feet_outline()), "more than 50 rows")
    monkeypatch.setattr(survey_tables, "FORMAT", replace(few, most_bytes=100))
    one(project(soundings=rows(*grid()), outline=feet_outline()), "larger than such a file")
    monkeypatch.setattr(outlines, "MOST_POINTS", 3)
    assert any("are enough for any pond" in p for p in project(outline=feet_outline())[1])


def test_many_mistakes_are_counted_and_not_all_written_out(project):
    x, y, z = grid()
    text = "x,y,depth\n" + "".join(
        f"{a},{b},{'?' if n % 2 else c}\n" for n, (a, b, c) in enumerate(zip(x, y, z))
    )
    _, problems = project(soundings=text, outline=feet_outline())
    assert len(problems) == 11 and "190 more rows have the same mistake" in problems[-1]


@settings(max_examples=80, deadline=None)
@given(
    st.binary(max_size=300)
    | st.text(alphabet="xydepth_ftm,;\n\t0123456789.-#\"' ", max_size=300).map(str.encode)
)
def test_any_bytes_are_read_or_refused(tmp_path_factory, raw):
    """No content breaks the readers: a table or an outline comes back, or problems do."""
    folder = tmp_path_factory.mktemp("bytes")
    for name, read in (
        ("c.csv", survey_tables.read_contours),
        ("s.csv", survey_tables.read_soundings),
        ("o.geojson", outlines.read_outline),
        ("o.kml", outlines.read_outline),
    ):
        (folder / name).write_bytes(raw)
        problems = []
        assert (read(folder / name, problems) is None) == bool(problems)


# --- the command ------------------------------------------------------------------------------------------------


def test_depths_command_in_three_forms(capsys):
    assert run(["depths", "demo-surveyed"]) == 0
    table = capsys.readouterr().out
    for words in (
        "acre-feet at full pool",
        "rule of thumb",
        "soundings",
        "used",
        "low pool",
        "deepest growth",
        "fall dry",
        "1,552 ft of shore",
        "invented",
    ):
        assert words in table, words
    assert run(["depths", "demo-surveyed", "-f", "json"]) == 0
    told = json.loads(capsys.readouterr().out)
    assert told["described_by"] == "soundings"
    assert sum(b["share_percent"] or 0 for b in told["bands"]) == pytest.approx(100, abs=0.05)
    assert [e["by"] for e in told["estimates"]] == ["soundings", "contours", "stretches", "rule of thumb"]
    assert told["curve"][0]["volume_below_acre_ft"] == pytest.approx(told["volume_acre_ft"], abs=0.001)
    assert run(["depths", "demo", "-f", "csv"]) == 0
    assert (
        capsys.readouterr().out.splitlines()[0]
        == "band,shallow_in,deep_in,acres,share_percent,acres_low,acres_high"
    )


def test_few_soundings_are_warned_of_and_the_range_is_shown(project, tmp_path, capsys):
    """20 random soundings of a made-up square basin, 4:1 banks to 12 ft: its own volume, in closed form, lies in the
    range; a grid of 400 is close enough to go without a warning."""
    rng = np.random.default_rng(3)
    x, y = np.append(rng.uniform(8, SIDE - 8, (2, 20)), [[SIDE / 2], [SIDE / 2]], axis=1)
    z = np.linspace(0, 12, 400)
    true = float(np.trapezoid((SIDE - 8 * z) ** 2, z)) / ACRE_FT2
    pond, problems = project(soundings=rows(x, y, depth_ft(x, y)), outline=feet_outline())
    assert not problems and any("21 soundings are few for this outline" in note for note in pond.notes)
    told = describe(pond)
    assert told.acre_ft < 0.9 * true < told.unsure.acre_ft[1]
    assert run(["depths", str(tmp_path / "pond.toml")]) == 0
    table = " ".join(capsys.readouterr().out.split())
    assert (
        "may be" in table
        and f"About {told.unsure.more} more" in table
        and "what the soundings may miss" in table
    )
    assert run(["depths", str(tmp_path / "pond.toml"), "-f", "json"]) == 0
    record = json.loads(capsys.readouterr().out)
    assert record["soundings_may_miss"]["more_soundings"] == told.unsure.more
    assert record["soundings_may_miss"]["missed_percent"][1] > 10
    assert all(b["acres_low"] <= b["acres"] <= b["acres_high"] for b in record["bands"])
    pond, problems = project(soundings=rows(*grid()), outline=feet_outline())
    assert not problems and not any("few" in note for note in pond.notes)
    assert describe(pond).unsure.more == 0


def test_the_picture_in_plain_letters(monkeypatch):
    """Where the terminal cannot show blocks, the bars are made of #, and no line is wider than the terminal."""
    import io

    from rich.console import Console

    from plantpick.show import depths

    told = describe(pond_file.read_pond("demo-surveyed"))
    raw = io.TextIOWrapper(io.BytesIO(), encoding="ascii")
    depths.picture(Console(file=raw, width=60), told)
    raw.flush()
    lines = raw.buffer.getvalue().decode("ascii").splitlines()
    bars = [line.count("#") for line in lines[1:]]
    assert len(lines) == len(told.curve) + 1 and max(map(len, lines)) <= 60
    assert bars == sorted(bars, reverse=True) and bars[0] > 10 and bars[-1] == 0


def test_an_error_leaves_standard_output_empty(tmp_path, capsys):
    (tmp_path / "c.csv").write_text("depth_ft,area_acres\n0,3\n6,4\n12,0\n", encoding="utf-8")
    (tmp_path / "p.toml").write_text(
        POND.format(files='contours = "c.csv"', acres=3, deep=12, shore=1400), encoding="utf-8"
    )
    assert run(["depths", str(tmp_path / "p.toml")]) == 3
    out, err = capsys.readouterr()
    assert out == "" and "c.csv:3:area_acres" in err


def test_tolerances_are_what_the_messages_say():
    assert (surveys.AGREE, surveys.SHORE_AGREE) == (0.10, 0.25)


def test_a_place_to_keep_clear_may_say_how_deep_it_is(project, tmp_path):
    project()
    path = tmp_path / "pond.toml"
    path.write_text(
        path.read_text(encoding="utf-8") + '[[keep_clear]]\nwhat = "air diffuser"\ndepth_ft = 4\n',
        encoding="utf-8",
    )
    pond = pond_file.read_pond(str(path))
    assert pond.keep_clear[0].kind == "diffuser" and pond.keep_clear[0].depth_ft == 4
    assert any("yours is in 4 ft" in r for r in describe(pond).remarks)


@pytest.mark.parametrize("shape", ["one spot", "one line", "twins"])
def test_soundings_in_odd_arrangements(project, shape):
    """All in one spot, all in one line, each twice over with two depths: a basin comes out, inside its bounds."""
    x, y, z = grid()
    if shape == "one spot":
        x, y, z = np.full(20, 200.0), np.full(20, 200.0), np.full(20, 12.0)
    elif shape == "one line":
        x, y, z = (
            np.linspace(10, 390, 60),
            np.full(60, 200.0),
            depth_ft(np.linspace(10, 390, 60), np.full(60, 200.0)),
        )
    else:
        x, y, z = np.tile(x, 2), np.tile(y, 2), np.concatenate([z * 0.95, z * 1.05])
    pond, problems = project(soundings=rows(x, y, z), outline=feet_outline())
    assert not problems, problems
    assert pond.survey.areas_ft2[0] == pytest.approx(SIDE**2)
    if (
        shape == "one spot"
    ):  # a pyramid at most: the corners hold no sounding, count as shallowest, and that is said
        assert 0.75 < basin.volume_ft3(pond) / (SIDE**2 * 12 / 3) <= 1
        assert any("no sounding among them" in n for n in pond.notes)
    elif shape == "twins":
        clean = project(soundings=rows(*grid()), outline=feet_outline())[0]
        assert basin.volume_ft3(pond) == pytest.approx(basin.volume_ft3(clean), rel=2e-3)
