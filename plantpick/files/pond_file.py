"""Reads the pond file (TOML). All mistakes are reported at once, each with its key, what is allowed and a remedy."""

from __future__ import annotations

import math
import os
import re
import tomllib
from dataclasses import replace
from pathlib import Path

from plantpick import vocabulary
from plantpick.errors import PlantpickError, Problem, did_you_mean
from plantpick.files import catalogue
from plantpick.files.data_folder import data_folder
from plantpick.files.open_file import NotRead, read_text
from plantpick.files.pond_schema import pond_schema
from plantpick.files.positions import MISSING, check_positions, stretch_of
from plantpick.pond.model import Growing, KeepClear, Pond, Stretch
from plantpick.units import ACRE_FT2

MOST_BYTES = 1_000_000
MOST_STRETCHES = 60  # each takes its time in every forecast; nobody plants by finer ones
DEMOS = {
    "demo": "south.toml",
    "demo-south": "south.toml",
    "demo-north": "north.toml",
    "demo-hard": "hard.toml",
    "demo-surveyed": "surveyed.toml",
}


# a key of a hundred parts ("a.a.a..."): the parser's work grows with the square of them
_LONG_KEY = re.compile(r"""(?<![\w-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){100}""")


def toml(text: str) -> dict:
    """What a TOML text says. Raises a ValueError or a RecursionError for what is none, or has a key of a hundred parts."""
    if _LONG_KEY.search(text):
        raise ValueError("a key has more than a hundred parts")
    return tomllib.loads(text)


def pond_path(name: str) -> Path:
    """The file that a command line names: a path, or `demo`, or another of DEMOS."""
    path = Path(name)
    if name in DEMOS and not os.path.exists(path):
        return data_folder() / "demo" / DEMOS[name]
    return path


def files_of(name: str) -> list[Path]:
    """The pond file that a command line names and the survey files that it names in turn, as far as they can be told."""
    path = pond_path(name)
    try:
        told = toml(read_text(path, MOST_BYTES, "a pond file"))
    except (NotRead, ValueError, RecursionError):
        told = {}
    named = (told.get(key) for key in ("outline", "soundings", "contours"))
    return [path, *(path.parent / name for name in named if isinstance(name, str))]


def read_pond(name: str) -> Pond:
    """Read one pond file. Raises PlantpickError `pond-file` with every mistake in it."""
    path = pond_path(name)
    try:
        text = read_text(path, MOST_BYTES, "a pond file")
    except NotRead as fault:
        hint = did_you_mean(name, [*DEMOS, *(p.name for p in Path().glob("*.toml"))]) if fault.missing else ""
        raise PlantpickError(
            "pond-file",
            fault.problem(
                path,
                hint or 'Try "demo" for a pond that comes with plantpick.',
                "Name the .toml file that describes the pond.",
            ),
        ) from None
    return parse_pond(text, str(path), path.parent)


def parse_pond(text: str, where: str = "pond file", folder: Path = Path()) -> Pond:
    """The pond that a TOML text describes; `where` names it in error messages, `folder` holds its survey files."""
    try:
        told = toml(text)
    except (ValueError, RecursionError) as fault:  # a number of five thousand digits is a ValueError too
        raise PlantpickError(
            "pond-file",
            Problem(
                where,
                f"is not valid TOML: {fault}.",
                toml_remedy(text),
            ),
        ) from None
    return pond_from(told, where, folder)


def toml_remedy(text: str) -> str:
    """What to do about a text that is no TOML."""
    if found := re.search(r"^[^#\n]*\bslope\s*=\s*(\d+(?:\.\d+)?)\s*:\s*1\b", text, re.MULTILINE):
        return f'Write the slope in quotes, or as a number: slope = "{found[1]}:1", or slope = {found[1]}.'
    return 'Text needs quotes, numbers none: name = "Millrace", slope = 3.'


