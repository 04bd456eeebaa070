"""Full-size sheets read back by an independent reader: pdfplumber for the PDF, svgpathtools for the SVG.

- The check ruler of every page: its marks from first to last are 150 mm and 6 in, in points.
- Every line of every template, cut over its pages, lies where the answer says that it lies on them,
  and the parts come together to its whole length; a notch's lines are as long as the dry fit says.
- Neighbouring pages overlap as told, and their registration marks fall on one another.
- The SVG has its size in millimetres, and every line at its place.
- Closed forms, from the going, the width and the overhang alone: the notch of a plumb flight and the
  centres of its balusters. A carpenter's check (going 10 in, 1 1/4 in balusters, gap 3 3/4 in: the
  notch 1 1/4 in behind the kick's face, 2 in from the nosing) is the first case.
- Site sheets: pages are of the size that the standard has (ISO 216 for A4; ASME Y14.1 for letter), one
  for each sheet listed and numbered as such; nothing stands outside their frame; each drawing's scale
  bar is as long on the paper as its words and its scale say; each table has in its CSV, read by Python's
  csv, the rows and columns that are told, and its figures stand on the sheets that it is said to be on.
- The story pole: its marks are the running sums of the rises as typed, and lie on the strips where
  the answer says.

Points are 1/72 in (ISO 32000-1, 8.3.2.3). Lengths are millimetres; 0.1 mm is asked of paper.
"""

import base64
import csv
import io
import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pdfplumber
import svgpathtools

from check import Check

FRESH_SEEDS = 1
COUNT = 3
MM = 25.4 / 72
PAPER_MM = 0.1
SVG_MM = 0.01
EXACT_MM = 1e-3
INCH = 25.4


def one_case(rng, plain, bottom=False):
    count = 5 if plain else int(rng.integers(4, 7))
    going = 10 * INCH if plain else float(rng.uniform(240, 290))
    width = 1.25 * INCH if plain else float(rng.uniform(28, 36))
    overhang = 0.75 * INCH if plain else float(rng.uniform(15, 30))
    rises = [180.0 if plain else float(180 + rng.normal(0, 3)) for _ in range(count)]
    twist = 0.0 if plain else float(rng.normal(0, 2))
    newels = [
        {"name": name, "section": {"Square": 89}, "height": 1250, "twist": f"{twist} deg",
         "stands": {"Displaces": {"step": step, "balusters": displaced}}}
        for name, step, displaced in (("N1", 1, 1), ("N2", count - 1, 0))
    ]  # fmt: skip
    readings = [{"Rise": {"step": step, "is": rise, "sd": 1e-5}} for step, rise in enumerate(rises, 1)]
    if not plain:
        readings += [
            {"Edge": {"step": step, "is": 57 + float(rng.normal(0, 3)), "sd": 1e-5}} for step in range(1, count)
        ]
    job = {
        "format": 1, "units": "Millimetres",
        "flight": {
            "open_side": "Left" if plain else str(rng.choice(["Left", "Right"])), "count": count, "rise": 180,
            "going": going, "width": 960, "overhang": overhang, "tread_thickness": 27, "kick_thickness": 19,
            "edge": 57, "readings": readings,
        },
        "skirts": [{"name": "Q1", "side": "Open", "thickness": 19, "width": 120},
                   {"name": "Q2", "side": "Wall", "thickness": 19, "above": 90, "width": 300}],
        "design": {
            "rules": "us-residential-2021", "newels": newels,
            "rail": {"name": "R1", "width": 57, "depth": 60, "height": 910,
                     "lower": {"Newel": "N1"}, "upper": {"Newel": "N2"}},
            "balusters": {"section": {"Square": width}, "spacing": {"PerTread": {"count": 2}},
                          "peg": 19, "peg_diameter": 16, "edge_distance": 1, "seat": 6},
        },
    }  # fmt: skip
    if bottom:
        job["design"]["bottom_rail"] = {"name": "R2", "width": 60, "depth": 40, "above": 15}
    return {"job": job, "paper": str(rng.choice(["letter", "a4"])), "plain": plain, "going": going,
            "width": width, "overhang": overhang, "rises": rises}  # fmt: skip


