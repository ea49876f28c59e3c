"""No function is over 80 lines or takes more than 10 parameters unless a reason is written here."""

import ast
from collections.abc import Iterator
from pathlib import Path

SOURCE = Path(__file__).parents[3] / "src" / "plateside"
MOST_LINES, MOST_PARAMETERS = 80, 10

LISTS = "a list: one statement a thing, no branches to part it by"
OPTIONS = (
    "options that stand by keyword, each with a usual value; a holder for them would only be unpacked again"
)
REASONS = {
    "cli/verbs/light.py add_arguments": LISTS,
    "demo/camera/frame.py make_frame": "one frame from glass to file in the camera's own order",
    "demo/camera/photo.py scene_from_photo": OPTIONS,
    "drawing/kit.py document": OPTIONS,
    "drawing/setup_side.py side_view": "a drawing from back to front: what comes later covers what came before",
    "files/journal/state.py _apply": "one branch for each kind of decision, none of them long",
    "light/moment.py light_at": OPTIONS,
    "picture/shapes/cakes.py tart": LISTS,
    "picture/shapes/cakes.py stack": LISTS,
    "plan/camera_needs.py needs_of": "each camera need hangs on the ones found before it",
    "plan/setup.py _set_up": "each choice of the set-up hangs on the ones made before it",
    "tasks/plan/picture.py draw_picture": OPTIONS,
}


def functions(text: str) -> Iterator[tuple[str, int, int]]:
    """Name, lines and parameters (without self) of every function in a source."""
    for node in ast.walk(ast.parse(text)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            a = node.args
            names = [one.arg for one in (*a.posonlyargs, *a.args, *a.kwonlyargs)]
            names += [one.arg for one in (a.vararg, a.kwarg) if one is not None]
            parameters = len([name for name in names if name not in ("self", "cls")])
            yield node.name, (node.end_lineno or node.lineno) - node.lineno + 1, parameters


def test_a_long_function_has_a_reason() -> None:
    found = [
        (path.relative_to(SOURCE).as_posix(), *one)
        for path in sorted(SOURCE.rglob("*.py"))
        for one in functions(path.read_text(encoding="utf-8"))
    ]
    assert len(found) > 3000
    long = {f"{p} {name}" for p, name, lines, n in found if lines > MOST_LINES or n > MOST_PARAMETERS}
    assert long == set(REASONS)


def test_the_count_takes_every_kind_of_parameter() -> None:
    text = "class A:\n    def f(self, a, /, b, *c, d=1, **e):\n        pass\n"
    assert list(functions(text)) == [("f", 2, 5)]
