"""The recipe page: a part to paste into her own page (`recipe_part`), and a whole page to look at (`preview_page`)."""

from html import escape

from plateside.deliver import times
from plateside.deliver.renditions import ShotFiles
from plateside.deliver.rights import Rights
from plateside.model.shoot import Recipe, Step
from plateside.paper.page_words import PageWords, page_words
from plateside.paper.picture_element import page_rendition, picture_element
from plateside.paper.structured import Structured, main_shot


def recipe_part(recipe: Recipe, shots: list[ShotFiles], rights: Rights, structured: Structured) -> str:
    """The article with its pictures, and the structured data: valid inside any body."""
    said = page_words(rights.language)
    main = main_shot(shots)
    others = [s for s in shots if s is not main and s.on_page]
    steps_shown = [s for s in others if s.shot.role == "step"]
    gallery = [s for s in others if s.shot.role != "step"]
    parts = ['<article class="recipe">', "  <header>", f"    <h1>{escape(recipe.title)}</h1>"]
    if recipe.description:
        parts.append(f'    <p class="lead">{escape(recipe.description)}</p>')
    parts.append("  </header>")
    if main is not None:
        parts.append(_figure(main, first=True))
    parts += _facts(recipe, said)
    if recipe.ingredients:
        parts += ['  <section class="ingredients">', f"    <h2>{said.ingredients}</h2>", "    <ul>"]
        parts += [f"      <li>{escape(line)}</li>" for line in recipe.ingredients]
        parts += ["    </ul>", *_allergens(recipe, said), "  </section>"]
    else:
        parts += _allergens(recipe, said)
    if recipe.steps:
        parts += ['  <section class="method">', f"    <h2>{said.method}</h2>", "    <ol>"]
        parts += [_step(step) for step in recipe.steps]
        parts += ["    </ol>"]
        parts += [_figure(shot) for shot in steps_shown]
        parts += ["  </section>"]
        steps_shown = []
    rest = [*steps_shown, *gallery]
    if rest:
        parts += [
            f'  <section class="pictures" aria-label="{said.pictures}">',
            *[_figure(shot) for shot in rest],
        ]
        parts += ["  </section>"]
    parts += [_credits(rights, said), "</article>"]
    parts += ['<script type="application/ld+json">', structured.text(), "</script>"]
    return "\n".join(parts) + "\n"


def preview_page(recipe: Recipe, part: str, rights: Rights, css: str, remark: str = "") -> str:
    """A whole page around the part: to look at, or to publish as it is."""
    note = f'<p class="remark">{escape(remark)}</p>\n' if remark else ""
    described = (
        f'<meta name="description" content="{escape(recipe.description)}">\n' if recipe.description else ""
    )
    return (
        f'<!DOCTYPE html>\n<html lang="{escape(rights.language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{escape(recipe.title)}</title>\n{described}<style>\n{css}</style>\n</head>\n<body>\n{note}"
        f"<main>\n{part}</main>\n</body>\n</html>\n"
    )


def _figure(shot: ShotFiles, first: bool = False) -> str:
    rendition = page_rendition(shot)
    portrait = rendition is not None and rendition.height_px > rendition.width_px
    kind = "main" if first else "portrait" if portrait else "landscape"
    lines = [f'    <figure class="{kind}">', picture_element(shot, first, "      ")]
    if shot.shot.caption or shot.words.description not in (shot.words.title, ""):
        caption = shot.shot.caption
        if caption:
            lines.append(f"      <figcaption>{escape(caption)}</figcaption>")
    return "\n".join([*lines, "    </figure>"])


def _facts(recipe: Recipe, said: PageWords) -> list[str]:
    hands_s = sum(times.seconds(s.takes) for s in recipe.steps if s.hands)
    total_s = sum(times.seconds(s.takes) for s in recipe.steps)
    facts = [(said.serves, recipe.serves)]
    if recipe.steps:
        facts += [(said.hands_on, times.spoken(hands_s)), (said.in_all, times.spoken(total_s))]
    facts = [(name, value) for name, value in facts if value]
    if not facts:
        return []
    rows = [f"    <div><dt>{name}</dt><dd>{escape(value)}</dd></div>" for name, value in facts]
    return ['  <dl class="facts">', *rows, "  </dl>"]


def _allergens(recipe: Recipe, said: PageWords) -> list[str]:
    """What is in it, never what it is free from: no program can know that."""
    if not recipe.allergens:
        return []
    return [
        f'    <p class="contains"><strong>{said.contains}</strong> {escape(", ".join(recipe.allergens))}.</p>'
    ]


def _step(step: Step) -> str:
    text = step.text or step.name[:1].upper() + step.name[1:]
    length_s = times.seconds(step.takes)
    takes = f'<span class="takes">{times.spoken(length_s)}</span>'
    return f'      <li><span class="text">{escape(text)}</span> {takes}</li>'


def _credits(rights: Rights, said: PageWords) -> str:
    sentences = [f"{said.photographs} {escape(rights.credit)}.", f"{escape(rights.copyright)}."]
    links = []
    if rights.usage_terms:
        sentences.append(f"{escape(rights.usage_terms.rstrip('.'))}.")
    if rights.licence_url:
        links.append(f'<a rel="license" href="{escape(rights.licence_url)}">{said.licence}</a>')
    if rights.acquire_url:
        links.append(f'<a href="{escape(rights.acquire_url)}">{said.acquire}</a>')
    said_so = f"<p>{' '.join(sentences)}</p>"
    return (
        f"  <footer>{said_so}<p>{' · '.join(links)}</p></footer>"
        if links
        else f"  <footer>{said_so}</footer>"
    )
