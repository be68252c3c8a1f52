"""What all tests share: golden files, and the flag that renews them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

GOLDEN = Path(__file__).parent / "golden"


def pytest_addoption(parser: pytest.Parser) -> None:
    """Offer `--update-golden`: write golden files anew instead of comparing with them."""
    parser.addoption(
        "--update-golden", action="store_true", default=False, help="write golden files instead of comparing with them"
    )


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_auto_num_workers(config: pytest.Config) -> int | None:
    """Return 0, one process, where files are named or golden files written; else None: as many as there are processors."""
    few = any(text.partition("::")[0].endswith(".py") for text in config.args)
    return 0 if few or config.getoption("--update-golden") else None


@pytest.fixture
def update_golden(request: pytest.FixtureRequest) -> bool:
    """Return whether golden files are to be written anew."""
    return bool(request.config.getoption("--update-golden"))


@pytest.fixture
def golden(update_golden: bool) -> Callable[..., None]:
    """Return `compare(name, content)`: content against `tests/golden/name`, or written there under `--update-golden`."""

    def compare(name: str, content: str | bytes, folder: Path = GOLDEN) -> None:
        data = content.encode("utf-8") if isinstance(content, str) else content
        path = folder / name
        if update_golden:
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(data)
            return
        assert path.exists(), f"no golden file {name}; look at what it should hold and run pytest --update-golden"
        assert path.read_bytes().decode("utf-8") == data.decode("utf-8"), (
            f"{name} differs; if that is right: pytest --update-golden"
        )

    return compare
