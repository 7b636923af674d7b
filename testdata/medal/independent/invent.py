#!/usr/bin/env python3
"""Invent the course, the players, the entries and the cards of the medal.

Everything that comes out is invented. The seed is fixed and only
Random.random() is drawn from, so a second run writes the same bytes.

    python3 invent.py    write ../course.csv, players, entries, cards, variants

Most cards are drawn at random. Some are built in tied groups, so that every
countback window decides at least one tie (see GROUPS). The playing handicaps
needed for that come from work_out.py, the script beside this one.
"""

import math
import random
import sys

sys.dont_write_bytecode = True  # leave no cache beside the data

import work_out
from work_out import HOLES, MEDAL, as_csv

SEED = 20250614
COURSE = "Thrumsay Links"

# par, stroke index and length in metres for holes 1 to 18; the ratings follow.
TEES = {
    "White": {
        "par": [4, 4, 3, 5, 4, 4, 3, 4, 5, 4, 3, 4, 5, 4, 4, 3, 4, 5],
        "index": [9, 3, 17, 7, 13, 1, 15, 5, 11, 8, 18, 4, 12, 2, 10, 16, 6, 14],
        "length": [371, 408, 158, 502, 356, 431, 176, 402, 487,
                   384, 149, 414, 495, 427, 362, 183, 398, 511],
        "ratings": ["74.4", "138", "37.0", "136", "37.4", "140"],
    },
    "Yellow": {
        "par": [4, 4, 3, 5, 4, 4, 3, 4, 5, 4, 3, 4, 5, 4, 4, 3, 4, 5],
        "index": [9, 3, 17, 7, 13, 1, 15, 5, 11, 8, 18, 4, 12, 2, 10, 16, 6, 14],
        "length": [338, 371, 139, 458, 322, 394, 152, 366, 446,
                   347, 128, 377, 452, 388, 329, 157, 361, 468],
        "ratings": ["70.0", "120", "34.9", "119", "35.1", "121"],
    },
    "Red": {
        "par": [4, 4, 3, 5, 4, 5, 3, 4, 5, 4, 3, 4, 5, 4, 4, 3, 4, 5],
        "index": [7, 3, 15, 11, 1, 13, 17, 5, 9, 10, 16, 4, 8, 2, 12, 18, 6, 14],
        "length": [301, 332, 121, 408, 309, 385, 129, 327, 402,
                   312, 112, 339, 411, 346, 296, 133, 324, 421],
        "ratings": ["72.1", "129", "", "", "", ""],
    },
}

