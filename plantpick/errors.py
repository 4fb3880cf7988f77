"""One error type, and the exit statuses that scripts may rely on."""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum


class ExitStatus(IntEnum):
    """What the process tells the shell."""

    OK = 0
    LEAVE_SOMETHING = 1  # an offer holds a line that must be left or asked about
    USAGE = 2  # the command line itself is wrong
    BAD_INPUT = 3  # a file or a value in it is wrong
    CANNOT_WRITE = 4  # the result could not be saved
    INTERNAL = 70  # a fault of ours


@dataclass(frozen=True)
class Problem:
    """One mistake in what was handed in.

    `where` is a file, `file:row:column` or a key; `what` says what was found; `remedy` what to do about it.
    """

    where: str
    what: str
    remedy: str = ""

    def __str__(self) -> str:
        tail = f" {self.remedy}" if self.remedy else ""
        return f"{self.where}: {self.what}{tail}" if self.where else f"{self.what}{tail}"


class PlantpickError(Exception):
    """Anything that the user can put right; it carries every problem found, not only the first.

    `code` is a short fixed word for scripts (for instance `pond-file`, `catalogue`, `no-such-plant`).
    """

    def __init__(
        self, code: str, problems: list[Problem] | Problem, status: ExitStatus = ExitStatus.BAD_INPUT
    ):
        self.code = code
        self.problems = [problems] if isinstance(problems, Problem) else list(problems)
        self.status = status
        super().__init__("; ".join(str(p) for p in self.problems))


NEAR_NAME = (
    80.0  # likeness from which a plant's name is offered as near: below, "red buckeye" is near "red duckweed"
)


def nearest(word: str, allowed, limit: int = 1, floor: float = 0.0) -> list[str]:
    """The allowed words that look most like `word`, best first; none if nothing is close.

    Whole words are compared first; parts of longer names only where no whole word is close. With a `floor` (0 to 100) whole
    words alone are compared, and must be as like as that.
    """
    from rapidfuzz import fuzz, process, utils

    allowed = list(allowed)
    for scorer, cutoff in ((fuzz.ratio, floor),) if floor else ((fuzz.ratio, 66.0), (fuzz.WRatio, 66.0)):
        found = process.extract(
            str(word),
            allowed,
            scorer=scorer,
            processor=utils.default_process,
            limit=limit,
            score_cutoff=cutoff,
        )
        if found:
            return [match for match, _, _ in found]
    return []


def did_you_mean(word: str, allowed) -> str:
    """A closing sentence with the nearest allowed word, or an empty string."""
    close = nearest(word, allowed)
    return f'Did you mean "{close[0]}"?' if close else ""
