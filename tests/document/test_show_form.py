"""A show's short form and what becomes of it."""

from __future__ import annotations

import copy
import json
import pathlib

import pytest

from patchloom import document
from patchloom.errors import DocumentError
from patchloom.model.base import build, dump
from patchloom.model.show import Show

BAD = pathlib.Path(__file__).parent / "bad"
SHOW = json.loads((BAD / "good-show.json").read_text(encoding="utf-8"))
SOURCES = [
    {"ids": ["kick", "vox{1-3}"], "tags": "live"},
    {"id": "keys", "legs": ["L", "R"], "tags": ["live", "stereo"]},
    {"id": "click", "tags": ["private"]},
]


def show(**changes):
    made = {"format": "show/1", "sources": SOURCES} | changes
    return document.read(copy.deepcopy(made), "show").data


def complaints(**changes):
    with pytest.raises(DocumentError) as caught:
        show(**changes)
    return [(row.kind, row.path) for row in caught.value.complaints]


def wants(value, **more):
    made = show(lists=[{"position": "foh", "at": "FOH.ch", "wants": value, **more}], sets=more.pop("sets", {}))
    return [want and want["signal"] + ("." + want["leg"] if "leg" in want else "") for want in made["lists"][0].get("wants", [])]


def of(value, **more):
    made = show(
        feeds=[{"id": "pa", "mixed_at": "foh", "of": value, **more}],
        sets={"vocals": "vox{1-3}", "band": ["kick", "vocals", "keys"]},
    )
    return made["feeds"][0]["of"]


def test_the_expanded_form_is_what_the_model_dumps():
    """Building the model from expanded data and dumping it changes nothing, and reading that again neither."""
    data = document.read(SHOW, "show").data
    assert dump(build(Show, data)) == data
    assert document.read(data, "show").data == data
    assert "sets" not in data


def test_sources_speak_for_many():
    """A row with `ids` is one source each; a text is a source with nothing else; names zip with the ids."""
    data = show(sources=["kick", {"ids": ["vox{1-2}"], "name": "Vocal {1-2}", "notes": "a {b} c", "phantom": "no"}])
    assert data["sources"] == [
        {"id": "kick"},
        {"id": "vox1", "name": "Vocal 1", "phantom": "no", "notes": "a {b} c"},
        {"id": "vox2", "name": "Vocal 2", "phantom": "no", "notes": "a {b} c"},
    ]
    assert complaints(sources=[{"ids": ["vox{1-3}"], "name": "Vocal {1-2}"}]) == [("unequal", "$.sources[0].name")]


def test_names_of_signals():
    """Braces, legs, sets in sets, tags, `all` and `{of, not}` all name signals, in order, each once."""
    assert of("vox{1-2}") == ["vox1", "vox2"]
    assert of(["band", "vox1", "keys.L"]) == ["kick", "vox1", "vox2", "vox3", "keys", "keys.L"]
    assert of("all") == ["kick", "vox1", "vox2", "vox3", "keys", "click"]
    assert of("tag:live") == ["kick", "vox1", "vox2", "vox3", "keys"]
    assert of("all", **{"not": ["tag:private", "vocals"]}) == ["kick", "keys"]
    assert of({"of": "band", "not": "keys.L"}) == ["kick", "vox1", "vox2", "vox3", "keys.R"]
    assert of([{"of": "all", "not": "band"}, "kick"]) == ["click", "kick"]


def test_absent_contents_stay_unknown_and_empty_ones_empty():
    """No `of` is unknown; an empty one is known to be empty."""
    assert "of" not in show(feeds=[{"id": "pa", "mixed_at": "foh"}])["feeds"][0]
    assert of([]) == []


