"""One table of bad logs and what is said of each: the place in the file, and what to do."""

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airchain import InputError
from airchain.measured.log.logtext import LARGEST_LOG
from airchain.measured.log.reader import guess_mapping, read_pulls
from logs import CHARGE, MAP, PLAIN, RAD, RPM, TORQUE, Log

TEXT = Log().text()
HEAD, BODY = TEXT.split("\n", 1)
ROWS = BODY.strip().split("\n")
SWAPPED = (
    PLAIN[0],
    ("Observed torque [lb ft]", TORQUE * RPM * RAD / 745.7, 1),
    ("Observed power [hp]", TORQUE / 1.3558, 1),
)

REFUSED: dict[str, tuple[bytes | str | Log, str]] = {
    "empty": ("", r'file = ".*log.csv"; must be a text log of measured pulls; it is empty'),
    "only blank lines": ("\n\n \n", "it is empty"),
    "binary": (bytes(range(256)) * 20, "it is binary: byte 1 is zero"),
    "control characters": (b"\x01\x02\x03\x04" * 100, "binary: it holds control characters"),
    "no text in its encoding": (b"Engine speed [rpm]\xff\n", r"log.csv:1: table = missing"),
    "truncated utf-16": (TEXT.encode("utf-16")[:-1], r"log.csv:\d+: text = utf-16; must be text"),
    "header only": (HEAD + "\n", r"log.csv:1: table = missing; .* no row of numbers below it"),
    "headings and units only": (HEAD + "\nrpm,Nm,kPa,degC\n", "no row of numbers below it"),
    "one row": (HEAD + "\n" + ROWS[0] + "\n", r"log.csv:2: rows = 1; must hold a pull"),
    "no headings": ("\n".join(ROWS), r"log.csv:1: header row = missing; .* columns by number"),
    "prose": ("It ran well.\nThen it rained, and stopped.\n", "must hold rows of at least two"),
    "a word in a column": (
        Log(changes={(6, 1): "abc"}),
        r'log.csv:8: column 2 "Observed torque \[Nm\]" = "abc"; must be a number',
    ),
    "mixed units": (
        Log(changes={(i, 1): f"700 {'Nm' if i < 9 else 'lbft'}" for i in range(RPM.size)}),
        r'log.csv:11: column 2 .* = "700 lbft"; must have one unit throughout, here Nm before',
    ),
    "speed all missing": (
        Log(changes={(i, 0): "---" for i in range(RPM.size)}),
        r'log.csv:2: column "Engine speed \[rpm\]" = 17 missing readings; must hold a speed',
    ),
    "no speed": (Log(PLAIN[1:]), r"log.csv:1: column of engine speed = missing"),
    "steady speed only in one row": (f"{HEAD}\n{ROWS[0]}\n\n", "must hold a pull"),
    "decimal commas between commas": (
        "Engine speed [rpm],Observed torque [Nm]\n3000,5,700,25\n4000,5,710,25\n",
        r"log.csv:2: row = 4 cells; must have no more cells than the 2 headings on line 1; are",
    ),
    "a row too long": (
        f"{HEAD}\n{ROWS[0]}\n{ROWS[1]},9,9\n{ROWS[2]}\n",
        r"log.csv:3: row = 6 cells; must have no more cells than the 4 headings",
    ),
    "two tables": (
        f"{TEXT}Run,Mean torque,Best,Worst\n1,2,3,4\n",
        r"log.csv:19: row = \"Run,Mean torque.* a second table",
    ),
    "torque in the power column": (
        Log(SWAPPED),
        r"log.csv:1: columns.torque.column = .*power is torque times speed only with",
    ),
    "metric horsepower called hp": (
        Log((*PLAIN[:2], ("Observed power [hp]", TORQUE * RPM * RAD / 735.49875, 2))),
        r'columns.power.unit = 1.014 times torque times speed; .* set columns.power.unit = "PS"',
    ),
    "hp or PS not told": (
        Log((*PLAIN[:2], ("Observed power", TORQUE * RPM * RAD / 745.69987, 2))),
        r'columns.power.unit = not told; must be "hp" or "PS"; they are so close',
    ),
    "basis not told": (
        Log((PLAIN[0], ("Torque [Nm]", TORQUE, 1))),
        r"log.csv:1: power_basis = not told; must be one of observed, sae_j1349, .* set it in the",
    ),
    "corrected by nothing known": (
        Log((PLAIN[0], ("Corrected torque [Nm]", TORQUE, 1))),
        "power_basis = not told",
    ),
    "gauge or absolute not told": (
        Log((*PLAIN[:2], ("Manifold pressure [psi]", 14.5 + MAP / 10.0, 2))),
        r'columns.plenum_pressure.reference = not told; must be "absolute" or "gauge"',
    ),
    "gauge without a barometer": (
        Log((*PLAIN[:2], ("Boost [psi]", MAP / 10.0, 2))),
        r"log.csv:1: ambient.barometer = not told; must be given in the mapping",
    ),
    "unit not told": (
        Log((*PLAIN[:2], ("Charge temp", CHARGE, 1))),
        r'columns.plenum_temperature.unit = not told; .* column "Charge temp"; set it in',
    ),
    "unit of something else": (
        Log((*PLAIN[:2], ("Charge temp [psi]", CHARGE, 1))),
        r'columns.plenum_temperature.unit = "psi"; must be a unit of a temperature',
    ),
    "fuel by volume": (
        Log((*PLAIN, ("Fuel flow [L/h]", MAP, 1))),
        r"columns.fuel_flow.density = not told",
    ),
    "air by volume": (
        Log((*PLAIN, ("Air flow [cfm]", MAP, 1))),
        "a volume does not tell its mass of air",
    ),
    "two columns that differ under one name": (
        Log((*PLAIN, ("Charge temp [degC]", CHARGE + 5.0, 2))),
        r"columns.plenum_temperature.column = not clear; .* one of the columns 4 .* or 5",
    ),
    "decimal mark not told": (
        "Engine speed [rpm];Observed torque [Nm]\n3,000;700,125\n4,000;710,250\n",
        r"log.csv:1: decimal = not told; .* followed by three digits; set it in the mapping",
    ),
}