def pond_from(told: dict, where: str = "pond file", folder: Path = Path()) -> Pond:
    """The pond that the keys of a pond file describe, nested as TOML has them. Raises PlantpickError `pond-file`."""
    problems: list[Problem] = []
    clean = _validated(told, problems)
    if not problems:
        _check_together(clean, problems)
    problems = [Problem(f"{where}: {p.where}", p.what, p.remedy) for p in problems]
    pond = _surveyed(clean, where, folder, problems) if clean else None
    if problems or pond is None:
        raise PlantpickError("pond-file", problems)
    return pond


def _surveyed(clean: dict, where: str, folder: Path, problems: list[Problem]) -> Pond | None:
    """The pond, with what its survey files say; their mistakes are added to `problems`."""
    files = {key: clean[key] for key in ("contours", "soundings") if key in clean}
    if not files and "outline" not in clean and "outline_ft" not in clean:
        return None if problems else _pond(clean)
    from plantpick.files.located import locate
    from plantpick.files.outlines import outline_of_points, read_outline
    from plantpick.files.surveys import read_survey

    found: list[Problem] = []
    outlined, outline_name = None, None
    if "outline" in clean:
        outline_name = Path(clean["outline"]).name
        outlined = read_outline(folder / clean["outline"], found)
    elif "outline_ft" in clean:
        outline_name = "outline_ft"
        outlined = outline_of_points(clean["outline_ft"], outline_name, found)
    if outlined and not problems:
        clean = locate(clean, outlined[0], found)
    own = {p.where for p in found} if outlined else set()
    water = clean["water"]
    told = read_survey(
        folder,
        files,
        water["area_acres"],
        water["max_depth_ft"],
        clean["shore"],
        found,
        outlined,
        outline_name,
    )
    own |= {"outline", "outline_ft", "shore.length_ft"}
    problems += [
        Problem(f"{where}: {p.where}", p.what, p.remedy)
        if p.where in own or p.where.startswith("outline_ft")
        else p
        for p in found
    ]
    if problems or told is None:
        return None
    survey, acres, deepest_ft, remarks = told
    pond = _pond(clean)
    pond = replace(
        pond, survey=survey, area_acres=acres, max_depth_ft=deepest_ft, notes=(*pond.notes, *remarks)
    )
    if survey.how != "soundings" or survey.outline is None or survey.soundings is None:
        return pond
    from plantpick.pond.plain_shapes import doubt, few_words

    unsure = doubt(survey.outline, survey.soundings, pond.mean_slope)
    few = few_words(unsure, len(survey.soundings))
    return replace(
        pond,
        survey=replace(survey, doubt=unsure),
        notes=(*pond.notes, few) if few else pond.notes,
    )


BESIDE = (  # keys that are judged side by side
    {"hardiness_zone", "coldest_night_f"},
    {"last_frost", "first_frost"},
    {
        "shore",
        "water",
        "keep_clear",
        "growing",
        "contours",
        "soundings",
        "outline",
        "outline_ft",
        "shore_left_out",
    },
)


def _validated(told: dict, problems: list[Problem]) -> dict:
    from marshmallow import ValidationError

    schema = pond_schema()
    try:
        return schema.load(told)
    except ValidationError as fault:
        problems.extend(_problems(fault.messages, schema))
        together: list[Problem] = []
        sound = dict(fault.valid_data) if isinstance(fault.valid_data, dict) else {}
        if {"outline", "outline_ft"} & set(
            fault.messages
        ):  # there is one, though a wrong one: points may lie on it
            sound.setdefault("outline", "")
        _check_together(sound, together)
        told_already = {p.where for p in problems} | set(_pointless(fault.messages))
        problems.extend(
            p for p in together if p.where not in told_already and not _beside(p.where) & set(fault.messages)
        )
        return {}


def _pointless(messages: object) -> list[str]:
    """The radius of each place whose point is wrong by itself: that it has no point is no second mistake."""
    places = messages.get("keep_clear", {}) if isinstance(messages, dict) else {}
    return [
        f"keep_clear[{number + 1}].around_ft"
        for number, told in (places.items() if isinstance(places, dict) else ())
        if isinstance(told, dict) and {"at_ft", "at_lon_lat"} & set(told)
    ]


