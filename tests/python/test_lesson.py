"""The lesson asks before it answers, from the engine in use, and counts what was right."""

import re
from collections.abc import Callable
from math import degrees, isfinite
from typing import Any

import numpy as np
import pytest

import airchain
from airchain.lesson import ChangeCheck, Check, Lesson
from airchain.lesson.changes import SMALL, WORDS
from airchain.units import from_si


@pytest.fixture(scope="module")
def demo(request: pytest.FixtureRequest) -> airchain.Build:
    """The invented build on its highest level."""
    return airchain.load(request.getfixturevalue("root") / "demo/ridge_road.toml").level("full")


@pytest.fixture
def lesson(demo: airchain.Build) -> Lesson:
    """The lesson at 7,000 rpm, nothing guessed yet."""
    return Lesson(demo, 7000)


def asked(lesson: Lesson, name: str) -> Check:
    check = lesson.ask(name)
    assert isinstance(check, Check), name
    return check


@pytest.mark.parametrize("system", ["trade", "si"])
def test_no_question_gives_its_answer_away(demo: airchain.Build, system: str) -> None:
    lesson = Lesson(demo, 7000, system)
    for name in lesson.questions:
        check = asked(lesson, name)
        question = check.question
        shown = question.shown(question.answer)
        if question.options:
            continue
        number = shown.split()[0]
        told = check.text() + repr(check(...)) + repr(check(None)) + repr(check("..."))
        assert not re.search(rf"(?<![\d.,]){re.escape(number)}(?![\d])", told), name
        assert "where the three dots are" in repr(check(...)), name
        assert question.asked_in in repr(check(...)), name


@pytest.mark.parametrize("system", ["trade", "si"])
def test_one_unit_system_throughout(demo: airchain.Build, system: str) -> None:
    lesson = Lesson(demo, 7000, system)
    other = r"\b(kPa|degC|kW|kg/s|kJ|N m|mm|K)\b" if system == "trade" else (
        r"\b(psi|psia|degF|hp|lb|lb/min|BTU|ft|in|cfm|inHg)\b"
    )  # fmt: skip
    texts = []
    for name in lesson.questions:
        check = asked(lesson, name)
        answer = check.question.answer
        guess = (
            check.question.options[0] if check.question.options else check.question.shown(answer)
        )
        texts += [check.text(), check(guess).text(), *check.question.worked]
    page = lesson.last_page()
    texts += [page.text(), page.worked().text()]
    texts += [lesson.change(name).text() for name in lesson.changes]  # type: ignore[union-attr]
    for text in texts:
        # 'In' begins sentences; as a unit it stands behind a number.
        found = [m for m in re.findall(other, text) if m != "in" and m != "K"]
        assert found == [], text
    assert re.findall(r"\d (in|K)\b", " ".join(texts)) == [] or system == "si"


def test_answers_are_those_of_the_pull(demo: airchain.Build, lesson: Lesson) -> None:
    pull = demo.pull([7000])
    table = pull.stations(7000)
    expected = {
        "air pressure": table.states["ambient"]["pressure"],
        "rotor speed": pull["rotor_speed"][0],
        "outlet temperature": table.states["compressor_outlet"]["temperature"],
        "cooler outlet": table.states["cooler_outlet"]["temperature"],
        "boost": pull["boost"][0],
        "fuel for the air": 100.0 * pull["fuel_flow"][0] / pull["air_flow"][0],
        "charge temperature": pull["charge_temperature"][0],
        "air flow": pull["air_flow"][0],
        "power": pull["power"][0],
        "blower's share": pull["drive_power"][0] / pull["power"][0],
        "without the blower": demo.naturally_aspirated().pull([7000])["power"][0],
        "room to knock": pull["knock_margin"][0],
    }
    for name, value in expected.items():
        assert asked(lesson, name).question.answer == pytest.approx(value, rel=1e-12), name


def test_another_engine_is_asked_about_with_its_own_numbers(demo: airchain.Build) -> None:
    warm = demo.replace({"cooler.coolant_temperature": "95 degF"})
    assert "coolant is at 95.0 degF" in asked(Lesson(warm, 7000), "cooler outlet").text()
    assert "coolant is at 65.0 degF" in asked(Lesson(demo, 7000), "cooler outlet").text()
    tame = Lesson(demo.level("tame"), 7000)
    assert "33/40 teeth" in asked(tame, "rotor speed").text()


