"""The tables of a report as files: a CSV each, and all of them in one JSON."""

from __future__ import annotations

import csv
import io
import json
import os
import re
from collections.abc import Iterator, Mapping
from pathlib import Path

from ..base.errors import InputError, quoted
from ..base.safe_text import cell_text
from ..base.text_file import read_text, write_folder
from ..shown.tables import Table

__all__ = ["TableFiles"]

FORMAT = "airchain report tables 1"
_JSON = "tables.json"
#: A number as it is shown, with commas between its thousands.
_GROUPED = re.compile(r"[-+]?\d{1,3}(,\d{3})+(\.\d+)?")
#: Letters that a file's name takes of a caption.
_NAME = 60


class TableFiles(Mapping[str, Table]):
    """The tables of a report by the names of their files, without the ending.

    Attributes
    ----------
    name : str
        The build.
    fingerprint : str
        Of the build that all of them stand on.
    tables : mapping of str to Table
        The tables by the names of their files.

    Examples
    --------
    >>> files = airchain.make_report(build, complete=False).tables
    >>> next(iter(files))
    'levels_01_power_levels_in_trade_units'
    """

    def __init__(self, name: str, fingerprint: str, tables: Mapping[str, Table]) -> None:
        self.name, self.fingerprint, self._tables = name, fingerprint, dict(tables)

    def __getitem__(self, name: str) -> Table:
        return self._tables[name]

    def __iter__(self) -> Iterator[str]:
        return iter(self._tables)

    def __len__(self) -> int:
        return len(self._tables)

    def write(self, folder: str | os.PathLike[str]) -> list[Path]:
        """Write a CSV file for each table, and all of them into ``tables.json``.

        Numbers stand as they are shown, without commas between thousands. The folder appears
        whole or not at all; one that holds an earlier report's tables, and nothing else, is
        replaced.

        Parameters
        ----------
        folder : str or path
            Where to; made if it is not there.

        Returns
        -------
        list of pathlib.Path
            The files.

        Raises
        ------
        InputError
            The folder cannot be written, or holds something else; it is left as it was.
        """
        texts = {f"{name}.csv": _csv(table) for name, table in self.items()}
        texts[_JSON] = self._json() + "\n"
        return write_folder(folder, texts, _not_ours)

    def _json(self) -> str:
        tables = {
            name: {
                "caption": table.caption,
                "headings": table.headings,
                "units": table.units,
                "rows": [[_plain(cell) for cell in row] for row in table.rows],
                "key": table.key,
            }
            for name, table in self.items()
        }
        content = {
            "format": FORMAT,
            "name": self.name,
            "build_fingerprint": self.fingerprint,
            "tables": tables,
        }
        return json.dumps(content, indent=1, ensure_ascii=False)


def file_name(section: str, number: int, caption: str) -> str:
    """Return the name of a table's file: its section, its place there and its caption."""
    words = re.sub(r"[^a-z0-9]+", "_", caption.lower())[:_NAME].strip("_")
    return f"{section}_{number:02}_{words}".rstrip("_")


def _plain(cell: str) -> str:
    """Return a cell without commas between the thousands of a number."""
    return cell.replace(",", "") if _GROUPED.fullmatch(cell) else cell


def _csv(table: Table) -> str:
    """Return a table with its units in a second row where it has any."""
    target = io.StringIO()
    writer = csv.writer(target, lineterminator="\n")
    heads = [table.headings, *([table.units] if any(table.units) else [])]
    for row in [*heads, *table.rows]:
        writer.writerow(cell_text(_plain(cell)) for cell in row)
    return target.getvalue()


def _not_ours(folder: Path) -> str:
    """Say what keeps a folder from being replaced; empty where it holds a report's tables."""
    strange = [p.name for p in sorted(folder.iterdir()) if p.suffix != ".csv" and p.name != _JSON]
    if strange:
        return f"it holds {quoted(strange[0])}, which is no table of a report"
    try:
        content = json.loads(read_text(folder / _JSON, "a report's tables in JSON"))
    except (InputError, ValueError):
        return f"its files are of no report: there is no {_JSON} to be read"
    known = content.get("tables") if isinstance(content, dict) else None
    if content.get("format") != FORMAT or not isinstance(known, dict):
        return f"its {_JSON} is of another layout"
    others = sorted({p.stem for p in folder.glob("*.csv")} - set(known))
    return f"it holds {quoted(others[0] + '.csv')}, which is no table of a report" if others else ""
