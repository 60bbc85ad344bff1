"""The draft of a map as JSON."""

from __future__ import annotations

from kitsolver.shop.guess.draft import MapDraft
from kitsolver.show.json_record import JsonObject


def draft_record(file: str, draft: MapDraft) -> JsonObject:
    """Return what `check --guess` writes, schema ``kitsolver/draft/1``."""
    return {
        "schema": "kitsolver/draft/1",
        "catalogue": file,
        "map": draft.data,
        "guesses": [
            {
                "table": guess.table,
                "key": guess.key,
                "value": guess.value,
                "headers": list(guess.headers),
                "meaning": guess.meaning,
                "reason": guess.reason,
                "certainty": guess.certainty.value,
                "samples": list(guess.samples),
            }
            for guess in draft.guesses
        ],
        "unmapped": [
            {"header": each.header, "reason": each.reason, "samples": list(each.samples)}
            for each in draft.unmapped
        ],
        "missing": [{"column": each.column, "reason": each.reason} for each in draft.missing],
        "notes": list(draft.notes),
    }
