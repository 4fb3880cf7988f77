"""The basin against published tables, measured lakes and closed forms."""

from __future__ import annotations

import csv
import math
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from plantpick.catalogue.traits import traits
from plantpick.files import pond_file
from plantpick.planting import coverage
from plantpick.pond import basin, bathymetry, plain_shapes
from plantpick.pond.depth_bands import describe
from plantpick.pond.keep_clear import KINDS, diffuser_advice, kind_of_place, loose_plant_warning
from plantpick.pond.model import ACRE_FT2, KeepClear, Outline, Survey
from plantpick.pond.unit_runs import unit_run
from plantpick.ranking import takeover
from plantpick.ranking.containment import steepened
from plantpick.vocabulary import BANDS
from tests.conftest import a_pond

M_IN, M2_FT2 = 1 / 0.0254, 0.3048**-2

# Ice Lake, Minnesota: contour areas (hectares) at 0 to 15 m and volumes between them (1e5 m3).
# Water on the Web, waterontheweb.org, Ice Lake morphometry page; read on the page, whose second heading says 1e6.
ICE_AREAS = (16.6, 15.4, 14.2, 13.0, 11.8, 10.7, 9.49, 8.30, 7.11, 5.93, 4.75, 3.57, 2.38, 1.20, 0.060, 0.029)
ICE_SLICES = (
    1.600,
    1.481,
    1.362,
    1.244,
    1.126,
    1.008,
    0.889,
    0.771,
    0.652,
    0.534,
    0.416,
    0.297,
    0.179,
    0.063,
    0.004,
)

# Wisconsin DNR, CSLSdata (lake level study): volume (m3) and, for Long Lake with its level at 335.2397 m, the area
# (m2) where the water is 1.6 ft deep or more. Read in the file itself.
CSLS_VOLUME = {"Long": 705_011.148, "Plainfield": 723_620.259}


def circle(radius: float, corners: int = 720) -> Outline:
    turn = np.linspace(0.0, 2.0 * math.pi, corners, endpoint=False)
    return Outline((tuple(zip((radius * np.cos(turn)).tolist(), (radius * np.sin(turn)).tolist())),))


def square(side: float) -> Outline:
    return Outline((((0.0, 0.0), (side, 0.0), (side, side), (0.0, side)),))


def test_prismoid_of_a_dug_pond():
    """Math Central, University of Regina, QQ.09.07 "tom4" (read): 100 x 70 ft, 12 ft deep, slopes 2:1: 44,256 ft3."""
    found = basin.prismoidal_volume(100 * 70, 76 * 46, 52 * 22, 12)
    assert found == pytest.approx(44_256, rel=1e-12)
    assert found / 27 == pytest.approx(1639.1, abs=0.05)


def test_the_same_dug_pond_through_its_contours():
    """The Regina pond again, by closely spaced contours and by soundings on its edges: the same 44,256 ft3."""
    z = np.linspace(0, 12, 49)
    found = bathymetry.from_contours(z * 12, (100 - 4 * z) * (70 - 4 * z))
    assert found.volumes_ft3[0] == pytest.approx(44_256, rel=1e-4)
    outline = Outline((((0.0, 0.0), (100.0, 0.0), (100.0, 70.0), (0.0, 70.0)),))
    side, x, y = np.linspace(0.0, 1.0, 60), np.linspace(24, 76, 40), np.linspace(24, 46, 20)
    hips = [(a * 24, b * 24, s * 144) for s in side[1:] for a, b in ((s, s),)]
    points = [(sx, sy, d) for px, py, d in hips for sx in (px, 100 - px) for sy in (py, 70 - py)]
    points += [(px, py, 144.0) for px in x for py in (24.0, 46.0)] + [
        (px, py, 144.0) for px in (24.0, 76.0) for py in y
    ]
    surface, _ = bathymetry.from_soundings(outline, np.array(points))
    assert surface.volumes_ft3[0] == pytest.approx(44_256, rel=2e-3)
    assert float(bathymetry.area_at_ft2(surface, 143.999)) == pytest.approx(52 * 22, rel=2e-3)


def test_ice_lake_frusta():
    """Ice Lake's own table of slice volumes, to its last digits; the 13 to 14 m slice is the page's loosest."""
    depths, areas = np.arange(16.0) * M_IN, np.array(ICE_AREAS) * 1e4 * M2_FT2
    slices = bathymetry.frustum_ft3(areas[:-1], areas[1:], np.diff(depths)) * 0.3048**3 / 1e5
    assert np.abs(slices - ICE_SLICES).max() <= 0.0125
    assert np.abs(slices - ICE_SLICES)[:13].max() <= 0.0045
    whole = bathymetry.from_contours(depths, areas).volumes_ft3[0] * 0.3048**3
    assert whole == pytest.approx(11.6e5, rel=0.005)


def lake(reference, name: str, level_m: float | None = None) -> tuple[Survey, list[dict]]:
    with open(reference / "lake_bathymetry.csv", encoding="utf-8") as file:
        rows = [r for r in csv.DictReader(file) if r["lake"] == name]
    rows = [r for r in rows if level_m is None or float(r["elev_m"]) <= level_m + 1e-6]
    rows.sort(key=lambda r: -float(r["elev_m"]))
    level = float(rows[0]["elev_m"])
    depth = [(level - float(r["elev_m"])) * M_IN for r in rows]
    return bathymetry.from_contours(depth, [float(r["area_m2"]) * M2_FT2 for r in rows]), rows


