"""A rig's short form and what becomes of it."""

from __future__ import annotations

import copy
import json
import pathlib

import pytest

from patchloom import document, library
from patchloom.document.type_form import merge
from patchloom.errors import DocumentError
from patchloom.model.base import build, dump
from patchloom.model.rig import Domain, Rig

RIG = json.loads((pathlib.Path(__file__).parent / "bad" / "good-rig.json").read_text(encoding="utf-8"))


def rig(**changes):
    made = copy.deepcopy(RIG) | changes
    return document.read({key: value for key, value in made.items() if value is not None}, "rig").data


def complaints(**changes):
    with pytest.raises(DocumentError) as caught:
        rig(**changes)
    return [(row.kind, row.path) for row in caught.value.complaints]


def own(**fields):
    return {"types": {"own": fields}, "devices": {"A": "own"}, "links": None, "clock": None}


def test_the_expanded_form_is_what_the_model_dumps():
    """Building the model from expanded data and dumping it changes nothing, and reading that again neither."""
    data = rig()
    assert dump(build(Rig, data)) == data
    assert document.read(data, "rig").data == data


def test_rate_and_clock_make_the_main_domain():
    """`rate` and `clock` of the rig are the short form of one domain named main; a text is the leader."""
    assert rig()["domains"] == {"main": {"rate": 48000, "leader": "FOH"}}
    assert rig(clock="FOH") == rig()
    assert rig(rate=None, clock=None, domains={"main": {"rate": 48000, "leader": "FOH"}}) == rig()
    assert rig(rate=None, clock=None, domains={"main": 48000})["domains"] == {"main": {"rate": 48000}}
    assert rig(clock=None, rate="48000000/1001")["domains"]["main"]["rate"] == "48000000/1001"


def test_a_text_is_a_device_of_that_type():
    """A text stands for a device that has a type and nothing else."""
    assert rig(devices=RIG["devices"] | {"BOX": {"type": "stage-box-16"}}) == rig()


def test_types_and_formats_in_use_are_pulled_in_and_no_others():
    """Library types of devices and formats of links come along; what nothing uses does not."""
    data = rig()
    assert sorted(data["types"]) == ["desk-per-slot--FOH", "stage-box-16"]
    assert sorted(data["formats"]) == ["category-32"]
    assert (
        data["types"]["stage-box-16"]
        == document.read({"format": "type/1", "types": {"stage-box-16": library.types()["stage-box-16"]}}, "type").data["types"][
            "stage-box-16"
        ]
    )


def test_local_definitions_win():
    """A type or format of the rig hides the library's of the same name."""
    data = rig(
        types={"stage-box-16": {"like": "stage-box-16", "about": "Mine."}},
        formats={"category-32": {"like": "category-32", "most_m": 50}},
    )
    assert data["types"]["stage-box-16"]["about"] == "Mine."
    assert data["types"]["stage-box-16"]["banks"] == rig()["types"]["stage-box-16"]["banks"]
    assert data["formats"]["category-32"]["most_m"] == 50


def test_set_is_a_merge_patch():
    """`set` changes what it names, takes away what it says null, and leaves the library alone."""
    before = library.types()["desk-per-slot"]
    data = rig(
        devices=RIG["devices"]
        | {
            "FOH": {
                "type": "desk-per-slot",
                "set": {
                    "banks": {"ch": {"slots": {"48000": 40, "96000": 20}}, "talk": None},
                    "ports": {"b": None, "d": {"about": "Spare."}},
                    "select": [{"into": "ch", "from": ["mic", "a.in"]}],
                },
            }
        }
    )
    made = data["types"]["desk-per-slot--FOH"]
    assert made["banks"]["ch"]["slots"] == {"48000": 40, "96000": 20}
    assert "talk" not in made["banks"]
    assert sorted(made["ports"]) == [port for port in sorted(before["ports"]) if port != "b"]
    assert made["select"] == [{"into": "ch", "from": ["mic", "a.in"]}]
    assert library.types()["desk-per-slot"] == before


@pytest.mark.parametrize(
    ("base", "patch", "wanted"),
    [
        ({"a": "b"}, {"a": "c"}, {"a": "c"}),
        ({"a": "b"}, {"b": "c"}, {"a": "b", "b": "c"}),
        ({"a": "b"}, {"a": None}, {}),
        ({"a": "b", "b": "c"}, {"a": None}, {"b": "c"}),
        ({"a": ["b"]}, {"a": "c"}, {"a": "c"}),
        ({"a": "c"}, {"a": ["b"]}, {"a": ["b"]}),
        ({"a": {"b": "c"}}, {"a": {"b": "d", "c": None}}, {"a": {"b": "d"}}),
        ({"a": [{"b": "c"}]}, {"a": [1]}, {"a": [1]}),
        (["a", "b"], ["c", "d"], ["c", "d"]),
        ({"a": "b"}, ["c"], ["c"]),
        ({"a": "foo"}, None, None),
        ({"a": "foo"}, "bar", "bar"),
        ({"e": None}, {"a": 1}, {"e": None, "a": 1}),
        ([1, 2], {"a": "b", "c": None}, {"a": "b"}),
        ({}, {"a": {"bb": {"ccc": None}}}, {"a": {"bb": {}}}),
    ],
)
def test_merge_patch_cases_of_the_standard(base, patch, wanted):
    """The fifteen cases of RFC 7396, appendix A."""
    assert merge(base, patch) == wanted


