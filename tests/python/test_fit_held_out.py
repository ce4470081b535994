"""Intervals and bands hold the truth as often as they say, on engines that no fit was tuned on.

Sizes in the fit were chosen on the engines of seeds 0 to 59. Those of the slow test begin at 1000,
and were first looked at after everything was settled. Then one level held 89 to 97 %, two levels 89
to 95 %, and three levels 88 to 95 % but for the compressor's flow (79 and 81 %) and the cooler (83
and 83 %). Nine of 1,200 fits had an unknown more than four deviations off, and three of those did
not say so.

Since then all channels stand in one covariance. Its first run on fresh engines (seeds 1200 to 1255,
typed and tuned, 112 fits to three levels) held volumetric efficiency in 88, indicated efficiency in
92, head in 94, the cooler in 88 %, each give or take 4; the compressor's flow, in 79 %, is as weak
as it was. Bands were not looked at again on 400 engines.
"""

from dataclasses import dataclass, field

import numpy as np
import pytest

import airchain
from airchain.fit.prediction import Prediction
from held_out_engines import READ, UNKNOWNS, Engine, tuned_build
from synthetic_pulls import build

#: Levels fitted, and the next one that is predicted.
STEPS = (("tame",), ("tame", "middle"), ("tame", "middle", "full"))
NEXT = ("middle", "full", "high")
NINETY = 1.6448536269514722
#: Shares that are held [%].
LOW, HIGH = 86.0, 97.5


@dataclass
class Tally:
    """What became of the fits to as many levels: one row an engine."""

    deviations: list = field(default_factory=list)
    inside: list = field(default_factory=list)
    said: list = field(default_factory=list)
    blamed: list = field(default_factory=list)
    found: list = field(default_factory=list)
    widths: list = field(default_factory=list)
    wide: list = field(default_factory=list)

    def shares(self) -> dict[str, float]:
        """Per cent of unknowns in their interval, and of rows of channels in their band."""
        unknowns = np.mean(np.abs(self.deviations) <= NINETY, axis=0)
        channels = np.mean(self.inside, axis=0)
        both = zip((*UNKNOWNS, *READ), (*unknowns, *channels), strict=True)
        return {name: round(100.0 * float(share), 1) for name, share in both}


def tallied(seeds: range, tuned: bool, steps: int = 3) -> list[Tally]:
    """Fit every engine to one, two and three levels, and predict the next."""
    tallies = [Tally() for _ in range(steps)]
    typed = tuned_build() if tuned else build()
    for seed in seeds:
        engine = Engine.of(seed, tuned)
        read = {level: engine.pull(level) for level in ("tame", "middle", "full", "high")}
        for tally, levels, there in zip(tallies, STEPS, NEXT, strict=False):
            fit = airchain.reconcile(typed, {n: read[n][0] for n in levels}, UNKNOWNS)
            truth = [np.mean([read[n][1][name] for n in levels]) for name in UNKNOWNS]
            tally.deviations.append((fit.values - truth) / np.sqrt(np.diag(fit.covariance)))
            made = airchain.predict(fit, there)
            told = made.compare(read[there][0])
            tally.inside.append([told.share_inside(name) for name in READ])
            tally.blamed.append(told.surprising)
            tally.found.append("torque" in made.compare(floating(read[there][0])).faulty)
            tally.said.append(not fit.fits or any("left out" in r for r in fit.remarks))
            tally.widths.append(widths(made))
            tally.wide.append(narrow_or_named(made))
    return tallies


def floating(pull: airchain.MeasuredPull) -> airchain.MeasuredPull:
    """The pull with valves that float: torque falls by 14 % at the top, and boost rises 2.4 psi."""
    over = np.clip((pull.rpm - 6400.0) / 1000.0, 0.0, 1.0)
    return pull.with_columns(torque=pull["torque"] * (1.0 - 0.14 * over),
                             plenum_pressure=pull["plenum_pressure"] + 16.5e3 * over)  # fmt: skip


def odd_named(seeds: range, tuned: bool, share: float) -> dict[str, int]:
    """How often a pull whose torque reads a share of what it should is named, by its place."""
    typed, named = tuned_build() if tuned else build(), dict.fromkeys(STEPS[2], 0)
    for seed in seeds:
        engine = Engine.of(seed, tuned)
        read = {level: engine.pull(level)[0] for level in STEPS[2]}
        for place in named:
            wrong = read[place].with_columns(torque=share * read[place]["torque"])
            fit = airchain.reconcile(typed, {**read, place: wrong}, UNKNOWNS)
            named[place] += any(f"The torque of {place} (pull" in note for note in fit.remarks)
    return named


def widths(made: Prediction) -> tuple[float, float]:
    """Width of the band at best power: of power [%] and of boost [psi]."""
    i = int(np.nanargmax(made.get("power")))
    (low, high), (less, more) = made.band("power"), made.band("boost", "psi")
    return 100.0 * (high[i] - low[i]) / made.get("power")[i], more[i] - less[i]


def narrow_or_named(made: Prediction) -> bool:
    """Whether the band keeps to 8 % of power and 2 psi at best power, or names its cause."""
    power, boost = widths(made)
    named = [band in " ".join(made.notes) for band in ("torque band is wide", "boost band is wide")]
    return (power <= 8.0 or named[0]) and (boost <= 2.0 or named[1])


@pytest.mark.parametrize("tuned", [False, True])
def test_a_few_held_out_engines_lie_where_the_fit_says(tuned: bool) -> None:
    (one, two) = tallied(range(2000, 2006), tuned, steps=2)
    for tally in (one, two):
        inside = np.abs(tally.deviations) <= NINETY
        # Of 30 intervals at 90 %, 21 or fewer hold in one of 500 tries (binomial).
        assert inside.sum() > 21
        assert all(tally.wide)
        lost = np.max(np.abs(tally.deviations), axis=1) > 4.0
        assert all(np.array(tally.said)[lost])


@pytest.mark.slow
@pytest.mark.parametrize("tuned", [False, True])
def test_four_hundred_held_out_engines_lie_where_the_fit_says(tuned: bool) -> None:
    tallies = tallied(range(6000, 6200), tuned)
    for levels, tally in enumerate(tallies, 1):
        print(f"tuned={tuned}, {levels} levels: {tally.shares()}")
        print(f"  beyond 4 deviations: {np.sum(np.abs(tally.deviations) > 4.0)}, healthy pulls "
              f"blamed {np.sum(tally.blamed)}, faults at the top end found "
              f"{np.sum(tally.found)}")  # fmt: skip
        print(f"  median width of power [%] and boost [psi]: {np.median(tally.widths, axis=0)}")
    for tally in tallies:
        for name, share in tally.shares().items():
            assert LOW <= share <= HIGH, name
        assert all(tally.wide)
        lost = np.max(np.abs(tally.deviations), axis=1) > 4.0
        assert np.sum(~np.array(tally.said)[lost]) <= 2


@pytest.mark.slow
def test_an_odd_pull_is_named_on_held_out_engines() -> None:
    # Torque of one of three pulls reads 10 % low; without that, none is named.
    named = odd_named(range(6300, 6320), tuned=False, share=0.9)
    sound = odd_named(range(6300, 6320), tuned=False, share=1.0)
    print(f"odd pull named, of 20 each: {named}; of sound ones: {sound}")
    assert min(named.values()) >= 15
    assert sum(sound.values()) <= 3