@pytest.mark.parametrize("name", REFUSED)
def test_bad_log_is_refused_by_name(name: str, tmp_path: Path) -> None:
    given, words = REFUSED[name]
    path = tmp_path / "log.csv"
    text = given.text() if isinstance(given, Log) else given
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    before = path.read_bytes()
    with pytest.raises(InputError, match=words) as refused:
        read_pulls(path)
    assert "log.csv" in str(refused.value)
    assert path.read_bytes() == before


SHOWN: dict[str, tuple[Log | str, str]] = {
    "equal times": (
        Log((("Time [s]", np.repeat(np.arange(9) * 0.5, 2)[: RPM.size], 2), *PLAIN)),
        "time: 8 rows have the time of the row before",
    ),
    "a gap": (
        Log((("Time [s]", np.arange(RPM.size) * 0.5 + 5.0 * (RPM > 5000.0), 2), *PLAIN)),
        r"gaps between samples: up to 5.5 s between rows that are 0.5 s apart elsewhere (line 11)",
    ),
    "speed going backwards": (
        Log(changes={(8, 0): "4650"}),
        "engine speed: it falls back by more than 2 % of the run in 1 rows (line 10)",
    ),
    "a row cut off at the end": (
        f"{HEAD}\n" + "\n".join(ROWS) + "\n7100,61",
        "last line: is cut off within a row; it was left out (line 19)",
    ),
    "a short row": (
        f"{HEAD}\n{ROWS[0]}\n3100,790\n" + "\n".join(ROWS[1:]),
        "short rows: have fewer cells than headings; the last ones are taken as missing (line 3)",
    ),
    "an empty column": (
        Log(changes={(i, 3): "" for i in range(RPM.size)}),
        'plenum temperature: "Charge temp [degC]" holds no reading; it was left out',
    ),
    "a temperature that never moves": (
        Log((*PLAIN[:3], ("Charge temp [degC]", np.full(RPM.size, 40.0), 1))),
        "plenum temperature: never moves: 104.0 degF in every row; is the sensor connected?",
    ),
    "speed missing in a row": (
        Log(changes={(3, 0): "n/a"}),
        "engine speed: 1 row has none and was left out (line 5)",
    ),
    "power that disagrees in some rows": (
        Log(
            (*PLAIN[:2], ("Observed power [kW]", TORQUE * RPM * RAD / 1e3, 2)),
            changes={(4, 2): "400.0"},
        ),
        "power is not torque times speed in 1 of 17 rows (line 6)",
    ),
    "air flow that disagrees": (
        Log(
            (
                *PLAIN,
                ("Air flow [kg/h]", MAP * 10.0, 1),
                ("Fuel flow [kg/h]", MAP, 2),
                ("Lambda", np.full(RPM.size, 0.85), 2),
            )
        ),
        "they need a stoichiometric ratio of 11.76, which no known fuel has",
    ),
    "manifold above the compressor": (
        Log((*PLAIN, ("Compressor outlet pressure [kPa abs]", MAP * 0.9, 2))),
        "plenum pressure lies above the compressor outlet pressure that feeds it",
    ),
    "columns that stand twice": (
        Log((*PLAIN, PLAIN[3])),
        'duplicate columns: "Charge temp [degC]" stands 2 times with the same readings',
    ),
    "falling order": (
        Log(tuple((h, v[::-1], p) for h, v, p in PLAIN)),
        "order of rows: log: written from the highest speed down; turned round",
    ),
}