def test_wants_are_one_each():
    """Entries are texts, objects, null; legs, sets and `not` work; an object may speak for many."""
    assert wants(["kick", None, "keys.R", "vox{1-2}"]) == ["kick", None, "keys.R", "vox1", "vox2"]
    assert wants("all", **{"not": ["keys.L", "click"]}) == ["kick", "vox1", "vox2", "vox3", "keys.R"]
    data = show(
        lists=[
            {
                "position": "foh",
                "at": "FOH.ch",
                "wants": [
                    {"signals": "all", "not": ["tag:private", "vox{2-3}"], "priority": 2, "name": "In {1-3}"},
                    {"signal": "click", "channel": 9},
                ],
            }
        ]
    )
    assert data["lists"][0]["wants"] == [
        {"signal": "kick", "name": "In 1", "priority": 2},
        {"signal": "vox1", "name": "In 2", "priority": 2},
        {"signal": "keys", "name": "In 3", "priority": 2},
        {"signal": "click", "channel": 9},
    ]


def test_a_signal_is_wanted_once():
    """The same signal twice in a list is a complaint, a leg beside its whole too; its two legs are not."""
    lists = [{"position": "foh", "at": "FOH.ch", "wants": ["keys.L", "keys.R"]}]
    assert show(lists=lists)
    for twice in (["kick", "kick"], ["keys", "keys.L"], ["keys.L", "keys"], ["all", "vox1"]):
        assert complaints(lists=[lists[0] | {"wants": twice}]) == [("duplicate-id", "$.lists[0].wants[1]")]


def test_a_list_is_named_for_its_position():
    """A list without an id has its position's; a second one needs its own."""
    one = {"position": "foh", "at": "FOH.ch", "wants": []}
    assert show(lists=[one, one | {"id": "rec", "at": "REC.track"}])["lists"][0]["id"] == "foh"
    assert complaints(lists=[one, one]) == [("duplicate-id", "$.lists[1].position")]


def test_what_a_list_wants():
    """`foh.list` is everything that list wants, by list id or position id."""
    lists = [
        {"position": "foh", "at": "FOH.ch", "wants": ["vox{1-2}", "keys.L"]},
        {"id": "rec", "position": "foh", "at": "R.track", "wants": ["kick"]},
    ]
    data = show(lists=lists, feeds=[{"id": "pa", "mixed_at": "foh", "of": ["foh.list", "rec.list"], "not": "vox1"}])
    assert data["feeds"][0]["of"] == ["vox2", "keys.L", "kick"]


def test_plugs():
    """Every source of a row may choose among all of its places; each source has one row."""
    data = show(plug=[{"sources": ["vox{1-3}", "kick"], "not": "vox2", "into": ["BOX{1-2}.mic", "FOH.mic[1-4]"]}])
    assert data["plug"] == [
        {"source": name, "into": ["BOX1.mic", "BOX2.mic", "FOH.mic[1-4]"]} for name in ("vox1", "vox3", "kick")
    ]
    assert show(plug={"source": "keys.L", "into": "BOX.mic[3]"})["plug"] == [{"source": "keys.L", "into": ["BOX.mic[3]"]}]
    for second in ("kick", "all"):
        assert ("duplicate-id", "$.plug[1].sources") in complaints(
            plug=[{"source": "kick", "into": "A"}, {"sources": second, "into": "A"}]
        )


def test_each_zips_leg_by_leg():
    """Under `each`, sources meet slots one to one, every leg a slot; unequal lengths are a complaint."""
    data = show(plug=[{"each": {"sources": ["kick", "keys", "vox1"], "into": ["BOX.mic[1-3]", "BOX.mic[8]"]}}])
    assert [(row["source"], row["into"]) for row in data["plug"]] == [
        ("kick", ["BOX.mic[1]"]),
        ("keys.L", ["BOX.mic[2]"]),
        ("keys.R", ["BOX.mic[3]"]),
        ("vox1", ["BOX.mic[8]"]),
    ]
    assert complaints(plug=[{"each": {"sources": "all", "into": "BOX.mic[1-3]"}}]) == [("unequal", "$.plug[0].each.into")]
    assert complaints(plug=[{"each": {"sources": "all", "into": "BOX.mic"}}]) == [("address", "$.plug[0].each.into")]


