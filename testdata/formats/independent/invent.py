#!/usr/bin/env python3
"""Invent the course, the players, the entries and the cards of every competition.

Everything that comes out is invented. The seeds are fixed and only
Random.random() is drawn from, so a second run writes the same bytes.

    python3 invent.py             write ../course.csv and the input of every competition
    python3 invent.py name ...    only these competitions

Cards are drawn at random; then ties are built by changing single scores until
two entries part exactly where they should (search), and single cards are spoiled.
The counting needed for that comes from the scripts beside this one. The
competitions themselves stand in competitions.py.
"""

import csv
import io
import json
import math
import random
import sys
from fractions import Fraction
from types import SimpleNamespace

sys.dont_write_bytecode = True  # leave no cache beside the data

from counting import count_card
from handicaps import ONE_BALL, balls_of
from matches import EXTRA, play
from ranking import key_of, make_cut, steps
from reading import FORMATS, HOLES, apply_ruling, half_up, read_tees, round_terms

COURSE = "Brackwater Heath"

# par, stroke index and length in metres for holes 1 to 18; the ratings follow.
TEES = {
    "Stone": ([4, 5, 3, 4, 4, 3, 4, 5, 4, 4, 3, 5, 4, 4, 3, 4, 5, 4],
              [7, 13, 17, 1, 9, 15, 5, 11, 3, 8, 18, 12, 2, 10, 16, 6, 14, 4],
              [366, 489, 161, 411, 352, 149, 384, 476, 402, 371, 144, 498, 408, 349, 172, 389, 471, 397],
              ["73.1", "134", "36.4", "132", "36.7", "136"]),
    "Amber": ([4, 5, 3, 4, 4, 3, 4, 4, 4, 4, 3, 5, 4, 4, 3, 4, 5, 4],
              [9, 11, 15, 3, 7, 17, 1, 5, 13, 6, 16, 10, 4, 12, 18, 2, 14, 8],
              [331, 452, 138, 378, 321, 127, 355, 412, 358, 339, 122, 455, 371, 312, 141, 362, 438, 359],
              ["69.8", "123", "34.6", "121", "35.2", "125"]),
    "Heather": ([4, 5, 3, 4, 4, 3, 4, 5, 4, 4, 3, 5, 4, 4, 3, 5, 5, 4],
                [8, 12, 18, 2, 6, 16, 4, 14, 10, 5, 15, 11, 1, 9, 17, 3, 13, 7],
                [296, 408, 121, 344, 302, 112, 321, 398, 327, 309, 108, 411, 339, 287, 119, 404, 391, 322],
                ["72.4", "128", "35.9", "127", "36.5", "129"]),
}
FIRST = ("Alba Bram Cleo Dov Enya Finn Greta Hauke Ines Jory Kaja Lorne Mina Niall Orla Piet Quill Runa Silas "
         "Tove Ulf Vida Wren Xanthe Yara Zeno Aino Bodil Cato Dagny Eskil Freya Gorm Hedda Ivo Jette Kuno Liv "
         "Mats Nele").split()
LAST = ("Abberholt Bryndleigh Cawdrift Dunmarrow Elverstone Fenwrack Gullharbour Hazelmoor Inglewrath Jarrowfen "
        "Kelbrack Lintfold Marshwater Netherby-Sund Oxgarth Pellworm Quernstone Ravelsby Saltmeer Thornhaugh "
        "Ulverdyke Vossbeck Whinfell Yarrowden Zandhoek Ashquern Birkholt Coldstrand Dovermoss Eastwrack "
        "Frostgarth Glenmarram Heronsdyke Ivelbrook Kettlesand Loamstead Mirkdale Northsand Otterquay "
        "Peatling").split()
INDEXES = [43, 128, 215, 81, 274, 162, -14, 189, 337, 106, 240, 67, 149, 203, 301, 22]