@pytest.mark.parametrize("name", SHOWN)
def test_odd_log_is_read_and_the_oddity_listed(name: str, tmp_path: Path) -> None:
    given, words = SHOWN[name]
    path = tmp_path / "log.csv"
    path.write_text(given.text() if isinstance(given, Log) else given)
    log = read_pulls(path)
    assert len(log) == 1
    assert any(words in finding for finding in log.all_findings), log.all_findings


DAMAGE = st.lists(
    st.tuples(
        st.integers(0, len(TEXT)),
        st.integers(0, 12),
        st.text('0123456789.,;\t"-+eEnN abµ°#\n\r\0:/()[]_', max_size=8),
    ),
    min_size=1,
    max_size=6,
)


@given(damage=DAMAGE, encoding=st.sampled_from(["utf-8", "utf-16", "windows-1252"]))
def test_a_damaged_log_is_read_or_refused_by_name(
    tmp_path_factory: pytest.TempPathFactory, damage: list[tuple[int, int, str]], encoding: str
) -> None:
    text = TEXT
    for place, cut, put in damage:
        text = text[:place] + put + text[place + cut :]
    path = tmp_path_factory.mktemp("damaged") / "log.csv"
    path.write_bytes(text.encode(encoding))
    refused = ""
    try:
        log = read_pulls(path)
    except InputError as error:
        refused = str(error)
    if refused:
        assert "log.csv" in refused
    else:
        for pull in (*log.pulls, *log.run_downs):
            assert not any(np.isinf(values).any() for values in pull.columns.values())
            assert repr(pull)
        assert repr(log)


def test_rest_pressure_is_held_against_the_barometer(tmp_path: Path) -> None:
    rpm = np.concatenate([np.zeros(6), RPM])
    columns = (
        ("Engine speed [rpm]", rpm, 0),
        ("Observed torque [Nm]", np.concatenate([np.zeros(6), TORQUE]), 1),
        ("MAP [kPa abs]", np.concatenate([np.full(6, 93.0), MAP]), 2),
    )
    log = Log(columns, above="Barometer: 100 kPa\n").read(tmp_path)
    found = [f for f in log.all_findings if "at rest" in f]
    assert any("7.00 kPa below the barometer (lines 3-8)" in f for f in found), found


def test_nothing_is_found_in_a_clean_log(tmp_path: Path) -> None:
    power = ("Observed power [kW]", TORQUE * RPM * RAD / 1e3, 3)
    assert Log((*PLAIN, power)).read(tmp_path).all_findings == ()


def test_a_file_of_half_a_gigabyte_is_refused_without_being_read(tmp_path: Path) -> None:
    path = tmp_path / "log.csv"
    with path.open("wb") as file:
        file.write(TEXT.encode())
        file.truncate(500 * 2**20)  # sparse: it takes no room on the disk
    with pytest.raises(InputError, match=r"log.csv.* it has 500 MiB, the most is 128"):
        read_pulls(path)
    assert LARGEST_LOG == 128 * 2**20


def test_what_is_no_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no such file"):
        read_pulls(tmp_path / "none.csv")
    with pytest.raises(InputError, match="it is a directory"):
        read_pulls(tmp_path)


def test_a_wrong_delimiter_given_is_refused(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"log.csv:1: mapping = delimiter \";\""):
        Log().read(tmp_path, {"delimiter": ";"})


def test_every_open_question_is_told_at_once_and_guessing_never_refuses(tmp_path: Path) -> None:
    columns = (PLAIN[0], ("Torque", TORQUE, 1), ("Manifold pressure [psi]", 14.5 + MAP / 10, 2))
    path = Log(columns).write(tmp_path)
    guessed = guess_mapping(path)
    assert len(guessed.questions) == 3
    with pytest.raises(InputError) as refused:
        read_pulls(path)
    assert str(refused.value).split("\n") == list(guessed.questions)
    answers: Callable[[], object] = lambda: read_pulls(  # noqa: E731
        path,
        {
            "power_basis": "observed",
            "columns": {
                "torque": {"unit": "Nm"},
                "plenum_pressure": {"reference": "absolute"},
            },
        },
    )
    answers()
