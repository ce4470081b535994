"""Invented engines with cams, ports, runner and primary, for tests of the breathing they make."""

from pathlib import Path

import pytest

from airchain.chain import Build, parse_build
from airchain.cylinder import surface
from airchain.cylinder import surface_cache as breathing
from airchain.cylinder.surface import Group, Nodes

CAMS = """
[build]
name = "Cams"
[ambient]
pressure = "101.325 kPa"
temperature = "15 degC"
[fuel]
name = "gasoline_premium"
[engine]
bore = "86 mm"
stroke = "86 mm"
rod_length = "145 mm"
cylinders = 4
compression_ratio = 10.5
redline = "7000 rpm"
breathing = "surface"
[engine.camshaft]
lobe_separation = "110 deg"
intake_centreline = "108 deg"
[engine.camshaft.intake]
duration = "224 deg"
seat_duration = "272 deg"
lobe_lift = "9.5 mm"
rocker_ratio = 1.0
[engine.camshaft.exhaust]
duration = "220 deg"
seat_duration = "268 deg"
lobe_lift = "9.2 mm"
rocker_ratio = 1.0
[engine.intake_port]
valve_diameter = "33 mm"
valves = 2
depression = "28 inH2O"
convention = "incompressible"
lift = ["2 mm", "4 mm", "6 mm", "8 mm", "10 mm"]
flow = ["40 L/s", "75 L/s", "100 L/s", "116 L/s", "124 L/s"]
[engine.exhaust_port]
valve_diameter = "28 mm"
valves = 2
depression = "28 inH2O"
convention = "incompressible"
lift = ["2 mm", "4 mm", "6 mm", "8 mm", "10 mm"]
flow = ["30 L/s", "56 L/s", "74 L/s", "85 L/s", "90 L/s"]
[engine.runner]
length = "320 mm"
diameter = "46 mm"
port_diameter = "42 mm"
[engine.primary]
length = "700 mm"
diameter = "38 mm"
port_diameter = "36 mm"
"""

V8 = """
[build]
name = "V8"
[ambient]
pressure = "101.325 kPa"
temperature = "15 degC"
[fuel]
name = "gasoline_premium"
[engine]
bore = "4.125 in"
stroke = "4.00 in"
rod_length = "6.20 in"
cylinders = 8
compression_ratio = 9.2
redline = "7600 rpm"
breathing = "surface"
[engine.camshaft]
lobe_separation = "114 deg"
intake_centreline = "110 deg"
[engine.camshaft.intake]
duration = "240 deg"
seat_duration = "286 deg"
seat_lift = "0.006 in"
lobe_lift = "0.380 in"
rocker_ratio = 1.6
[engine.camshaft.exhaust]
duration = "250 deg"
seat_duration = "298 deg"
seat_lift = "0.006 in"
lobe_lift = "0.375 in"
rocker_ratio = 1.6
[engine.intake_port]
valve_diameter = "2.10 in"
depression = "28 inH2O"
convention = "incompressible"
lift = ["0.1 in", "0.2 in", "0.3 in", "0.4 in", "0.5 in", "0.6 in", "0.7 in"]
flow = ["70 cfm", "140 cfm", "202 cfm", "252 cfm", "287 cfm", "308 cfm", "318 cfm"]
[engine.exhaust_port]
valve_diameter = "1.65 in"
depression = "28 inH2O"
convention = "incompressible"
lift = ["0.1 in", "0.2 in", "0.3 in", "0.4 in", "0.5 in", "0.6 in", "0.7 in"]
flow = ["56 cfm", "110 cfm", "155 cfm", "188 cfm", "210 cfm", "223 cfm", "230 cfm"]
[engine.runner]
length = "11 in"
diameter = "2.15 in"
port_diameter = "1.95 in"
[engine.primary]
length = "32 in"
diameter = "2.0 in"
port_diameter = "1.80 in"
"""


def changed(*changes: str) -> str:
    """The engine with old texts replaced by new ones, in turns."""
    text = CAMS
    for old, new in zip(changes[::2], changes[1::2], strict=True):
        assert text.count(old) >= 1, old
        text = text.replace(old, new)
    return text


def built(*changes: str, name: str = "build") -> Build:
    """The changed engine's build."""
    return parse_build(changed(*changes), name)


def built_v8() -> Build:
    """A large V8 for boost."""
    return parse_build(V8, "v8")


def coarsen(patch: pytest.MonkeyPatch, folder: Path) -> None:
    """Make surfaces of few nodes, from half of redline up, and keep them in a folder."""
    few = Nodes(
        (Group((0.8, 1.4, 2.4), 3, 6),),
        Group((0.8, 1.4), 2, 2),
        (Group((0.8, 1.4), 1, 2),),
        (0.5, 1.06),
        ((0.7, 1.2),),
    )
    patch.setenv("AIRCHAIN_CACHE", str(folder))
    patch.setitem(surface.NODES, surface.USUAL, few)
    patch.setattr(breathing, "_made", {})