@pytest.mark.parametrize("system", ["trade", "si"])
@pytest.mark.parametrize("level", ["tame", "full"])
def test_what_is_worked_by_hand_counts_as_right(
    demo: airchain.Build, level: str, system: str
) -> None:
    lesson = Lesson(demo.level(level), 7000, system)
    questions = [asked(lesson, name).question for name in lesson.questions]
    questions += lesson.last_page().questions
    worked = 0
    for question in questions:
        if question.options or "no sum by hand" in question.worked[-1]:
            continue
        # The sum's last number in the unit that is asked for, before what the chain says.
        steps = " ".join(question.worked).partition("By the chain")[0]
        unit = re.escape(question.asked_in)
        found = re.findall(rf"(-?[\d,]*\.?\d+)\s?{unit}" if unit else r"(-?[\d,]*\.?\d+)", steps)
        if question.name == "fuel for the air":
            found = re.findall(r"is ([\d.]+) (?:lb|kg)\.", steps)
        if question.name == "cooler outlet":
            found = re.findall(rf"([\d.]+) {unit} are left", steps)
        value = float(found[-1].replace(",", ""))
        off = abs(value - in_unit(question, question.answer))
        allowed = abs(
            in_unit(question, question.answer + question.tolerance)
            - in_unit(question, question.answer)
        )
        assert off <= allowed, f"{question.name}: {value} {question.asked_in}"
        worked += 1
    assert worked >= 20


def in_unit(question: Any, value: float) -> float:
    return float(from_si(value, question.asked_in, question.kind))


def test_a_guess_is_told_how_far_off_it_is_and_which_way(lesson: Lesson) -> None:
    check = asked(lesson, "cooler outlet")
    answer = float(from_si(check.question.answer, "degF", "temperature"))
    assert check(answer + 40.0).verdict.startswith("Too high by 40 degF.")
    assert check(answer - 40.0).verdict.startswith("Too low by 40 degF.")
    assert check(answer).right
    assert "no cooler brings the air below its coolant" in check(answer + 40.0).text()
    celsius = (answer - 32.0) / 1.8
    assert check(f"{celsius:.4f} degC").right, "text with a unit is taken in that unit"
    assert "It is right in degC, but degF was asked for." in check(celsius).text()


@pytest.mark.parametrize(
    ("name", "slip"),
    [
        ("air pressure", "altimeter setting is taken for the true pressure"),
        ("outlet temperature", "the efficiency is left out"),
        ("rotor speed", "the first pair is taken the other way round"),
        ("boost", "the air of the day is not taken off"),
        ("inlet loss", "taken to grow as the flow"),
    ],
)
def test_a_usual_slip_is_named(lesson: Lesson, name: str, slip: str) -> None:
    check = asked(lesson, name)
    (wrong,) = [value for value, words in check.question.slips if slip in words]
    answer = check(check.question.shown(wrong))
    assert not answer.right
    assert "That comes out when" in answer.slip
    assert slip in answer.text()


@pytest.mark.parametrize(
    ("guess", "words"),
    [
        ("many", "must be a number of rpm, or one with a unit of its own"),
        ((40, 0), "write 40000, not 40,000"),
        (float("nan"), "finite"),
        (True, "rotational speed"),
        ("40 psi", "rotational speed"),
    ],
)
def test_names_the_bad_guess(lesson: Lesson, guess: Any, words: str) -> None:
    with pytest.raises(airchain.InputError, match="check: guess = ") as error:
        asked(lesson, "rotor speed")(guess)
    assert words in str(error.value)
    # A bare number is taken, so nothing is refused for want of a unit.
    assert "a number and its unit" not in str(error.value)
    assert asked(lesson, "rotor speed")("40,000").guess == pytest.approx(40_000.0 * np.pi / 30.0)


def test_names_bad_names_and_choices(demo: airchain.Build, lesson: Lesson) -> None:
    with pytest.raises(airchain.InputError, match='did you mean "boost"'):
        lesson.ask("bost")
    with pytest.raises(airchain.InputError, match="be one of faster drive"):
        lesson.change("more luck")
    with pytest.raises(airchain.InputError, match='be "with crank" or "against crank"'):
        asked(lesson, "impeller direction")("left")
    check = lesson.change("later spark")
    for guess, words in (
        ({"torque": "up"}, "be one of boost, temperature, power, knock"),
        ({"power": "much"}, 'check: power = "much"'),
        ("up", "be a dict"),
    ):
        with pytest.raises(airchain.InputError, match=re.escape(words)):
            check(guess)
    with pytest.raises(airchain.InputError, match="be a speed at which the build is solved"):
        Lesson(demo, 15000)
    with pytest.raises(airchain.InputError, match="be at most 10, one a question"):
        lesson.last_page()([1.0] * 11)


