"""A machine that stops in the middle leaves the store as it was before, or with the work complete: nothing between."""

import os
from pathlib import Path

import pytest

from pipeline.store.connection import Store
from pipeline.store.verify import verify_store
from tests.kill.killing import contents, copy_of, do_whole, kill_after, moments
from tests.kill.work import WORK

# Forty make the two hundred of all five; a run that decides about a change has time for a few.
MOMENTS = int(os.environ.get("BARRIERBOOK_KILL_MOMENTS", "4"))


@pytest.mark.parametrize("name", WORK)
def test_killed_at_any_moment_the_store_is_as_before_or_complete(name: str, tmp_path: Path) -> None:
    WORK[name].prepare(tmp_path / "before")
    before = contents(tmp_path / "before")
    seconds = min(do_whole(name, copy_of(tmp_path / "before", tmp_path / "whole")) for _ in range(2))
    complete = contents(tmp_path / "whole")
    assert before != complete
    left = []
    for moment in moments(seconds, MOMENTS, seed=name):
        killed = copy_of(tmp_path / "before", tmp_path / "killed")
        kill_after(moment, name, killed)
        left.append(contents(killed))
        assert left[-1] in (before, complete), f"killed after {moment:.3f} of {seconds:.3f} s"
        assert verify_store(Store(killed)).faults == ()
        if left[-1] == before:
            last_unfinished = copy_of(killed, tmp_path / "unfinished")
    assert before in left
    do_whole(name, last_unfinished)
    assert contents(last_unfinished) == complete
