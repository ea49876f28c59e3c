"""No photograph of a person who can be recognised, and no business's name, in what is tested, measured or shipped.

scikit-image's pictures of people: astronaut (a portrait), camera (a photographer in profile), lfw_subset (faces). Its
`coffee` was given by a café: the picture is free, the name is not needed.
"""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[3]
FOLDERS = ("src", "tests", "bench", "scripts")
PEOPLE = {"astronaut", "camera", "lfw_subset", "lbp_frontal_face_cascade_filename"}
OTHERS = {"chelsea", "coffee", "rocket", "brick", "grass", "gravel", "coins", "moon", "retina"}


def may_name_one(text: str) -> bool:
    """Whether a source is worth parsing for them."""
    return any(name in text for name in PEOPLE) and any(
        sign in text for sign in ("data", "photograph", *OTHERS)
    )


def photographs_named(tree: ast.AST) -> Iterator[str]:
    """Names of scikit-image's pictures: `data.x`, `photograph("x")`, and lists that hold other pictures' names."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and node.value.id == "data":
            yield node.attr
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "photograph":
            yield from (
                a.value for a in node.args if isinstance(a, ast.Constant) and isinstance(a.value, str)
            )
        if isinstance(node, ast.Tuple | ast.List):
            words = {e.value for e in node.elts if isinstance(e, ast.Constant) and isinstance(e.value, str)}
            if words & OTHERS:
                yield from words


@pytest.mark.parametrize("folder", FOLDERS)
def test_no_picture_of_a_person_is_used(folder: str) -> None:
    here = Path(__file__).name
    files = [p for p in (ROOT / folder).rglob("*.py") if p.name != here]
    assert files
    found = {
        (path.name, name)
        for path in files
        if may_name_one(text := path.read_text(encoding="utf-8"))
        for name in photographs_named(ast.parse(text))
        if name in PEOPLE
    }
    assert not found


def test_no_giver_of_a_picture_is_named() -> None:
    # the name in scikit-image's own list of pictures, put together so that this file does not hold it either
    name = "".join(("pik", "olo"))
    kinds = ("*.py", "*.md", "*.toml", "*.html", "*.js")
    named = [p for d in (*FOLDERS, "docs") for kind in kinds for p in (ROOT / d).rglob(kind)]
    assert [p.name for p in named if name in p.read_text(encoding="utf-8").casefold()] == []
