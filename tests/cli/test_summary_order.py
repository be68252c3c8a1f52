"""The demo's summary says which lists did not get the order they asked for."""

from __future__ import annotations

import attrs

from patchloom.cli.summary import _lists
from patchloom.model.patch import Route, Setting
from patchloom.model.show import List, Show


def test_a_list_in_another_order_is_named() -> None:
    """A list whose order could not be kept is named in the summary; without such a note every list is in its own order."""
    show = Show(lists=(List(id="foh", position="foh", at="FOH.ch"), List(id="rec", position="rec", at="REC.track")))
    setting = Setting(routes=(Route(leg="vox", to="foh"), Route(leg="vox", to="rec")))
    assert _lists(show, setting) == ["delivered  foh 1, rec 1 (legs, each list in its own order)"]
    noted = attrs.evolve(setting, notes=("The order of rec could not be kept as written: vox on 9 instead of 1.",))
    assert _lists(show, noted) == ["delivered  foh 1, rec 1 (legs, each in its own order, rec in the nearest that exists)"]