# member_no, name, handicap index, date of the index, tee.
PLAYERS = [
    ("0107", "Zoë Ravensdale", "16.0", "2025-06-13", "Red"),
    ("0023", "Łukasz Brzezina", "12.3", "2025-06-12", "Yellow"),
    ("0411", "Søren Klitgård", "8.5", "2025-06-13", "White"),
    ("0236", "Aoife O'Hanrahan", "18.3", "2025-06-10", "Red"),
    ("0058", "Tolliver Marsh, jun.", "+0.8", "2025-06-13", "White"),
    ("0319", "Ingrid \"Bibi\" Vasström", "21.0", "2025-06-08", "Red"),
    ("1204", "Nguyễn Thanh Sóng", "22.2", "2025-06-13", "Yellow"),
    ("0772", "Jorge Peñalba", "4.5", "2025-06-11", "White"),
    ("0650", "Þórdís Hvanndal", "6.3", "2025-06-13", "Red"),
    ("0009", "Ottoline Farthing", "24.3", "2025-05-30", "Red"),
    ("0485", "Kwabena Osei-Tutuola", "6.5", "2025-06-13", "White"),
    ("1017", "Hemi Rangatoa", "19.6", "2025-06-12", "Yellow"),
    ("0393", "Çağla Denizer", "21.6", "2025-06-13", "Red"),
    ("0148", "François Lenormeau", "22.6", "2025-06-09", "White"),
    ("0866", "Bronagh Tullywhin", "12.9", "2025-06-13", "Red"),
    ("0271", "Dafydd Llanerchwen", "5.9", "2025-06-13", "Yellow"),
    ("0934", "Mirela Vrânceanca", "32.6", "2025-06-01", "Red"),
    ("1111", "Takumi Isohara", "17.0", "2025-06-13", "White"),
    ("0502", "Priyanka Deshvardhan", "3.1", "2025-06-13", "Red"),
    ("0640", "Gaspard Roncevin", "11.4", "2025-06-12", "White"),
    ("0318", "Ewa Jeziorańska", "11.4", "2025-06-13", "Red"),
    ("0777", "Jiří Vlnohrad", "17.5", "2025-06-11", "Yellow"),
    ("0081", "Åsa Fyrholm", "19.7", "2025-06-13", "Red"),
    ("0220", "Ruaridh MacStrand", "+2.3", "2025-06-13", "Yellow"),
    ("1302", "Chidi Ekwueme-Bright", "14.5", "2025-06-13", "Yellow"),
    ("0943", "Leilani Kahoʻokai", "28.0", "2025-06-07", "Red"),
    ("0015", "Percival Dunnet", "34.1", "2025-04-26", "Yellow"),
    ("0366", "Winnifred Samphire", "40.1", "2025-05-17", "Red"),
    ("0589", "Matteo Ondarossa", "15.7", "2025-06-13", "White"),
    ("0704", "Björn Tångvik", "4.0", "2025-06-13", "White"),
    ("0833", "Katrijn van der Zeekant", "7.7", "2025-06-12", "Red"),
    ("0190", "Anselm Küstermann", "9.0", "2025-06-13", "Yellow"),
    ("1250", "Marisol Quebrantahoz", "+1.2", "2025-06-13", "Red"),
    ("0427", "Yusuf Karadalga", "11.3", "2025-06-13", "Yellow"),
    ("0612", "Tamsin Pencarreg", "10.0", "2025-06-10", "Red"),
    ("0355", "Rónán Mac Giollagáin", "9.9", "2025-06-13", "Yellow"),
    ("0718", "Saoirse Ní Thrá", "18.4", "2025-06-13", "Red"),
    ("1088", "Emeka Obiladi", "18.5", "2025-06-12", "Yellow"),
    ("0979", "Seo-yeon Haebyeon", "0.0", "2025-06-13", "White"),
    ("1406", "Li Wanhai", "10.3", "2025-06-13", "Yellow"),
    ("0064", "Pádraig Duneen", "23.2", "2025-06-06", "Yellow"),
    ("0297", "Elspeth Gorsebank", "26.4", "2025-06-13", "Red"),
    ("0531", "Václav Přímořský", "13.6", "2025-06-13", "White"),
    ("0808", "Nils Sandhamre", "29.5", "2025-06-11", "White"),
    ("0126", "Agnethe Øyhavn", "15.1", "2025-06-13", "Red"),
    ("0694", "Casimir Wydmański", "33.1", "2025-06-03", "Yellow"),
    ("1155", "Joaquim Areal", "+0.6", "2025-06-13", "Yellow"),
    ("0452", "Beatriz Dunalva", "20.8", "2025-06-13", "Yellow"),
    ("0901", "Oluwaseun Adeshore", "8.1", "2025-06-13", "White"),
    ("0033", "Harriet Wrackham", "36.0", "2025-05-24", "Red"),
    ("0212", "Mungo Tidewell", "27.5", "2025-06-05", "Yellow"),
    ("0748", "Phyllida Breaker", "24.9", "2025-06-13", "Red"),
    ("0560", "Cosmo Tarnhow", "0.4", "2025-06-13", "Yellow"),
    ("0003", "Ambrose Kelpie", "33.8", "2025-03-29", "White"),
    ("1333", "Rosalind Whinney", "13.8", "2025-06-12", "Red"),
    ("1270", "Sanjay Thirukadal", "16.8", "2025-06-13", "Yellow"),
    ("0882", "Noor Zandstra", "20.2", "2025-06-13", "Yellow"),
    ("1029", "Gwenllian Morfa", "22.9", "2025-06-09", "Red"),
    ("0174", "Edmund Skerrybrook", "25.6", "2025-06-13", "Yellow"),
    ("0467", "Ulla Dünengras", "12.0", "2025-06-13", "White"),
]

