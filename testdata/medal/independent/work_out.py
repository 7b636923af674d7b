#!/usr/bin/env python3
"""Work out the expected result of the invented medal from its CSV files.

A second opinion: it shares no code with the service, uses exact fractions
throughout and needs nothing but the standard library of Python 3.

    python3 work_out.py            write ../expected/*.csv and print a summary
    python3 work_out.py --check    write nothing; exit 1 if a file differs

Rules followed (Rules of Handicapping 2024, Rules of Golf 2023):
  course handicap    index x slope / 113 + (course rating - par)      6.1a
  playing handicap   unrounded course handicap x allowance, plus the own
                     tee's par less the lowest par in the competition,
                     rounded once, half up                            6.2, App. C
  strokes            by stroke index, 1 to 18 and round again; a plus
                     player gives back from 18 downwards              App. C, E
  Stableford         2 points for net par, one more or less a stroke,
                     never below 0, no cap above                      21.1b
  countback          gross on the window less window/18 of the playing
                     handicap, unrounded                              CP 5A(6)
"""

import csv
import io
import json
import math
import sys
from collections import Counter
from fractions import Fraction
from pathlib import Path

HERE = Path(__file__).resolve().parent
MEDAL = HERE.parent
HOLES = range(1, 19)
STATUSES = ("", "NR", "RTD", "WD", "NS", "DQ")


def read_table(name):
    """Return the rows of a CSV file beside the README as dictionaries."""
    with open(MEDAL / name, encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file, strict=True))


def index_value(text):
    """Return a handicap index as a fraction: "+2.3" is -23/10."""
    return -Fraction(text[1:]) if text.startswith("+") else Fraction(text)


def half_up(value):
    """Round to a whole number, halves toward plus infinity."""
    return math.floor(value + Fraction(1, 2))


def read_tees():
    """Return tee name -> rating, slope, par and the par and index by hole."""
    tees = {}
    for row in read_table("course.csv"):
        tee = tees.setdefault(row["tee"], {
            "rating": Fraction(row["course_rating"]),
            "slope": int(row["slope_rating"]),
            "pars": {},
            "indexes": {},
        })
        hole = int(row["hole"])
        tee["pars"][hole] = int(row["par"])
        tee["indexes"][hole] = int(row["stroke_index"])
    for name, tee in tees.items():
        assert sorted(tee["pars"]) == list(HOLES), name
        assert sorted(tee["indexes"].values()) == list(HOLES), name
        tee["par"] = sum(tee["pars"].values())
    return tees


def course_handicap(index, tee):
    """Unrounded course handicap, Rule 6.1a."""
    return index * tee["slope"] / 113 + (tee["rating"] - tee["par"])


def playing_handicap(index, tee, percent, par_difference):
    """Playing handicap, Rule 6.2 and Appendix C: one rounding, at the end."""
    return half_up(course_handicap(index, tee) * percent / 100 + par_difference)


def strokes_by_hole(handicap, indexes):
    """Deal the strokes out one at a time, as a person with a card would."""
    strokes = dict.fromkeys(HOLES, 0)
    hole_of = {stroke_index: hole for hole, stroke_index in indexes.items()}
    order = list(HOLES) if handicap >= 0 else list(reversed(HOLES))
    for dealt in range(abs(handicap)):
        strokes[hole_of[order[dealt % 18]]] += 1 if handicap > 0 else -1
    return strokes


def holes_of(window):
    """"13-18" -> 13..18, "18" -> 18."""
    first, _, last = window.partition("-")
    return range(int(first), int(last or first) + 1)


def shares(by_hole, handicap, windows, rounded=False):
    """Value of a card in each countback window; lower is better."""
    values = []
    for window in windows:
        holes = holes_of(window)
        share = Fraction(handicap * len(holes), 18)
        values.append(sum(by_hole[h] for h in holes) - (half_up(share) if rounded else share))
    return values


def positions(members, key):
    """Positions by key: member -> "1", "2", "T3", "T3", "5" ..."""
    order = sorted(members, key=key)
    counts = Counter(map(lambda m: tuple(key(m)), order))
    result, place_of = {}, {}
    for place, member in enumerate(order, start=1):
        value = tuple(key(member))
        place_of.setdefault(value, place)
        result[member] = ("T" if counts[value] > 1 else "") + str(place_of[value])
    return result


def decided_in(one, other, windows):
    """Name of the first window in which two lists of values differ, or None."""
    for window, a, b in zip(windows, one, other):
        if a != b:
            return window
    return None


