"""The rows of a table of ponds as its file holds them, CSV or Parquet; what they say of a pond is read in pondtable.py."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from plantpick.errors import PlantpickError, Problem
from plantpick.files.csv_table import Format, NoTable, read_csv
from plantpick.files.open_file import read_bytes

MOST_BYTES = 200_000_000
MOST_ROWS = 500_000
MOST_COLUMNS = 2_000
FORMAT = Format(
    kind="a table of ponds",
    heading="name, state, hardiness_zone, area_acres, ...",
    most_bytes=MOST_BYTES,
    most_rows=MOST_ROWS,
    most_columns=MOST_COLUMNS,
    shorten="Cut it into several.",
)


def refusal(path: Path, what: str, remedy: str) -> PlantpickError:
    return PlantpickError("pond-table", Problem(str(path), what, remedy))


def csv_rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    """Line and cells of every row that says something, the heading row first. Raises NotRead."""
    try:
        table = read_csv(path, FORMAT, str(path))
    except NoTable as fault:
        raise PlantpickError("pond-table", fault.problem) from None
    yield table.head_line, table.headings
    yield from zip(table.lines, table.rows)


def parquet_rows(path: Path) -> Iterator[tuple[int, list]]:
    """The same for Parquet: the column names, then a list a row."""
    try:
        import pyarrow
        from pyarrow import parquet
    except ImportError:
        raise refusal(
            path,
            "Parquet needs pyarrow, which is not installed.",
            'Install it with: pip install "plantpick[parquet]"; or save the table as CSV.',
        ) from None
    try:
        with parquet.ParquetFile(
            pyarrow.BufferReader(read_bytes(path, MOST_BYTES, "a table of ponds"))
        ) as file:
            size = sum(
                file.metadata.row_group(g).total_byte_size for g in range(file.metadata.num_row_groups)
            )
            if file.metadata.num_rows > MOST_ROWS or size > MOST_BYTES:
                raise refusal(path, f"holds more than {MOST_ROWS:,} rows or 200 MB.", "Cut it into several.")
            yield 1, [str(name) for name in file.schema_arrow.names]
            number = 1
            for batch in file.iter_batches(batch_size=4096):
                for row in zip(*(column.to_pylist() for column in batch.columns)):
                    number += 1
                    yield number, list(row)
    except (pyarrow.ArrowException, OSError, ValueError, OverflowError) as fault:
        raise refusal(
            path,
            f"cannot be read as Parquet ({str(fault).splitlines()[0][:120] if str(fault) else 'broken'}).",
            "Write it again, or save the table as CSV.",
        ) from None