@pytest.mark.reference
@pytest.mark.parametrize("name", CSLS_VOLUME)
def test_measured_lakes_hold_what_was_measured(reference, name):
    """Frusta over the file's own tenth-of-a-foot contours against its own volumes: within 0.01 %."""
    found, _ = lake(reference, name)
    assert found.volumes_ft3[0] * 0.3048**3 == pytest.approx(CSLS_VOLUME[name], rel=1e-4)


@pytest.mark.reference
@pytest.mark.parametrize("name", CSLS_VOLUME)
def test_measured_lakes_hold_it_at_every_level(reference, name):
    """The same at every level in the file from half-full up, so that the curve is right and not only its end."""
    found, rows = lake(reference, name)
    depth = np.array([(float(rows[0]["elev_m"]) - float(r["elev_m"])) * M_IN for r in rows])
    told = np.array([float(r["vol_m3"]) for r in rows])
    upper = told > told[0] / 2
    assert upper.sum() > 20
    assert bathymetry.volume_below_ft3(found, depth[upper]) * 0.3048**3 == pytest.approx(
        told[upper], rel=2e-4
    )


@pytest.mark.reference
def test_long_lake_bands_are_exact(reference):
    """Long Lake at 335.2397 m: submergent band (1.6 ft and deeper) and floating band (3 to 8 ft), to 0.1 %."""
    found, rows = lake(reference, "Long", 335.2397)
    assert float(rows[0]["submergent_m2"]) == pytest.approx(193_582.3, abs=0.1)
    deeper = bathymetry.area_at_ft2(found, np.array([1.6, 3.0, 8.0]) * 12) / M2_FT2
    assert deeper[0] == pytest.approx(193_582.3, rel=1e-3)
    assert deeper[1] - deeper[2] == pytest.approx(float(rows[0]["floating_m2"]), rel=1e-3)


def test_plain_contours_of_a_cone_give_the_cone():
    """Cone, A(z) = A (1 - z/D)^2, V = A D / 3 (Sachse et al. 2014, Env. Mod. Softw. 61:410): two contours suffice."""
    ten = 10 * ACRE_FT2
    found = bathymetry.from_contours([0.0, 60.0], [ten, ten / 4], 120.0)
    assert found.volumes_ft3[0] == pytest.approx(ten * 10 / 3, rel=1e-12)
    depth = np.array([0, 12, 24, 36, 48, 90.0])
    assert bathymetry.area_at_ft2(found, depth) == pytest.approx(ten * (1 - depth / 120) ** 2, rel=1e-12)
    assert bathymetry.volume_below_ft3(found, depth) == pytest.approx(
        ten * 10 / 3 * (1 - depth / 120) ** 3, rel=1e-9
    )


def test_stretches_at_one_slope_round_a_circle_are_a_cone():
    """Area and volume in closed form, at full pool and three feet down."""
    radius = 6 * 12.0
    acres = math.pi * radius**2 / ACRE_FT2
    pond = a_pond(
        area_acres=acres,
        stretches=(replace(a_pond().stretches[0], length_ft=2 * math.pi * radius, slope=6.0),),
    )
    z = np.array([0.0, 18.0, 36.0, 100.0])
    assert basin.area_at_depth_ft2(pond, z) == pytest.approx(acres * ACRE_FT2 * (1 - z / 144) ** 2, rel=1e-9)
    assert basin.volume_ft3(pond) == pytest.approx(acres * ACRE_FT2 * 12 / 3, rel=1e-9)
    assert basin.volume_ft3(pond, 36.0) == pytest.approx(acres * ACRE_FT2 * 12 / 3 * 0.75**3, rel=1e-9)


def polar_soundings(radius: float, profile, rings: int = 60, spokes: int = 90) -> np.ndarray:
    r = np.linspace(0.0, radius, rings + 1)[1:-1]
    turn = np.linspace(0.0, 2.0 * math.pi, spokes, endpoint=False)
    r, turn = (a.ravel() for a in np.meshgrid(r, turn))
    return np.vstack(
        [[0.0, 0.0, profile(0.0)], np.column_stack([r * np.cos(turn), r * np.sin(turn), profile(r / radius)])]
    )


@pytest.mark.parametrize(
    "profile, area, volume",
    [
        (lambda s: 120.0 * (1 - s), lambda z: (1 - z / 120) ** 2, 1 / 3),
        (lambda s: 120.0 * (1 - s**2), lambda z: 1 - z / 120, 1 / 2),
    ],
    ids=["cone", "paraboloid"],
)
def test_soundings_of_a_cone_and_a_paraboloid(profile, area, volume):
    """Closed forms: cone A D / 3, paraboloid A D / 2, and the area inside each depth."""
    found, _ = bathymetry.from_soundings(circle(200.0), polar_soundings(200.0, profile))
    surface = math.pi * 200.0**2
    assert found.volumes_ft3[0] == pytest.approx(surface * 10 * volume, rel=3e-3)
    z = np.array([6, 18, 36, 72, 100.0])
    assert bathymetry.area_at_ft2(found, z) == pytest.approx(surface * area(z), rel=6e-3)