def test_braces_in_keys_make_many():
    """A key with a brace is as many devices, banks or ports."""
    data = rig(
        devices={"FOH": RIG["devices"]["FOH"], "BOX": "stage-box-16", "AMP{1-2}": {"type": "amplifier-4", "name": "Rack {a,b}"}}
    )
    assert data["devices"]["AMP2"] == {"type": "amplifier-4", "name": "Rack b"}
    made = rig(
        **own(
            banks={"m{1-3}": 4, "x": {"slots": 2, "socket": "out"}},
            ports={"p{a,b}": "category-32"},
            select=[{"into": "x", "from": ["m{1-3}", "p{a,b}.in"]}],
        )
    )["types"]["own"]
    assert list(made["banks"]) == ["m1", "m2", "m3", "x"]
    assert made["banks"]["m1"] == {"slots": 4}
    assert made["ports"]["pb"] == {"speaks": ["category-32"]}
    assert made["select"][0]["from"] == ["m1", "m2", "m3", "pa.in", "pb.in"]


def test_rows_of_a_selection_speak_for_many():
    """`into` may be a list or a brace, one row each; the brace of `wired` zips with it."""
    made = rig(
        **own(
            banks={"m": {"slots": 8, "socket": "in"}, "o{1-2}": 4},
            select=[{"into": ["o1", "o2[1-2]"], "from": "m", "by": 2}, {"into": "o{1-2}[4]", "wired": "m[{7-8}]"}],
        )
    )
    assert made["types"]["own"]["select"][:2] == [
        {"into": "o1", "from": ["m"], "by": 2},
        {"into": "o2[1-2]", "from": ["m"], "by": 2},
    ]
    assert made["types"]["own"]["select"][3] == {"into": "o2[4]", "wired": "m[8]"}
    assert complaints(**own(banks={"m": 8, "o{1-2}": 4}, select=[{"into": "o{1-2}", "wired": "m[{1-3}]"}])) == [
        ("unequal", "$.types.own.select[0].wired")
    ]


def test_like_inside_a_type():
    """A port or bank may be like another of its type, in chains, and say what differs."""
    made = rig(
        **own(
            ports={
                "a": {"speaks": ["category-32"], "ways": "in"},
                "b": {"like": "a", "ways": "both"},
                "c": {"like": "b", "about": "x"},
            }
        )
    )
    assert made["types"]["own"]["ports"] == {
        "a": {"speaks": ["category-32"], "ways": "in"},
        "b": {"speaks": ["category-32"]},
        "c": {"about": "x", "speaks": ["category-32"]},
    }


def test_links_zip_their_braces():
    """One row with braces in its id and ends is as many links, one to one."""
    many = {"BOX{1-2}": "stage-box-16", "FOH": RIG["devices"]["FOH"]}
    row = {
        "id": "K{1-2}",
        "name": "Link {1-2}",
        "join": ["BOX{1-2}.main", "FOH.{a,b}"],
        "format": "category-32",
        "cables": "cat6",
    }
    data = rig(devices=many, links=[row])
    assert data["links"][1] == {
        "id": "K2",
        "join": ["BOX2.main", "FOH.b"],
        "format": "category-32",
        "cables": [{"medium": "cat6"}],
        "name": "Link 2",
    }
    spelt = [
        {
            "id": f"K{n}",
            "name": f"Link {n}",
            "join": [f"BOX{n}.main", f"FOH.{p}"],
            "format": "category-32",
            "cables": [{"medium": "cat6"}],
        }
        for n, p in ((1, "a"), (2, "b"))
    ]
    assert rig(devices=many, links=spelt) == data


def test_analogue_is_implied_between_sockets():
    """A run of sockets needs no format, and saying analogue there changes nothing."""
    link = {"id": "A", "join": ["BOX.line[1-2]", "FOH.mic[1-2]"]}
    data = rig(links=[*RIG["links"], link])
    assert data["links"][1] == link
    assert "analogue" in data["formats"]
    assert rig(links=[*RIG["links"], link | {"format": "analogue"}]) == data


def test_spelling_defaults_out_changes_nothing():
    """A field at its default, one text for a list of it, 48.0 for 48 and the order of keys are spelling."""
    spelt = copy.deepcopy(RIG)
    spelt["devices"]["BOX"] = {"type": "stage-box-16", "leaves": False, "name": "", "notes": ""}
    spelt["links"][0]["cables"] = []
    spelt["rate"] = 48000.0
    spelt["clock"] = {"fallback": [], "leader": "FOH"}
    other = document.read(dict(reversed(spelt.items())), "rig").data
    assert other == rig()
    assert document.digest(other) == document.digest(rig())
    assert json.dumps(other) == json.dumps(rig())