def countback_notes(members, total, values, windows, shown=lambda v: v):
    """Say for every member of a tied group what decided; count ties by window.

    The count takes the neighbours in the final order of each group, so a group
    of n cards contributes n - 1 decisions.
    """
    notes, decisions = dict.fromkeys(members, ""), Counter()
    groups = {}
    for member in sorted(members, key=lambda m: (total(m), values(m), m)):
        groups.setdefault(total(member), []).append(member)
    for group in groups.values():
        for place, member in enumerate(group):
            if len(group) == 1:
                continue
            parts = []
            for neighbour, word in ((place - 1, "behind"), (place + 1, "ahead of")):
                if not 0 <= neighbour < len(group):
                    continue
                other = group[neighbour]
                window = decided_in(values(member), values(other), windows)
                if window is None:
                    parts.append(f"level with {other} in every window")
                else:
                    at = windows.index(window)
                    parts.append(f"{word} {other} on {window} "
                                 f"({shown(values(member)[at])} to {shown(values(other)[at])})")
                if word == "ahead of":
                    decisions[window or "not decided"] += 1
            notes[member] = "; ".join(parts)
    return notes, decisions


def division_of(index, divisions):
    """Name of the division that an index belongs to."""
    for division in divisions:
        low, high = division["index_from"], division["index_to"]
        if (low is None or index >= Fraction(low)) and index <= Fraction(high):
            return division["name"]
    raise ValueError(f"no division for {index}")


def as_csv(header, rows):
    """Return a table as CSV text with line feeds."""
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(header)
    writer.writerows(rows)
    return text.getvalue()


def joined(values):
    """Eighteen values as one field."""
    return " ".join(str(v) for v in values)


def load():
    """Return terms, tees and one record for each entry, in the order of entries.csv."""
    terms = json.loads((MEDAL / "terms.json").read_text(encoding="utf-8"))
    tees = read_tees()
    players = {row["member_no"]: row for row in read_table("players.csv")}
    cards = {row["member_no"]: row for row in read_table("cards.csv")}
    lowest_par = min(tees[name]["par"] for name in terms["tees"])
    percent = terms["allowance_percent"]
    entries = {}
    for row in read_table("entries.csv"):
        member, tee = row["member_no"], tees[row["tee"]]
        player, card = players[member], cards[member]
        index = index_value(player["handicap_index"])
        assert card["status"] in STATUSES, member
        written = {h: card[f"h{h}"] for h in HOLES}
        scores = {h: int(text) for h, text in written.items() if text not in ("", "PU")}
        assert card["status"] or len(scores) == 18, f"{member}: returned without 18 scores"
        medal = playing_handicap(index, tee, percent, tee["par"] - lowest_par)
        points_handicap = playing_handicap(index, tee, percent, 0)
        entries[member] = {
            "member": member, "name": player["name"], "tee_name": row["tee"], "tee": tee,
            "index_text": player["handicap_index"], "index": index,
            "course_handicap": course_handicap(index, tee),
            "playing_handicap": medal, "strokes": strokes_by_hole(medal, tee["indexes"]),
            "points_handicap": points_handicap,
            "points_strokes": strokes_by_hole(points_handicap, tee["indexes"]),
            "scores": scores, "written": written, "status": card["status"],
            "division": division_of(index, terms["divisions"]),
        }
    return terms, tees, entries


def medal_result(terms, entries):
    """Return the rows of result.csv, the rankings and the decisions by window."""
    windows = terms["tie_method"]["windows"]
    returned = [m for m, e in entries.items() if not e["status"]]
    for member in returned:
        entry = entries[member]
        entry["gross"] = sum(entry["scores"].values())
        entry["net"] = entry["gross"] - entry["playing_handicap"]
        entry["net_values"] = shares(entry["scores"], entry["playing_handicap"], windows)
        entry["gross_values"] = shares(entry["scores"], 0, windows)
        entry["half_up_values"] = shares(entry["scores"], entry["playing_handicap"], windows, True)

    def net_key(member):
        return [entries[member]["net"], *entries[member]["net_values"]]

    def gross_key(member):
        return [entries[member]["gross"], *entries[member]["gross_values"]]

    def half_up_key(member):
        return [entries[member]["net"], *entries[member]["half_up_values"]]

    net, gross = positions(returned, net_key), positions(returned, gross_key)
    in_division = {}
    for division in terms["divisions"]:
        of_division = [m for m in returned if entries[m]["division"] == division["name"]]
        in_division.update(positions(of_division, net_key))
    notes, net_decisions = countback_notes(
        returned, lambda m: entries[m]["net"], lambda m: entries[m]["net_values"], windows)
    _, gross_decisions = countback_notes(
        returned, lambda m: entries[m]["gross"], lambda m: entries[m]["gross_values"], windows)
    rows = []
    for member, entry in entries.items():
        rows.append([
            member, entry["tee_name"], entry["index_text"], entry["course_handicap"],
            entry["playing_handicap"], joined(entry["strokes"][h] for h in HOLES),
            entry.get("gross", ""), entry.get("net", ""),
            gross.get(member, ""), net.get(member, ""),
            entry["division"], in_division.get(member, ""), entry["status"], notes.get(member, ""),
        ])
    rankings = {"net": net, "gross": gross, "in_division": in_division,
                "net_key": net_key, "gross_key": gross_key,
                "half_up": positions(returned, half_up_key), "returned": returned}
    return rows, rankings, net_decisions, gross_decisions


