"""Catalogue and brief as the texts that a shop and a buyer would write."""

import csv
import io
from decimal import Decimal

COLUMNS = [
    *("sku", "name", "category", "price", "quality", "stock", "serves", "trade_cost", "tags"),
    *("tax_rate", "download", "kind", "colour_kinds", "colour_strands"),
    *("opening_cm", "opening_in", "softness", "sold", "weight_g", "series"),
    *("sold_by", "smallest_cm", "step_cm"),
    *("gtin", "stitches_wide", "stitches_high", "colours", "weave", "count", "width_cm"),
    *("height_cm", "width_in", "height_in", "skein_m", "strands", "needle_sizes"),
    *("diameter_cm", "diameter_in", "finish"),
]
# ISO 4217 exponents.
EXPONENT = {"JPY": 0, "EUR": 2, "KWD": 3}


def money(units, currency):
    return format(Decimal(units).scaleb(-EXPONENT[currency]), "f")


def to_csv(rows):
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, restval="", lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue()


def to_toml(brief):
    """Write a brief as TOML that reads back equal with ``parse_float=Decimal``."""
    lines, tables = [], []
    for key, value in brief.items():
        if key == "needs":
            tables += [(f"needs.{inner}", table) for inner, table in value.items()]
        elif isinstance(value, dict):
            tables.append((key, value))
        else:
            lines.append(f"{key} = {toml_value(value)}")
    for name, table in tables:
        lines += ["", f"[{name}]"]
        lines += [f"{key} = {toml_value(value)}" for key, value in table.items()]
    return "\n".join(lines) + "\n"


def toml_value(value):
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        escaped = value.replace("\\", "\\\\").replace('"', '\\"')
        return f'"{escaped}"'
    if isinstance(value, list):
        return "[" + ", ".join(map(toml_value, value)) + "]"
    if isinstance(value, dict):
        return "{" + ", ".join(f'"{key}" = {toml_value(one)}' for key, one in value.items()) + "}"
    return format(value, "f") if isinstance(value, Decimal) else str(value)
