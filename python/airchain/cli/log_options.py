"""How a log is to be read: the options of every command that reads one."""

from __future__ import annotations

import tomllib
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import click

if TYPE_CHECKING:
    from ..measured.log.pull_log import PullLog

Command = TypeVar("Command", bound=Callable[..., Any])
_MAPPINGS, _SETTINGS = "airchain.mappings", "airchain.settings"
_READ, _HEEDED = "airchain.logs_read", "airchain.options_heeded"
_NUMBERS = ("header_line", "column", "scale")


def log_options(command: Command) -> Command:
    """Add ``--mapping`` and ``--set`` to a command; `read_log` and `log_mapping` heed them.

    Parameters
    ----------
    command : callable
        The command.

    Returns
    -------
    callable
        The command with the options.
    """
    mapping = click.option(
        "--mapping",
        multiple=True,
        metavar="[LOG=]FILE",
        expose_value=False,
        callback=_kept(_MAPPINGS),
        help="A saved mapping, for one LOG or for all; what it leaves out is guessed.",
    )
    setting = click.option(
        "--set",
        multiple=True,
        metavar="[LOG:]KEY=VALUE",
        expose_value=False,
        callback=_kept(_SETTINGS),
        help="One key of the mapping, such as power_basis=observed or "
        'columns.torque.rounding="1 lb ft"; may be repeated, for one LOG or for all.',
    )
    return mapping(setting(command))


def _kept(key: str) -> Callable[[click.Context, click.Parameter, tuple[str, ...]], None]:
    def keep(context: click.Context, _: click.Parameter, values: tuple[str, ...]) -> None:
        context.meta[key] = values
        if values:
            context.call_on_close(lambda: _tell_unheeded(context, values))

    return keep


def _tell_unheeded(context: click.Context, values: tuple[str, ...]) -> None:
    """Say which options were for a log that was not read."""
    for text in values:
        if context.meta.get(_READ) and text not in context.meta.get(_HEEDED, ()):
            click.echo(f"{text}: names no log that was read", err=True)


def read_log(path: str) -> PullLog:
    """Read a log as the options of the running command say.

    Parameters
    ----------
    path : str
        The log.

    Returns
    -------
    PullLog
        Its pulls.
    """
    from ..measured.log.reader import read_pulls

    return read_pulls(path, log_mapping(path))


def log_mapping(path: str) -> dict[str, Any] | None:
    """Return what the options of the running command say of a log, None where nothing.

    Parameters
    ----------
    path : str
        The log.

    Returns
    -------
    dict or None
        The keys of a mapping.

    Raises
    ------
    UsageError
        An option is no file or no KEY=VALUE.
    """
    from ..buildfile.toml_lines import read_toml

    meta = click.get_current_context().meta
    data: dict[str, Any] = {}
    meta[_READ] = True
    heeded: set[str] = meta.setdefault(_HEEDED, set())
    for text in meta.get(_MAPPINGS, ()):
        file = _of_this_log(text, "=", path)
        if file:
            heeded.add(text)
            data |= read_toml(file).data
    for text in meta.get(_SETTINGS, ()):
        setting = _of_this_log(text, ":", path)
        if setting:
            heeded.add(text)
            put_setting(data, setting)
    return data or None


def _of_this_log(text: str, mark: str, path: str) -> str:
    """Return what an option says of a log; empty where it is for another one."""
    log, separator, rest = text.partition(mark)
    if not separator or not rest or any(c in log for c in "=\"'[") or Path(text).exists():
        return text
    names = (path, Path(path).name, Path(path).stem)
    if log in names:
        return rest
    # What has a dot and a suffix names a log; a key of a mapping has a value after it.
    named = mark == "=" or Path(log).exists() or "=" in rest
    return "" if named else text


def put_setting(data: dict[str, Any], text: str) -> None:
    """Put one KEY=VALUE, as it is typed after ``--set``, into the keys of a mapping.

    Parameters
    ----------
    data : dict
        The keys of the mapping.
    text : str
        The setting.

    Raises
    ------
    UsageError
        It is no KEY=VALUE.
    """
    path, equals, value = text.partition("=")
    keys = [key.strip() for key in path.split(".")]
    if not (equals and all(keys)):
        raise click.UsageError(f"--set {text}: must be KEY=VALUE, such as decimal=,")
    place = data
    for key in keys[:-1]:
        inner = place.setdefault(key, {})
        if not isinstance(inner, dict):
            inner = place[key] = {"column": inner}
        place = inner
    place[keys[-1]] = _typed(keys[-1], value.strip() or value)


def _typed(key: str, value: str) -> str | int | float | list[Any]:
    """Return a value as it is typed in a mapping: quotes are taken off, lists and numbers read."""
    if value[:1] in ('"', "'", "["):
        try:
            typed: str | list[Any] = tomllib.loads(f"value = {value}")["value"]
        except tomllib.TOMLDecodeError:
            raise click.UsageError(f"--set {key}={value}: has quotes or brackets amiss") from None
        return typed
    if key in _NUMBERS:
        for number in (int, float):
            try:
                return number(value)
            except ValueError:
                continue
    return {"\\t": "\t", "tab": "\t"}.get(value, value)