def test_contours_of_a_paraboloid_close_in():
    """Frusta over coarse contours of a paraboloid say too little; the error falls almost as the step squared."""
    gaps = []
    for count in (5, 9, 17):
        z = np.linspace(0, 120, count)
        gaps.append(1 - bathymetry.from_contours(z, 1000 * (1 - z / 120)).volumes_ft3[0] / (1000 * 10 / 2))
    assert all(g > 0 for g in gaps) and gaps[0] < 0.03
    assert 3.2 < gaps[0] / gaps[1] < 4 and 3.2 < gaps[1] / gaps[2] < 4


def wavy(x, y):
    """An uneven invented bottom on a square of 300 ft: zero all round, two holes and a ridge."""
    edge = np.sin(np.pi * x / 300) * np.sin(np.pi * y / 300)
    return np.maximum(edge, 0) * (90 + 40 * np.sin(x / 31) * np.cos(y / 23) + 20 * (x > 150))


def on_fine_grid(surface: bathymetry.Surface, levels, side: float = 300.0, step: float = 0.5):
    """Area and volume below levels by counting cells of the same surface, interpolated by another routine."""
    from scipy.interpolate import LinearNDInterpolator
    from scipy.spatial import Delaunay

    middles = np.arange(step / 2, side, step)
    x, y = np.meshgrid(middles, middles)
    mesh = Delaunay(surface.xy - surface.xy.mean(axis=0))
    depth = LinearNDInterpolator(mesh, surface.depth_in)(
        np.column_stack([x.ravel(), y.ravel()]) - surface.xy.mean(axis=0)
    )
    return (
        np.array([(depth > z).sum() * step**2 for z in levels]),
        np.array([np.maximum(depth - z, 0).sum() * step**2 / 12 for z in levels]),
    )


@pytest.mark.slow
def test_surface_against_a_fine_grid():
    """Exact cutting of every triangle against counting 360,000 cells of the very same surface."""
    rng = np.random.default_rng(5)
    xy = rng.uniform(2, 298, (1500, 2))
    surface = bathymetry.triangulate(square(300.0), np.column_stack([xy, wavy(*xy.T)]))
    levels = np.array([0.5, 6, 18, 36, 72, 100])
    area, volume = bathymetry.below_level(surface, levels)
    counted_area, counted_volume = on_fine_grid(surface, levels)
    assert area == pytest.approx(counted_area, rel=2e-3)
    assert volume == pytest.approx(counted_volume, rel=5e-4)


def test_one_triangle_by_hand():
    """A right triangle of 200 ft2 with corners at 0, 12 and 24 in, cut at 12 in: half, by symmetry."""
    one = bathymetry.Surface(
        np.array([[0.0, 0.0], [20.0, 0.0], [0.0, 20.0]]), np.array([0.0, 12.0, 24.0]), np.array([[0, 1, 2]])
    )
    area, volume = bathymetry.below_level(one, [0.0, 6.0, 12.0, 24.0])
    assert area == pytest.approx([200, 200 * (1 - 36 / (12 * 24)), 100, 0])
    # a tetrahedral corner: base 100 ft2 tapering to a point a foot deep
    assert volume == pytest.approx([200 * 1.0, 200 * 0.5 + 200 * 6**3 / (3 * 12 * 24) / 12, 100 / 3, 0])


def test_flat_floor_and_levels_on_corners():
    """A box with a flat floor: the floor counts at its own depth, and nothing lies below it."""
    outline = square(100.0)
    inside = np.array([(x, y, 60.0) for x in np.linspace(2, 98, 30) for y in np.linspace(2, 98, 30)])
    found, surface = bathymetry.from_soundings(outline, inside)
    area, volume = bathymetry.below_level(surface, [60.0, 60.0001])
    assert area == pytest.approx([96.0**2, 0.0])
    assert volume == pytest.approx([0.0, 0.0], abs=1e-6)
    assert found.areas_ft2[-1] == pytest.approx(96.0**2)
    assert float(bathymetry.area_at_ft2(found, 60.0)) == 0.0


def test_islands_are_cut_out_and_lengthen_the_shore():
    """A square pond with a square island: surface and shore lose and gain the island's own."""
    rings = (square(300.0).rings[0], ((100.0, 100.0), (140.0, 100.0), (140.0, 140.0), (100.0, 140.0)))
    xy = np.random.default_rng(2).uniform(1, 299, (800, 2))
    xy = xy[~((xy > 99) & (xy < 141)).all(axis=1)]
    found, surface = bathymetry.from_soundings(Outline(rings), np.column_stack([xy, np.full(len(xy), 48.0)]))
    assert found.areas_ft2[0] == pytest.approx(300**2 - 40**2, rel=1e-9)
    assert found.shore_ft == pytest.approx(4 * 300 + 4 * 40)
    middles = surface.xy[surface.triangles].mean(axis=1)
    assert not ((middles > 100) & (middles < 140)).all(axis=1).any()


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 2**32 - 1), st.integers(4, 60), st.floats(0.1, 1.0))
def test_every_surface_covers_its_outline(seed, corners, roughness):
    """On any star-shaped outline, notched as may be: the triangles add up to the outline and the curve never rises."""
    rng = np.random.default_rng(seed)
    turn = np.sort(rng.uniform(0, 2 * math.pi, corners)) + 1e-4 * np.arange(corners)
    reach = 150 * (1 - roughness * rng.uniform(0, 0.9, corners))
    ring = np.column_stack([reach * np.cos(turn), reach * np.sin(turn)])
    from shapely import Polygon, contains_xy

    shape = Polygon(ring)
    if not shape.is_valid or shape.area < 500:
        return
    xy = rng.uniform(-150, 150, (300, 2))
    xy = xy[contains_xy(shape, *xy.T)]
    if len(xy) < 3:
        return
    found, surface = bathymetry.from_soundings(
        Outline((tuple(map(tuple, ring.tolist())),)), np.column_stack([xy, rng.uniform(0.1, 150, len(xy))])
    )
    assert surface.areas_ft2.sum() == pytest.approx(shape.area, rel=1e-3)
    areas = np.array(found.areas_ft2)
    assert (np.diff(areas) <= 1e-9).all()
    assert (np.diff(found.volumes_ft3) <= 1e-6).all()
    # water between two tabulated depths lies between the prisms on its two contours
    depths, volumes = np.array(found.depths_in), np.array(found.volumes_ft3)
    steps = np.diff(depths) / 12
    lost = -np.diff(volumes)
    assert (lost <= areas[:-1] * steps + 1e-6).all() and (lost >= areas[1:] * steps - 1e-6).all()