def cases(rng):
    """A plumb flight as the carpenter's check has it, then crooked ones, the last with a bottom rail."""
    return [one_case(rng, at == 0, at == 2) for at in range(COUNT)]


class Sheet:
    """A page's straight lines and circles, millimetres right and down."""

    def __init__(self, page):
        self.lines, self.circles = [], []
        for path in page.lines + page.curves + page.rects:
            points = np.array(path["pts"], dtype=float) * MM
            # pdfplumber gives the points of a path right and down already; a circle here is four
            # curves, whose box is its own.
            if any(step[0] == "c" for step in path["path"]):
                self.circles.append((points.min(axis=0) + points.max(axis=0)) / 2)
                continue
            if len(path["path"]) > 2 and path["path"][-1][0] == "h":
                points = np.vstack([points, points[:1]])
            width = float(path["linewidth"] or 0) * MM
            self.lines += [(a, b, width) for a, b in zip(points[:-1], points[1:], strict=True)]


def ruler(sheet):
    """Lengths of the check ruler's two rows of marks: inches, millimetres."""
    bases = [
        (a, b) for a, b, _ in sheet.lines if abs(a[1] - b[1]) < 1e-3 and abs(abs(b[0] - a[0]) - 6 * INCH) < 0.5
    ]
    for a, b in bases:
        y, left = a[1], min(a[0], b[0])
        rows = [[], []]
        for p, q, _ in sheet.lines:
            if abs(p[0] - q[0]) > 1e-3 or not left - 1 <= p[0] <= left + 6 * INCH + 1:
                continue
            if min(abs(p[1] - y), abs(q[1] - y)) > 1e-3:
                continue
            rows[int(max(p[1], q[1]) > y + 0.1)].append(p[0])
        if len(rows[0]) == 97 and len(rows[1]) == 151:
            return max(rows[0]) - min(rows[0]), max(rows[1]) - min(rows[1])
    return None, None


def along(line, a, b):
    """Where a drawn bit lies along a claimed line, and how far off it; None where it is another's."""
    start, way = line[0], line[1] - line[0]
    length = np.linalg.norm(way)
    way = way / length
    square = np.array([-way[1], way[0]])
    off = max(abs(np.dot(a - start, square)), abs(np.dot(b - start, square)))
    if off > PAPER_MM:
        return None
    span = sorted((np.dot(a - start, way), np.dot(b - start, way)))
    if span[1] < -PAPER_MM or span[0] > length + PAPER_MM:
        return None
    return span, off


def covered(spans, length):
    """How much of a length its spans cover."""
    total, reached = 0.0, 0.0
    for low, high in sorted(spans):
        low, high = max(low, reached), min(high, length)
        total += max(0.0, high - low)
        reached = max(reached, high)
    return total


def segments(line):
    points = np.array(line["points_mm"])
    if line["closed"]:
        points = np.vstack([points, points[:1]])
    return [(a, b) for a, b in zip(points[:-1], points[1:], strict=True) if np.linalg.norm(b - a) > 1e-6]


def to_plane(at, page):
    """A place on a page in the template's own plane."""
    return np.array([at[0] - page["origin_mm"][0], page["origin_mm"][1] - at[1]])


def within(page, *places):
    """True for places of a page that its part of the template takes: others may lie on it besides."""
    left, top, width, height = page["window_mm"]
    box = (left, left + width), (top, top + height)
    return all(low - PAPER_MM <= at <= high + PAPER_MM for p in places for at, (low, high) in zip(p, box, strict=True))


def on_paper(template, sheets, a, b):
    """How long a cut from one place to another is drawn, its parts on all pages put together."""
    length, spans = float(np.linalg.norm(b - a)), []
    for page in template["pages"]:
        for p, q, width in sheets[page["page"] - 1].lines:
            if abs(width - 0.4) > 0.02:
                continue
            met = along((a, b), to_plane(p, page), to_plane(q, page)) if within(page, p, q) else None
            if met:
                spans.append(met[0])
    return covered(spans, length)