def invent(name, seed, terms, entries, indexes=(), mixed_tees=False, names=()):
    """Return a competition with players, entries and random cards, as reading.load would."""
    rng, size = random.Random(f"{name} {seed}"), max(1, terms.get("side_size", 0))
    comp = SimpleNamespace(
        name=name, rng=rng, terms=terms, tees=read_tees(), players={}, entries={}, texts={}, status={},
        penalties={}, excluded=set(), draw=[], starts={}, rulings=[], matches=[], people={}, teams={})
    number = sum(map(ord, name))
    for at in range(entries * size):
        member = str(101 + (at * 37 + number) % 900).zfill(4)
        tenths = indexes[at] if at < len(indexes) else INDEXES[at % len(INDEXES)] + int(20 * rng.random())
        comp.people[member] = f"{FIRST[(at * 7 + number) % 40]} {LAST[(at * 11 + number) % 40]}"
        comp.players[member] = Fraction(tenths, 10)
    members, names = list(comp.players), terms["tees"]
    for at in range(entries):
        side = members[at * size:(at + 1) * size]
        one = terms.get("side") in ONE_BALL and not mixed_tees
        tees = [names[(at if one else at + k) % len(names)] for k in range(size)]
        comp.entries[side[0]] = list(zip(side, tees))
        comp.teams[side[0]] = f"{LAST[(at * 3 + number) % 40]} {size}" if size > 2 else ""
    if terms["format"] != "match":
        for entry in comp.entries:
            for n in range(1, terms["rounds"] + 1):
                draw_card(comp, entry, n)
    return comp


def bell(rng, mean, deviation):
    """A normal deviate by the Box-Muller method."""
    radius = math.sqrt(-2 * math.log(1 - rng.random()))
    return mean + deviation * radius * math.cos(2 * math.pi * rng.random())


def hole_score(rng, par, over):
    """A score on a hole for somebody who plays `over` above par on average."""
    score = par + math.floor(bell(rng, over, 0.75 + 0.16 * max(0.0, over)) + 0.5)
    return min(max(score, par - 2, 2), 2 * par + 2)


def draw_card(comp, entry, number):
    """Draw the whole card of an entry in a round."""
    terms = round_terms(comp.terms, number)
    comp.status[number, entry] = ""
    for at, ball in enumerate(balls_of(comp, entry, number, terms)):
        over = (ball.playing + bell(comp.rng, 4, 2)) / 18
        comp.texts[number, entry, at] = {
            h: str(hole_score(comp.rng, ball.tee.pars[h], over)) if h in terms["holes"] else "" for h in HOLES}


def search(comp, entry, numbers, cost):
    """Change single scores of an entry in some rounds until cost() is 0."""
    rng = comp.rng
    for _ in range(40):
        cells = [(at, h) for at, line in comp.texts.items() if at[0] in numbers and at[1] == entry
                 for h, text in line.items() if text.isdigit()]
        now = cost()
        for _ in range(1500):
            if now == 0:
                return
            old = []
            for _ in range(1 + int(2 * rng.random())):
                at, h = cells[int(rng.random() * len(cells))]
                par = comp.tees[comp.entries[entry][at[2]][1]].pars[h]
                old.append((at, h, comp.texts[at][h]))
                score = int(comp.texts[at][h]) + (1 if rng.random() < 0.5 else -1)
                comp.texts[at][h] = str(min(max(score, par - 1, 2), par + 4))
            then = cost()
            if then <= now or rng.random() < 0.02:
                now = then
            else:
                for at, h, text in reversed(old):
                    comp.texts[at][h] = text
        for n in numbers:
            draw_card(comp, entry, n)
    raise ValueError(f"{comp.name}: nothing found for {entry}")


def entry_at(comp, at):
    return list(comp.entries)[at]


def tie(comp, first, other, step, numbers=None, unlike=None):
    """Make two entries level in total until a step parts them ("level": none does).

    With unlike, changes of terms, they would stand the other way round under those."""
    first, other = entry_at(comp, first), entry_at(comp, other)
    numbers = numbers or range(1, comp.terms["rounds"] + 1)
    wanted = len(steps(comp)) + 1 if step == "level" else 1 + steps(comp).index(step)

    def part(changes=None):
        stated = comp.terms
        comp.terms = {**stated, **(changes or {})}
        a, b = key_of(comp, first), key_of(comp, other)
        comp.terms = stated
        return a, b

    def cost():
        a, b = part()
        value = sum(abs(x - y) for x, y in zip(a[:wanted], b))
        if value == 0 and wanted < len(a):
            value = int(a[wanted] == b[wanted])
        if value == 0 and unlike:
            c, d = part(unlike)
            value = int(c == d or (a < b) == (c < d))
        return value

    search(comp, other, numbers, cost)