contour_lists = st.lists(st.tuples(st.floats(0.5, 40), st.floats(0, 0.5)), min_size=1, max_size=12)


@given(contour_lists, st.floats(0, 60), st.lists(st.floats(-50, 600), min_size=2, max_size=30))
def test_area_never_rises_and_ends_at_zero(steps, extra, depths):
    """From any contours: areas never rise with depth, are 0 at the greatest depth, and bands share out the surface."""
    z = np.concatenate([[0.0], np.cumsum([s for s, _ in steps])])
    a = ACRE_FT2 * np.concatenate([[1.0], np.cumprod([1 - f for _, f in steps])])
    found = bathymetry.from_contours(z, a, z[-1] + extra)
    pond = a_pond(area_acres=1.0, max_depth_ft=found.depths_in[-1] / 12, survey=found, usual_drop_ft=0.0)
    areas = basin.area_at_depth_ft2(pond, np.sort(depths))
    assert (np.diff(areas) <= 1e-9).all() and (areas >= 0).all()
    assert float(basin.area_at_depth_ft2(pond, pond.max_depth_in)) == 0.0
    shares = [v for band, v in basin.band_areas_ft2(pond).items() if BANDS[band][1] > 0.0]
    assert sum(shares) == pytest.approx(pond.area_ft2)
    volumes = bathymetry.volume_below_ft3(found, np.sort(depths))
    assert (np.diff(volumes) <= 1e-6).all()
    assert volumes.max() <= found.volumes_ft3[0] + 1e-6


@given(st.floats(1, 40), st.floats(0.5, 20), st.floats(0.5, 20))
def test_bands_of_stretches_share_out_the_surface(depth_ft, slope, acres):
    """However deep (over twenty feet too), the bands under water add up to the surface."""
    pond = a_pond(
        area_acres=acres,
        max_depth_ft=depth_ft,
        usual_drop_ft=0.0,
        stretches=(replace(a_pond().stretches[0], length_ft=300.0, slope=slope),),
    )
    shares = [v for band, v in basin.band_areas_ft2(pond).items() if BANDS[band][1] > 0.0]
    assert sum(shares) == pytest.approx(pond.area_ft2)


def surveyed(deep_ft=12.0, power=2.0, **changes):
    """An invented two-acre pond by contours, A(z) = A (1 - z/D)^power."""
    z = np.linspace(0, deep_ft * 12, 25)
    found = bathymetry.from_contours(z, 2 * ACRE_FT2 * (1 - z / (deep_ft * 12)) ** power)
    return a_pond(survey=found, max_depth_ft=deep_ft, **changes)


def test_takeover_follows_the_survey(plants):
    """The same stretches over a flatter measured bottom: more water to creep into, so more takeover."""
    rows = plants.plants
    creeping = rows[
        (rows["growth_form"] == "emergent")
        & (rows["jump"] == "high")
        & (rows["advance_depth_in"] > 12)
        & (rows["origin"] == "native")
        & rows["spread_ft_yr"].notna()
    ].head(5)
    some = traits(map(plants.plant, creeping.index))
    steep, flat = surveyed(power=0.5), surveyed(power=3.0)
    each = np.ones((len(some), len(steep.shore)))
    held = [takeover.forecast(some, pond).takeover(each)[:, 2] for pond in (steep, flat)]
    assert len(some) and (held[1] > held[0]).all()


def test_steepening_a_measured_bank_digs_it_out():
    """At 3:1 no contour down to three feet lies further in than 3:1 puts it, and nothing else changes."""
    flat = surveyed(power=4.0)
    steep = steepened(flat)
    z = np.array([0, 6, 18, 36.0])
    before, after = basin.area_at_depth_ft2(flat, z), basin.area_at_depth_ft2(steep, z)
    assert (after >= before).all() and after[2] > before[2]
    assert after == pytest.approx(np.maximum(before, basin.offset_area_ft2(steep, z)), rel=1e-6)
    deep = np.array([40, 80, 140.0])
    assert basin.area_at_depth_ft2(steep, deep) == pytest.approx(
        basin.area_at_depth_ft2(flat, deep), rel=1e-6
    )
    assert basin.volume_ft3(steep) > basin.volume_ft3(flat)