def stableford_result(terms, entries):
    """Return the rows of stableford.csv and the decisions by window.

    A card whose only fault is a hole without a score (NR) counts here: that
    hole is worth 0 points. RTD, WD, NS and DQ stay without a total.
    """
    windows = terms["tie_method"]["windows"]
    status, points = {}, {}
    for member, entry in entries.items():
        status[member] = "" if entry["status"] == "NR" else entry["status"]
        points[member] = {}
        for hole in HOLES:
            if hole in entry["scores"]:
                net = entry["scores"][hole] - entry["points_strokes"][hole]
                points[member][hole] = max(0, 2 + entry["tee"]["pars"][hole] - net)
            elif entry["written"][hole] == "PU":
                points[member][hole] = 0
    counting = [m for m in entries if not status[m]]
    values = {m: [-sum(points[m][h] for h in holes_of(w)) for w in windows] for m in counting}
    total = {m: sum(points[m].values()) for m in counting}
    place = positions(counting, lambda m: [-total[m], *values[m]])
    notes, decisions = countback_notes(
        counting, lambda m: -total[m], lambda m: values[m], windows, shown=lambda v: -v)
    rows = []
    for member, entry in entries.items():
        rows.append([
            member, entry["tee_name"], entry["index_text"], entry["points_handicap"],
            joined(entry["points_strokes"][h] for h in HOLES),
            joined(points[member].get(h, "-") for h in HOLES),
            total.get(member, ""), place.get(member, ""), status[member], notes.get(member, ""),
        ])
    return rows, decisions


def prize_rows(terms, entries, rankings):
    """Give the prizes in the order of the terms, one a player.

    A player who has a prize is passed over. Two players level in every window
    for the same prize are not foreseen by the terms: that stops the script.
    """
    taken, rows = set(), []
    for prize in terms["prizes"]["order"]:
        key = rankings[prize["score"] + "_key"]
        order = sorted((m for m in rankings["returned"]
                        if prize["division"] in (None, entries[m]["division"])), key=key)
        for place in range(1, prize["places"] + 1):
            free = [m for m in order if m not in taken]
            passed = [m for m in order[:order.index(free[0])]]
            assert key(free[0]) != key(free[1]), f"tie for {prize['category']} {place}"
            winner = free[0]
            taken.add(winner)
            ranking = ("gross" if prize["score"] == "gross" else
                       "in_division" if prize["division"] else "net")
            rows.append([len(rows) + 1, prize["category"], place, winner, entries[winner]["name"],
                         entries[winner][prize["score"]], rankings[ranking][winner],
                         " ".join(passed)])
    return rows


def summary(entries, rankings, decisions):
    """Print what a reader wants to know about the field."""
    returned = rankings["returned"]
    print("entries", len(entries), "returned", len(returned),
          "statuses", dict(Counter(e["status"] for e in entries.values() if e["status"])))
    for name, counter in decisions.items():
        print(f"ties decided, {name}:", dict(counter))
    nets = Counter(entries[m]["net"] for m in returned)
    print("nets shared by more than one card:",
          {n: c for n, c in sorted(nets.items()) if c > 1})
    for member in returned:
        exact, rounded = rankings["net"][member], rankings["half_up"][member]
        if exact != rounded:
            print(f"{member}: position {exact} by the exact share, {rounded} by shares rounded half up")
    for member, entry in entries.items():
        exact = entry["course_handicap"] * 95 / 100
        distance = abs(exact - math.floor(exact) - Fraction(1, 2))
        if distance <= Fraction(1, 100):
            first = half_up(Fraction(95, 100) * half_up(entry["course_handicap"]))
            print(f"{member}: course handicap x 95% = {float(exact):.4f} -> {half_up(exact)}"
                  f" (course handicap rounded first: {first})")


def main():
    terms, _, entries = load()
    rows, rankings, net_decisions, gross_decisions = medal_result(terms, entries)
    points, points_decisions = stableford_result(terms, entries)
    files = {
        "result.csv": as_csv(
            ["member_no", "tee", "handicap_index", "course_handicap_unrounded", "playing_handicap",
             "strokes", "gross", "net", "gross_position", "net_position", "division",
             "division_net_position", "status", "countback_note"], rows),
        "stableford.csv": as_csv(
            ["member_no", "tee", "handicap_index", "playing_handicap", "strokes", "points", "total",
             "position", "status", "countback_note"], points),
        "prizes.csv": as_csv(
            ["order", "category", "place", "member_no", "name", "score", "ranking_position",
             "passed_over"], prize_rows(terms, entries, rankings)),
    }
    differing = 0
    for name, text in files.items():
        path = MEDAL / "expected" / name
        if "--check" in sys.argv[1:]:
            same = path.exists() and path.read_bytes() == text.encode("utf-8")
            print(name, "same" if same else "DIFFERS")
            differing += not same
        else:
            path.write_bytes(text.encode("utf-8"))
    summary(entries, rankings, {"net": net_decisions, "gross": gross_decisions,
                                "Stableford": points_decisions})
    return 1 if differing else 0


if __name__ == "__main__":
    sys.exit(main())