def same_index(comp, first, other):
    """Give an entry's only player the index of another one."""
    comp.players[entry_at(comp, other)] = comp.players[entry_at(comp, first)]


def same_handicap(comp, first, other):
    """Give players of an entry other indexes, so that it has the handicap of another one in the last round."""
    last = comp.terms["rounds"]
    ball = balls_of(comp, entry_at(comp, first), last, round_terms(comp.terms, last))[0]
    give_handicap(comp, other, ball.playing)


def give_handicap(comp, at, playing):
    """Change indexes of an entry, of the last player first, until its ball has a playing handicap in the last round."""
    entry, last = entry_at(comp, at), comp.terms["rounds"]
    terms = round_terms(comp.terms, last)
    for member, _ in reversed(comp.entries[entry]):
        stated, found = comp.players[member] * 10, []
        for tenths in range(-40, 451):
            comp.players[member] = Fraction(tenths, 10)
            found.append((abs(balls_of(comp, entry, last, terms)[0].playing - playing), abs(tenths - stated), tenths))
        away, _, tenths = min(found)
        comp.players[member] = Fraction(tenths, 10)
        if away == 0:
            return
    raise ValueError(f"{comp.name}: no index for {entry}")


def aim(comp, at, number, total):
    """Make the card of an entry in a round add up to a total of the own ranking."""
    entry, ranking = entry_at(comp, at), comp.terms["ranking"]
    search(comp, entry, [number], lambda: abs(count_card(comp, entry, number).total[ranking] - total))


def put(comp, at, holes, text, number=1, ball=0):
    """Write the same on some holes of a card: PU, nothing or a score."""
    for h in holes:
        comp.texts[number, entry_at(comp, at), ball][h] = text


def spoil(comp, at, status, number=1, played=18):
    """Give a card a status; nothing stands after so many holes, and no card of a later round."""
    entry = entry_at(comp, at)
    comp.status[number, entry] = status
    for key, line in comp.texts.items():
        if key[:2] == (number, entry):
            line.update({h: "" for h in HOLES if h > played})
    drop(comp, entry, number)


def drop(comp, entry, after):
    """Take away the cards of an entry after a round."""
    for key in [k for k in comp.texts if k[1] == entry and k[0] > after]:
        del comp.texts[key]
    for key in [k for k in comp.status if k[1] == entry and k[0] > after]:
        del comp.status[key]


def cut(comp):
    """Take away the cards of those who missed the cut."""
    for entry in make_cut(comp)[1]:
        drop(comp, entry, comp.terms["cut"]["after_round"])


def stage(comp, number, at, sides, wanted, pick_up=(), concede_hole=None, concede_after=None):
    """Draw the holes of a match until it ends as wanted, and write nothing behind the end.

    pick_up: (side, ball, hole) without a score; concede_hole: (side, hole); concede_after: (side, holes)."""
    match = SimpleNamespace(round=number, number=at, sides=dict(zip("AB", sides)), scores={}, conceded=concede_after)
    while True:
        for side, entry in match.sides.items():
            match.scores[side] = []
            for ball in balls_of(comp, entry, number, comp.terms):
                over = (ball.playing + 4) / 18
                match.scores[side].append([str(hole_score(comp.rng, ball.tee.pars[h % 18 + 1], over))
                                           for h in range(18 + EXTRA)])
        for side, ball, hole in pick_up:
            match.scores[side][ball][hole - 1] = "PU"
        if concede_hole:
            match.scores[concede_hole[0]][0][concede_hole[1] - 1] = "C"
        for end in range(1, 19 + EXTRA):
            drawn = {side: [list(line) for line in lines] for side, lines in match.scores.items()}
            for line in drawn["A"] + drawn["B"]:
                line[end:] = [""] * (18 + EXTRA - end)
            try:
                out = play(comp, SimpleNamespace(**{**vars(match), "scores": drawn}))
            except (AssertionError, ValueError):
                continue  # not over yet
            if wanted(out) and (not concede_hole or end > concede_hole[1]) and all(end >= p[2] for p in pick_up):
                return record(comp, match, drawn, out)
            break