def test_the_outline_says_how_much_shore_is_left():
    """Stretches of 1,200 ft on an outline of 1,500 ft leave 300; on one of 1,210 ft nothing."""
    rest = a_pond(survey=Survey("outline", shore_ft=1500.0)).shore[-1]
    assert not rest.described and rest.length_ft == pytest.approx(300)
    assert all(s.described for s in a_pond(survey=Survey("outline", shore_ft=1210.0)).shore)
    assert a_pond(survey=Survey("outline", shore_ft=1500.0)).shore_ft == 1500.0


def test_rule_of_thumb():
    """0.4 x 12.5 ft x 3.2 acres = 16 acre-feet (USDA Agriculture Handbook 590, example from memory)."""
    assert basin.rule_of_thumb_ft3(a_pond(area_acres=3.2, max_depth_ft=12.5)) / ACRE_FT2 == pytest.approx(
        16.0
    )


def test_describe_says_which_way_was_used():
    told = describe(surveyed())
    assert told.way == "contours" and [e.way for e in told.estimates] == [
        "contours",
        "stretches",
        "rule of thumb",
    ]
    assert [e.used for e in told.estimates] == [True, False, False]
    assert told.acre_ft == pytest.approx(2 * 12 / 3, rel=1e-3)  # a cone
    assert told.mean_depth_ft == pytest.approx(4.0, rel=1e-3)
    assert told.dry.share == pytest.approx(1 - (11 / 12) ** 2, rel=1e-3)
    assert told.dry.acre_ft_left == pytest.approx(2 * 12 / 3 * (11 / 12) ** 3, rel=1e-3)
    assert dict(told.dry.bank_ft) == {"north": 3.0, "south": 6.0}
    assert told.curve[0].acres == pytest.approx(2.0) and told.curve[-1].acres == 0.0
    assert describe(a_pond()).way == "stretches"


def test_ten_acre_cone_bands():
    """Ten-acre cone, ten feet deep, by hand: 1.90 acres in the first foot, 1.70 in the second, 2.80 in the next two."""
    z = np.linspace(0, 120, 3)
    pond = a_pond(
        area_acres=10.0,
        max_depth_ft=10.0,
        survey=bathymetry.from_contours(z, 10 * ACRE_FT2 * (1 - z / 120) ** 2),
    )
    inside = basin.area_shallower_ft2(pond, np.array([0, 12, 24, 48, 36.0])) / ACRE_FT2
    assert np.diff(inside[:4]) == pytest.approx([1.90, 1.70, 2.80])
    assert inside[4] == pytest.approx(5.10)


@pytest.mark.parametrize(
    "what, kind",
    [
        ("drain riser", "riser"),
        ("overflow pipe riser", "riser"),
        ("emergency spillway", "spillway"),
        ("Boat dock", "dock"),
        ("the kids' swimming place", "swimming lane"),
        ("casting bank", "casting lane"),
        ("Feeder creek", "inflow"),
        ("two diffusers", "diffuser"),
        ("air line to the diffuser", "air line"),
        ("cattle ramp", "livestock ramp"),
        ("boat ramp", "dock"),
        ("picnic table", "other"),
    ],
)
def test_kinds_of_places(what, kind):
    assert kind_of_place(what) == kind
    assert KeepClear(what).kind == kind


def test_every_kind_knows_its_own_name():
    assert all(kind_of_place(kind) == kind for kind in KINDS)


def test_loose_plants_are_warned_of_where_there_is_a_way_out():
    riser, dock = KeepClear("drain riser"), KeepClear("dock")
    assert "riser" in loose_plant_warning([riser], "free-floating", [])
    assert "riser and the spillway" in loose_plant_warning(
        [KeepClear("spillway"), riser], "submersed", ["fragments"]
    )
    assert loose_plant_warning([riser], "emergent", ["seed"]) == ""
    assert loose_plant_warning([dock], "free-floating", []) == ""
    assert "spillway" in loose_plant_warning([dock], "free-floating", [], dammed=True), "named or not"


def test_a_diffuser_belongs_in_six_feet():
    """Common practice, no source."""
    assert "6 ft or deeper" in diffuser_advice([KeepClear("diffuser")], 12.0)
    assert "yours is in 4 ft" in diffuser_advice([KeepClear("diffuser", depth_ft=4.0)], 12.0)
    assert diffuser_advice([KeepClear("diffuser", depth_ft=8.0)], 12.0) == ""
    assert "shallow water" in diffuser_advice([KeepClear("aerator")], 5.0)
    assert diffuser_advice([KeepClear("dock")], 12.0) == ""


def test_lost_bottom_and_mixed_units_are_found_where_they_are():
    """A made-up floor that falls evenly from 8 to 12 ft, with zeros and meters put in by hand."""
    x, y = (a.ravel() for a in np.meshgrid(np.arange(0, 200, 10.0), np.arange(0, 200, 10.0)))
    clean = np.column_stack([x, y, 96 + x / 4])
    assert not len(bathymetry.lost_bottom(clean)) and not len(bathymetry.mixed_units(clean))
    zeros = clean.copy()
    zeros[[45, 250], 2] = 0.0
    assert bathymetry.lost_bottom(zeros).tolist() == [45, 250]
    mixed = clean.copy()
    mixed[[45, 150, 250, 333], 2] *= 0.3048
    assert bathymetry.mixed_units(mixed).tolist() == [45, 150, 250, 333]
    block = clean.copy()
    block[128:308, 2] *= 0.3048  # half of the track in meters: its ends show it
    assert {128, 308} <= set(bathymetry.mixed_units(block).tolist())
    tail = clean.copy()
    tail[207:, 2] *= 0.3048  # from one row to the end
    assert 207 in bathymetry.mixed_units(tail).tolist()