def test_two_spellings_have_one_digest_also_when_built_in_python():
    """Short form, expanded form and model objects have one digest."""
    data = rig()
    assert (
        document.digest(dump(build(Rig, data)))
        == document.digest(data)
        == document.digest(document.read(document.write_text(data, "rig").encode(), "rig").data)
    )


def test_several_domains_need_names():
    """A device that needs a clock names its domain where there are several and none is main."""
    domains = {"stage": {"rate": 96000, "leader": "FOH"}, "truck": {"rate": 48000}}
    assert complaints(rate=None, clock=None, domains=domains) == [("missing", "$.devices.BOX"), ("missing", "$.devices.FOH")]


def test_packs_stand_between_the_rig_and_the_library(tmp_path):
    """Types and formats of a user's own files are found by name, before the library's."""
    (tmp_path / "own.json").write_text(
        json.dumps(
            {
                "format": "type/1",
                "types": {
                    "our-box": {"like": "stage-box-16", "about": "Ours."},
                    "stage-box-16": {"like": "stage-box-16", "weight_kg": 9},
                },
            }
        )
    )
    packs = [library.load_pack(tmp_path)]
    raw = copy.deepcopy(RIG)
    raw["devices"]["X"] = "our-box"
    data = document.read(raw, "rig", packs=packs).data
    assert data["types"]["our-box"]["about"] == "Ours."
    assert data["types"]["our-box"]["banks"] == data["types"]["stage-box-16"]["banks"]
    assert data["types"]["stage-box-16"]["weight_kg"] == 9
    assert document.read(data, "rig").data == data


@pytest.mark.parametrize(
    ("link", "wanted"),
    [
        (["BOX.main", "FOH"], ("address", "$.links[0].join[1]")),
        (["BOX.main", "FOH.a[1-8]"], ("address", "$.links[0].join[1]")),
        (["BOX.main", "FOH.a.in"], ("address", "$.links[0].join[1]")),
        (["BOX.main", "FOH.zz"], ("dangling", "$.links[0].join[1]")),
        (["BOX.main", "FOH.mic[1-4]"], ("direction", "$.links[0].join")),
        (["BOX.main", "BOX.main"], ("joined-twice", "$.links[0].join[1]")),
        (["BOX.mic[1-40]", "FOH.line[1-8]"], ("out-of-range", "$.links[0].join[0]")),
        (["BOX.mic[1-4]", "FOH.mic[1-4]"], ("direction", "$.links[0].join")),
        (["BOX main", "FOH.a"], ("address", "$.links[0].join[0]")),
    ],
)
def test_links_that_cannot_be(link, wanted):
    """Each way a link can be wrong has its complaint at the end that is wrong."""
    assert wanted in complaints(links=[{"id": "K", "join": link, "format": "category-32"}])


def test_one_way_links_face_the_right_way():
    """Two inputs cannot be joined, nor a one-way format from an end that cannot send; two first ends neither."""
    types = {
        "own": {
            "ports": {
                "i{1-2}": {"speaks": ["f", "g"], "ways": "in"},
                "o{1-2}": {"speaks": ["f"], "ways": "out"},
                "e{1-2}": {"speaks": ["g"], "end": "first"},
            }
        }
    }
    formats = {"f": {"channels": {"48000": 8}, "one_way": True}, "g": {"channels": {"48000": [8, 4]}}}

    def link(one, two, form="f"):
        more = {"devices": {"A": "own", "B": "own"}, "types": types, "formats": formats, "clock": None}
        return complaints(links=[{"id": "K", "join": [one, two], "format": form}], **more)

    wrong = [("direction", "$.links[0].join")]
    assert link("A.i1", "B.i1") == link("A.o1", "B.o1") == link("A.i1", "B.o1") == link("A.e1", "B.e1", "g") == wrong
    assert rig(
        links=[{"id": "K", "join": ["A.o1", "B.i1"], "format": "f"}],
        devices={"A": "own", "B": "own"},
        types=types,
        formats=formats,
        clock=None,
    )


def test_a_rate_has_one_spelling():
    """48000, "48000" and 48000.0 are one rate, and a fraction is reduced; in documents and in Python."""
    assert rig(rate="48000") == rig(rate=48000.0) == rig()
    assert rig(rate="96000000/2002")["domains"]["main"]["rate"] == "48000000/1001"
    assert Domain(rate="96000/2").rate == 48000
    assert Domain(rate="fast").rate == "fast"
    assert complaints(rate="0") == complaints(rate="48000/0") == [("value", "$.rate")]


def test_complaints_about_keys_with_braces_name_the_key_as_written():
    """A complaint about one of many devices, or ports, points at the row that made them all."""
    found = complaints(
        devices={"A{1-2}": {"type": "own", "domain": "x"}},
        links=None,
        clock=None,
        types={"own": {"ports": {"p{1-2}": {"speaks": ["nothing"]}}}},
    )
    assert found == [("dangling", "$.devices['A{1-2}'].domain"), ("dangling", "$.types.own.ports['p{1-2}'].speaks[0]")]