def template_checks(template, sheets, answer):
    """Lines over pages, overlap, registration marks."""
    for line in template["lines"]:
        if line["is"] != "cut":
            continue
        for a, b in segments(line):
            length = float(np.linalg.norm(b - a))
            yield Check("a cut over its pages (pdfplumber)", on_paper(template, sheets, a, b), length, PAPER_MM)
    for bore in template["bores"]:
        found = []
        for page in template["pages"]:
            at = np.array(bore["at_mm"])
            circles = [c for c in sheets[page["page"] - 1].circles if within(page, c)]
            found += [np.linalg.norm(to_plane(c, page) - at) for c in circles]
        yield Check("a bore's centre (pdfplumber)", min(found, default=None), 0.0, PAPER_MM)
    overlap = answer["templates"]["paper"]["overlap_mm"]
    for number, page in enumerate(template["pages"]):
        for side, axis in (("right", 0), ("below", 1)):
            if page[side] is None:
                continue
            # Several strips may share a page: the next one that lies on that page.
            other = next(one for one in template["pages"][number + 1 :] if one["page"] == page[side])
            # Where the far edge of this page's window lies past the near edge of the next one's.
            edge = page["window_mm"][axis] + page["window_mm"][axis + 2] - page["origin_mm"][axis]
            next_edge = other["window_mm"][axis] - other["origin_mm"][axis]
            yield Check("overlap of neighbours", edge - next_edge, overlap, PAPER_MM)
            here = [to_plane(c, page) for c in sheets[page["page"] - 1].circles if within(page, c)]
            there = [to_plane(c, other) for c in sheets[other["page"] - 1].circles if within(other, c)]
            shared = sum(any(np.linalg.norm(a - b) < PAPER_MM for b in there) for a in here)
            yield Check("registration marks that fall on one another", min(shared, 3), 3, 0.5)


def svg_checks(template, text):
    root = ElementTree.fromstring(text)
    size = [float(re.fullmatch(r"([\d.]+)mm", root.get(name)).group(1)) for name in ("width", "height")]
    box = [float(number) for number in root.get("viewBox").split()]
    yield Check("SVG width, one unit a millimetre", box[2], size[0], SVG_MM)
    yield Check("SVG height, one unit a millimetre", box[3], size[1], SVG_MM)
    paths, _ = svgpathtools.svgstr2paths(text)
    place = lambda number: np.array([number.real, number.imag])
    drawn = [(place(piece.start), place(piece.end)) for path in paths for piece in path]
    x, y = template["svg_origin_mm"]
    for line in template["lines"]:
        if line["is"] != "cut":
            continue
        for a, b in segments(line):
            ends = [np.array([x + p[0], y - p[1]]) for p in (a, b)]
            off = min(
                min(max(np.abs(p - ends[0]).max(), np.abs(q - ends[1]).max()),
                    max(np.abs(q - ends[0]).max(), np.abs(p - ends[1]).max()))
                for p, q in drawn
            )  # fmt: skip
            yield Check("a cut in the SVG (svgpathtools)", off, 0.0, SVG_MM)


def closed_forms(case, answer):
    """What a plumb flight must come to, from its figures alone."""
    width, overhang = case["width"], case["overhang"]
    gap = (case["going"] - 2 * width) / 2
    by_name = {template["name"]: template for template in answer["templates"]["templates"]}
    notch = by_name["N1-T1"]
    deepest = max(point[1] for ring in notch["waste"] for point in ring["ring_mm"])
    yield Check("notch from the nosing, closed form", deepest, overhang + width, EXACT_MM)
    centres = [overhang + width / 2, overhang + width / 2 + width + gap]
    for name, template in by_name.items():
        if not name.endswith("-bores"):
            continue
        for bore in template["bores"]:
            least = min(abs(bore["at_mm"][1] - centre) for centre in centres)
            yield Check("a baluster's centre from the nosing, closed form", least, 0.0, EXACT_MM)
            yield Check("the same by its distance", bore["off_mm"][0], bore["at_mm"][1], EXACT_MM)


def fit_checks(answer, read_back):
    """The lengths of a notch's lines as they lie on the paper, beside those of the dry fit."""
    told = {}
    for fit in answer["fits"]:
        for run in fit["runs"]:
            for face in run["faces"]:
                for line in face["lines"]:
                    told.setdefault((fit["newel"], face["part"], line["side"]), []).append(line["length_mm"])
    for template in answer["templates"]["templates"]:
        if template["kind"] != "notch":
            continue
        sheets = [sheet for sheet, _, _ in read_back[template["file"]]]
        for line in template["lines"]:
            if line["is"] == "cut" and line["name"]:
                drawn = sum(on_paper(template, sheets, a, b) for a, b in segments(line))
                lengths = told[(template["fits"], template["part"], line["name"])]
                best = min(lengths, key=lambda length: abs(length - drawn))
                yield Check("a notch's line on paper (pdfplumber), as the dry fit has it", drawn, best, PAPER_MM)