# A tied group: the net they share, the first member, and for each other
# member how its strokes differ from the first one's share in each block of
# BLOCKS. Differences are in gross strokes.
BLOCKS = [(1, 3), (4, 6), (7, 8), (9, 9), (10, 12), (13, 15), (16, 17), (18, 18)]
GROUPS = [
    # Exact share and half-up share give the two another order: 11/2 and 12/2.
    (66, "0023", {"0411": [1, 0, 0, 0, -1, 1, 0, 0]}),
    (69, "0107", {"1204": [0, 1, 0, 0, 1, 1, 0, 0]}),        # 10-18, shares differ by 3/2
    (70, "0772", {"0485": [1, 0, 0, 0, 1, 0, 0, 0]}),        # 13-18
    (71, "1017", {"0393": [1, 1, 1, 0, 1, 0, 2, 0]}),        # 16-18
    (72, "0704", {"0190": [-1, 0, 0, 0, 0, 1, 0, 0],         # three: 10-18, then 13-18
                  "0650": [-1, 0, 0, 0, -1, 1, 1, 0]}),
    (73, "0319", {"0148": [1, 1, 0, 1, 1, 1, 1, 0]}),        # 18, by a third of a stroke
    (75, "0271", {"1111": [4, 2, 2, 1, 3, 3, 2, 1]}),        # 4-9, 18 strokes apart
    (76, "0640", {"0777": [0, 1, -1, 0, 0, 0, 0, 0]}),       # 7-9
    (77, "0318", {"1302": [0, 0, 1, -1, 0, 0, 0, 0]}),       # 9
    (78, "0589", {"0236": [0, 0, 0, 0, 0, 0, 0, 0]}),        # level throughout
]
GROSS_WINNER = ("0058", 67)
DISQUALIFIED = ("0882", 65)  # would have won: a card that must not count
HOLE_IN_ONE = ("0212", 11)

rng = random.Random(SEED)


def bell(mean, deviation):
    """A normal deviate by the Box-Muller method."""
    radius = math.sqrt(-2 * math.log(1 - rng.random()))
    return mean + deviation * radius * math.cos(2 * math.pi * rng.random())


def hole_score(par, stroke_index, over):
    """A score on a hole for somebody who plays `over` above par on average."""
    mean = over + (9.5 - stroke_index) * 0.025
    score = par + math.floor(bell(mean, 0.75 + 0.16 * max(0.0, over)) + 0.5)
    if rng.random() < 0.03 + 0.03 * max(0.0, over):
        score += 1 + math.floor(3 * rng.random())
    return min(max(score, par - 2, 2), 2 * par + 4)


def draw_holes(entry, holes, over):
    """Scores on some holes."""
    tee = entry["tee"]
    return {h: hole_score(tee["pars"][h], tee["indexes"][h], over) for h in holes}


def draw_sum(entry, holes, wanted):
    """Scores on some holes that add up to what is wanted."""
    over = (wanted - sum(entry["tee"]["pars"][h] for h in holes)) / len(holes)
    while True:
        scores = draw_holes(entry, holes, over - 0.1)
        if sum(scores.values()) == wanted:
            return scores


def draw_card(entry):
    """A card of a player who is out for a usual round."""
    over_par = entry["playing_handicap"] + bell(5.5, 3.2)
    while True:
        scores = draw_holes(entry, HOLES, over_par / 18 - 0.1)
        gross = sum(scores.values())
        if gross >= 70 and gross - entry["playing_handicap"] >= 69:
            return scores


def block_holes(block):
    return range(block[0], block[1] + 1)


