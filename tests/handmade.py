"""Files written byte by byte, so that no reading library had a hand in them."""

import zipfile

_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKAGE = "http://schemas.openxmlformats.org/package/2006"
_KINDS = "application/vnd.openxmlformats-officedocument.spreadsheetml"

HEADER = ("sku", "name", "category", "price", "quality")


def cell(place, value):
    """Return the XML of a cell: a number, or text in line."""
    if isinstance(value, (int, float)):
        return f'<c r="{place}"><v>{value}</v></c>'
    return f'<c r="{place}" t="inlineStr"><is><t>{value}</t></is></c>'


def row(number, values):
    """Return the XML of a row: ready-made cells stay as they are."""
    cells = (
        value if str(value).startswith("<c") else cell(f"{chr(65 + column)}{number}", value)
        for column, value in enumerate(values)
    )
    return f'<row r="{number}">{"".join(cells)}</row>'


def workbook(path, rows, *, shared=None, sheets='<sheet name="Goods" sheetId="1" r:id="rId1"/>'):
    """Write a workbook by the standard (ECMA-376), all of it as XML in a zip archive."""
    body = "".join(row(number, values) for number, values in enumerate(rows, start=1))
    relations = '<Relationship Id="rId{}" Type="{}/{}" Target="{}"/>'
    texts, told = "sharedStrings.xml", shared is not None
    known = [("worksheet", "worksheets/sheet1.xml"), ("styles", "styles.xml")]
    parts = {
        "[Content_Types].xml": f'<Types xmlns="{_PACKAGE}/content-types">'
        '<Default Extension="xml" ContentType="application/xml"/>'
        '<Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        f'<Override PartName="/xl/workbook.xml" ContentType="{_KINDS}.sheet.main+xml"/>'
        f'<Override PartName="/xl/styles.xml" ContentType="{_KINDS}.styles+xml"/>'
        f'<Override PartName="/xl/worksheets/sheet1.xml" ContentType="{_KINDS}.worksheet+xml"/>'
        + (f'<Override PartName="/xl/{texts}" ContentType="{_KINDS}.{texts[:-4]}+xml"/>' * told)
        + "</Types>",
        "_rels/.rels": f'<Relationships xmlns="{_PACKAGE}/relationships">'
        + relations.format(1, _OFFICE, "officeDocument", "xl/workbook.xml")
        + "</Relationships>",
        "xl/workbook.xml": f'<workbook xmlns="{_MAIN}" xmlns:r="{_OFFICE}">'
        f"<sheets>{sheets}</sheets></workbook>",
        # The second format of cells is that of a date.
        "xl/styles.xml": f'<styleSheet xmlns="{_MAIN}"><fonts><font/></fonts>'
        "<fills><fill><patternFill/></fill></fills><borders><border/></borders>"
        "<cellStyleXfs><xf/></cellStyleXfs>"
        '<cellXfs><xf/><xf numFmtId="14"/></cellXfs></styleSheet>',
        "xl/worksheets/sheet1.xml": f'<worksheet xmlns="{_MAIN}">'
        f"<sheetData>{body}</sheetData></worksheet>",
    }
    if shared is not None:
        known.append(("sharedStrings", texts))
        items = "".join(f"<si><t>{text}</t></si>" for text in shared)
        parts[f"xl/{texts}"] = f'<sst xmlns="{_MAIN}">{items}</sst>'
    parts["xl/_rels/workbook.xml.rels"] = (
        f'<Relationships xmlns="{_PACKAGE}/relationships">'
        + "".join(
            relations.format(place, _OFFICE, *each) for place, each in enumerate(known, start=1)
        )
        + "</Relationships>"
    )
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for name, content in parts.items():
            book.writestr(name, content)
    return path


def changed_part(path, name, change):
    """Write one part of a workbook anew."""
    with zipfile.ZipFile(path) as book:
        parts = {part: book.read(part) for part in book.namelist()}
    parts[name] = change(parts[name])
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as book:
        for part, content in parts.items():
            book.writestr(part, content)
    return path
