"""The call sheet as a PDF: the sections of the printed page, set on paper.

`print_call_sheet`   of a shoot's planned day
`set_on_paper`       of a sheet that is made already
"""

import re
from dataclasses import dataclass
from pathlib import Path

from plateside.files.atomic import write_bytes
from plateside.files.printing import make_pdf
from plateside.model.progress import Progress, silent
from plateside.model.studio import Studio
from plateside.paper.sections import as_data
from plateside.tasks.plan.planned import Memory, Sheet, whole_sheet, work_out

_LETTER = ("US", "CA", "MX")
"""Where paper is cut to Letter, not to A4 (ISO 216)."""


@dataclass(frozen=True)
class PrintedSheet:
    """A call sheet made."""

    path: str
    paper: str


def print_call_sheet(root: Path, memory: Memory, out: Path, progress: Progress = silent) -> PrintedSheet:
    """Write the day's call sheet with every card. Raises as `work_out`."""
    worked = work_out(root, memory, progress)
    return set_on_paper(
        whole_sheet(worked.opened, worked.planned.day, worked.set_ups), worked.opened.studio, out
    )


def set_on_paper(sheet: Sheet, studio: Studio, out: Path) -> PrintedSheet:
    """Write a sheet as a PDF, on the paper of the studio's country. Raises CouldNotError when the disk refuses."""
    letter = studio.place.country.strip().upper() in _LETTER
    language = sheet.language.split("-")[0].lower()
    data = {
        "sections": as_data(sheet.sections),
        "title": sheet.title,
        "language": language if re.fullmatch("[a-z]{2,3}", language) else "en",
        "paper": "us-letter" if letter else "a4",
    }
    write_bytes(out, make_pdf("call-sheet.typ", data))
    return PrintedSheet(str(out), "Letter" if letter else "A4")