def _beside(where: str) -> set[str]:
    """The top keys that a mistake between values may come from, when one of them is wrong by itself."""
    top = where.split(".")[0]
    return next((keys for keys in BESIDE if top in keys), {top})


def look_over(told: dict) -> tuple[list[Problem], list[Problem]]:
    """An unfinished pond file: what it still lacks, and what is wrong in it, each with its key."""
    from marshmallow import ValidationError

    found: list[Problem] = []
    _validated(told, found)
    try:
        _check_together(pond_schema().load(told, partial=True), found)
    except ValidationError:
        pass  # what is wrong by itself comes first
    found = list(dict.fromkeys(found))
    return [p for p in found if p.what == MISSING], [p for p in found if p.what != MISSING]


def _problems(messages, schema, path: str = "") -> list[Problem]:
    """Marshmallow's nested messages as flat problems, each under its key in the file."""
    if isinstance(messages, list):
        return [_problem(path, text, schema) for text in messages]
    found = []
    for key, inner in messages.items():
        here = f"{path}[{key + 1}]" if isinstance(key, int) else f"{path}.{key}".lstrip(".")
        found += _problems(inner, schema, path if key == "_schema" else here)
    return found


def _problem(path: str, text: str, schema) -> Problem:
    if text == "Unknown field.":
        return Problem(path, "no such key is known.", _known_here(path, schema))
    if text == "Missing data for required field.":
        return Problem(path, MISSING, "Add it, or run plantpick pond on this file: it asks.")
    if text in ("Invalid input type.", "Not a valid list.", "Field may not be null."):
        kind = "[[{0}]] sections" if path in ("shore", "keep_clear", "growing") else "a [{0}] section"
        return Problem(path, "has the wrong shape.", f"Write it as {kind.format(path)}.")
    return Problem(path, text)


def _known_here(path: str, schema) -> str:
    """What may stand where an unknown key stands: the nearest key and, in a section, every key it takes."""
    *above, key = path.split(".")
    section = above[-1].split("[")[0] if above else ""
    own = sections().get(section) if section else None
    if not own:
        return did_you_mean(key, _keys(schema))
    near = did_you_mean(key, own) or did_you_mean(key, [known for known in _keys(schema) if known != key])
    if section == "residents":  # "carp" is as near to one carp as to the other
        near = ""
    return f"{near} [{section}] takes: {', '.join(own)}.".lstrip()


def _keys(schema) -> list[str]:
    """Every key of the pond file, those of its sections included."""
    keys = []
    for name, field in schema.fields.items():
        keys.append(name)
        inner = getattr(getattr(field, "inner", field), "schema", None)
        keys += list(inner.fields) if inner else []
    return keys


def sections() -> dict[str, tuple[str, ...]]:
    """The keys of a pond file by section, "" for those at the top."""
    found: dict[str, list[str]] = {"": []}
    for name, field in pond_schema().fields.items():
        inner = getattr(getattr(field, "inner", field), "schema", None)
        if inner:
            found[name] = list(inner.fields)
        else:
            found[""].append(name)
    return {name: tuple(keys) for name, keys in found.items()}


