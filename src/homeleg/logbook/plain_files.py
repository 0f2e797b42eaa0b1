"""A logbook as plain files: one JSON that can be read back, and a table of each kind to look at.

The JSON holds every entry whole, one after the other, so that a person can read it and a program
finds the same bytes again. The tables are for spreadsheets; nobody reads them back.
"""

import csv
import io
import json
from collections.abc import Mapping, Sequence
from typing import Any

from homeleg.foundation.errors import InputFileError, Problem
from homeleg.logbook.record import KINDS, RecordError, digest_of_text, entry_of_text
from homeleg.release.canonical import canonical_bytes
from homeleg.release.code import code_of

__all__ = ["DOCUMENT", "SCHEMA", "plain_files", "texts_of_document"]

SCHEMA = "homeleg/logbook/1"
DOCUMENT = "logbook.json"
_FIRST = ("code", "at", "about")
# What a spreadsheet would take for a formula.
_FORMULA = ("=", "+", "-", "@", "\t", "\r")


def plain_files(
    texts: Sequence[tuple[str, str]], *, program: str, written_at: str
) -> Mapping[str, str]:
    """Return the files of a logbook, by name, from its stored digests and texts."""
    documents = [{"digest": digest, **json.loads(text)} for digest, text in texts]
    whole = {
        "schema": SCHEMA,
        "program": program,
        "written_at": written_at,
        "entries": documents,
    }
    files = {DOCUMENT: json.dumps(whole, indent=1, ensure_ascii=False) + "\n"}
    for kind in KINDS:
        rows = [one for one in documents if one["kind"] == kind]
        if rows:
            files[f"{kind}.csv"] = _table(rows)
    return files


def texts_of_document(text: str, name: str) -> list[str]:
    """Return the entries' texts of a JSON written by `plain_files`.

    Raises InputFileError, naming all that is not as it was written; then nothing is to be used.
    """
    try:
        document = json.loads(text)
        schema, entries = document["schema"], document["entries"]
        if schema != SCHEMA:
            raise _refused(name, f"says it is {str(schema)[:40]!r}", f"Wanted is {SCHEMA}.")
        rows = [dict(one) for one in entries]
    except (ValueError, KeyError, TypeError, RecursionError) as error:
        remedy = "Name the logbook.json that homeleg logbook export has written."
        raise _refused(name, "is no exported logbook", remedy) from error
    texts, problems = [], []
    for place, row in enumerate(rows, start=1):
        try:
            texts.append(_text_of(row))
        except RecordError as error:
            where = f"{name}, entry {place} in it"
            problems.append(
                Problem(where=where, problem=str(error), remedy="Nothing was taken over.")
            )
    if problems:
        raise InputFileError(problems)
    return texts


def _text_of(row: Mapping[str, Any]) -> str:
    try:
        text = canonical_bytes({key: row[key] for key in row if key != "digest"}).decode("ascii")
    except (TypeError, ValueError, RecursionError) as error:
        raise RecordError(f"holds what an entry cannot: {error}") from error
    entry_of_text(text)
    if digest_of_text(text) != row.get("digest"):
        raise RecordError("is not as it was written: its text was changed afterwards")
    return text


def _table(rows: Sequence[Mapping[str, Any]]) -> str:
    columns = list(rows[0]["thing"])
    out = io.StringIO()
    table = csv.writer(out, lineterminator="\n")
    table.writerow([*_FIRST, *columns])
    for row in rows:
        about = row["about"] and code_of(row["about"])
        first = (code_of(row["digest"]), row["at"], about)
        table.writerow([_cell(one) for one in (*first, *row["thing"].values())])
    return out.getvalue()


def _cell(value: object) -> str:
    match value:
        case None:
            return ""
        case list():
            text = "; ".join(map(str, value))
        case _:
            text = str(value)
    return f"'{text}" if text.startswith(_FORMULA) and not _is_number(text) else text


def _is_number(text: str) -> bool:
    try:
        float(text)
    except ValueError:
        return False
    return True


def _refused(name: str, problem: str, remedy: str) -> InputFileError:
    return InputFileError([Problem(where=name, problem=problem, remedy=remedy)])
