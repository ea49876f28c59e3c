"""A finished picture says who made it, when, and what was done to it: read by exiftool."""

import json
import os
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

from plateside.files.journal.journal import Journal
from plateside.files.originals.identity import content_hash
from plateside.tasks.finish.series import finish
from tests.shoots.re_lit import make_shoot
from tests.synthetic.dng import write_dng

pytestmark = pytest.mark.skipif(
    shutil.which("exiftool") is None and not os.environ.get("CI"), reason="exiftool is not installed"
)


@pytest.mark.parametrize("kind", ["tiff", "jpeg"])
def test_maker_rights_date_and_history_are_in_the_file_and_made_again_it_is_the_same(
    tmp_path: Path, kind: str
) -> None:
    root = make_shoot(tmp_path / "s", shots=())
    raw = root / "frames" / "IMG 0.dng"
    write_dng(raw, np.full((64, 96, 3), 0.1), taken="2027:07-15 13:00:00")
    rows = [
        ("frame landed", {"frame": content_hash(raw), "name": raw.name}),
        ("select", {"shot": "cup", "frame": content_hash(raw)}),
    ]
    Journal.open(root).append_many(rows)
    one = finish(root, kind).finished[0]
    path = root / "finished" / one.file
    told = subprocess.run(
        ["exiftool", "-j", "-G1", "-struct", str(path)], capture_output=True, text=True, check=True
    )
    tags = json.loads(told.stdout)[0]
    assert tags["XMP-dc:Creator"] == ["A. Cook"]
    assert "2027" in str(tags["XMP-dc:Rights"])
    assert "Ask first" in str(tags["XMP-xmpRights:UsageTerms"])
    done = [event["Parameters"] for event in tags["XMP-xmpMM:History"]]
    assert any("IMG 0" in line for line in done)
    assert len(done) == 3
    assert tags["XMP-photoshop:DateCreated"] == "2027:07:15 13:00:00"
    assert "ICC-header:ProfileConnectionSpace" in tags
    assert not any(name.startswith("GPS") for name in tags)
    before = path.read_bytes()
    path.unlink()
    finish(root, kind)
    assert path.read_bytes() == before