def pole_checks(case, answer, sheets):
    for run in answer["pole"]["runs"]:
        for mark in run["plumb"]:
            if mark["what"] == "rise":
                wanted = sum(case["rises"][: mark["step"]])
                yield Check("a rise's mark, the sum of rises as typed", mark["at_mm"], wanted, 0.01)
        for name in ("plumb", "raking"):
            strips = [one for one in answer["pole"]["strips"] if one["pole"] == name]
            for mark in run[name]:
                at, found = mark["at_mm"], []
                for strip in strips:
                    if not strip["from_mm"] <= at <= strip["to_mm"]:
                        continue
                    left, foot = strip["foot_mm"]
                    for p, q, _ in sheets[strip["page"] - 1].lines:
                        level, long = abs(p[1] - q[1]) < 1e-3, abs(p[0] - q[0]) > 8
                        if level and long and left - 0.1 <= min(p[0], q[0]) <= left + 58.1:
                            found.append(abs(foot - (at - strip["from_mm"]) - p[1]))
                yield Check(f"a mark of the {name} pole (pdfplumber)", min(found, default=None), 0.0, PAPER_MM)


# Long and short sides: ISO 216; ASME Y14.1 (8 1/2 by 11 in).
STANDARD_MM = {"a4": (297.0, 210.0), "letter": (11 * INCH, 8.5 * INCH)}
UNIT_MM = {"m": 1000.0, "mm": 1.0, "in": INCH, "ft": 12 * INCH}
# The height of the parts of a scale bar.
BAR_MM = 1.4
# Tables whose figures are looked for on their sheets, with the columns that stand there as they are.
SHOWN = {
    "cuts": ["long_points", "short_points"], "marks": ["mark", "level"], "treads": ["mark", "first", "second"],
    "reveals": ["part", "reveal"], "gaps": ["below", "above", "clear"], "openings": ["ball", "under"],
    "no-boards": ["pieces", "longest"], "buying": ["item", "buy"], "troubles": ["found"],
}  # fmt: skip


def plain(text):
    """Words apart by one space."""
    return " ".join(text.replace("\u00a0", " ").split())