def test_each_of_feeds():
    """Under `each`, feeds differ one to one: names as they come, destinations as many slots as the feed has legs."""
    data = show(
        feeds=[
            {"each": {"ids": "ear{1-2}", "person": ["Ann", "Bo"], "to": "PACK.in[1-4]"}, "legs": ["L", "R"], "mixed_at": "mon"}
        ]
    )
    assert data["feeds"] == [
        {"id": "ear1", "legs": ["L", "R"], "mixed_at": "mon", "to": [{"at": ["PACK.in[1-2]"]}], "person": "Ann"},
        {"id": "ear2", "legs": ["L", "R"], "mixed_at": "mon", "to": [{"at": ["PACK.in[3-4]"]}], "person": "Bo"},
    ]
    short = {"each": {"ids": "ear{1-2}", "person": ["Ann"], "to": "PACK.in[1-3]"}, "mixed_at": "mon"}
    assert complaints(feeds=[short]) == [("unequal", "$.feeds[0].each.person"), ("unequal", "$.feeds[0].each.to")]
    apart = {"each": {"ids": "ear1", "to": ["P.in[1]", "P.in[4]"]}, "legs": ["L", "R"], "mixed_at": "mon"}
    assert complaints(feeds=[apart]) == [("address", "$.feeds[0].each.to")]


@pytest.mark.parametrize(
    ("to", "wanted"),
    [
        ("A.line[1]", [["A.line[1]"]]),
        (["A.line", "B.line"], [["A.line", "B.line"]]),
        ("A{1-2}.line", [["A1.line", "A2.line"]]),
        ({"at": "A.line", "zone": "SL"}, [["A.line"]]),
        ([{"at": ["A.line", "B.line"]}, {"at": "C"}], [["A.line", "B.line"], ["C"]]),
        ([{"at": "A.line"}, "B.line"], [["A.line"], ["B.line"]]),
    ],
)
def test_destinations(to, wanted):
    """An address or a list of them is one destination with a choice; every object is a destination of its own."""
    data = show(feeds=[{"id": "pa", "mixed_at": "foh", "to": to}])
    assert [row["at"] for row in data["feeds"][0]["to"]] == wanted


def test_survival():
    """A text is what is lost; signals that may be lost with it are spelt out."""
    data = show(
        lists=[{"position": "foh", "at": "FOH.ch", "wants": "all", "survives": ["MON", {"loss_of": "K1", "except": "vox{1-2}"}]}]
    )
    assert data["lists"][0]["survives"] == [{"loss_of": "MON"}, {"loss_of": "K1", "except": ["vox1", "vox2"]}]


def test_periods():
    """Acts say what is in use by any list of names, feeds included in `all`; their lists are spelt out too."""
    data = show(
        lists=[{"position": "foh", "at": "FOH.ch", "wants": "all"}],
        feeds=[{"id": "pa", "mixed_at": "foh"}],
        periods=[
            {"id": "one", "uses": "all", "not": "vox{1-3}"},
            {"id": "two", "lists": {"foh": ["kick", None, "keys.L"]}},
            {"id": "late", "scene_of": "two", "people": {"vox{1-2}": "A. Singer"}},
        ],
    )
    assert data["periods"] == [
        {"id": "one", "uses": ["kick", "keys", "click", "pa"]},
        {"id": "two", "lists": {"foh": [{"signal": "kick"}, None, {"signal": "keys", "leg": "L"}]}},
        {"id": "late", "scene_of": "two", "people": {"vox1": "A. Singer", "vox2": "A. Singer"}},
    ]
    assert document.read(data, "show").data == data