def _check_together(clean: dict, problems: list[Problem]) -> None:
    """Mistakes that only show when values stand side by side; keys may be missing."""
    if "hardiness_zone" in clean and "coldest_night_f" in clean:
        problems.append(
            Problem(
                "hardiness_zone",
                "give either hardiness_zone or coldest_night_f, and only one.",
                'For instance hardiness_zone = "8a".',
            )
        )
    elif "hardiness_zone" not in clean and "coldest_night_f" not in clean:
        problems.append(Problem("hardiness_zone", MISSING, "Give either hardiness_zone or coldest_night_f."))
    if ("last_frost" in clean) != ("first_frost" in clean):
        problems.append(
            Problem("last_frost", "last_frost and first_frost go together.", "Give both, or neither.")
        )
    elif "last_frost" in clean and clean["first_frost"] <= clean["last_frost"]:
        problems.append(
            Problem(
                "first_frost",
                "the first frost comes before the last.",
                "last_frost is in spring and first_frost in autumn, as month-day.",
            )
        )
    if not clean.get("shore"):
        problems.append(
            Problem("shore", MISSING, "Add a [[shore]] section: at least one stretch of shore is needed.")
        )
    stretches = clean.get("shore", [])
    if len(stretches) > MOST_STRETCHES:
        problems.append(
            Problem(
                "shore",
                f"found {len(stretches)} stretches; at most {MOST_STRETCHES}.",
                "Join neighbors that are alike in slope, sun and soil.",
            )
        )
    names = [s["name"] for s in stretches if "name" in s]
    for name in sorted({n for n in names if names.count(n) > 1}):
        problems.append(
            Problem("shore.name", f'two stretches are called "{name}".', "Give each its own name.")
        )
    _check_lengths(clean, problems)
    _check_water(clean.get("water", {}), sum(s.get("length_ft", 0.0) for s in stretches), problems)
    check_positions(clean, problems)
    for number, place in enumerate(clean.get("keep_clear", []), 1):
        if "stretch" in place and place["stretch"] not in names:
            problems.append(
                Problem(
                    f"keep_clear[{number}].stretch",
                    f'no stretch is called "{place["stretch"]}".',
                    did_you_mean(place["stretch"], names) or f"Stretches: {', '.join(names)}.",
                )
            )
    for number, stand in enumerate(clean.get("growing", []), 1):
        _check_growing(stand, f"growing[{number}]", names, clean.get("water", {}), problems)


SIZES = (("length_ft", "width_ft"), ("area_ft2",), ("plants",))  # the ways to say how large a stand is
SIZES_WORDS = "length_ft and width_ft, or area_ft2, or plants"


def _check_growing(stand: dict, where: str, names: list[str], water: dict, problems: list[Problem]) -> None:
    """What is wrong with a stand that grows there: a plant nobody knows, a stretch that is none, no size or two."""
    if "plant" in stand:
        try:
            catalogue.load(by_name=True).find(stand["plant"])
        except PlantpickError as fault:
            problems += [Problem(f"{where}.plant", p.what, p.remedy) for p in fault.problems]
    if "stretch" in stand and stand["stretch"] not in names:
        remedy = did_you_mean(stand["stretch"], names) or f"Stretches: {', '.join(names)}."
        problems.append(Problem(f"{where}.stretch", f'no stretch is called "{stand["stretch"]}".', remedy))
    elif "stretch" not in stand and "stretch" not in stand.get("not_known", ()) and len(names) > 1:
        problems.append(Problem(f"{where}.stretch", MISSING, f"Name one of: {', '.join(names)}."))
    given = [keys for keys in SIZES if any(key in stand for key in keys)]
    whole = [keys for keys in given if all(key in stand for key in keys)]
    if len(given) > 1:
        problems.append(
            Problem(where, "says how large the stand is in two ways.", f"Give one of: {SIZES_WORDS}.")
        )
        return
    if not whole:
        problems.append(Problem(f"{where}.area_ft2", MISSING, f"Give one of: {SIZES_WORDS}."))
        return
    size = stand.get("area_ft2", stand.get("length_ft", 0.0) * stand.get("width_ft", 0.0))
    if "area_acres" in water and size > water["area_acres"] * ACRE_FT2:
        problems.append(
            Problem(
                where,
                f"the stand is larger than the pond: {size:,.0f} sq ft on {water['area_acres'] * ACRE_FT2:,.0f}.",
                "Check feet and acres.",
            )
        )


