#!/usr/bin/env python3
"""Work out the expected results of the invented competitions from their files.

A second opinion: it shares no code with the service, uses exact fractions
throughout and needs nothing but the standard library of Python 3.

    python3 work_out.py [name ...]            write <name>/expected/*.csv
    python3 work_out.py --check [name ...]    write nothing; exit 1 if a file differs

Without a name all competitions are worked out. The rules that are followed stand
in ../README.md and beside the functions in handicaps.py (what a ball receives),
counting.py (what a card is worth), ranking.py (totals, cut, ties), matches.py.
"""

import csv
import io
import sys

sys.dont_write_bytecode = True  # leave no cache beside the data

from counting import count_card, figures, sign_of
from matches import play, read_matches, table
from ranking import key_of, make_cut, positions, rounds_of, status_of, steps, tie_notes
from reading import FORMATS, load

TOTALS = ["gross", "net", "points", "gross_points", "par_bogey", "counted"]


def as_csv(rows):
    """Return dictionaries of the same keys as CSV text with line feeds."""
    text = io.StringIO()
    writer = csv.DictWriter(text, rows[0], lineterminator="\n")
    writer.writeheader()
    writer.writerows(rows)
    return text.getvalue()


def joined(values):
    """The values of the holes in play as one field; - where there is none."""
    return " ".join("-" if v is None else str(v) for v in values)


def blank_totals():
    return dict.fromkeys(TOTALS, "")


def ball_row(entry, number, at, ball, strokes):
    return {"round": number, "member_no": entry, "ball": at, "player": ball.member, "tee": ball.tee.name,
            "course_handicap_unrounded": ball.course, "shares": ball.shares,
            "playing_handicap": ball.playing, "strokes": joined(strokes.values())}


def field_result(comp):
    """The files of a competition in which cards are ranked."""
    through, missed, line = make_cut(comp)
    ranking, last = comp.terms["ranking"], comp.terms["rounds"]
    ranked = [e for e in comp.entries if status_of(comp, e, missed) == ""]
    assert all(len(rounds_of(comp, e)) == last for e in ranked), comp.name
    keys = {e: key_of(comp, e) for e in ranked}
    place, notes = positions(keys), tie_notes(keys, steps(comp), sign_of(comp.terms))
    results, rounds, balls = [], [], []
    for entry in comp.entries:
        status, sums = status_of(comp, entry, missed), blank_totals()
        for number in rounds_of(comp, entry):
            card = count_card(comp, entry, number)
            totals = blank_totals() if card.status else {**blank_totals(), **figures(card)}
            for name in TOTALS:
                if number > 1 and (totals[name] in ("", None) or sums[name] in ("", None)):
                    sums[name] = ""
                else:
                    sums[name] = totals[name] if number == 1 else sums[name] + totals[name]
            rounds.append({
                "round": number, "member_no": entry, "status": card.status, **totals,
                "by_hole": "" if card.status else joined(card.by_hole[ranking].values()),
                "balls_counting": "" if card.status or len(card.balls) == 1 else joined(
                    "+".join(map(str, b)) for b in card.used[ranking].values())})
            balls += [ball_row(entry, number, at, ball, ball.strokes) for at, ball in enumerate(card.balls)]
        results.append({"member_no": entry, "status": status, "position": place.get(entry, ""),
                        **(blank_totals() if status not in ("", "MC") else sums),
                        "tie_note": notes.get(entry, "")})
    files = {"result.csv": results, "rounds.csv": rounds, "balls.csv": balls}
    if missed:
        files["cut.csv"] = [{"after_round": comp.terms["cut"]["after_round"], "line": line,
                             "through": " ".join(through), "missed": " ".join(missed)}]
    return files


def match_result(comp):
    """The files of a match competition."""
    rows, balls, played = [], [], []
    for match in read_matches(comp):
        out = play(comp, match)
        a, b = match.sides["A"], match.sides["B"]
        rows.append({"round": match.round, "match": match.number, "side_a": a, "side_b": b,
                     "received_a": joined(out.received["A"]), "received_b": joined(out.received["B"]),
                     "lead": joined(out.lead), "result": out.text, "winner": out.winner, "by": out.by})
        played.append((a, b, out.winner, out.by))
        for side, entry in match.sides.items():
            balls += [ball_row(entry, match.round, at, ball, out.strokes[side][at])
                      for at, ball in enumerate(out.balls[side])]
    check_draw(comp, rows)
    files = {"matches.csv": rows, "balls.csv": balls}
    if comp.terms["match"]["bracket"] == "round_robin":
        files["table.csv"] = table(list(comp.entries), played)
    return files


def check_draw(comp, rows):
    """The matches are those of draw.json; in a knockout neighbours' winners meet."""
    winners = None
    for sheet in comp.draw:
        groups = [g["entries"] for g in sheet["groups"]]
        assert groups == [[r["side_a"], r["side_b"]] for r in rows if r["round"] == sheet["round"]]
        if comp.terms["match"]["bracket"] != "knockout":
            continue
        slots = sheet["bracket"]
        assert winners in (None, slots), (comp.name, sheet["round"])
        won = {e: r["winner"] for r in rows if r["round"] == sheet["round"] for e in (r["side_a"], r["side_b"])}
        winners = [won.get(slots[i] or slots[i + 1], slots[i] or slots[i + 1]) for i in range(0, len(slots), 2)]


def main():
    words = sys.argv[1:]
    names = [w for w in words if w != "--check"] or sorted(p.parent.name for p in FORMATS.glob("*/terms.json"))
    differing = 0
    for name in names:
        comp = load(name)
        files = (match_result if comp.terms["format"] == "match" else field_result)(comp)
        folder = FORMATS / name / "expected"
        folder.mkdir(exist_ok=True)
        unknown = {p.name for p in folder.iterdir()} - set(files)
        assert not unknown, f"{name}/expected has {unknown}, which nothing works out"
        for file, rows in files.items():
            path, text = folder / file, as_csv(rows).encode("utf-8")
            if "--check" not in words:
                path.write_bytes(text)
            elif not path.exists() or path.read_bytes() != text:
                differing += 1
                print(f"{name}/expected/{file} DIFFERS")
    print(f"{len(names)} competitions, {differing} files differ" if "--check" in words else f"{len(names)} written")
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
