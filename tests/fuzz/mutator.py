"""Text files changed at random: gently, as a builder edits them, or harshly, as accidents do.

A seed gives the same text on every machine, so that a finding is told by its number.
"""

from __future__ import annotations

import random
import re
from collections.abc import Callable

_NUMBER = re.compile(r"(?<![\w.])[-+]?\d+(?:\.\d+)?(?:[eE][-+]?\d+)?(?![\w.])")
_PAIR = re.compile(r"^(\s*[\w.]+\s*=\s*)(.+?)(\s*(?:#.*)?)$")
#: What nobody means to type, as values of a TOML file or cells of a table.
ODD_VALUES = (
    "0", "-0.0", "-1", "1e-300", "1e300", "1e400", "nan", "inf", "-inf", "true", '""', '" "', "[]",
    "[[]]", "{}", "[1, [2]]", "1979-05-27", "9" * 30, "0x7fffffffffffffff", '"nan psi"', "'1_0 mm'",
    '"1 1/8 in"', '"4,125 in"', '"-5 %"', '"7 %%"', '"3 m^99"', '"3 m^m"', '"3 m^(1/3)"', '"3 /"',
    '"3 dB"', '"3 degC/degF"', '"1e308 in"', '"\\u202e3 in"', '"3 \\u00b5m"', '"9 furlong"',
    '"+3 psig"', '"3 psi"', '"3 psia"', '"25 degC"', '"300 K"', '"5000 rpm"', '"1 lb/min"', '"x"',
)  # fmt: skip
ODD_CELLS = ("", "nan", "-", "1e999", "-3", "0", "1,5", "12:30", "#REF!", "\x00", "٣", "1e-320")
_UNITS = ("mm", "cm", "in", "m", "psi", "psia", "kPa", "inHg", "degF", "degC", "K", "rpm", "lb/min",
          "kg/s", "%", "deg", "rad", "in^2", "cm^2", "cm^3", "in^3", "L", "N m", "")  # fmt: skip
_JUNK = ("\t", "\r", "\ufeff", "\u2028", "\u202e", "\x1b[31m", "$", "%s", "{0}", "'", '"', "]", "=",
         "é", "𝛑", "\\", "\x7f")  # fmt: skip


