"""A live view in a notebook: sliders that the page answers by itself, or asks the kernel."""

from __future__ import annotations

import io
import json
from collections.abc import Callable, Mapping, Sequence
from functools import cached_property
from typing import Protocol
from uuid import uuid4

from ..base.errors import InputError
from ..base.extras import extra
from ..chain.build import Build
from ..shown.tables import escaped
from . import page_core
from .bundle import module, style
from .contract import Json, encoded, framed, locks, schema, told_knock
from .packing import packed
from .session import Frame, Session

__all__ = ["Explorer", "explore"]


#: What stands under the still picture; where the sliders work it is hidden with the picture.
_STILL = (
    "A still picture. Run the cell for sliders. Where none appear, the package anywidget is "
    "missing in the environment that JupyterLab itself runs from: install it there too, and load "
    "the page anew."
)


class _Widget(Protocol):
    """What is used of the widget that the package for widgets makes."""

    def send(self, content: dict[str, Json]) -> None: ...


def explore(build: Build, also: Sequence[str] = ()) -> Explorer:
    """Return a live view of a build: sliders, and what the air, power and limits make of them.

    Drive, engine speed, cooler and weather answer while they are moved, solved in the page itself
    by the same core. Cams, runner, compression, lambda and fuel answer when they are let go, by
    the cylinder's cycles, which the kernel runs; until then an estimate stands there. A saved
    notebook shows a still picture instead.

    Parameters
    ----------
    build : Build
        The build. With cams its breathing surface is made first, if it never was.
    also : sequence of str
        Dotted paths of further numbers of the build file that become sliders, such as
        ``"combustion.work_scale"``.

    Returns
    -------
    Explorer
        The view; the last line of a cell shows it.

    Raises
    ------
    InputError
        No such number was typed.
    ModuleNotFoundError
        The package for widgets is not installed; the message has the command that installs it.
    """
    extra("anywidget")
    return Explorer(Session(build, also))


class Explorer:
    """A live view. Made by `explore`.

    Parameters
    ----------
    session : Session
        The session behind it.
    """

    def __init__(self, session: Session) -> None:
        self.session = session
        self.values: dict[str, str | float] = {}
        self._twin = uuid4().hex

    @property
    def build(self) -> Build:
        """The build as the sliders stand."""
        return self.session.built(self.values)

    @property
    def kept(self) -> list[Build]:
        """The builds of the settings that were kept, in order."""
        return [self.session.built(values) for values in self.session.kept]

    @property
    def code(self) -> str:
        """The lines of Python that make what is shown."""
        return self.session.code(self.values)

    def told(self, message: Mapping[str, Json]) -> dict[str, Json] | None:
        """Answer what the page says or asks.

        Parameters
        ----------
        message : mapping
            ``shown`` or ``keep`` with values, or ``number`` and ``values`` of a question, with
            ``knock`` where that is asked; values are typed with their units, plain numbers are
            dimensionless.

        Returns
        -------
        dict or None
            ``number`` and ``answer`` of a question: a frame as `contract.framed` has it [SI], what
            `contract.told_knock` has, or ``refused`` and why.
        """
        if "shown" in message:
            self.values = _values(message["shown"])
            return None
        if "keep" in message:
            self.session.keep(_values(message["keep"]))
            return None
        values = _values(message["values"])
        return {"number": message["number"], "answer": self._answer(values, "knock" in message)}

    def _answer(self, values: dict[str, str | float], knock: bool) -> Json:
        if not knock:
            found = self.session.asked(values)
            return framed(found) if isinstance(found, Frame) else {"refused": found}
        try:
            return told_knock(self.session, values)
        except InputError as error:
            return {"refused": str(error)}

    @cached_property
    def widget(self) -> _Widget:
        """The widget that a notebook shows."""
        objection = page_core.objection()
        told = {
            "schema": schema(self.session),
            "locks": locks(self.session),
            "objection": objection,
            "numbers": encoded(packed(self.session.build.chain)),
            "twin": self._twin,
        }
        core = b"" if objection else page_core.code()
        return _made(json.dumps(told, allow_nan=False), core, self._hear)

    def _hear(self, widget: _Widget, content: dict[str, Json], _buffers: list[bytes]) -> None:
        answer = self.told(content)
        if answer is not None:
            widget.send(answer)

    def still(self) -> str:
        """Return the view as HTML that does not move, for saved notebooks.

        Returns
        -------
        str
            A picture where the package for pictures is installed, else text.
        """
        pull = self.session.build.pull()
        try:
            target = io.StringIO()
            pull.plot().savefig(target, format="svg")
            shown = target.getvalue().partition("?>")[2].partition('.dtd">')[2]
        except ModuleNotFoundError:
            shown = f"<pre>{escaped(pull.text())}</pre>"
        return f'<div data-airchain-twin="{self._twin}">{shown}<p>{_STILL}</p></div>'

    def _ipython_display_(self) -> None:
        display = extra("IPython.display")
        display.display(self.widget)
        display.display(display.HTML(self.still()))


def _values(told: Json) -> dict[str, str | float]:
    """Typed values as the page says them."""
    pairs = told.items() if isinstance(told, dict) else ()
    return {path: value for path, value in pairs if isinstance(value, str | float | int)}


def _made(told: str, core: bytes, hear: Callable[..., None]) -> _Widget:
    """A widget; its class is made here, since the package that it stands on may be missing."""
    anywidget, traits = extra("anywidget"), extra("traitlets")
    members = {
        "__repr__": lambda _widget: "Sliders; the still picture stands where they cannot be shown.",
        "_esm": module("widget"),
        "_css": style(),
        "told": traits.Unicode().tag(sync=True),
        "core": traits.Bytes().tag(sync=True),
    }
    widget = type("LiveView", (anywidget.AnyWidget,), members)(told=told, core=core)
    widget.on_msg(hear)
    made: _Widget = widget
    return made
