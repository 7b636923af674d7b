"""Read the files of one invented competition."""

import csv
import json
import math
from fractions import Fraction
from pathlib import Path
from types import SimpleNamespace

FORMATS = Path(__file__).resolve().parent.parent
HOLES = range(1, 19)


def half_up(value):
    """Round to a whole number, halves toward plus infinity."""
    return math.floor(value + Fraction(1, 2))


def read_table(path):
    """Return the rows of a CSV file as dictionaries; none where there is no file."""
    if not path.exists():
        return []
    with open(path, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def index_value(text):
    """Return a handicap index as a fraction: "+2.3" is -23/10."""
    return -Fraction(text[1:]) if text.startswith("+") else Fraction(text)


def read_tees():
    """Return tee name -> ratings by first hole and count, par and index by hole."""
    tees = {}
    for row in read_table(FORMATS / "course.csv"):
        tee = tees.setdefault(row["tee"], SimpleNamespace(
            name=row["tee"], pars={}, indexes={}, ratings={
                (1, 18): (Fraction(row["course_rating"]), int(row["slope_rating"])),
                (1, 9): (Fraction(row["front_course_rating"]), int(row["front_slope_rating"])),
                (10, 9): (Fraction(row["back_course_rating"]), int(row["back_slope_rating"]))}))
        tee.pars[int(row["hole"])] = int(row["par"])
        tee.indexes[int(row["hole"])] = int(row["stroke_index"])
    for tee in tees.values():
        assert sorted(tee.pars) == list(HOLES) == sorted(tee.indexes.values()), tee.name
    return tees


def round_terms(terms, number):
    """Return the terms of a round: those of the competition with what differs in it."""
    own = terms.get("per_round") or []
    if not own:
        return terms
    changed = {name: value for name, value in own[number - 1].items()
               if value is False or value not in ("", None, [])}
    return {**terms, **changed}


def load(name):
    """Return one competition as it stands in its folder, the rulings applied to the cards."""
    folder = FORMATS / name
    terms = json.loads((folder / "terms.json").read_text(encoding="utf-8"))
    players = {row["member_no"]: index_value(row["handicap_index"])
               for row in read_table(folder / "players.csv")}
    entries = {}
    for row in read_table(folder / "entries.csv"):
        partners = [tuple(p.split(":")) for p in row["partners"].split()]
        entries[row["member_no"]] = [(row["member_no"], row["tee"]), *partners]
    texts, status = {}, {}
    for row in read_table(folder / "cards.csv"):
        at = (int(row["round"]), row["member_no"], int(row["ball"]))
        texts[at] = {h: row[f"h{h}"] for h in HOLES}
        if at[2] == 0:
            status[at[:2]] = row["status"]
    draw = json.loads((folder / "draw.json").read_text()) if (folder / "draw.json").exists() else []
    comp = SimpleNamespace(
        name=name, terms=terms, tees=read_tees(), players=players, entries=entries, texts=texts,
        status=status, penalties={}, excluded=set(), draw=draw,
        starts={(d["round"], e): g["starting_hole"] for d in draw for g in d["groups"]
                for e in g["entries"] if "starting_hole" in g})
    for row in read_table(folder / "rulings.csv"):
        apply_ruling(comp, row)
    return comp


def apply_ruling(comp, row):
    """Do to the cards what one line of rulings.csv says."""
    number, kind = int(row["round"]), row["kind"]
    card, hole = (number, row["member_no"]), int(row["hole"] or 0)
    if kind == "penalty":
        comp.penalties[row["id"]] = (*card, int(row["ball"]), hole, int(row["strokes"]))
    elif kind == "penalty_removed":
        del comp.penalties[row["id"]]
    elif kind == "correction":
        comp.texts[(*card, int(row["ball"]))][hole] = row["score"]
    elif kind == "status":
        comp.status[card] = "" if row["status"] == "in_play" else row["status"]
    elif kind == "exclude_hole":
        comp.excluded.add((number, hole))
    elif kind == "restore_hole":
        comp.excluded.remove((number, hole))
    else:
        assert kind == "stands", kind
