"""What of a kit comes from the home list, and what is left of it there."""

from __future__ import annotations

from collections.abc import Iterator

from kitsolver.show.json_record import JsonObject
from kitsolver.solve.outcome import Kit, Line


def from_home_text(line: Line) -> str:
    """Return what of a line comes from home, for example ``"2 from home"``; blank for nothing."""
    if line.from_home:
        return f"{line.from_home} from home"
    if line.metres_from_home:
        return f"{line.metres_from_home} m from home, {line.metres_left} m left"
    return ""


def home_rows(kit: Kit) -> Iterator[dict[str, str]]:
    """Yield what comes from home as a table shows it: how much, of what, and what is left."""
    for line in kit.lines:
        if line.from_home:
            yield {"taken": str(line.from_home), "name": line.name, "sku": line.sku, "left": ""}
        elif line.metres_from_home:
            taken, left = f"{line.metres_from_home} m", f"{line.metres_left} m"
            yield {"taken": taken, "name": line.name, "sku": line.sku, "left": left}


def bring_sentence(kit: Kit) -> str:
    """Return what a class has to bring from home; blank for nothing."""
    parts = [
        f"{line.from_home} × {line.name}"
        if line.from_home
        else f"{line.metres_from_home} m of {line.name}"
        for line in kit.lines
        if line.listed
    ]
    return f"Bring from home: {'; '.join(parts)}." if parts else ""


def bring_records(kit: Kit) -> list[JsonObject]:
    """Return what a class has to bring from home, for JSON."""
    return [
        {
            "sku": line.sku,
            "units": line.from_home,
            "metres": None if not line.metres_from_home else float(line.metres_from_home),
        }
        for line in kit.lines
        if line.listed
    ]
