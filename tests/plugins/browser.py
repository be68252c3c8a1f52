"""A Chromium found on this machine, to open papers as a reader would."""

from __future__ import annotations

import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest

__all__ = ["chromium", "pdf_sheets", "run"]


def chromium() -> str:
    """Return the path of a Chromium; skip with the reason where there is none."""
    found = (
        os.environ.get("PATCHLOOM_CHROMIUM")
        or shutil.which("chromium")
        or shutil.which("chromium-browser")
        or shutil.which("google-chrome")
    )
    if not found:
        pytest.skip("no Chromium on PATH, and PATCHLOOM_CHROMIUM names none: papers are not opened")
    return found


def run(page: Path, profile: Path, *arguments: str) -> bytes:
    """Return what Chromium printed after opening a page, without network and with a profile of its own."""
    done = subprocess.run(
        [
            chromium(),
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-background-networking",
            "--no-first-run",
            "--no-pdf-header-footer",
            f"--user-data-dir={profile}",
            *arguments,
            page.as_uri(),
        ],
        capture_output=True,
        timeout=120,
        check=False,
    )
    return done.stdout


def pdf_sheets(data: bytes) -> int:
    """Return how many pages a PDF made by Chromium has."""
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", data))
