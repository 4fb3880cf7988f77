"""Names read on several processors; the answer is the same as on one."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from plantpick.batch import processes
from plantpick.errors import ExitStatus, PlantpickError, Problem
from plantpick.offers.check import read_one_by_one
from plantpick.offers.match import Reading
from plantpick.offers.name_index import NameBook

FEW = 3000  # texts from which a second process earns its start


@contextmanager
def collector_at_rest() -> Iterator[None]:
    """Work without Python's search for circles of objects: reading names makes many objects and no circles."""
    import gc

    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def reader(workers: int | None = None):
    """A `read_all` for check_offer that shares long lists between `workers` processes (all processors)."""
    count = workers or processes.cores_here()

    def read_all(texts: list[str], book: NameBook) -> list[Reading]:
        import gc
        import multiprocessing

        if count < 2 or len(texts) < FEW or "fork" not in multiprocessing.get_all_start_methods():
            return read_one_by_one(texts, book)
        book.make_ready()  # once, before the processes part
        size = -(-len(texts) // (count * 2))
        parts = [texts[i : i + size] for i in range(0, len(texts), size)]

        def read(part: list[str]) -> list[Reading]:
            gc.disable()
            return read_one_by_one(part, book)

        gc.freeze()  # what is shared is not walked, and so not copied, by the workers
        try:
            return [reading for part in processes.in_order(read, parts, count, "fork") for reading in part]
        except processes.Lost:
            raise PlantpickError(
                "stopped",
                Problem(
                    "",
                    "the system stopped a process that read the offer's names, perhaps for want of memory.",
                    "Close other programs and run the same command again, or split the offer.",
                ),
                ExitStatus.INTERNAL,
            ) from None

    return read_all
