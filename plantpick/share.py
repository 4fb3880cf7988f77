"""Names read on several processors; the answer is the same as on one."""

from __future__ import annotations

from plantpick.namebook import NameBook
from plantpick.names import Reading
from plantpick.offers import read_one_by_one

FEW = 3000  # texts from which a second process earns its start
_book: NameBook | None = None


def _read(texts: list[str]) -> list[Reading]:
    return read_one_by_one(texts, _book)


def reader(workers: int | None = None):
    """A `read_all` for check_offer that shares long lists between `workers` processes (all processors)."""
    from plantpick.batch import cores_here

    count = workers or cores_here()

    def read_all(texts: list[str], book: NameBook) -> list[Reading]:
        import gc
        import multiprocessing

        global _book
        if count < 2 or len(texts) < FEW or "fork" not in multiprocessing.get_all_start_methods():
            return read_one_by_one(texts, book)
        book.make_ready()  # once, before the processes part
        _book = book
        size = -(-len(texts) // (count * 2))
        parts = [texts[i : i + size] for i in range(0, len(texts), size)]
        gc.freeze()  # what is shared is not walked, and so not copied, by the workers
        with multiprocessing.get_context("fork").Pool(count, initializer=gc.disable) as pool:
            return [reading for part in pool.map(_read, parts) for reading in part]

    return read_all