@given(st.integers(0, 2**32 - 1), st.floats(5, 30), st.floats(2.0, 6.0), st.floats(4, 14))
@example(1, 17.57584023041504, 2.0, 14.0)  # a bank of just 2:1, where rounding makes it steeper
@settings(max_examples=60, deadline=None)
def test_no_pond_with_ordinary_banks_is_taken_for_mixed_units(seed, spacing, slope, deepest):
    """Soundings in lines or at random, on banks of 2:1 to 6:1 round a square: nothing to complain of."""
    rng = np.random.default_rng(seed)
    side = 300.0
    at = np.arange(spacing / 2, side, spacing)
    x, y = (a.copy() for a in np.meshgrid(at, at))
    x[1::2] = x[1::2, ::-1]  # to and fro, as a boat goes
    xy = np.column_stack([x.ravel(), y.ravel()]) if seed % 2 else rng.uniform(0, side, (600, 2))
    edge = np.minimum(xy, side - xy).min(axis=1)
    soundings = np.column_stack([xy, 12 * np.minimum(edge / slope, deepest)])
    assert not len(bathymetry.mixed_units(soundings)) and not len(bathymetry.lost_bottom(soundings))
    assert unit_run(square(side), soundings, np.full(len(soundings), 4.0), 3.0) is None


@pytest.mark.parametrize("seed", range(6))
def test_a_survey_of_a_natural_bottom_is_no_mixture_however_it_was_rowed(seed):
    """A valley from 2 ft at its head to 14 ft at the dam, off by 5 %; rowed from the head, from the dam, in rings, or at random, or the
    deep half written down first (made up): the bottom falls evenly, so that nothing differs along the seam. The same with half of it
    in meters is a mixture."""
    rng = np.random.default_rng(seed)
    xy = rng.uniform(0, 300.0, (500, 2))
    edge = np.minimum(xy, 300.0 - xy).min(axis=1)
    depth = 12 * np.minimum(edge / 3.0, 2.0 + 12.0 * xy[:, 0] / 300.0) * rng.normal(1.0, 0.05, 500)
    orders = (xy[:, 0], -xy[:, 0], edge, xy[:, 1] + 300 * np.round(xy[:, 0] / 30), depth > np.median(depth))
    for order in orders:
        rowed = np.argsort(order, kind="stable")
        soundings = np.column_stack([xy, depth])[rowed]
        assert unit_run(square(300.0), soundings, np.full(500, 3.0)) is None
    soundings = np.column_stack([xy, depth])[np.argsort(xy[:, 1])]
    soundings[250:, 2] *= 0.3048
    found = unit_run(square(300.0), soundings, np.full(500, 3.0))
    assert found is not None and found.shallow and abs(found.first - 250) <= 2 and found.last == 499
    among = np.column_stack([xy, depth])[np.argsort(xy[:, 1])]
    among[:150, 2] *= 0.3048
    among[320:, 2] *= 0.3048
    feet = unit_run(square(300.0), among, np.full(500, 3.0))
    assert feet is not None and not feet.shallow and abs(feet.first - 150) <= 2 and abs(feet.last - 319) <= 2
    assert 0.8 <= found.reads[1] <= 1.6 and 2.5 <= found.reads[0] / found.reads[1] <= 4.2


def test_soundings_hard_against_the_shore_leave_no_gap():
    """Soundings two inches off the line, closer than the points set along it: the outline is still all triangle edges."""
    rng = np.random.default_rng(8)
    along = rng.uniform(1, 299, 400)
    near = np.concatenate(
        [np.column_stack([along, np.full(400, 0.16)]), np.column_stack([np.full(400, 0.16), along])]
    )
    far = rng.uniform(20, 280, (200, 2))
    xy = np.vstack([near, far])
    # a notch narrower than the spacing, so that a piece left whole would be bridged
    ring = ((0, 0), (150, 0), (150.2, 40), (150.4, 0), (300, 0), (300, 300), (0, 300))
    from shapely import Polygon, contains_xy

    xy = xy[contains_xy(Polygon(ring), *xy.T)]
    surface = bathymetry.triangulate(Outline((ring,)), np.column_stack([xy, np.full(len(xy), 60.0)]))
    assert surface.areas_ft2.sum() == pytest.approx(Polygon(ring).area, rel=1e-6)
    edges = {
        tuple(sorted(e))
        for t in surface.triangles.tolist()
        for e in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0]))
    }
    on_shore = np.flatnonzero((surface.depth_in == 0) & (surface.xy[:, 1] == 0) & (surface.xy[:, 0] <= 150))
    in_order = on_shore[np.argsort(surface.xy[on_shore, 0])].tolist()
    assert all(tuple(sorted(pair)) in edges for pair in zip(in_order, in_order[1:]))
    assert len(in_order) > 300


