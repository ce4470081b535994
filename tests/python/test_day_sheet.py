"""The sheet for the dyno: one page, and every figure on it that of the levels themselves."""

import io
import re
from functools import cache
from pathlib import Path

import numpy as np
import pypdf
import pytest
from click.testing import CliRunner

import airchain
import fitted
import scenario
from airchain.base.speeds import RPM
from airchain.cli.main import cli
from airchain.plan.as_fitted import fitted_levels
from airchain.plan.request import AS_TYPED
from airchain.report import Document, day_sheet
from airchain.report.first_page import cautions
from airchain.report.material import Material

HP = 745.69987158227022


@cache
def build() -> airchain.Build:
    return airchain.load(scenario.FILE).with_surface()


@cache
def sheet() -> Document:
    return day_sheet(build())


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_fits_one_page(paper: str) -> None:
    (page,) = pypdf.PdfReader(io.BytesIO(sheet().pdf(paper))).pages
    text = page.extract_text()
    for words in ("Stop at once", "Who guards what", "What to log", "is a permission", "Invented"):
        assert words in text


@pytest.mark.parametrize("count", [1, 6])
def test_fits_one_page_with_few_levels_and_many(count: int) -> None:
    levels = {f"step {i}": {"gears": {"driving_teeth": 33 + i, "driven_teeth": 40 - i}}
              for i in range(count)}  # fmt: skip
    made = day_sheet(build().replace({"levels": levels}), system="si")
    assert len(pypdf.PdfReader(io.BytesIO(made.pdf())).pages) == 1
    assert all(name in made.html for name in levels)


def test_bands_are_those_of_the_plan() -> None:
    plan = airchain.plan_levels(build())
    for mine, level in zip(fitted_levels(build()).levels, plan.levels, strict=True):
        assert mine.gate.expected == level.gate.expected
        middle, half = level.gate.expected["power"]
        assert f"{(middle - half) / HP:,.0f} to {(middle + half) / HP:,.0f}" in sheet().html


def test_a_fit_brings_the_bands_of_its_predictions() -> None:
    fit = fitted.both()
    html = day_sheet(fit, system="si").html
    predicted = airchain.predict(fit, "full")
    rpm = float(fit.build.reference_speed) / RPM
    at = float(predicted.pull.rpm[int(np.argmin(abs(predicted.pull.rpm - rpm)))])
    low, high = predicted.band_at(at, "power")
    assert f"{low / 1e3:,.0f} to {high / 1e3:,.0f}" in html
    assert "band is that of the fit" in html


def test_stop_rules_are_the_limits_of_the_plan() -> None:
    assert "rotor speed 46,000 rpm" in sheet().html
    assert "plenum temperature 190.0 degF" in sheet().html
    changed = build().replace({"plan.limits.charge_temperature.most": "150 degF"})
    assert "plenum temperature 150.0 degF" in day_sheet(changed).html


def test_the_temperature_expected_is_what_a_thermometer_in_the_plenum_reads() -> None:
    pull = build().level("full").pull()
    read, charge = (float(pull.get(f"{name}_temperature", "degF")[-1])
                    for name in ("plenum", "charge"))  # fmt: skip
    place = fitted_levels(build()).levels[-1].trial.solved[AS_TYPED]
    middle, half = (values[-1] for values in place.band("plenum_temperature"))
    assert middle == pull["plenum_temperature"][-1]
    assert charge < read - 5.0, "port fuel cools the charge by more than a rounding"
    low, high = (read + side * 1.8 * float(half) for side in (-1.0, 1.0))
    html = sheet().html
    assert f"{low:,.0f} to {high:,.0f}" in html
    assert "plenum temperature" in html
    for made in (html, day_sheet(fitted.both()).html):
        assert "charge temperature" not in made, "one word, one quantity"


def test_a_level_that_knocks_is_not_to_be_run_in_the_words_of_the_hand_over() -> None:
    knocking = airchain.load(scenario.quick()).replace({"fuel.name": "gasoline_regular"})
    steps = airchain.ladder(knocking.with_surface())
    told = [text for text in cautions(Material(knocking, steps)) if text.startswith("full: ")]
    assert told == ["full: By the estimate it knocks. Do not run it."]
    rows = re.findall(r"<tr>(.*?)</tr>", day_sheet(knocking).html, flags=re.S)
    cells = [re.findall(r"<t[dh][^>]*>(.*?)</t[dh]>", row) for row in rows]
    first = next(i for i, row in enumerate(cells) if "full" in row[0])
    assert cells[first][-2:] == ["By the estimate it knocks. Do not run it.", "no"]
    assert cells[first + 1][0] == ""
    assert cells[first + 1][-2:] == ["–", "no"], "nothing can be ticked beside it"
    assert next(row for row in cells if "tame" in row[0])[-2:] == ["", ""]
    assert "Do not run it" not in sheet().html


def test_needs_no_plan_and_hides_no_typed_markup() -> None:
    bare = build().replace({"plan": None, "report.customer": "<b>Club</b>"})
    html = day_sheet(bare).html
    assert "&lt;b&gt;Club" in html
    assert not re.search(r"<b>Club", html)
    with pytest.raises(airchain.InputError, match="supercharged"):
        day_sheet(scenario.aspirated())


def test_refuses_a_level_that_turns_too_fast() -> None:
    slow = build().replace({"compressor.rotor_speed_limit": "40000 rpm"})
    with pytest.raises(airchain.InputError, match=r"full = .*rotor speed.*must keep the speed"):
        day_sheet(slow)


def test_command_writes_it(tmp_path: Path) -> None:
    target = tmp_path / "sheet.html"
    result = CliRunner().invoke(cli, ["daysheet", str(scenario.quick()), "-o", str(target)])
    assert result.exit_code == 0, result.output
    assert "day sheet for the dyno" in target.read_text()
