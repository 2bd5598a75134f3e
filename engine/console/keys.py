"""The key file of the one who presses the keys: where it lies, and its table as written."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

from engine.job.files import read_toml

KEYS = "keys.toml"


def own_keys_file() -> Path:
    """`bagcall/keys.toml` in the user's config folder; `BAGCALL_KEYS` names another file."""
    named = os.environ.get("BAGCALL_KEYS")
    if named:
        return Path(named)
    from platformdirs import user_config_path  # only where no file was named: start-up stays short

    return user_config_path("bagcall", appauthor=False) / KEYS


def read_keys(named: Path | None = None) -> tuple[dict[str, Any], str]:
    """The table of a key file and the file's name; both empty where none was named and the user has none.

    Raises `BadInput` for a file that cannot be read as TOML, and for one that was named and is not there.
    """
    path = named or own_keys_file()
    wanted = named is not None or bool(os.environ.get("BAGCALL_KEYS"))
    if not wanted and not os.path.lexists(path):
        return {}, ""
    return read_toml(path), str(path)