def test_soundings_off_a_dense_track_are_not_odd():
    """A shore-hugging track at 2 ft and a few soundings at 6.5 ft just off it: a bank, not meters among feet."""
    x = np.arange(0, 300, 2.0)
    track = np.column_stack([x, np.full(len(x), 8.0), np.full(len(x), 24.0)])
    off = np.array([(60.0, 26.0, 78.0), (130.0, 26.0, 78.0), (200.0, 26.0, 78.0), (270.0, 26.0, 78.0)])
    assert not len(bathymetry.mixed_units(np.vstack([track, off])))
    zeros = np.array([(60.0, 0.0, 0.0), (130.0, 0.0, 0.0)])
    steep = np.column_stack([x, np.full(len(x), 8.0), np.full(len(x), 40.0)])
    assert not len(bathymetry.lost_bottom(np.vstack([steep, zeros])))


def test_long_lake_between_its_contours():
    """Wisconsin DNR, CSLSdata, Long Lake with its level at 335.24 m (read in the file): contours a tenth of a foot
    above and below give the file's submergent band (1.6 ft and deeper) and floating band (3 ft and deeper; the lake
    is not 8 ft deep there) to 0.1 %."""
    feet = np.array([0.0, 1.5, 1.7, 2.9, 3.1])
    square_meters = np.array([212_522.3459, 194_802.9035, 192_271.5545, 175_765.7726, 172_818.3115])
    found = bathymetry.from_contours(feet * 12, square_meters * M2_FT2)
    bands = bathymetry.area_at_ft2(found, np.array([1.6, 3.0]) * 12) / M2_FT2
    assert bands == pytest.approx([193_582.3078, 174_198.4168], rel=1e-3)


# --- how far few soundings may be off -----------------------------------------------------------------------------


def scattered(outline: Outline, count: int, seed: int) -> np.ndarray:
    """Random places on the water, (count, 2)."""
    import shapely

    water = bathymetry.polygon(outline)
    x0, y0, x1, y1 = water.bounds
    xy = np.random.default_rng(seed).uniform([x0, y0], [x1, y1], (60 * count, 2))
    return xy[shapely.contains_xy(water, xy[:, 0], xy[:, 1])][:count]


def paraboloid(xy: np.ndarray, radius: float = 200.0, deep_in: float = 120.0) -> np.ndarray:
    return np.column_stack([xy, deep_in * (1 - (xy**2).sum(axis=1) / radius**2)])


@pytest.mark.parametrize(
    "name, volume, under_3_ft",
    [
        ("a cone", 1 / 3, 1 - 0.7**2),
        ("a bowl", 1 / 2, 0.3),
        ("your banks round a flat floor", 0.7708, 1 - (185 / 200) ** 2),
    ],
)
def test_plain_shapes_over_a_circle_have_their_closed_forms(name, volume, under_3_ft):
    """Cone A D / 3, paraboloid A D / 2, and by hand a frustum: banks at 5:1 take 50 of 200 ft, so the floor has 0.5625
    of the surface, and (1 + 0.5625 + 0.75) / 3 = 0.7708 of A D; at 36 in the banks are 15 ft in, (185 / 200)^2."""
    ground = plain_shapes._ground(circle(200.0), np.zeros((0, 2)))
    s = np.minimum(1.0, ground.true.depth_in / ground.widest)
    depth = 120.0 * plain_shapes.SHAPES[name](s, 50.0 / ground.widest)
    area, held = bathymetry.below_level(replace(ground.true, depth_in=depth), [0.0, 36.0])
    assert held[0] / (area[0] * 10) == pytest.approx(volume, rel=3e-3)
    assert 1 - area[1] / area[0] == pytest.approx(under_3_ft, rel=0.01)


@pytest.mark.parametrize("seed", range(3))
def test_the_doubt_tells_what_soundings_of_a_paraboloid_lose(seed):
    """A paraboloid over a circle, A D / 2 in closed form: what 20 random soundings lose of it is what the test on the
    outline says beforehand, knowing the places only."""
    outline, xy = circle(200.0), scattered(circle(200.0), 20, seed)
    found, _ = bathymetry.from_soundings(outline, paraboloid(xy))
    lost = 1 - found.volumes_ft3[0] / (math.pi * 200.0**2 * 10 / 2)
    told = plain_shapes.doubt(outline, paraboloid(xy), 4.0)
    bowl = list(plain_shapes.SHAPES).index("a bowl")
    assert lost > 0.08 and told.missed[bowl] == pytest.approx(lost, abs=0.01)
    assert told.volume[0] == 1.0 and told.volume[1] > 1 / (1 - lost)


def test_more_soundings_are_as_many_as_it_takes():
    """A paraboloid sounded at 20 random places, and then also in the middle of the widest gaps, found here by going
    over a square grid: the number that is asked for brings what is lost from over 8 % to under 5."""
    outline, xy = circle(200.0), scattered(circle(200.0), 20, 0)
    more = plain_shapes.more_soundings(outline, paraboloid(xy), 4.0)
    grid = np.array([(x, y) for x in range(-196, 200, 8) for y in range(-196, 200, 8)], dtype=float)
    grid = grid[np.hypot(*grid.T) < 195.0]
    turn = np.linspace(0, 2 * math.pi, 400)
    shore = 200.0 * np.column_stack([np.cos(turn), np.sin(turn)])
    gap = np.min([np.hypot(*(grid - at).T) for at in (*shore, *xy)], axis=0)
    added = xy
    for _ in range(more):
        added = np.vstack([added, grid[gap.argmax()]])
        gap = np.minimum(gap, np.hypot(*(grid - added[-1]).T))
    volume = math.pi * 200.0**2 * 10 / 2
    before, after = (
        1 - bathymetry.from_soundings(outline, paraboloid(at))[0].volumes_ft3[0] / volume
        for at in (xy, added)
    )
    assert 0 < more < 200 and before > 0.08 and after < 0.05
    assert plain_shapes.more_soundings(outline, paraboloid(added), 4.0) < more
    assert plain_shapes.more_soundings(outline, paraboloid(scattered(outline, 600, 1)), 4.0) == 0