def _check_lengths(clean: dict, problems: list[Problem]) -> None:
    """A stretch says how long it is, or from where to where on an outline it runs."""
    outlined = "outline" in clean or "outline_ft" in clean
    for number, stretch in enumerate(clean.get("shore", []), 1):
        if "length_ft" not in stretch and not (outlined and "from_ft" in stretch and "to_ft" in stretch):
            problems.append(
                Problem(
                    f"shore[{number}].length_ft",
                    MISSING,
                    "Add it, or run plantpick pond on this file: it asks. With an outline, from_ft and to_ft say it too.",
                )
            )


def _check_water(water: dict, shore_ft: float, problems: list[Problem]) -> None:
    if "area_acres" in water:
        circle = 2.0 * (3.14159265 * water["area_acres"] * ACRE_FT2) ** 0.5
        if shore_ft > 12 * circle:
            problems.append(
                Problem(
                    "shore.length_ft",
                    f"the stretches add up to {shore_ft:,.0f} ft round "
                    f"{water['area_acres']:g} acres, whose shortest shore is {circle:,.0f} ft.",
                    "Check feet and acres.",
                )
            )
    if water.get("usual_drop_ft", 0.0) >= water.get("max_depth_ft", math.inf):
        problems.append(
            Problem("water.usual_drop_ft", "the pond would fall dry.", "It must be less than max_depth_ft.")
        )
    if water.get("clarity_in", 0.0) > water.get("max_depth_ft", math.inf) * 12:
        problems.append(
            Problem(
                "water.clarity_in",
                "the Secchi reading is deeper than the pond.",
                "Give the depth in inches at which the disk is lost, or leave it out.",
            )
        )


def _pond(clean: dict) -> Pond:
    water, goals = clean["water"], clean.get("goals", {})
    clear = tuple(
        KeepClear(
            c["what"],
            stretch_of(c, clean["shore"]),
            c["to_ft"] - c["from_ft"] if "from_ft" in c else c.get("length_ft", 0.0),
            c.get("depth_ft"),
            from_ft=c.get("from_ft"),
            to_ft=c.get("to_ft"),
            points=c.get("points", ()),
            around_ft=c.get("around_ft"),
        )
        for c in clean.get("keep_clear", [])
    )
    growing = tuple(_growing(stand, clean["shore"]) for stand in clean.get("growing", []))
    stretches = tuple(
        Stretch(
            s["name"],
            s["length_ft"],
            s["slope"],
            s.get("sun", "full"),
            s.get("soil"),
            s.get("dam", False),
            clear_ft=_clear_ft([c for c in clear if c.stretch == s["name"]]),
            stake=s.get("stake", ""),
            from_ft=s.get("from_ft"),
        )
        for s in clean["shore"]
    )
    notes = []
    if "purposes" not in goals:
        notes.append("No purposes were given: fish cover and bank hold were assumed.")
    if "tolerance" not in goals:
        notes.append('No tolerance for spreading was given: "little" was assumed.')
    if "ph" in water and "alkalinity_mg_l" in water:
        notes.append("You gave a pH and an alkalinity: we went by the pH you measured.")
    notes += _not_known(clean)
    zone = clean.get("hardiness_zone") or vocabulary.zone_for_temperature(clean["coldest_night_f"])
    wanted = goals.get("groups_wanted")
    return Pond(
        name=clean["name"],
        state=clean["state"],
        hardiness_zone=zone,
        area_acres=water["area_acres"],
        max_depth_ft=water["max_depth_ft"],
        stretches=stretches,
        last_frost=clean.get("last_frost"),
        first_frost=clean.get("first_frost"),
        frost_free=clean.get("frost_free", False),
        clarity_in=water.get("clarity_in"),
        usual_drop_ft=water.get("usual_drop_ft", 0.0),
        drop_known="usual_drop_ft" in water,
        ph=water.get("ph"),
        alkalinity_mg_l=water.get("alkalinity_mg_l"),
        salinity_ppt=water.get("salinity_ppt"),
        purposes=goals.get("purposes", ("fish cover", "bank hold")),
        tolerance=goals.get("tolerance", "little"),
        cover_target_percent=goals.get("cover_target_percent"),
        brush_percent=goals.get("brush_percent", 0.0),
        groups_wanted=int(wanted) if wanted else None,
        mix_percent=goals.get("mix_percent", vocabulary.MIX_PERCENT),
        risk_percent=goals.get("risk_percent", vocabulary.RISK_PERCENT),
        residents=frozenset(
            g for g in vocabulary.GRAZERS if clean.get("residents", {}).get(g.replace(" ", "_"))
        ),
        keep_clear=clear,
        growing=growing,
        invented=clean.get("invented", False),
        notes=tuple(notes),
        not_given=_not_given(clean),
    )


