"""The one reader of the stock tables: rows of text, read lazily and once."""

from __future__ import annotations

import csv
import difflib
from collections.abc import Iterable
from functools import cache
from pathlib import Path

DATA = Path(__file__).with_name("data")


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of data/<name> as text by column. Treat them as read-only: they are shared."""
    with open(DATA / name, newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


def nearest_words(word: str, known: Iterable[str], most: int = 3) -> list[str]:
    """Known words that look most like `word`, best first; all of a short list where none does."""
    known = list(known)
    return difflib.get_close_matches(word.lower(), known, n=most, cutoff=0.5) or known[:most]
