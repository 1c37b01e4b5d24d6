"""Changes a workbook at random and reads it; run by hand with a count and a seed for a longer search.

    PYTHONPATH=src:tests python -m xlsx.fuzz 100000 7

Prints what came of it as JSON. A quarter of the changes are to bytes of the archive, the others to the XML of one
part, with the right sizes and checksums. What was not foreseen is kept in the folder named third, if there is one.
"""

import json
import re
import resource
import sys
import time
from collections import Counter
from pathlib import Path
from random import Random

from holdover.xlsx import BadFile, read_xlsx
from xlsx.inside import MAIN_PART
from xlsx.pack import PACKAGE, REL, pack, parts, relations, sheet, strings, styles, workbook

ADDRESS_SPACE = 600_000_000
"""Memory the search may ask for [bytes]."""
UNFORESEEN = "could not be read ("
"""Words of the reader's last resort: a class of exception nobody thought of."""
ODD = ("", "0", "-1", "1", "2", "1e999", "9" * 30, "A1", "XFD1048576", "a:b", "&lt;", "\u0661", "../../x", "é", "true")
TAG = re.compile(r"<[^>]*>")
ATTRIBUTE = re.compile(r'[\w:]+="[^"]*"')
TEXT = re.compile(r">([^<>]+)<")


def rich_parts() -> dict[str, str | bytes]:
    """A small workbook with one of everything that the reader looks at."""
    base = "http://schemas.openxmlformats.org/officeDocument/2006"
    kinds = [("worksheet", "worksheets/sheet1.xml"), ("sharedStrings", "sharedStrings.xml"), ("styles", "styles.xml")]
    rows = (
        '<row r="1" hidden="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row>'
        '<row r="2"><c r="A2" s="1"><v>45000</v></c><c r="B2" t="b"><v>1</v></c><c r="C2" t="e"><v>#N/A</v></c></row>'
        '<row r="3"><c r="A3"><f t="shared" si="0" ref="A3:B3">SUM($A$2:B2)</f><v>1.5</v></c>'
        '<c r="B3"><f t="shared" si="0"/><v>2E3</v></c><c t="str"><f>A1&amp;"x"</f><v>Loadx</v></c></row>'
        '<row><c t="inlineStr"><is><r><t>a_x000D_</t></r><r><t> b</t></r></is></c><c s="2"/>'
        '<c t="d"><v>2024-02-29</v></c></row>'
    )
    defined = '<definedNames><definedName name="in_A">Loads!$A$1:$A$3</definedName></definedNames>'
    properties = f'<property name="form"><vt:lpwstr xmlns:vt="{base}/docPropsVTypes">1</vt:lpwstr></property>'
    return parts(
        top=relations(
            MAIN_PART, ("custom-properties", "docProps/custom.xml"), ("extended-properties", "docProps/app.xml")
        ),
        book=workbook(more=f'<workbookPr date1904="0"/>{defined}'),
        rels=relations(*kinds, base=REL),
        sheet=sheet(rows, after='<mergeCells><mergeCell ref="A1:B2"/></mergeCells>'),
        strings=strings("<t>Load</t>", '<r><t xml:space="preserve"> Wat</t></r><r><t>ts</t></r><rPh><t>x</t></rPh>'),
        styles=styles(before='<numFmts><numFmt numFmtId="164" formatCode="[h]:mm"/></numFmts>'),
    ) | {
        "docProps/custom.xml": f'<Properties xmlns="{base}/custom-properties">{properties}</Properties>',
        "docProps/app.xml": f'<Properties xmlns="{base}/extended-properties"><Application>x</Application></Properties>',
        "docProps/core.xml": f'<x xmlns="{PACKAGE}/metadata/core-properties"/>',
    }


