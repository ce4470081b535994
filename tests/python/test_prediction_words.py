"""What a prediction says of weather, knock and the impeller's limit agrees with its numbers."""

import numpy as np
import pytest

import airchain
from airchain.fit import Prediction
from fitted import both, pull
from synthetic_pulls import UNKNOWNS, build
from test_surface_fits import fit as fit_of_cams

RPM = [5000.0, 6500.0, 7400.0]


def joined(prediction: Prediction) -> str:
    return " ".join([prediction.verdict, *prediction.notes])


def test_the_weather_is_told() -> None:
    assert "The weather is 28.94 inHg, 77.0 degF and 0 % humidity, that of full." in (
        airchain.predict(both(), "full", RPM).notes
    )
    changes = {"level": "full", "ambient.temperature": "95 degF"}
    (words,) = [n for n in airchain.predict(both(), changes, RPM).notes if "weather" in n]
    assert words.startswith("The weather is 28.94 inHg, 95.0 degF")
    assert "that of" not in words


def limited(limit: str) -> Prediction:
    """The full step of a build whose rotor has a limit."""
    typed = build().replace({"compressor.rotor_speed_limit": limit})
    fit = airchain.reconcile(typed, {"tame": pull("tame", 1)}, UNKNOWNS)
    return airchain.predict(fit, "full", RPM)


def test_the_impeller_s_limit_is_told_apart_from_what_it_reaches() -> None:
    prediction = limited("44000 rpm")
    top = float(np.max(prediction.pull["rotor_speed"])) * 30.0 / np.pi
    assert 0.0 < 44000.0 / top - 1.0 < 0.05
    said = joined(prediction)
    assert f"The impeller reaches {top:,.0f} rpm. Its limit is 44,000 rpm, only" in said
    assert "do not run it there" not in said
    assert "Its limit is" not in joined(limited("60000 rpm"))


def test_a_limit_that_is_passed_stands_in_the_verdict() -> None:
    prediction = limited("42000 rpm")
    assert "passes a speed limit from 7,400 rpm: do not run it there." in prediction.verdict
    assert "Its limit is" not in joined(prediction)


def test_knock_is_either_told_or_said_not_to_be_predicted() -> None:
    typed = airchain.predict(both(), "full", RPM)
    assert typed.verdict.endswith("Knock not known.")
    assert "Knock, fuel supply and the strength of parts are not predicted." in joined(typed)
    cams = airchain.predict(fit_of_cams(), "full", [4000.0, 7000.0])
    assert cams.pull.knock.verdict in cams.verdict
    assert "deg at" in cams.verdict
    assert not any(note.startswith("Knock, fuel supply") for note in cams.notes)
    assert any(note.startswith("Fuel supply and the strength") for note in cams.notes)


def test_a_verdict_and_its_notes_say_a_thing_once() -> None:
    prediction = airchain.predict(both(), "full", RPM)
    assert not set(prediction.notes) & {prediction.pull.knock.verdict}
    assert len(prediction.notes) == len(set(prediction.notes))
    with pytest.raises(airchain.InputError, match="level"):
        airchain.predict(both())