class Mutator:
    """Changes of a text, drawn from a seed."""

    def __init__(self, seed: int) -> None:
        self.draw = random.Random(seed)

    def build(self, text: str) -> str:
        """A build file changed: gently three times in four."""
        gentle = (self._near, self._near, self._near, self._without_table, self._shuffled_tables,
                  self._remark)  # fmt: skip
        harsh = (self._odd_value, self._other_unit, self._scaled, self._lost_line, self._twice,
                 self._typo, self._junk, self._cut, self._swapped)  # fmt: skip
        return self._changed(text, gentle if self.draw.random() < 0.75 else harsh)

    def table(self, text: str) -> str:
        """Rows of cells changed: gently two times in three."""
        gentle = (self._near_cell, self._near_cell, self._remark, self._lost_row)
        harsh = (self._odd_cell, self._scaled, self._twice, self._swapped, self._junk, self._cut,
                 self._lost_line, self._lost_cell)  # fmt: skip
        return self._changed(text, gentle if self.draw.random() < 0.67 else harsh)

    def kept(self, text: str) -> str:
        """A file that the package wrote, tampered with: gently two times in three."""
        gentle = (self._near, self._near, self._near_cell, self._remark)
        harsh = (self._odd_value, self._scaled, self._lost_line, self._twice, self._typo,
                 self._junk, self._cut, self._swapped, self._odd_number, self._odd_number,
                 self._lost_cell)  # fmt: skip
        return self._changed(text, gentle if self.draw.random() < 0.67 else harsh)

    def _changed(self, text: str, ways: tuple[Callable[[str], str], ...]) -> str:
        for _ in range(self.draw.choice((1, 1, 2, 3))):
            text = self.draw.choice(ways)(text)
        return text

    def _number(self, text: str, change: Callable[[str], str], spare_remarks: bool = True) -> str:
        found = [m for m in _NUMBER.finditer(text) if not spare_remarks or not _in_remark(text, m)]
        if not found:
            return text
        one = self.draw.choice(found)
        return text[: one.start()] + change(one[0]) + text[one.end() :]

    def _near(self, text: str) -> str:
        """One number off by some per cent; whole numbers stay whole."""

        def near(old: str) -> str:
            value = float(old) * self.draw.lognormvariate(0.0, 0.05)
            return str(round(value)) if re.fullmatch(r"[-+]?\d+", old) else f"{value:.4g}"

        return self._number(text, near)

    def _near_cell(self, text: str) -> str:
        return self._number(
            text, lambda old: f"{float(old) * self.draw.lognormvariate(0.0, 0.004):.6g}"
        )

    def _scaled(self, text: str) -> str:
        factor = self.draw.choice((0.01, 100.0, 25.4, 1 / 25.4, -1.0, 6.895, 1e3, 0.1, 10.0, 0.0))
        return self._number(text, lambda old: f"{float(old) * factor:.6g}")

    def _odd_number(self, text: str) -> str:
        odd = self.draw.choice((*ODD_VALUES, "Infinity", "NaN", "null", "-Infinity"))
        return self._number(text, lambda _: odd)

    def _odd_value(self, text: str) -> str:
        lines = text.split("\n")
        pairs = [i for i, line in enumerate(lines) if _PAIR.match(line)]
        if not pairs:
            return text
        i = self.draw.choice(pairs)
        lines[i] = _PAIR.sub(lambda m: m[1] + self.draw.choice(ODD_VALUES) + m[3], lines[i])
        return "\n".join(lines)

    def _odd_cell(self, text: str) -> str:
        return self._number(text, lambda _: self.draw.choice(ODD_CELLS))

    def _other_unit(self, text: str) -> str:
        quoted = list(re.finditer(r'"([-+\d.eE]+) ([^"]*)"', text))
        if not quoted:
            return text
        one = self.draw.choice(quoted)
        return f'{text[: one.start()]}"{one[1]} {self.draw.choice(_UNITS)}"{text[one.end() :]}'

    def _line(self, text: str, change: Callable[[str], list[str]]) -> str:
        lines = text.split("\n")
        i = self.draw.randrange(len(lines))
        return "\n".join([*lines[:i], *change(lines[i]), *lines[i + 1 :]])

    def _lost_line(self, text: str) -> str:
        return self._line(text, lambda _: [])

    def _lost_row(self, text: str) -> str:
        lines = text.split("\n")
        rows = [i for i, line in enumerate(lines) if re.match(r"[\d.]+[,;\t]", line)]
        if len(rows) > 20:
            del lines[self.draw.choice(rows)]
        return "\n".join(lines)

    def _lost_cell(self, text: str) -> str:
        return self._line(text, lambda line: [re.sub(r"[,;\t][^,;\t]*$", "", line)])

    def _twice(self, text: str) -> str:
        return self._line(text, lambda line: [line, line])

    def _remark(self, text: str) -> str:
        word = self.draw.choice(("# cam swapped?", "", "# 50 % more", "#"))
        return self._line(text, lambda line: [word, line] if not line.startswith("[") else [line])

    def _typo(self, text: str) -> str:
        i = self.draw.randrange(max(len(text), 1))
        return text[:i] + text[i + 1 :]

    def _junk(self, text: str) -> str:
        i = self.draw.randrange(len(text) + 1)
        return text[:i] + self.draw.choice(_JUNK) + text[i:]

    def _cut(self, text: str) -> str:
        return text[: self.draw.randrange(len(text) + 1)]

    def _swapped(self, text: str) -> str:
        found = list(_NUMBER.finditer(text))
        if len(found) < 2:
            return text
        a, b = sorted(self.draw.sample(range(len(found)), 2))
        one, two = found[a], found[b]
        return (text[: one.start()] + two[0] + text[one.end() : two.start()] + one[0]
                + text[two.end() :])  # fmt: skip

    def _tables(self, text: str) -> tuple[str, list[str]]:
        parts = re.split(r"(?m)^(?=\[)", text)
        return parts[0], parts[1:]

    def _without_table(self, text: str) -> str:
        head, tables = self._tables(text)
        spare = ("[scoop]", "[report]", "[discharge]", "[charge_duct]", "[throttle]",
                 "[combustion]", "[exhaust]")  # fmt: skip
        optional = [i for i, table in enumerate(tables) if table.startswith(spare)]
        if optional:
            del tables[self.draw.choice(optional)]
        return head + "".join(tables)

    def _shuffled_tables(self, text: str) -> str:
        """Whole tables in another order; those of one name keep theirs."""
        head, tables = self._tables(text)
        groups: dict[str, list[str]] = {}
        for table in tables:
            name = re.match(r"\[+([\w]+)", table)
            groups.setdefault(name[1] if name else "", []).append(
                table if table.endswith("\n") else table + "\n"
            )
        rows = list(groups.values())
        self.draw.shuffle(rows)
        return head + "".join(table for row in rows for table in row)


def _in_remark(text: str, match: re.Match[str]) -> bool:
    line = text[text.rfind("\n", 0, match.start()) + 1 : match.start()]
    return "#" in line
