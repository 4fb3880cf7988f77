"""The shape of a pond file: its sections and keys, what each may hold, and the words for what it may not."""

from __future__ import annotations

import re
from datetime import date
from functools import lru_cache

from plantpick import vocabulary
from plantpick.errors import did_you_mean
from plantpick.interview import plain_words
from plantpick.pond.water_chemistry import MOST_MG_L

SHORTEST_FT = 5  # of a stretch
MOST_POINTS = 20_000  # of an outline in the pond file, or of a line to keep clear


def _is_point(value) -> bool:
    return (
        isinstance(value, list)
        and len(value) == 2
        and all(isinstance(v, (int, float)) and not isinstance(v, bool) and abs(v) < 1e7 for v in value)
    )


@lru_cache(maxsize=1)
def pond_schema():
    """The shape of a pond file, built with marshmallow, which checks every key before it reports."""
    from marshmallow import Schema, ValidationError, fields

    class Number(fields.Field):
        def __init__(self, least, most, unit="", **options):
            super().__init__(**options)
            self.least, self.most, self.unit = least, most, unit

        def _deserialize(self, value, attr, data, **_):
            allowed = f"a number from {self.least:g} to {self.most:g}{' ' + self.unit if self.unit else ''}"
            if isinstance(value, bool) or not isinstance(value, (int, float)):
                hint = (
                    " Take the quotes off."
                    if isinstance(value, str) and re.fullmatch(r"[\d. ]+", value)
                    else ""
                )
                raise ValidationError(f"found {_shown(value)}; allowed: {allowed}.{hint}")
            if not self.least <= value <= self.most:
                raise ValidationError(f"found {value}; allowed: {allowed}.")
            return float(value)

    class Slope(Number):
        """Feet out for one foot down, as a number or as "4:1"."""

        def _deserialize(self, value, attr, data, **kwargs):
            if isinstance(value, str):
                try:
                    value = plain_words.ratio(value) or value
                except ValueError as fault:
                    raise ValidationError(f"found {_shown(value)}. {fault}") from None
            return super()._deserialize(value, attr, data, **kwargs)

    class Text(fields.Field):
        def _deserialize(self, value, attr, data, **_):
            if not isinstance(value, str) or not value.strip() or len(value) > 200:
                raise ValidationError(
                    f"found {_shown(value)}; allowed: a text in quotes, up to 200 characters."
                )
            return value.strip()

    class Stake(Text):
        """A stake's name: one short word, so that it can stand before a number (A1)."""

        def _deserialize(self, value, attr, data, **kwargs):
            if isinstance(value, str) and re.fullmatch(r"[^\W\d_]{1,6}", value.strip()):
                return value.strip()
            raise ValidationError(f'found {_shown(value)}; allowed: one to six letters in quotes, as in "A".')

    class Word(fields.Field):
        def __init__(self, allowed, **options):
            super().__init__(**options)
            self.allowed = allowed

        def _deserialize(self, value, attr, data, **_):
            if isinstance(value, str) and value.strip().lower() in self.allowed:
                return value.strip().lower()
            hint = did_you_mean(value, self.allowed)
            raise ValidationError(
                f"found {_shown(value)}; allowed: {', '.join(self.allowed)}. {hint}".strip()
            )

    class YesNo(fields.Field):
        def _deserialize(self, value, attr, data, **_):
            if not isinstance(value, bool):
                raise ValidationError(f"found {_shown(value)}; allowed: true or false, without quotes.")
            return value

    class Several(fields.Field):
        def __init__(self, allowed, **options):
            super().__init__(**options)
            self.word = Word(allowed)

        def _deserialize(self, value, attr, data, **kwargs):
            if not isinstance(value, list) or not value:
                raise ValidationError(
                    f'found {_shown(value)}; allowed: a list such as ["{self.word.allowed[0]}"].'
                )
            return tuple(dict.fromkeys(self.word._deserialize(v, attr, data, **kwargs) for v in value))

    class Listed(Several):
        """Keys of a section that nobody knows: what stands beside them was assumed."""

        def _deserialize(self, value, attr, data, **kwargs):
            return () if value == [] else super()._deserialize(value, attr, data, **kwargs)

    class State(fields.Field):
        def _deserialize(self, value, attr, data, **_):
            by_name = {name.lower(): code for code, (name, _) in vocabulary.STATES.items()}
            if isinstance(value, str):
                if value.strip().upper() in vocabulary.STATES:
                    return value.strip().upper()
                if value.strip().lower() in by_name:
                    return by_name[value.strip().lower()]
            names = [name for name, _ in vocabulary.STATES.values()]
            raise ValidationError(
                f"found {_shown(value)}; allowed: one of the lower 48 states or DC, as in MS or "
                f"Mississippi. {did_you_mean(value, names)}".strip()
            )

    class Zone(fields.Field):
        def _deserialize(self, value, attr, data, **_):
            word = str(value).strip().lower() if not isinstance(value, bool) else ""
            if word in vocabulary.ZONES:
                return word
            if f"{word}a" in vocabulary.ZONES:
                return f"{word}a"  # the colder half: the cautious one for hardiness
            raise ValidationError(
                f'found {_shown(value)}; allowed: a hardiness zone from "1a" to "13b". '
                f"{did_you_mean(word, vocabulary.ZONES)}".strip()
            )

    class DayOfYear(fields.Field):
        def _deserialize(self, value, attr, data, **_):
            match = re.fullmatch(r"(\d\d?)-(\d\d?)", value.strip()) if isinstance(value, str) else None
            try:
                day = date(2001, int(match[1]), int(match[2])) if match else None
            except ValueError:
                day = None
            if day is None:
                raise ValidationError(f'found {_shown(value)}; allowed: month-day such as "03-28".')
            return day.month, day.day

    class Tolerance(fields.Field):
        def _deserialize(self, value, attr, data, **kwargs):
            if isinstance(value, str):
                return Word(tuple(vocabulary.TOLERANCES))._deserialize(value, attr, data, **kwargs)
            return Number(0, 100, "per cent of the surface")._deserialize(value, attr, data, **kwargs)

    class Point(fields.Field):
        """Two numbers, [x, y]; with `several` also a list of them."""

        def __init__(self, least: int, lone: bool, example: str, **options):
            super().__init__(**options)
            self.least, self.lone, self.example = least, lone, example

        def _deserialize(self, value, attr, data, **_):
            points = [value] if self.lone and _is_point(value) else value
            if (
                not isinstance(points, list)
                or not self.least <= len(points) <= MOST_POINTS
                or not all(map(_is_point, points))
            ):
                raise ValidationError(f"found {_shown(value)}; allowed: {self.example}.")
            return tuple((float(x), float(y)) for x, y in points)

    class Water(Schema):
        area_acres = Number(0.02, 2000, "acres", required=True)
        max_depth_ft = Number(1, 200, "feet", required=True)
        clarity_in = Number(2, 400, "inches")
        usual_drop_ft = Number(0, 50, "feet")
        ph = Number(3, 11)
        alkalinity_mg_l = Number(0, MOST_MG_L, "mg/L as calcium carbonate")
        salinity_ppt = Number(0, 60, "parts per thousand")
        not_known = Listed(
            ("max_depth_ft", "clarity_in", "usual_drop_ft", "ph", "alkalinity_mg_l", "salinity_ppt")
        )

    class Shore(Schema):
        name = Text(required=True)
        length_ft = Number(SHORTEST_FT, 200_000, "feet")  # or from_ft and to_ft along an outline
        slope = Slope(0.3, 60, 'feet out for one foot down, or "4:1"', required=True)
        sun = Word(vocabulary.SUN_LEVELS)
        soil = Word(vocabulary.SOILS)
        dam = YesNo()
        stake = Stake()
        from_ft = Number(0, 200_000, "feet along the outline")
        to_ft = Number(0, 200_000, "feet along the outline")
        not_known = Listed(("length_ft", "slope", "sun", "soil", "dam", "stake", "from_ft", "to_ft"))

    class Goals(Schema):
        purposes = Several(tuple(vocabulary.PURPOSES))
        tolerance = Tolerance()
        cover_target_percent = Number(0, 100, "per cent of the surface")
        brush_percent = Number(0, 100, "per cent of the surface")
        groups_wanted = Number(1, 200, "groups")
        mix_percent = Number(1, 100, "per cent of all plants set")
        risk_percent = Number(*vocabulary.RISKS_PERCENT, "per cent")
        not_known = Listed(("purposes", "tolerance", "cover_target_percent", "brush_percent"))

    class Clear(Schema):
        what = Text(required=True)
        stretch = Text()
        length_ft = Number(0, 200_000, "feet")
        depth_ft = Number(0, 200, "feet")
        stake = Stake()
        from_ft = Number(0, 200_000, "feet along the stretch's tape")
        to_ft = Number(0, 200_000, "feet along the stretch's tape")
        at_ft = Point(1, True, "a point [x, y] in feet, or several for a line, as in [[10, 25], [60, 40]]")
        at_lon_lat = Point(
            1, True, "a point [longitude, latitude], or several for a line, as in [-89.4118, 32.8661]"
        )
        around_ft = Number(0, 500, "feet")
        not_known = Listed(
            (
                "stretch",
                "length_ft",
                "depth_ft",
                "stake",
                "from_ft",
                "to_ft",
                "at_ft",
                "at_lon_lat",
                "around_ft",
            )
        )

    class Grows(Schema):
        plant = Text(required=True)
        stretch = Text()
        length_ft = Number(0.5, 200_000, "feet")
        width_ft = Number(0.1, 5_000, "feet")
        area_ft2 = Number(0.1, 90_000_000, "square feet")
        plants = Number(1, 1_000_000, "plants")
        not_known = Listed(("stretch", "length_ft", "width_ft", "area_ft2", "plants"))

    animals = tuple(g.replace(" ", "_") for g in vocabulary.GRAZERS)

    class PondFile(Schema):
        name = Text(required=True)
        state = State(required=True)
        hardiness_zone = Zone()
        coldest_night_f = Number(-60, 75, "degrees F")
        last_frost = DayOfYear()
        first_frost = DayOfYear()
        frost_free = YesNo()
        invented = YesNo()
        contours, soundings, outline = Text(), Text(), Text()
        outline_ft = Point(
            3, False, "a list of at least three points in feet, as in [[0, 0], [300, 0], [150, 200]]"
        )
        shore_left_out = YesNo()
        water = fields.Nested(Water, required=True)
        shore = fields.List(fields.Nested(Shore), required=True)
        goals = fields.Nested(Goals)
        residents = fields.Nested(
            Schema.from_dict({**{a: YesNo() for a in animals}, "not_known": Listed(animals)})
        )
        keep_clear = fields.List(fields.Nested(Clear))
        growing = fields.List(fields.Nested(Grows))
        not_known = Listed(("hardiness_zone", "coldest_night_f", "last_frost", "first_frost", "outline"))

    return PondFile()


def _shown(value) -> str:
    text = f'"{value}"' if isinstance(value, str) else str(value)
    return text if len(text) <= 60 else f"{text[:57]}..."
