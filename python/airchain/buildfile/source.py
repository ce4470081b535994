"""The document a build is read from."""

from __future__ import annotations

from pathlib import Path

from ..typed.place import KeyPath, Place, dotted
from .toml_lines import TomlFile


class Source(Place):
    """The document a build is read from, and which of its keys were replaced since.

    Attributes
    ----------
    file : TomlFile
        The document.
    replaced : tuple of tuple
        Paths of the keys whose values did not come from the file.
    """

    def __init__(self, file: TomlFile, replaced: tuple[KeyPath, ...] = ()) -> None:
        super().__init__()
        self.file = file
        self.replaced = replaced

    def where(self, path: KeyPath) -> str:
        """``file:line`` of a key, or 'replace' where the value did not come from the file."""
        if any(path[: len(key)] == key for key in self.replaced):
            return "replace"
        return self.file.where(path)

    def name_of(self, path: KeyPath) -> str:
        """A table's heading, as the file has it."""
        return f"[{dotted(path)}]"

    @property
    def folder(self) -> Path:
        """Folder of the file, which other files are named from."""
        return Path(self.file.name).parent