def invent_cards(entries):
    """Return member -> hole -> text, and member -> status."""
    cards = {m: {} for m in entries}
    for net, first, others in GROUPS:
        lead = entries[first]
        cards[first] = draw_sum(lead, HOLES, net + lead["playing_handicap"])
        for member, differences in others.items():
            entry = entries[member]
            assert sum(differences) == entry["playing_handicap"] - lead["playing_handicap"], member
            for block, difference in zip(BLOCKS, differences):
                holes = block_holes(block)
                wanted = sum(cards[first][h] for h in holes) + difference
                cards[member].update(draw_sum(entry, holes, wanted))
    for member, net in (GROSS_WINNER, DISQUALIFIED):
        cards[member] = draw_sum(entries[member], HOLES, net + entries[member]["playing_handicap"])
    for member in entries:
        if not cards[member]:
            cards[member] = draw_card(entries[member])
    member, hole = HOLE_IN_ONE
    cards[member][hole] = 1

    status = dict.fromkeys(entries, "")
    status["0748"] = "NR"      # picked up on the 9th
    cards["0748"][9] = "PU"
    status["0015"] = "RTD"     # stopped after the 11th
    cards["0015"] = {h: s for h, s in cards["0015"].items() if h <= 11}
    status["0297"] = "WD"      # told the committee beforehand
    status["1270"] = "NS"      # did not appear
    cards["0297"], cards["1270"] = {}, {}
    status[DISQUALIFIED[0]] = "DQ"  # marker did not certify
    return cards, status


def write(name, text):
    (MEDAL / name).write_bytes(text.encode("utf-8"))


def spreadsheet_variant(rows, decimal_column=None):
    """The table as some spreadsheets export it: BOM, semicolon, CRLF, comma as decimal mark."""
    out = []
    for number, row in enumerate(rows):
        row = list(row)
        if number and decimal_column is not None:
            row[decimal_column] = row[decimal_column].replace(".", ",")
        cells = ['"' + c.replace('"', '""') + '"' if any(x in c for x in ';"\r\n') else c for c in row]
        out.append(";".join(cells) + "\r\n")
    return "\ufeff" + "".join(out)


def main():
    assert len(PLAYERS) == 60 and len({p[0] for p in PLAYERS}) == 60 and len({p[1] for p in PLAYERS}) == 60
    course = []
    for tee, data in TEES.items():
        for hole in HOLES:
            course.append([COURSE, tee, hole, data["par"][hole - 1], data["index"][hole - 1],
                           data["length"][hole - 1], *data["ratings"]])
    write("course.csv", as_csv(
        ["course", "tee", "hole", "par", "stroke_index", "length_m", "course_rating", "slope_rating",
         "front_course_rating", "front_slope_rating", "back_course_rating", "back_slope_rating"],
        course))
    players = [["member_no", "name", "handicap_index", "index_date"]] + [list(p[:4]) for p in PLAYERS]
    by_start = sorted(PLAYERS, key=lambda p: (int(p[0]) * 37) % 61)
    entries = [["member_no", "tee"]] + [[p[0], p[4]] for p in by_start]
    write("players.csv", as_csv(players[0], players[1:]))
    write("entries.csv", as_csv(entries[0], entries[1:]))
    write("variants/players-bom-semicolon-decimal-comma.csv", spreadsheet_variant(players, 2))
    write("variants/entries-bom-semicolon.csv", spreadsheet_variant(entries))

    tees = work_out.read_tees()
    lowest = min(t["par"] for t in tees.values())
    records = {}
    for member, _, index, _, tee in PLAYERS:
        records[member] = {"tee": tees[tee], "playing_handicap": work_out.playing_handicap(
            work_out.index_value(index), tees[tee], 95, tees[tee]["par"] - lowest)}
    cards, status = invent_cards(records)
    write("cards.csv", as_csv(
        ["member_no", *(f"h{h}" for h in HOLES), "status"],
        [[p[0], *(cards[p[0]].get(h, "") for h in HOLES), status[p[0]]] for p in by_start]))


if __name__ == "__main__":
    main()
