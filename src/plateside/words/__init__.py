"""What Plateside says: facts in, sentences out. Pure, and tested by table (tests/unit/words).

Everything that people read in English stands here, in a template's fixed labels, or beside the field it names in
model. Commands, pages and papers choose which of these sentences to show; they decide nothing and say nothing more.

A module a stage (`light`, a package of modules where one would pass 400 lines), and what all stages share:

    counting    plurals, lists, figures, stops, times of the day, dates
    units       lengths and temperatures, in the units that the studio asks for
    commands    a command as it can be copied and typed

How a stage's words are written
    * A function takes facts (a core's frozen answer, or a task's own dataclass) and gives back `str` or `list[str]`.
      It reads no file and no clock: what time it is, and what units to use, are arguments.
    * The name says what the sentence is about: `sun_sentence(light)` is one whole sentence, `moment_lines(...)`
      several, one fact a line, `needs_phrase(needs)` a part of a sentence: no capital, no full stop.
    * The verdict first, then the number, then the reason. *You*, never 'she' or 'one'. Present tense, one idea a
      sentence.
    * Nobody reads a sentence to learn a fact. What a page styles, sorts or hides by, it gets as a code beside the
      sentence: `Said("dark", "Too dark to shoot.")`, `Row("light", "Light on the table", "about 480 lx (300-750)")`,
      and the code is a fact's own name.
    * A choice between sentences is a table from code to sentence where it can be one, so that all can be read together.
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Said:
    """A sentence with the code that a page styles it by, and a test asks for."""

    code: str
    words: str


@dataclass(frozen=True)
class Row:
    """One fact by its name, without a full stop: a row of a page's list, or 'Name: value.' as a command's line."""

    code: str
    name: str
    value: str

    @property
    def line(self) -> str:
        """'Light on the table: about 4300 lx (2200-7900).'"""
        return f"{self.name}: {self.value}."
