"""Sections of a sheet as HTML. Every word is escaped here; drawings are SVG of ours, whose words are."""

from collections.abc import Sequence
from html import escape

from plateside.paper.sections import (
    Beside,
    Blanks,
    Drawing,
    Drawings,
    Facts,
    Heading,
    Items,
    Run,
    RunRow,
    Section,
    Settings,
    ShotSheet,
    Table,
    Text,
)
from plateside.paper.shot_card_style import CSS

_BLANK = '<span class="line"></span>'
_OF_ROLE = {"": "", "lead": ' class="lead num"', "soft": ' class="soft"', "caution": ' class="caution"'}


def page(title: str, sections: Sequence[Section], language: str = "en") -> str:
    """A whole HTML document."""
    return (
        f'<!doctype html>\n<html lang="{escape(language, quote=True)}"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width, initial-scale=1"><title>{escape(title)}</title>'
        f"<style>{CSS}</style></head><body><main>{inside(sections)}</main></body></html>\n"
    )


def inside(sections: Sequence[Section]) -> str:
    """The same without the document around it."""
    return "".join(_section(each) for each in sections)


def _section(section: Section) -> str:
    match section:
        case Heading(words, level, small):
            return f"<h{level}{' class=sub' if small else ''}>{escape(words)}</h{level}>"
        case Text(words, role):
            return f"<p{_OF_ROLE[role]}>{escape(words)}</p>"
        case Facts(rows):
            cells = "".join(f"<div><dt>{escape(k)}</dt><dd>{escape(v)}</dd></div>" for k, v in rows)
            return f'<dl class="num">{cells}</dl>'
        case Settings(words_of_each):
            spans = "<i>/</i>".join(f"<span>{escape(w)}</span>" for w in words_of_each)
            return f'<p class="settings num">{spans}</p>'
        case Drawing():
            return _figure(section, ' class="bar"')
        case Drawings(drawings):
            return f'<div class="drawings">{"".join(_figure(d) for d in drawings)}</div>'
        case Items(items, columns):
            listed = "".join(f"<li{' class=mind' if i.mind else ''}>{escape(i.words)}</li>" for i in items)
            return f"<ul{' class=two' if columns == 2 else ''}>{listed}</ul>"
        case Beside(left, right):
            return f'<div class="two"><div>{inside(left)}</div><div>{inside(right)}</div></div>'
        case Run():
            return _run(section)
        case Table():
            return _table(section)
        case Blanks(labels):
            blanks = " &nbsp; ".join(f"{escape(label)} {_BLANK}" for label in labels)
            return f"<p>{blanks}</p>"
        case ShotSheet(shot, each):
            return f'<section class="card" id="{escape(shot, quote=True)}">{inside(each)}</section>'


def _figure(drawing: Drawing, kind: str = "") -> str:
    caption = f"<figcaption>{escape(drawing.caption)}</figcaption>" if drawing.caption else ""
    return f"<figure{kind}>{caption}{drawing.svg}</figure>"


def _run(run: Run) -> str:
    time, what, how = (escape(h) for h in run.head)
    return (
        f"<table class=run><thead><tr><th>{time}</th><th>{what}</th><th class=wide>{how}</th></tr></thead><tbody>"
        f"{''.join(_run_row(row) for row in run.rows)}</tbody></table>"
    )


def _run_row(row: RunRow) -> str:
    name, note, words = escape(row.name), escape(row.note), escape(row.words)
    if row.kind == "cook":
        kind, what, how = "cook", name, f'<td class="wide soft">{words}</td>'
    elif row.kind == "shot":
        strong = f"<p class=num><strong>{escape(row.strong)}</strong></p>" if row.strong else ""
        kind, what = "shot", f"<h3>{name}</h3><p>{note}</p>"
        how = f'<td class="wide">{strong}{f"<p>{words}</p>" if words else ""}</td>'
    else:
        kind, what = "shot hero", f"<strong>{name}</strong>: {note}"
        how = f'<td class="wide num">{words}</td>'
    return f'<tr class="{kind}"><td class=when>{escape(row.when)}</td><td>{what}</td>{how}</tr>{_minds(row.minds)}'


def _minds(minds: Sequence[str]) -> str:
    """What to mind, under its row and over the whole width of it."""
    if not minds:
        return ""
    items = "".join(f'<li class="mind">{escape(m)}</li>' for m in minds)
    return f'<tr class="shot minds"><td></td><td colspan="2"><ul>{items}</ul></td></tr>'


def _table(table: Table) -> str:
    def cell(words: str, short: str) -> str:
        said = f' data-is="{escape(short, quote=True)}"' if short else ""
        return f"<td{said}>{escape(words)}</td>"

    head = "".join(f"<th>{escape(h)}</th>" for h in table.head)
    rows = "".join(
        f"<tr>{''.join(cell(c, s) for c, s in zip(row, table.short, strict=True))}</tr>" for row in table.rows
    )
    return f"<table class=num><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
