"""The file: shell, style, script, data and drawings in one, and the policy that allows just these.

Comes in: a `Book`.  Goes out: the text of a file that needs nothing else.  Next: the renderer's artifact.
"""

from __future__ import annotations

import base64
import hashlib
from functools import lru_cache
from html import escape
from importlib.resources import files

from patchloom.pages import Book, Stamp, say_in
from patchloom.pages.files import clean
from patchloom.pages.words import Say
from patchloom_pocket.data import book_data, language_of, script_text
from patchloom_pocket.drawings import drawings

__all__ = ["SCRIPTS", "STYLES", "document"]

SCRIPTS = ("make", "book", "words", "merge", "store", "check", "rows", "path", "light", "list", "find", "papers", "route", "main")
"""Files of `script/`, in the order they are read; together they are one function."""

STYLES = ("base", "list", "path", "paper", "print")
"""Files of `style/`, in order."""

_POLICY = (
    "default-src 'none'; script-src 'sha256-{script}'; style-src 'sha256-{style}'; connect-src 'none'; img-src 'none'; "
    "object-src 'none'; base-uri 'none'; form-action 'none'; require-trusted-types-for 'script'; trusted-types 'none'"
)


def document(book: Book, theme: str = "") -> str:
    """Return the HTML of a pocket book; the same text for the same book and theme."""
    drawn, of_page = drawings(book)
    style = _read("style", STYLES, "css") + _foot(book.stamp or Stamp(), say_in(language_of(book)))
    script = f'"use strict";\n(() => {{\n{_read("script", SCRIPTS, "js")}}})();\n'
    policy = _POLICY.format(script=_digest(script), style=_digest(style))
    show = book.stamp.show if book.stamp is not None else ""
    language = language_of(book)
    parts = {
        "policy": escape(policy, quote=True),
        "title": escape(clean(" - ".join(word for word in (show, "pocket book") if word))),
        "theme": theme,
        "language": language,
        "style": style,
        "drawings": "\n".join(f'<template class="drawing">{svg}</template>' for svg in drawn),
        "data": script_text(book_data(book, of_page)),
        "script": script,
    }
    text = _shell()
    head, *rest = text.split("{{")
    return head + "".join(parts[name] + after for name, _, after in (part.partition("}}") for part in rest))


@lru_cache(maxsize=1)
def _shell() -> str:
    return (files("patchloom_pocket") / "shell.html").read_text(encoding="utf-8")


@lru_cache(maxsize=4)
def _read(folder: str, names: tuple[str, ...], ending: str) -> str:
    """Return files one after the other."""
    home = files("patchloom_pocket") / folder
    return "".join((home / f"{name}.{ending}").read_text(encoding="utf-8") for name in names)


def _digest(text: str) -> str:
    return base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _foot(stamp: Stamp, say: Say) -> str:
    """Return the style that prints the stamp at the foot of every sheet."""
    words = (
        stamp.show,
        stamp.date,
        f"REV {stamp.revision or say('none given')}",
        say(stamp.status),
        say("replaces REV {revision}", revision=stamp.replaces) if stamp.replaces else "",
        say("made {when}", when=stamp.generated) if stamp.generated else "",
        f"patch {stamp.patch.partition(':')[2][:12]}" if stamp.patch else "",
    )
    line = " \u00b7 ".join(word[:80] for word in map(clean, words) if word)
    before, between, after = map(_css_text, say("page {number} of {count}", number="\0", count="\0").split("\0"))
    count = f'"{before}" counter(page) "{between}" counter(pages) "{after}"'
    return f'@page {{ @bottom-left {{ content: "{_css_text(line)}"; }} @bottom-right {{ content: {count}; }} }}\n'


def _css_text(text: str) -> str:
    """Return a text for a CSS string: whatever is no letter, figure or space is written by its number."""
    return "".join(sign if sign.isascii() and (sign.isalnum() or sign == " ") else f"\\{ord(sign):x} " for sign in text)