def test_other_rows_that_speak_for_many():
    """Owners, groups, gains, wishes and rules spell their lists out."""
    data = show(
        feeds=[{"id": "pa", "mixed_at": "foh"}],
        owners={"preamps": "BOX{1-2}.mic", "owner": "foh"},
        groups={"of": "tag:live", "relation": "one-box"},
        gain={"fixed": [{"signals": ["kick", "click"], "gain_db": 20}]},
        wishes={"spare": {"at": "BOX{1-2}.mic", "count": 2, "reaching": "foh"}, "prefer": {"signals": "vox{1-2}", "at": "BOX1"}},
        routing={"id": "r", "rule": "forbid", "signals": "all", "not": "click", "at": "K{1-2}"},
        waivers={"rule": "x", "who": "A", "why": "B", "where": "kick"},
    )
    assert data["owners"] == [{"preamps": ["BOX1.mic", "BOX2.mic"], "owner": "foh"}]
    assert data["groups"][0]["of"] == ["kick", "vox1", "vox2", "vox3", "keys"]
    assert data["gain"]["fixed"][1] == {"signal": "click", "gain_db": 20}
    assert data["wishes"]["spare"] == [{"at": ["BOX1.mic", "BOX2.mic"], "count": 2, "reaching": ["foh"]}]
    assert data["wishes"]["prefer"] == [{"signals": ["vox1", "vox2"], "at": ["BOX1"]}]
    assert data["routing"][0]["signals"] == ["kick", "vox1", "vox2", "vox3", "keys"]
    assert data["routing"][0]["at"] == ["K1", "K2"]
    assert data["waivers"][0]["where"] == ["kick"]


@pytest.mark.parametrize(
    ("changes", "wanted"),
    [
        ({"sets": {"all": ["kick"]}}, ("duplicate-id", "$.sets.all")),
        ({"sets": {"kick": ["vox1"]}}, ("duplicate-id", "$.sources[0].ids[0]")),
        ({"sets": {"a": ["b"], "b": ["a"]}}, ("loop", "$.sets.a")),
        ({"sets": {"a": ["nobody"]}}, ("dangling", "$.sets.a[0]")),
        ({"sources": [{"id": "x", "legs": ["L", "L"]}]}, ("duplicate-id", "$.sources[0].legs[1]")),
        ({"sources": [{"id": "x", "spare_of": "y"}]}, ("dangling", "$.sources[0].spare_of")),
        ({"sources": [{"id": "x", "spare_of": "x"}]}, ("loop", "$.sources[0].spare_of")),
        ({"sources": [{"id": "x", "want_db": {"foh": 3}}]}, ("dangling", "$.sources[0].want_db.foh")),
        ({"feeds": [{"id": "f", "mixed_at": "foh", "not": "kick"}]}, ("conflict", "$.feeds[0].not")),
        ({"feeds": [{"id": "f", "mixed_at": "foh", "of": ["f"]}]}, ("loop", "$.feeds[0].of[0]")),
        ({"feeds": [{"id": "f", "mixed_at": "foh", "excludes": "kik"}]}, ("dangling", "$.feeds[0].excludes")),
        ({"feeds": [{"id": "f", "mixed_at": "foh", "of": "tag:none"}]}, ("dangling", "$.feeds[0].of")),
        ({"feeds": [{"id": "f", "mixed_at": "foh", "of": "keys.X"}]}, ("dangling", "$.feeds[0].of")),
        (
            {"lists": [{"position": "foh", "at": "FOH.ch", "wants": [{"signals": "all", "channel": 3}]}]},
            ("conflict", "$.lists[0].wants[0].channel"),
        ),
        (
            {"lists": [{"position": "foh", "at": "FOH.ch[1-8]", "wants": [{"signal": "kick", "channel": 9}]}]},
            ("out-of-range", "$.lists[0].wants[0].channel"),
        ),
        (
            {"lists": [{"position": "foh", "at": "FOH.ch[1-8]", "wants": [{"signal": "kick", "within": "FOH.ch[8-9]"}]}]},
            ("list-at", "$.lists[0].wants[0].within"),
        ),
        (
            {"lists": [{"position": "foh", "at": "FOH.ch", "wants": [{"signal": "kick", "alternate": "all"}]}]},
            ("conflict", "$.lists[0].wants[0].alternate"),
        ),
        ({"owners": [{"preamps": "BOX.mic", "owner": "foh"}]}, ("dangling", "$.owners[0].owner")),
        ({"talk": [{"from": "nobody", "to": ["foh"]}]}, ("dangling", "$.talk[0].from")),
        ({"fixed": [{"into": "FOH.ch[1-2]", "from": "FOH.a.in[1-3]"}]}, ("unequal", "$.fixed[0].from")),
        (
            {"inserts": [{"position": "foh", "channel": "FOH.ch[1]", "send": "x y", "return": "FOH.mic[1]"}]},
            ("address", "$.inserts[0].send"),
        ),
        ({"stage": {"zones": {"SL": {}}, "things": [{"kind": "riser", "zone": "SR"}]}}, ("dangling", "$.stage.things[0].zone")),
        ({"stage": {"things": [{"kind": "wedge", "feed": "w"}]}}, ("dangling", "$.stage.things[0].feed")),
        ({"stage": {"things": [{"kind": "amp", "sources": ["gtr"]}]}}, ("dangling", "$.stage.things[0].sources[0]")),
        ({"periods": [{"id": "a", "scene_of": "b"}, {"id": "b"}]}, ("dangling", "$.periods[0].scene_of")),
        ({"wishes": {"spare": {"at": "BOX mic", "count": 1}}}, ("address", "$.wishes.spare.at")),
        ({"wishes": {"spare": {"at": "BOX.mic", "count": 1, "reaching": "fo"}}}, ("dangling", "$.wishes.spare.reaching")),
        ({"groups": [{"id": "g", "of": "kick", "relation": "apart"}] * 2}, ("duplicate-id", "$.groups[1].id")),
    ],
)
def test_what_points_nowhere_or_contradicts_itself(changes, wanted):
    """Each such thing is one complaint, at the place where it was written."""
    assert wanted in complaints(**changes)


