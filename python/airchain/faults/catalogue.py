"""The faults that a diagnosis looks for: what each is called, and what would prove it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from ..measured.quantities import QUANTITIES
from . import of_chain, of_reading
from .forms import Form
from .scene import Scene


@dataclass(frozen=True)
class Fault:
    """One fault by name.

    `words` say what is wrong as a sentence without its full stop; `short` is what a table calls it.
    `check` is the one thing to do that would prove or clear it. `caution` tells what may break.
    """

    name: str
    short: str
    words: str
    check: str
    forms: Callable[[Scene], Sequence[Form]]
    caution: str = ""


def _always(forms: Callable[[], Sequence[Form]]) -> Callable[[Scene], Sequence[Form]]:
    return lambda _scene: forms()


# Checks are common practice, no source.
_OF_ENGINE = (
    Fault(
        "valves_floating", "valves floating",
        "the valves float at the top end: they no longer follow the cam, the engine fills less and "
        "the boost backs up",
        "Measure the valve springs' seat and open loads against their card, and look for witness "
        "marks on valve tips and retainers.",
        _always(of_chain.floating_valves),
        "Do not run above the speed where it begins. A floating valve can meet its piston.",
    ),
    Fault(
        "boost_leak", "boost leak",
        "the boost side leaks between compressor and engine",
        "Plug the blower's inlet, fill the charge side with shop air to a few psi with the engine "
        "stopped, and look for bubbles with soapy water.",
        _always(of_chain.boost_leak),
        "Plugs and hoses can fly off: fill slowly through a regulator, and stand aside.",
    ),
    Fault(
        "belt_slip", "belt slip",
        "the belt slips: the blower turns slower than its pulleys say",
        "Log the blower's shaft speed, or look for dust and glaze, and check tension and wrap.",
        _always(of_chain.belt_slip),
        "A slipping belt gets hot and can throw itself. Keep clear of its plane.",
    ),
    Fault(
        "inlet_choking", "filter or inlet choking",
        "the filter or the inlet chokes the blower",
        "Read the pressure at the compressor's inlet, or make one pull without the filter element "
        "if the air in the cell is clean.",
        _always(of_chain.choked_inlet),
    ),
    Fault(
        "cooler_weak", "cooler fouled or pump off",
        "the charge cooler cools too little: fouled, or its coolant warm or not moving",
        "See that the pump runs and the water moves, and feel or log the water in and out.",
        _always(of_chain.weak_cooler),
        "Hotter charge knocks sooner. Do not go up a level before it cools.",
    ),
    Fault(
        "ignition_late", "ignition retarded",
        "the spark comes late",
        "Put a timing light on the damper at speed, and look whether knock control pulls timing.",
        _always(of_chain.late_spark),
        "A late spark heats the exhaust valves and the exhaust. Find out first whether knock "
        "control asked for it.",
    ),
    Fault(
        "mixture_off", "lambda off",
        "the mixture is not what the tune asks for",
        "Check the fuel pressure at peak power and a second lambda probe.",
        _always(of_chain.wrong_mixture),
        "A lean engine under boost can melt a piston. Stop if the mixture is not known.",
    ),
    Fault(
        "cylinder_down", "one cylinder down",
        "one cylinder makes less than the others, or nothing",
        "Read each cylinder's exhaust temperature, look at its plug, and check spark, injector and "
        "leak-down there.",
        _always(of_chain.dead_cylinder),
        "Unburned fuel in a hot exhaust can explode. Do not pull again before it fires.",
    ),
)  # fmt: skip
_OF_FOOTING = (
    Fault(
        "barometer_wrong", "wrong barometer",
        "the barometer that was written down is not that of the cell",
        "Compare the barometer with the station pressure of the nearest airfield (not the pressure "
        "reduced to sea level), and with a gauge open to the cell.",
        _always(of_chain.wrong_barometer),
    ),
    Fault(
        "gauge_for_absolute", "gauge taken for absolute",
        "a pressure was taken for absolute that counts from the air, or the other way round",
        "Look what the channel reads with the engine stopped: an absolute one reads the barometer.",
        _always(of_reading.gauge_for_absolute),
    ),
    Fault(
        "power_standard", "another power standard",
        "torque stands on another power standard than it is taken for",
        "Ask which correction the dyno's program applies, and read the uncorrected torque.",
        of_reading.power_standard,
    ),
)  # fmt: skip


def _of_probe(channel: str) -> list[Fault]:
    words = QUANTITIES[channel].words
    check = {
        "torque": "Hang the calibration weights on the brake's arm.",
        "rotor_speed": "Compare with an optical tachometer, or count the target's teeth again.",
    }.get(channel, f"Compare the {words} sensor with a second one, and read both with the engine "
                   "stopped and cold.")  # fmt: skip
    faults = [
        Fault(f"{channel}_offset", f"{words} offset", f"the {words} sensor reads wrong by a "
              "constant", check, lambda _scene: of_reading.offset(channel)),
    ]  # fmt: skip
    if channel in of_reading.LAGS:
        faults.append(
            Fault(f"{channel}_lag", f"{words} lagging", f"the {words} sensor lags",
                  "Hold three speeds until the reading stands still, and compare with the sweep.",
                  lambda _scene: of_reading.lag(channel))
        )  # fmt: skip
    return faults


#: Every fault that is looked for.
FAULTS: tuple[Fault, ...] = (
    *_OF_ENGINE, *_OF_FOOTING,
    *(fault for channel in of_reading.OFFSETS for fault in _of_probe(channel)),
)  # fmt: skip
#: By name.
BY_NAME = {fault.name: fault for fault in FAULTS}
