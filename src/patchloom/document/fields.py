"""Names, order, kinds and defaults of every field of the expanded documents, as data.

Comes in: nothing.  Goes out: `FIELDS`, read by `tidy.py` (defaults dropped, order fixed) and `write.py`.
Generated from the model by `tests/document/make_fields.py`; a test fails when it is stale.

One row is (name, kind, default, class of its objects); a default of None is "unknown".
"""

from __future__ import annotations

from typing import Any

__all__ = ["FIELDS", "ROOTS"]

ROOTS = {"rig": "Rig", "show": "Show", "patch": "Patch", "type": "Type", "format": "Format"}
"""Class of the whole document, by kind."""

FIELDS: dict[str, tuple[tuple[str, str, Any, str], ...]] = {
    "Bank": (
        ("id", "text", "", ""), ("slots", "plain", None, ""), ("about", "text", "", ""), ("socket", "plain", None, ""),
        ("does", "text", "carry", ""), ("preamp", "plain", None, ""), ("trim_db", "numbers", None, ""),
        ("taps", "plain", {}, ""), ("of", "words", [], ""), ("ends", "text", "", ""), ("mark", "words", [], ""),
        ("row", "plain", 8, ""), ("connector", "text", "", ""), ("plug_ways", "plain", None, ""), ("level", "text", "", ""),
        ("balanced", "text", "", ""), ("load_ohm", "plain", None, ""), ("pairs", "flag", False, ""),
        ("only_for", "text", "", ""), ("phantom_supply", "flag", False, ""), ("clock", "text", "", ""),
        ("latency_ms", "plain", None, ""), ("label_length", "plain", None, ""),
    ),
    "Cable": (
        ("medium", "text", "", ""), ("length_m", "plain", None, ""), ("route", "text", "", ""), ("power", "text", "", ""),
        ("joints", "plain", 0, ""), ("dc", "text", "", ""), ("shield", "text", "", ""), ("stock", "text", "", ""),
        ("label", "text", "", ""),
    ),
    "Device": (
        ("id", "text", "", ""), ("type", "text", "", ""), ("name", "text", "", ""), ("place", "one", None, "Place"),
        ("domain", "text", "", ""), ("clocks", "plain", {}, ""), ("belongs_to", "text", "", ""),
        ("leaves", "flag", False, ""), ("power", "text", "", ""), ("address", "text", "", ""),
        ("can_lead", "plain", None, ""), ("manned", "text", "", ""), ("recalls", "words", [], ""),
        ("space_gb", "plain", None, ""), ("record_h", "plain", None, ""), ("record_bits", "plain", 24, ""),
        ("notes", "text", "", ""),
    ),
    "Domain": (
        ("id", "text", "", ""), ("rate", "rate", None, ""), ("leader", "text", "", ""), ("fallback", "words", [], ""),
        ("locked_to", "text", "", ""),
    ),
    "Format": (
        ("id", "text", "", ""), ("about", "text", "", ""), ("source", "text", "", ""), ("standing", "text", "typical", ""),
        ("channels", "plain", {}, ""), ("one_way", "flag", False, ""), ("pass", "words", [], ""),
        ("medium", "words", [], ""), ("most_m", "plain", None, ""), ("caution_m", "plain", None, ""),
        ("latency_ms", "plain", None, ""), ("framings", "words", [], ""), ("digital", "flag", True, ""),
        ("packet_ms", "plain", None, ""),
    ),
    "Limit": (
        ("of", "words", [], ""), ("most", "plain", None, ""), ("count", "text", "slots", ""), ("by", "plain", 8, ""),
        ("about", "text", "", ""),
    ),
    "Link": (
        ("id", "text", "", ""), ("join", "words", [], ""), ("format", "text", "", ""), ("framing", "words", [], ""),
        ("cables", "many", [], "Cable"), ("pass", "plain", None, ""), ("ended", "text", "", ""), ("name", "text", "", ""),
        ("notes", "text", "", ""),
    ),
    "Place": (
        ("at", "numbers", None, ""), ("zone", "text", "", ""), ("note", "text", "", ""),
    ),
    "Port": (
        ("id", "text", "", ""), ("about", "text", "", ""), ("speaks", "words", [], ""), ("ways", "text", "both", ""),
        ("slots", "plain", None, ""), ("end", "text", "", ""), ("pass", "plain", None, ""), ("framings", "words", [], ""),
        ("clock", "text", "", ""), ("connector", "text", "", ""),
    ),
    "Preamp": (
        ("id", "text", "", ""), ("gain_db", "numbers", None, ""), ("step_db", "plain", None, ""),
        ("pad_db", "plain", None, ""), ("full_scale_dbu", "plain", None, ""), ("phantom_by", "plain", None, ""),
        ("phantom_ma", "plain", None, ""), ("owner_by", "text", "device", ""), ("doors", "words", [], ""),
        ("keeps", "text", "", ""),
    ),
    "Rig": (
        ("format", "text", "rig/1", ""), ("name", "text", "", ""), ("about", "text", "", ""),
        ("domains", "table", {}, "Domain"), ("formats", "table", {}, "Format"), ("types", "table", {}, "Type"),
        ("devices", "table", {}, "Device"), ("links", "many", [], "Link"), ("stock", "many", [], "Stock"),
    ),
    "Select": (
        ("into", "text", "", ""), ("from", "words", [], ""), ("by", "plain", 1, ""), ("wired", "text", "", ""),
        ("taps", "words", [], ""), ("alternate", "flag", False, ""), ("converts", "flag", False, ""),
        ("latency_ms", "plain", None, ""), ("dc", "text", "", ""), ("load_db", "plain", None, ""),
    ),
    "Stock": (
        ("id", "text", "", ""), ("kind", "text", "", ""), ("length_m", "plain", None, ""), ("count", "plain", 0, ""),
        ("connectors", "words", [], ""),
    ),
    "Type": (
        ("id", "text", "", ""), ("about", "text", "", ""), ("source", "text", "", ""), ("role", "text", "other", ""),
        ("banks", "table", {}, "Bank"), ("ports", "table", {}, "Port"), ("select", "many", [], "Select"),
        ("limits", "many", [], "Limit"), ("preamps", "table", {}, "Preamp"), ("clocks", "words", [], ""),
        ("digital", "flag", True, ""), ("can_lead", "flag", True, ""), ("controls", "words", [], ""),
        ("passes_control", "flag", False, ""), ("tracks_gain", "flag", False, ""), ("takeover", "text", "", ""),
        ("after_loss", "plain", {}, ""), ("recalls", "words", [], ""), ("look_at", "plain", {}, ""),
        ("weight_kg", "plain", None, ""),
    ),
    "Destination": (
        ("at", "words", [], ""), ("name", "text", "", ""), ("person", "text", "", ""), ("zone", "text", "", ""),
        ("level", "text", "", ""), ("priority", "plain", None, ""), ("cable", "text", "", ""),
        ("latency_ms", "plain", None, ""), ("notes", "text", "", ""),
    ),
    "Feed": (
        ("id", "text", "", ""), ("name", "text", "", ""), ("short", "text", "", ""), ("legs", "words", [], ""),
        ("mixed_at", "text", "", ""), ("from", "text", "", ""), ("of", "plain", None, ""), ("to", "many", [], "Destination"),
        ("kind", "text", "", ""), ("person", "text", "", ""), ("excludes", "text", "", ""), ("tap", "text", "", ""),
        ("most_ms", "plain", None, ""), ("survives", "many", [], "Survives"), ("tags", "words", [], ""),
        ("priority", "plain", None, ""), ("notes", "text", "", ""),
    ),
    "Fixed": (
        ("into", "text", "", ""), ("from", "text", "", ""), ("tap", "text", "", ""),
    ),
    "Gain": (
        ("reserve_db", "plain", 6, ""), ("margin_db", "plain", 3, ""), ("tracking", "text", "off", ""),
        ("fixed", "many", [], "GainFixed"),
    ),
    "GainFixed": (
        ("signal", "text", "", ""), ("gain_db", "plain", None, ""),
    ),
    "Group": (
        ("id", "text", "", ""), ("of", "words", [], ""), ("relation", "text", "", ""), ("notes", "text", "", ""),
    ),
    "Insert": (
        ("position", "text", "", ""), ("channel", "text", "", ""), ("send", "text", "", ""), ("return", "text", "", ""),
        ("what", "text", "", ""),
    ),
    "List": (
        ("id", "text", "", ""), ("position", "text", "", ""), ("name", "text", "", ""), ("at", "text", "", ""),
        ("wants", "many", [], "Want"), ("pairs", "text", "", ""), ("survives", "many", [], "Survives"),
        ("notes", "text", "", ""),
    ),
    "Owner": (
        ("preamps", "words", [], ""), ("owner", "text", "", ""),
    ),
    "Period": (
        ("id", "text", "", ""), ("name", "text", "", ""), ("scene_of", "text", "", ""), ("uses", "plain", None, ""),
        ("lists", "plain", {}, ""), ("without_lists", "words", [], ""), ("without_devices", "words", [], ""),
        ("without_links", "words", [], ""), ("people", "plain", {}, ""), ("names", "plain", {}, ""),
        ("owners", "many", [], "Owner"), ("change_min", "plain", None, ""), ("mute", "words", [], ""),
        ("notes", "text", "", ""),
    ),
    "Plug": (
        ("source", "text", "", ""), ("into", "words", [], ""),
    ),
    "Position": (
        ("id", "text", "", ""), ("name", "text", "", ""), ("desk", "text", "", ""), ("kind", "text", "other", ""),
        ("person", "text", "", ""), ("label_length", "plain", None, ""), ("plain_words", "flag", False, ""),
    ),
    "Preference": (
        ("signals", "words", [], ""), ("at", "words", [], ""), ("priority", "plain", 1, ""),
    ),
    "Routing": (
        ("id", "text", "", ""), ("rule", "text", "", ""), ("signals", "words", [], ""), ("at", "words", [], ""),
        ("positions", "words", [], ""), ("why", "text", "", ""),
    ),
    "Show": (
        ("format", "text", "show/1", ""), ("name", "text", "", ""), ("about", "text", "", ""), ("date", "text", "", ""),
        ("positions", "table", {}, "Position"), ("sources", "many", [], "Source"), ("plug", "many", [], "Plug"),
        ("lists", "many", [], "List"), ("feeds", "many", [], "Feed"), ("owners", "many", [], "Owner"),
        ("gain", "one", {}, "Gain"), ("groups", "many", [], "Group"), ("inserts", "many", [], "Insert"),
        ("talk", "many", [], "Talk"), ("fixed", "many", [], "Fixed"), ("stage", "one", None, "Stage"),
        ("periods", "many", [], "Period"), ("wishes", "one", None, "Wishes"), ("routing", "many", [], "Routing"),
        ("waivers", "many", [], "Waiver"),
    ),
    "Source": (
        ("id", "text", "", ""), ("name", "text", "", ""), ("short", "text", "", ""), ("legs", "words", [], ""),
        ("phantom", "text", "unknown", ""), ("kind", "text", "", ""), ("mic", "text", "", ""), ("stand", "text", "", ""),
        ("person", "text", "", ""), ("zone", "text", "", ""), ("at", "numbers", None, ""), ("left_is", "text", "", ""),
        ("level", "text", "", ""), ("balanced", "text", "", ""), ("connector", "text", "", ""),
        ("powered_by", "text", "", ""), ("phantom_ma", "plain", None, ""), ("peak_dbu", "plain", None, ""),
        ("want_db", "plain", {}, ""), ("gain_db", "plain", None, ""), ("tags", "words", [], ""),
        ("spare_of", "text", "", ""), ("cable_m", "plain", None, ""), ("latency_ms", "plain", None, ""),
        ("front_end", "words", [], ""), ("colour", "text", "", ""), ("group", "text", "", ""), ("file_name", "text", "", ""),
        ("priority", "plain", None, ""), ("notes", "text", "", ""),
    ),
    "Spare": (
        ("at", "words", [], ""), ("count", "plain", 0, ""), ("reaching", "words", [], ""),
    ),
    "Stage": (
        ("width_m", "plain", None, ""), ("depth_m", "plain", None, ""), ("zones", "table", {}, "Zone"),
        ("things", "many", [], "Thing"), ("notes", "text", "", ""),
    ),
    "Survives": (
        ("loss_of", "text", "", ""), ("except", "words", [], ""),
    ),
    "Talk": (
        ("from", "text", "", ""), ("to", "words", [], ""), ("priority", "plain", None, ""),
    ),
    "Thing": (
        ("id", "text", "", ""), ("kind", "text", "", ""), ("name", "text", "", ""), ("at", "numbers", None, ""),
        ("size", "numbers", None, ""), ("turn_deg", "plain", 0, ""), ("zone", "text", "", ""), ("feed", "text", "", ""),
        ("sources", "words", [], ""), ("person", "text", "", ""), ("own", "text", "house", ""), ("text", "text", "", ""),
    ),
    "Waiver": (
        ("rule", "text", "", ""), ("where", "words", [], ""), ("who", "text", "", ""), ("why", "text", "", ""),
        ("until", "text", "", ""),
    ),
    "Want": (
        ("signal", "text", "", ""), ("leg", "text", "", ""), ("fold", "text", "", ""), ("channel", "plain", None, ""),
        ("within", "text", "", ""), ("name", "text", "", ""), ("alternate", "text", "", ""), ("tap", "text", "", ""),
        ("priority", "plain", None, ""), ("group", "text", "", ""), ("insert", "text", "", ""), ("notes", "text", "", ""),
    ),
    "Wishes": (
        ("spare", "many", [], "Spare"), ("prefer", "many", [], "Preference"),
    ),
    "Zone": (
        ("id", "text", "", ""), ("name", "text", "", ""), ("at", "numbers", None, ""), ("order", "plain", None, ""),
        ("side", "text", "", ""), ("depth", "text", "", ""),
    ),
    "ClockDomain": (
        ("id", "text", "", ""), ("rate", "plain", 48000, ""), ("leader", "text", "", ""), ("fallback", "words", [], ""),
        ("followers", "many", [], "Follower"),
    ),
    "Follower": (
        ("device", "text", "", ""), ("section", "text", "", ""), ("port", "text", "", ""), ("link", "text", "", ""),
        ("from", "text", "", ""), ("depth", "plain", 1, ""),
    ),
    "GainSet": (
        ("leg", "text", "", ""), ("at", "plain", None, ""), ("gain_db", "plain", None, ""),
        ("interval_db", "numbers", None, ""), ("trims_db", "plain", {}, ""), ("margin", "flag", True, ""),
    ),
    "Ownership": (
        ("preamps", "plain", None, ""), ("owner", "text", "", ""), ("door", "text", "", ""), ("path", "words", [], ""),
    ),
    "Patch": (
        ("format", "text", "patch/1", ""), ("rig", "text", "", ""), ("show", "text", "", ""), ("previous", "text", "", ""),
        ("made_by", "text", "", ""), ("settings", "many", [], "Setting"), ("wishes", "many", [], "WishValue"),
        ("rules", "words", [], ""), ("unhonoured", "words", [], ""),
    ),
    "PhantomSet": (
        ("at", "plain", None, ""), ("on", "flag", False, ""), ("because", "words", [], ""), ("unknown", "words", [], ""),
    ),
    "Route": (
        ("leg", "text", "", ""), ("to", "text", "", ""), ("entry", "plain", 1, ""), ("hops", "plain", [], ""),
        ("alternate", "flag", False, ""),
    ),
    "Selection": (
        ("into", "plain", None, ""), ("from", "plain", None, ""), ("tap", "text", "", ""), ("alternate", "flag", False, ""),
    ),
    "Setting": (
        ("period", "text", "", ""), ("plugs", "plain", {}, ""), ("mixes", "plain", {}, ""),
        ("selections", "many", [], "Selection"), ("routes", "many", [], "Route"), ("clock", "many", [], "ClockDomain"),
        ("owners", "many", [], "Ownership"), ("gains", "many", [], "GainSet"), ("phantom", "many", [], "PhantomSet"),
        ("unmet", "words", [], ""), ("spares", "words", [], ""), ("notes", "words", [], ""),
    ),
    "WishValue": (
        ("wish", "text", "", ""), ("value", "plain", 0, ""), ("bound", "plain", None, ""), ("unit", "text", "", ""),
        ("proven", "flag", False, ""),
    ),
}