def test_thousands_may_be_parted_in_text(lesson: Lesson) -> None:
    check = asked(lesson, "rotor speed")
    assert check(check.question.shown(check.question.answer)).right, "such as 40,303 rpm"


def test_there_are_eight_changes_and_their_answers_follow_from_two_pulls(
    demo: airchain.Build, lesson: Lesson
) -> None:
    assert len(lesson.changes) == 8
    for name in lesson.changes:
        check = lesson.change(name)
        assert isinstance(check, ChangeCheck)
        before, after = demo.pull([7000]), check.change.build.pull([7000])
        moves = {one.name: one for one in check.solved()}
        assert list(moves) == list(WORDS)
        for quantity, column in (
            ("boost", "boost"),
            ("temperature", "charge_temperature"),
            ("power", "power"),
        ):
            moved = float(after[column][0] - before[column][0])
            size = SMALL[quantity] * (float(before[column][0]) if quantity == "power" else 1.0)
            right = moves[quantity].right
            if abs(moved) > 1.5 * size:
                assert right == (("up" if moved > 0 else "down"),), (name, quantity)
            elif abs(moved) < 0.6 * size:
                assert right == ("same",), (name, quantity)
            else:
                assert "same" in right or len(right) == 1
        margins = [float(np.degrees(p["knock_margin"][0])) for p in (before, after)]
        if not (before.knock.bound[0] or after.knock.bound[0]):
            fell = margins[0] - margins[1]
            if abs(fell) > 1.5 * degrees(SMALL["knock"]):
                assert moves["knock"].right == (("nearer" if fell > 0 else "further"),), name


#: What a builder of engines knows of these changes at high speed: common practice, no source.
KNOWN = {
    "faster drive": {"boost": "up", "temperature": "up", "knock": "nearer"},
    "warmer water": {"temperature": "up", "power": "down", "knock": "nearer"},
    "clogged filter": {"boost": "down", "power": "down"},
    "higher place": {"boost": "down", "power": "down", "knock": "further"},
    "hotter day": {"boost": "down", "temperature": "up", "power": "down"},
    "more compression": {"boost": "same", "power": "up", "knock": "nearer"},
    "later spark": {"boost": "same", "temperature": "same", "power": "down", "knock": "further"},
    "longer cam": {"temperature": "same"},
}


def test_changes_go_the_way_the_trade_knows(lesson: Lesson) -> None:
    for name, expected in KNOWN.items():
        check = lesson.change(name)
        assert isinstance(check, ChangeCheck)
        right = {one.name: one.right for one in check.solved()}
        for quantity, word in expected.items():
            assert word in right[quantity], (name, quantity, right[quantity])


def test_guesses_at_a_change_are_counted(lesson: Lesson) -> None:
    check = lesson.change("later spark")
    assert isinstance(check, ChangeCheck)
    right = {one.name: one.right[0] for one in check.solved()}
    wrong = {name: next(w for w in WORDS[name] if w != word) for name, word in right.items()}
    assert "No guess yet for boost, temperature, power, knock" in repr(check({"boost": ...}))
    assert "No guess yet for knock" in repr(check({**right, "knock": ...}))
    assert lesson.score().asked == 0, "nothing counts before all four are there"
    answer = check({**right, "power": wrong["power"]})
    assert answer.verdict == "3 of 4 right."
    assert check(right).verdict == "4 of 4 right."
    score = lesson.score()
    assert (score.right, score.asked) == (3, 4), "the first guess counts"
    assert "Look again at later spark." in score.notes


def test_a_change_that_knocks_says_so(demo: airchain.Build) -> None:
    poor = demo.replace({"fuel.name": "gasoline_regular", "engine.compression_ratio": 11.0})
    check = Lesson(poor, 7000).change("faster drive")
    assert isinstance(check, ChangeCheck)
    assert check.change.build.pull([7000]).knock.knocks.all()
    text = repr(check({"boost": "up", "temperature": "up", "power": "up", "knock": "nearer"}))
    assert "The point knocks by the estimate" in text
    assert "Do not run it so" in text