def _not_given(clean: dict) -> frozenset[str]:
    """Which of purposes, tolerance and residents nobody gave; residents count as open while grass carp is not known."""
    goals, residents = clean.get("goals", {}), clean.get("residents")
    open_ = {key for key in ("purposes", "tolerance") if key not in goals}
    if residents is None or "grass_carp" in residents.get("not_known", ()):
        open_.add("residents")
    return frozenset(open_)


def _growing(stand: dict, shore: list[dict]) -> Growing:
    """A stand that grows there; on the longest stretch where nobody knows which."""
    stretch = stand.get("stretch") or max(shore, key=lambda s: s["length_ft"])["name"]
    plants = stand.get("plants")
    return Growing(
        plant_id=catalogue.load(by_name=True).find(stand["plant"]),
        name=stand["plant"],
        stretch=stretch,
        length_ft=stand.get("length_ft"),
        width_ft=stand.get("width_ft"),
        area_ft2=stand.get("area_ft2"),
        plants=int(plants) if plants else None,
    )


def _clear_ft(places: list[KeepClear]) -> float:
    """Feet of a stretch that stay free: what lies in two places at once counts once, where both say where they are."""
    end, feet = 0.0, sum(p.length_ft for p in places if p.from_ft is None)
    for begin, stop in sorted(
        (p.from_ft, p.to_ft) for p in places if p.from_ft is not None and p.to_ft is not None
    ):
        feet += max(0.0, stop - max(begin, end))
        end = max(end, stop)
    return feet


def _not_known(clean: dict) -> list[str]:
    """What the owner said that nobody knows, and what was assumed in its place."""
    said = [
        f"The hardiness zone is not known: {clean[key]} was assumed. Look yours up before you buy."
        for key in ("hardiness_zone", "coldest_night_f")
        if key in clean and key in clean.get("not_known", ())
    ]
    water = clean["water"]
    if "max_depth_ft" in water.get("not_known", ()):
        said.append(f"The greatest depth is not known: {water['max_depth_ft']:g} ft was assumed.")
    for stretch in clean["shore"]:
        listed = stretch.get("not_known", ())
        taken = [
            words_
            for key, words_ in (
                ("length_ft", f"{stretch['length_ft']:,.0f} ft long"),
                ("slope", f"{stretch['slope']:g}:1"),
                ("sun", f"{stretch.get('sun', 'full')} sun"),
                ("dam", f"{'a' if stretch.get('dam') else 'no'} dam"),
                ("soil", "ground as good as loam"),
            )
            if key in listed
        ]
        if taken:
            said.append(f"Not known of the stretch {stretch['name']}, and assumed: {', '.join(taken)}.")
    for place in clean.get("keep_clear", []):
        if "stretch" in place.get("not_known", ()):
            said.append(f"Where the {place['what']} is, is not known: no shore was kept clear for it.")
        elif "length_ft" in place.get("not_known", ()):
            said.append(
                f"How much shore the {place['what']} needs is not known: {place.get('length_ft', 0.0):g} ft was assumed."
            )
    said += [
        f"Which stretch the {stand['plant']} grows on is not known: the longest was assumed."
        for stand in clean.get("growing", [])
        if "stretch" in stand.get("not_known", ()) and "stretch" not in stand
    ]
    if listed := clean.get("residents", {}).get("not_known", ()):
        said.append(
            "Whether "
            + " or ".join(k.replace("_", " ") for k in listed)
            + " come is not known: none were counted."
        )
    return said
