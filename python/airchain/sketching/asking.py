"""What to ask next where the band of power is too wide to plan on: the number that narrows it most.

Each is one that a builder can look up or measure in minutes. After it the sketch is made again.
"""

from __future__ import annotations

from ..base.speeds import RPM
from .bands import Bands
from .model import Model

#: Half a 90 % band of power beyond which a sketch says that it is wide.
WIDE = 0.15
#: How near to redline a figure of today says what happens there.
_AT_REDLINE = 0.04
#: Share of a wide band's variance below which a figure is not worth asking for.
_WORTH = 0.15
#: By fact: the part, or the guess, that it settles, and how it is asked for.
_OF_STAGE = {
    "rated_flow": (
        "compressor_flow",
        "Tell the compressor's rated flow too, from its name plate or map: {} runs near choke, and "
        "how much the inducer passes is guessed.",
    ),
    "exit_width": (
        "exit_flow",
        "Tell the exit width too, the height of the impeller's blades at the rim: calipers do. How "
        "hard the wheel blows at {} hangs on it.",
    ),
}


def asked_for(model: Model, bands: Bands, level: str) -> str:
    """Return the fact that is to be told next.

    Parameters
    ----------
    model : Model
        What was told.
    bands : Bands
        What it leaves in doubt.
    level : str
        The strongest level.

    Returns
    -------
    str
        ``"power"`` for more figures of today, ``"rated_flow"`` or ``"exit_width"``; empty where the
        band is narrow, or no such figure would narrow it.
    """
    power, half, _ = bands.at(level, "power")
    if not half > WIDE * power:
        return ""
    facts = model.facts
    redline = facts["redline"] / RPM
    if not any(one.rpm >= (1.0 - _AT_REDLINE) * redline for one in facts.today):
        return "power"
    shares = {fact: _share(model, bands, level, part)
              for fact, (part, _) in _OF_STAGE.items() if not facts.has(fact)}  # fmt: skip
    most = max(shares, key=lambda fact: shares[fact], default="")
    return most if most and shares[most] >= _WORTH else ""


def _share(model: Model, bands: Bands, level: str, part: str) -> float:
    """Share of the variance of power that a part's guesses make."""
    chosen = [j for j, guess in enumerate(model.guesses.values())
              if part in (guess.part, guess.name)]  # fmt: skip
    return bands.share_of(level, "power", chosen)


def asking_words(model: Model, bands: Bands, level: str) -> list[str]:
    """Return how wide the band of power is and what to tell, or nothing where it is narrow.

    Parameters
    ----------
    model : Model
        What was told.
    bands : Bands
        What it leaves in doubt.
    level : str
        The strongest level.

    Returns
    -------
    list of str
        Sentences.
    """
    power, half, _ = bands.at(level, "power")
    if not half > WIDE * power:
        return []
    shares = bands.shares(level, "power")
    widest = model.guesses[model.names[int(shares.argmax())]]
    told = [
        f"The band of {level} is {100.0 * half / power:.0f} % of its power either way: too wide to "
        f"plan on. Most of it comes of: {widest.words}."
    ]
    fact = asked_for(model, bands, level)
    if fact in _OF_STAGE:
        told.append(_OF_STAGE[fact][1].format(level))
    elif fact and not model.facts.today:
        told.append("Tell what the engine makes today: its best power, and its power at redline.")
    elif fact:
        told.append(
            f"Tell today's power at redline as well, {model.facts['redline'] / RPM:,.0f} rpm, "
            "behind its best: levels with boost peak near there, and nothing told yet shows how "
            "the filling falls so far."
        )
    return told