def test_the_last_page_marks_ten_guesses_and_works_the_answers(lesson: Lesson) -> None:
    page = lesson.last_page()
    assert len(page.questions) == 10
    assert "where the three dots are" in repr(page([...] * 10))
    right = [q.shown(q.answer) for q in page.questions]
    marked = page([*right[:3], "1 " + page.questions[3].asked_in, ...])
    assert marked.verdict == "3 of 4 right; 6 still open."
    assert lesson.score().parts["last page"][page.questions[3].name] == (0, 1)
    worked = page.worked().text()
    for number, question in enumerate(page.questions, 1):
        assert f"{number}. {question.name}: {question.shown(question.answer)}" in worked
        assert question.shown(question.answer).split()[0] not in repr(page).split("\n")[number]
    assert page.worked()._repr_html_().count("<details>") == 10


def test_the_score_counts_all_parts_and_what_is_open(lesson: Lesson) -> None:
    assert "Nothing was guessed yet" in lesson.score().verdict
    check = asked(lesson, "boost")
    check(check.question.shown(check.question.answer))
    check(1.0)
    score = lesson.score()
    assert score.verdict == "1 of 1 right at the first guess."
    assert "Still open: air pressure" in " ".join(score.notes)
    page = lesson.last_page()
    page([1.0] * 10)
    check = asked(lesson, "rotor speed")
    check(1.0)
    assert " ".join(lesson.score().notes).count("rotor speed") == 1, (
        "named once, though missed twice"
    )


@pytest.mark.parametrize(
    "change",
    [
        lambda build: build.naturally_aspirated(),
        lambda build: build.replace({"cooler": None}),
        lambda build: build.replace({"inlet": None}),
    ],
)
def test_a_part_that_is_not_there_is_not_asked_about(
    demo: airchain.Build, change: Callable[[airchain.Build], airchain.Build]
) -> None:
    lesson = Lesson(change(demo), 5000)
    absent = 0
    for name in lesson.questions:
        check = lesson.ask(name)
        if isinstance(check, Check):
            assert isfinite(check.question.answer)
        else:
            absent += 1
            assert "Go on with the next one" in repr(check(...))
    assert absent > 0
    assert len(lesson.last_page().questions) > 0


def test_pictures_show_the_guess_and_hide_the_answer(lesson: Lesson) -> None:
    for name in lesson.questions:
        question = asked(lesson, name).question
        if name == "blown through":  # the ports' pressures, in which no share can be read
            continue
        hidden = {text.get_text() for text in texts_of(question.draw(None, False))}
        assert "?" in hidden, name
        guess = 0.0 if question.options else 1.05 * question.answer
        assert "your guess" in " ".join(text.get_text() for text in texts_of(
            question.draw(guess, True)
        )), name  # fmt: skip
    html = asked(lesson, "boost")(10)._repr_html_()
    assert 'alt="Too low by' in html
    assert "<img" not in asked(lesson, "boost")(...)._repr_html_()


def texts_of(figure: Any) -> list[Any]:
    from matplotlib.text import Text

    return list(figure.findobj(Text))


def test_the_point_moves_along_the_operating_line(demo: airchain.Build, lesson: Lesson) -> None:
    moving = lesson.moving_point()
    svg = moving.svg()
    places = [
        [
            float(v)
            for v in re.search(rf'attributeName="{name}" values="([^"]+)"', svg)[1].split(";")
        ]  # type: ignore[index]
        for name in ("cx", "cy")
    ]
    pull = moving.pull
    flow, ratio = pull.get("corrected_flow", "lb/min"), pull["pressure_ratio"]
    # Straight lines: what is drawn is in proportion to flow and to pressure ratio.
    for drawn, value in zip(places, (flow, ratio), strict=True):
        assert len(drawn) == len(pull)
        fit = np.polyfit(value, drawn, 1)
        assert np.abs(np.polyval(fit, value) - drawn).max() < 0.2
    assert np.polyfit(flow, places[0], 1)[0] > 0
    assert np.polyfit(ratio, places[1], 1)[0] < 0, "down is more in a file of pixels"
    assert f"{pull.rpm[0]:,.0f} to {pull.rpm[-1]:,.0f} rpm" in repr(moving)
    with pytest.raises(airchain.InputError, match="have a compressor"):
        Lesson(demo.naturally_aspirated(), 5000).moving_point()