def bars(page, drawing):
    """Lengths of rows of small boxes within a drawing, as a scale bar has them."""
    left, top = drawing["at_mm"]
    right, below = left + drawing["width_mm"], top + drawing["height_mm"]
    rows = {}
    for path in page.rects + page.curves + page.lines:
        points = np.array(path["pts"], dtype=float) * MM
        (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
        inside = left - 1 <= x0 and x1 <= right + 1 and top - 1 <= y0 and y1 <= below + 1
        if inside and abs(y1 - y0 - BAR_MM) < 0.02 and x1 - x0 > 0.5:
            rows.setdefault(round(y1, 1), []).append((x0, x1))
    return [max(b for _, b in row) - min(a for a, _ in row) for row in rows.values() if len(row) == 4]


def bar_words(page, drawing):
    """What the scale bar of a drawing says that it is long."""
    left, top = (side / MM for side in drawing["at_mm"])
    box = (left - 2, top - 2, left + drawing["width_mm"] / MM + 2, top + drawing["height_mm"] / MM + 2)
    box = (max(box[0], 0), max(box[1], 0), min(box[2], float(page.width)), min(box[3], float(page.height)))
    words = plain(page.crop(box).extract_text() or "")
    said = re.search(r"(\d+) (mm|m|in|ft) " + re.escape(plain(drawing["scale"])), words)
    return int(said.group(1)) * UNIT_MM[said.group(2)] if said else None


def site_checks(case, answer):
    """The site sheets."""
    claimed, tables = answer["site"]["claimed"], answer["site"]["tables"]
    with pdfplumber.open(io.BytesIO(base64.b64decode(answer["site"]["pdf"]))) as file:
        pages = file.pages
        yield Check("site sheets: pages as listed", len(pages), len(claimed["sheets"]), 0.5)
        long, short = STANDARD_MM[case["paper"]]
        texts, margin = [], claimed["paper"]["margin_mm"]
        for number, page in enumerate(pages, 1):
            yield Check("site sheets: long side, by the standard", float(page.width) * MM, long, PAPER_MM)
            yield Check("site sheets: short side, by the standard", float(page.height) * MM, short, PAPER_MM)
            out = max(
                max(margin - c["x0"] * MM, c["x1"] * MM - (long - margin),
                    margin - c["top"] * MM, c["bottom"] * MM - (short - margin))
                for c in page.chars if c["text"].strip()
            )  # fmt: skip
            # The box of a letter is that of its face, with room over and under it.
            yield Check("site sheets: text past the frame", max(out, 0.0), 0.0, 0.5)
            texts.append(plain(page.extract_text()))
            here = f"{number} of {len(pages)}" in texts[-1]
            yield Check("site sheets: numbered", int(here), 1, 0.5)
            inches, millimetres = ruler(Sheet(page)) if claimed["sheets"][number - 1]["scale"] else (6 * INCH, 150)
            yield Check("site sheets: check ruler, 6 in", inches, 6 * INCH, PAPER_MM)
            yield Check("site sheets: check ruler, 150 mm", millimetres, 150.0, PAPER_MM)
        scaled = [one for one in claimed["drawings"] if one["scale"]]
        yield Check("site sheets: drawings to scale", int(len(scaled) >= 4), 1, 0.5)
        for one in scaled:
            page = pages[one["sheet"] - 1]
            said = bar_words(page, one)
            lengths = bars(page, one)
            off = min((abs(length * one["by"] - said) / one["by"] for length in lengths), default=None) if said else None
            yield Check("site sheets: scale bar (pdfplumber)", off, 0.0, PAPER_MM)
        # Characters alone: lines are broken where they must be.
        joined = ["".join(text.split()) for text in texts]
        for table in claimed["tables"]:
            rows = list(csv.DictReader(io.StringIO(tables[table["name"]], newline="")))
            yield Check("site sheets: rows of a CSV", len(rows), table["rows"], 0.5)
            heads = tables[table["name"]].split("\r\n")[0].split(",")
            yield Check("site sheets: columns of a CSV", int(heads == table["columns"]), 1, 0.5)
            for column in SHOWN.get(table["name"], []):
                for row in rows:
                    # Treads and kicks are told by their widths, not by their points.
                    if table["name"] == "cuts" and row["piece"] in ("tread", "kick"):
                        continue
                    wanted = "".join(row[column].split())
                    stands = any(wanted in joined[sheet - 1] for sheet in table["sheets"])
                    yield Check(f"site sheets: {table['name']}, {column}, on its sheets", int(stands), 1, 0.5)


def read(encoded):
    with pdfplumber.open(io.BytesIO(base64.b64decode(encoded))) as file:
        return [(Sheet(page), float(page.width) * MM, float(page.height) * MM) for page in file.pages]


def checks(case, answer):
    """Every file of a case."""
    read_back = {name: read(text) for name, text in answer["files"].items() if name.endswith(".pdf")}
    paper = answer["templates"]["paper"]
    for pages in read_back.values():
        for sheet, width, height in pages:
            sides = sorted((width, height))
            yield Check("paper, short side", sides[0], paper["width_mm"], PAPER_MM)
            yield Check("paper, long side", sides[1], paper["height_mm"], PAPER_MM)
            inches, millimetres = ruler(sheet)
            yield Check("check ruler, 6 in (pdfplumber)", inches, 6 * INCH, PAPER_MM)
            yield Check("check ruler, 150 mm (pdfplumber)", millimetres, 150.0, PAPER_MM)
    for template in answer["templates"]["templates"]:
        sheets = [sheet for sheet, _, _ in read_back[template["file"]]]
        yield from template_checks(template, sheets, answer)
        yield from svg_checks(template, answer["files"][template["svg"]])
    yield from fit_checks(answer, read_back)
    yield from site_checks(case, answer)
    if case["plain"]:
        yield from closed_forms(case, answer)
    yield from pole_checks(case, answer, [sheet for sheet, _, _ in read_back["pole.pdf"]])