def record(comp, match, drawn, out):
    """Add a match to matches.csv; return its winner."""
    for side, entry in match.sides.items():
        for ball, line in enumerate(drawn[side]):
            row = {"round": match.round, "match": match.number, "side": side, "member_no": entry, "ball": ball}
            row.update({(f"h{n + 1}" if n < 18 else f"x{n - 17}"): text for n, text in enumerate(line)})
            mine = match.conceded and match.conceded[0] == side and ball == 0
            comp.matches.append({**row, "conceded_after": match.conceded[1] if mine else ""})
    return out.winner


RULING = ["order", "when", "round", "kind", "id", "member_no", "ball", "hole", "strokes", "score", "status",
          "rule", "reason"]


def rule(comp, kind, at=None, when="returned", **values):
    """Add a line to rulings.csv. Scores on the cards stay as they were returned."""
    row = dict.fromkeys(RULING, "")
    row.update(order=str(len(comp.rulings) + 1), when=when, round="1", kind=kind,
               **{name: str(value) for name, value in values.items()})
    if at is not None:
        row.update(member_no=entry_at(comp, at), ball="0")
    comp.rulings.append(row)
    if kind in ("penalty", "penalty_removed", "exclude_hole", "restore_hole"):
        apply_ruling(comp, row)


def text_of(value):
    """A handicap index as text: a plus handicap has a leading plus."""
    tenths = half_up(abs(value) * 10)
    return f"{'+' if value < 0 else ''}{tenths // 10}.{tenths % 10}"


def as_csv(header, rows):
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()


def terms_text(terms):
    """Terms as JSON, a line a field."""
    return "{\n" + ",\n".join(f"  {json.dumps(k)}: {json.dumps(v)}" for k, v in terms.items()) + "\n}\n"


def write(comp):
    """Write the input files of a competition."""
    folder = FORMATS / comp.name
    folder.mkdir(exist_ok=True)
    files = {
        "terms.json": terms_text(comp.terms),
        "players.csv": as_csv(["member_no", "name", "handicap_index", "index_date"],
                              [[m, comp.people[m], text_of(comp.players[m]), "2026-05-30"] for m in comp.players]),
        "entries.csv": as_csv(["member_no", "tee", "partners", "team_name"],
                              [[e, side[0][1], " ".join(f"{m}:{tee}" for m, tee in side[1:]), comp.teams[e]]
                               for e, side in comp.entries.items()]),
    }
    if comp.texts:
        lines = sorted(comp.texts, key=lambda at: (at[0], list(comp.entries).index(at[1]), at[2]))
        files["cards.csv"] = as_csv(
            ["round", "member_no", "ball", *(f"h{h}" for h in HOLES), "status"],
            [[*at, *(comp.texts[at][h] for h in HOLES), comp.status[at[:2]] if at[2] == 0 else ""] for at in lines])
    if comp.draw:
        sheets = ",\n".join("  " + json.dumps(sheet) for sheet in comp.draw)
        files["draw.json"] = f"[\n{sheets}\n]\n"
    if comp.rulings:
        files["rulings.csv"] = as_csv(RULING, [row.values() for row in comp.rulings])
    if comp.matches:
        files["matches.csv"] = as_csv(comp.matches[0], [row.values() for row in comp.matches])
    for name, text in files.items():
        (folder / name).write_bytes(text.encode("utf-8"))


def write_course():
    rows = [[COURSE, tee, h, pars[h - 1], indexes[h - 1], lengths[h - 1], *ratings]
            for tee, (pars, indexes, lengths, ratings) in TEES.items() for h in HOLES]
    (FORMATS / "course.csv").write_bytes(as_csv(
        ["course", "tee", "hole", "par", "stroke_index", "length_m", "course_rating", "slope_rating",
         "front_course_rating", "front_slope_rating", "back_course_rating", "back_slope_rating"],
        rows).encode("utf-8"))


def main():
    import competitions  # which needs the functions above
    write_course()
    for name in sys.argv[1:] or competitions.ALL:
        write(competitions.ALL[name](name))


if __name__ == "__main__":
    sys.modules["invent"] = sys.modules["__main__"]  # competitions.py imports this very module
    main()