def changed_text(text: str, luck: Random) -> str:
    """One part with one change."""
    way = luck.randrange(7)
    if way == 0:  # a byte
        place = luck.randrange(len(text))
        return text[:place] + chr(luck.randrange(1, 256)) + text[place + 1 :]
    if way == 1:  # the rest cut off
        return text[: luck.randrange(len(text))]
    found = list({2: ATTRIBUTE, 3: TEXT}.get(way, TAG).finditer(text))
    if not found:
        return text + "<x/>"
    match = luck.choice(found)
    if way == 2:  # an attribute's value
        return text[: match.start()] + match[0].partition("=")[0] + f'="{luck.choice(ODD)}"' + text[match.end() :]
    if way == 3:  # a text
        return text[: match.start(1)] + luck.choice(ODD) + text[match.end(1) :]
    if way == 4:  # a tag left out
        return text[: match.start()] + text[match.end() :]
    if way == 5:  # a stretch repeated
        end = luck.choice(found).end()
        return text[:end] + text[match.start() : end] * luck.choice((1, 2, 50)) + text[end:]
    other = luck.choice(found)[0]  # a tag in the place of another
    return text[: match.start()] + other + text[match.end() :]


def changed_bytes(data: bytes, luck: Random) -> bytes:
    """The archive with a few changes."""
    raw = bytearray(data)
    for _ in range(luck.choice((1, 1, 2, 5, 20))):
        way, place = luck.randrange(4), luck.randrange(len(raw))
        if way == 0:
            raw[place] = luck.randrange(256)
        elif way == 1:
            raw[place : place + 4] = luck.choice((b"\0\0\0\0", b"\xff\xff\xff\xff", b"PK\x01\x02", b"PK\x05\x06"))
        elif way == 2:
            del raw[place : place + luck.choice((1, 4, 100))]
        else:
            raw[place:place] = luck.randbytes(luck.choice((1, 4)))
        if not raw:
            break
    return bytes(raw)


def mutant(whole: bytes, members: dict[str, str | bytes], luck: Random) -> bytes:
    """A workbook with a change or two."""
    if luck.random() < 0.25:
        return changed_bytes(whole, luck)
    changed = dict(members)
    for _ in range(luck.choice((1, 1, 2))):
        name = luck.choice(sorted(changed))
        if luck.random() < 0.03:
            del changed[name]
        else:
            changed[name] = changed_text(str(changed[name]), luck) or " "
    return pack(changed, luck.choice((0, 8)))


def search(count: int, seed: int, keep: Path | None = None) -> dict[str, object]:
    """Read this many mutants; what came of them."""
    luck = Random(seed)
    members = rich_parts()
    whole = pack(members)
    read_xlsx(whole, "usual.xlsx")
    outcomes: Counter[str] = Counter()
    slowest = 0.0
    for number in range(count):
        data = mutant(whole, members, luck)
        before = time.process_time()
        try:
            read_xlsx(data, "mutant.xlsx")
            came = "read"
        except BadFile as bad:
            came = "refused" if UNFORESEEN not in bad.message else f"unforeseen {bad.message}"
        except BaseException as wrong:  # the test wants to see it
            came = f"escaped {type(wrong).__name__}"
        slowest = max(slowest, time.process_time() - before)
        outcomes[came] += 1
        if keep and came not in ("read", "refused"):
            (keep / f"{seed}_{number}.xlsx").write_bytes(data)
    status = Path("/proc/self/status").read_text(encoding="ascii")  # its own peak, not its parent's before the start
    peak = int(status.split("VmHWM:")[1].split()[0]) // 1000
    return {"outcomes": dict(outcomes), "slowest": round(slowest, 3), "mb": peak}


if __name__ == "__main__":
    resource.setrlimit(resource.RLIMIT_AS, (ADDRESS_SPACE, ADDRESS_SPACE))
    folder = Path(sys.argv[3]) if len(sys.argv) > 3 else None
    sys.stdout.write(json.dumps(search(int(sys.argv[1]), int(sys.argv[2]), folder)) + "\n")