@pytest.fixture(scope="module")
def dense():
    return pond_file.read_pond("demo-surveyed")


def thinned(pond, count: int, seed: int):
    """The surveyed demo pond with `count` of its soundings and the deepest one."""
    all_of_them = np.asarray(pond.survey.soundings)
    keep = np.random.default_rng(seed).choice(len(all_of_them), count, replace=False)
    kept = all_of_them[np.union1d(keep, all_of_them[:, 2].argmax())]
    found, _ = bathymetry.from_soundings(pond.survey.outline, kept)
    return replace(
        pond, survey=replace(found, doubt=plain_shapes.doubt(pond.survey.outline, kept, pond.mean_slope))
    )


@pytest.mark.parametrize("seed", range(4))
def test_a_thinned_survey_knows_that_it_misses_water(dense, seed):
    """The demo's 618 soundings (an invented pond) hold 23.4 acre-feet; 20 of them show 15 % less and more, and the
    range that they tell holds what all of them show."""
    few = thinned(dense, 20, seed)
    told = describe(few)
    assert told.acre_ft < 0.85 * describe(dense).acre_ft
    low, high = told.unsure.acre_ft
    assert low == pytest.approx(told.acre_ft) and low < describe(dense).acre_ft < high
    measured, least = (
        float(basin.area_shallower_ft2(few, 36.0, level)) for level in (basin.MEASURED, basin.LEAST)
    )
    true = float(basin.area_shallower_ft2(dense, 36.0))
    assert least < true < measured and true < 0.75 * measured
    assert told.unsure.more > 20 and any(f"About {told.unsure.more} more" in r for r in told.remarks)
    for band in told.bands:
        assert band.acres_range[0] - 1e-9 <= band.acres <= band.acres_range[1] + 1e-9


def test_many_soundings_are_not_warned_of(dense):
    told = describe(dense)
    assert told.unsure.more == 0 and max(told.unsure.missed) < 0.02
    assert not any("few" in remark or "more, each" in remark for remark in told.remarks)
    assert describe(a_pond()).unsure is None and describe(surveyed()).unsure is None


def test_shallows_at_their_least_and_most_are_a_basin(dense):
    """From nothing at the shore to all of the surface at the bottom, never falling, as measured between."""
    few = thinned(dense, 20, 1)
    z = np.linspace(0.0, few.max_depth_in, 300)
    least, measured, most = (basin.area_shallower_ft2(few, z, level) for level in range(3))
    for curve in (least, most):
        assert curve[0] == pytest.approx(0.0, abs=1e-6) and curve[-1] == pytest.approx(few.area_ft2)
        assert (np.diff(curve) >= -1e-6).all()
    slack = few.area_ft2 * 0.005
    assert (least <= measured + slack).all() and (most >= measured - slack).all()


def test_takeover_and_cover_are_widened_by_few_soundings(dense, plants):
    """The low strips and the cautious cells of a thinned survey have less shallow water than was measured; the typical
    ones have what was measured."""
    few = thinned(dense, 20, 1)
    sure = replace(few, survey=replace(few.survey, doubt=None))
    rows = plants.plants
    known = rows[["spread_low_ft_yr", "spacing_in"]].notna().all(axis=1)
    shallow = rows[(rows["growth_form"] == "emergent") & (rows["advance_depth_in"] > 12) & known].head(5)
    some = traits(map(plants.plant, shallow.index))
    doubtful, plain = takeover.strips(some, few), takeover.strips(some, sure)
    wet = [s.width[:, 0] - s.dry[:, 0] for s in (doubtful, plain)]
    assert (wet[0] < 0.9 * wet[1]).all() and np.array_equal(doubtful.width[:, 1], plain.width[:, 1])
    assert (doubtful.room[:, 0] < plain.room[:, 0]).all() and (doubtful.room[:, 2] >= plain.room[:, 2]).all()
    groups = np.full((len(some), len(few.shore)), 60.0)
    held = []
    for pond in (few, sure):
        cells = coverage.cut(pond, some)
        at = coverage.chances(some, pond, cells, 12.0, coverage.CAUTIOUS, takeover.Hold(no_jump=True))
        held.append(coverage.covered(cells, at, groups, coverage.CAUTIOUS))
    assert 0 < held[0] < 0.9 * held[1]


def test_a_survey_with_steeper_banks_holds_no_water_below_its_deepest_place():
    """And above it what its areas and depths come to, slice by slice (frustums: arithmetic)."""
    surveyed = pond_file.read_pond("demo-surveyed")
    made = basin.steepened(surveyed, 2.0).measured
    depths, areas, below = (np.array(v) for v in (made.depths_in, made.areas_ft2, made.volumes_ft3))
    assert below[-1] == 0.0
    a, b = areas[:-1], areas[1:]
    slices = np.diff(depths) / 12.0 * (a + b + np.sqrt(a * b)) / 3.0
    assert -np.diff(below) == pytest.approx(slices) and below[0] == pytest.approx(slices.sum())