def test_a_scene_takes_away_from_its_act():
    """A scene that only says `not` starts from what its act uses."""
    data = show(periods=[{"id": "one", "uses": ["kick", "keys"]}, {"id": "late", "scene_of": "one", "not": "kick"}])
    assert data["periods"][1]["uses"] == ["keys"]


def test_patches_say_addresses():
    """A patch's texts are addresses of one slot, or two runs of one length, where they should be."""
    setting = {
        "plugs": {"kick": "BOX.mic[1]"},
        "selections": [{"into": "FOH.ch[1-2]", "from": "FOH.a.in[1-2]"}],
        "routes": [{"leg": "kick", "to": "foh", "hops": ["BOX.mic[1]", "FOH.ch[1]"]}],
    }
    good = {"format": "patch/1", "settings": [setting]}
    data = document.read(good, "patch").data
    assert document.read(document.write_text(data, "patch").encode(), "patch").data == data
    wrong = [{"into": "FOH.ch[2-1]", "from": "FOH.a.in[1]"}, {"into": "FOH.ch[1-3]", "from": "FOH.a.in[1]"}]
    bad = {"format": "patch/1", "settings": [setting, {"selections": wrong}, {"period": "late", "selections": wrong}]}
    with pytest.raises(DocumentError) as caught:
        document.read(bad, "patch")
    assert [(row.kind, row.path) for row in caught.value.complaints] == [
        ("duplicate-id", "$.settings[1]"),
        ("address", "$.settings[1].selections[0].into"),
        ("unequal", "$.settings[1].selections[1].from"),
        ("address", "$.settings[2].selections[0].into"),
        ("unequal", "$.settings[2].selections[1].from"),
    ]


def test_a_brace_of_strangers_is_one_complaint():
    """Many unknown names out of one brace are one complaint with a count, and however many there are it ends soon."""
    with pytest.raises(DocumentError) as caught:
        show(feeds=[{"id": "pa", "mixed_at": "foh", "of": ["voks{1-900}", "kick"]}])
    assert [row.message for row in caught.value.complaints] == [
        'there is no source, feed or set "voks1", nor 899 more of "voks{1-900}".'
    ]
    assert caught.value.complaints[0].hint == 'Did you mean "vox1"?'
    many = {"sources": [{"ids": "in{1-3000}"}], "sets": {"strangers": [f"on{number}" for number in range(3000)]}}
    assert len(complaints(**many)) == 3000
