"""Intervals and bands hold the truth as often as they say, on engines that no fit was tuned on.

Sizes in the fit were chosen on the engines of seeds 0 to 59, 5000 to 5199 and 8000 to 12199. Those
of the slow test begin at 13000. Its first run, in per cent of 400 engines (each figure give or
take 1.5), after one, two and three levels: volumetric efficiency 91.2, 92.0, 91.8; indicated
efficiency 93.0, 94.5, 93.2; head 93.8, 91.5, 91.5; the compressor's flow 89.8, 89.8, 89.0; the
cooler 93.0, 93.2, 92.5. Rows of the next level inside the band of air flow 93.8, 93.0, 95.0; boost
93.4, 93.5, 93.7; charge temperature 88.6, 89.6, 89.0; torque 91.7, 94.0, 92.0. One unknown of 6,000
was four deviations off: a cooler whose truth was told as better than any can be, which is mended.
Of 1,200 sound pulls 62 were blamed (25, 8, 29), and 393, 338 and 400 of 400 faults at the top end
were found. The median band was 10.4, 11.8 and 7.7 % of power and 1.2, 2.5 and 2.2 psi of boost
wide, each time with its cause.

The seeds before found two faults. A sensor's tolerance was taken for a normal spread. And a charge
thermometer that starts a sweep off by some kelvin, since it lags behind what was before, moved the
cooler by up to five deviations.

Of seeds 9300 to 9319 a torque that reads 10 % low was named, by nearly this fit, in 18 (tame), 19
(middle) and 17 (full) of 20, and in no sound fit.
"""

from dataclasses import dataclass, field, fields

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
#: Shares that are held [%]: 86 to 94, and above that two deviations of what 400 engines show.
LOW, HIGH = 86.0, 96.4
#: Share of sound pulls that may be blamed: the questions are asked at 5 %, and with narrow bands
#: after three levels 6 to 7 % were found.
BLAMED = 0.085


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

    def with_more(self, other: "Tally") -> "Tally":
        """These fits and others."""
        return Tally(*(getattr(self, f.name) + getattr(other, f.name) for f in fields(Tally)))

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


@pytest.mark.parametrize("tuned", [pytest.param(False, marks=pytest.mark.slow), True])
def test_a_few_held_out_engines_lie_where_the_fit_says(tuned: bool) -> None:
    (one, two) = tallied(range(2000, 2003), tuned, steps=2)
    for tally in (one, two):
        inside = np.abs(tally.deviations) <= NINETY
        # Of 15 intervals at 90 %, 9 or fewer hold in one of 400 tries (binomial).
        assert inside.sum() > 9
        assert all(tally.wide)
        lost = np.max(np.abs(tally.deviations), axis=1) > 4.0
        assert all(np.array(tally.said)[lost])


@pytest.mark.slow
def test_four_hundred_held_out_engines_lie_where_the_fit_says() -> None:
    kinds = [tallied(range(13000, 13200), tuned) for tuned in (False, True)]
    tallies = [one.with_more(other) for one, other in zip(*kinds, strict=True)]
    for levels, tally in enumerate(tallies, 1):
        print(f"{levels} levels: {tally.shares()}")
        print(f"  beyond 4 deviations: {np.sum(np.abs(tally.deviations) > 4.0)}, healthy pulls "
              f"blamed {np.sum(tally.blamed)}, faults at the top end found "
              f"{np.sum(tally.found)}")  # fmt: skip
        print(f"  median width of power [%] and boost [psi]: {np.median(tally.widths, axis=0)}")
    for tally in tallies:
        for name, share in tally.shares().items():
            assert LOW <= share <= HIGH, name
        assert np.mean(tally.blamed) <= BLAMED
        assert all(tally.wide)
        lost = np.max(np.abs(tally.deviations), axis=1) > 4.0
        assert np.sum(~np.array(tally.said)[lost]) <= 2


@pytest.mark.slow
def test_an_odd_pull_is_named_on_held_out_engines() -> None:
    # Torque of one of three pulls reads 10 % low; without that, none is named.
    named = odd_named(range(9300, 9320), tuned=False, share=0.9)
    sound = odd_named(range(9300, 9320), tuned=False, share=1.0)
    print(f"odd pull named, of 20 each: {named}; of sound ones: {sound}")
    assert min(named.values()) >= 12
    assert sum(sound.values()) <= 3
