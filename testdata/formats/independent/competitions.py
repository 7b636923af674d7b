"""The invented competitions: their terms, their ties and their late cases."""

from invent import (aim, cut, entry_at, give_handicap, invent, put, rule, same_handicap, same_index, spoil, stage,
                    tie)

ALL18 = list(range(1, 19))


def terms(form, ranking="net", percent=95, source="Rules of Handicapping 2024, Appendix C", rounds=1, holes=None, difference=False,
          leave_out=False, most_tenths=None, tie_method="countback", share=None, start="one_tee", group=4, **more):
    """Terms in the order of their fields; more is what later versions of the terms added."""
    if share is None:
        share = "exact_fraction" if form == "stroke_play" else "as_allocated"
    return {
        "format": form, "ranking": ranking, "rounds": rounds, "holes": holes or ALL18,
        "allowance_percent": percent, "allowance_source": source, "par_difference": difference,
        "leave_out_par": leave_out, "maximum_index_tenths": most_tenths, "course_id": "",
        "tees": ["Stone", "Amber", "Heather"], "divisions": [], "tie_method": tie_method, "tie_share": share,
        "field_limit": 0,
        "start": {"kind": start, "first_time": "08:00", "interval_minutes": 0 if start == "shotgun" else 10,
                  "group_size": group, "empty_interval_after": 0},
        "prizes": [], "one_prize_a_player": False, "board_public": True, "names_as": "name", **more}


def ties(comp, *pairs, match_handicaps=False):
    """Build several ties, each (first, other, step)."""
    for first, other, step in pairs:
        if match_handicaps:
            same_handicap(comp, first, other)
        tie(comp, first, other, step)


def par_bogey(name):
    comp = invent(name, 1, terms("par_bogey", most_tenths=280), 13)
    ties(comp, (0, 1, "10-18"), (2, 3, "13-18"), (4, 5, "16-18"), (6, 7, "4-9"), (8, 9, "level"))
    put(comp, 10, [4, 13], "PU")
    put(comp, 10, [17], "")
    spoil(comp, 11, "WD", played=0)
    spoil(comp, 12, "DQ")
    return comp


def maximum_score(name):
    comp = invent(name, 1, terms("maximum_score", maximum={"kind": "net_double_bogey"}), 12)
    put(comp, 1, [2, 11], "PU")
    put(comp, 3, [6], "")
    ties(comp, (0, 1, "10-18"), (2, 3, "18"), (4, 5, "7-9"), (6, 7, "level"))
    put(comp, 8, [5], "12")
    put(comp, 8, [6], "PU")
    spoil(comp, 9, "NR", played=0)
    spoil(comp, 10, "NS", played=0)
    return comp


def maximum_score_gross(name):
    comp = invent(name, 1, terms("maximum_score", ranking="gross", maximum={"kind": "strokes", "strokes": 10}), 10)
    put(comp, 5, [15], "PU")
    ties(comp, (0, 1, "13-18"), (2, 3, "9"), (4, 5, "10-18"))
    put(comp, 6, [8], "10")
    put(comp, 7, [8], "")
    put(comp, 8, [4], "13")
    spoil(comp, 9, "RTD", played=12)
    return comp


def stableford_9(name):
    comp = invent(name, 1, terms("stableford", holes=list(range(10, 19))), 11,
                  indexes=[43, 131, 216, 86, 285, 170, -23, 198, 353, 118, 259])
    ties(comp, (0, 1, "13-18"), (2, 3, "16-18"), (4, 5, "18"), (6, 7, "level"))
    put(comp, 8, [12, 16], "PU")
    spoil(comp, 9, "DQ")
    return comp


def stroke_play_36_cut(name):
    comp = invent(name, 1, terms("stroke_play", rounds=2, difference=True,
                                 cut={"after_round": 1, "places": 6, "ties_in": True, "within": None}), 12)
    for first, other in ((2, 3), (5, 6)):
        same_handicap(comp, first, other)
    for at, total in enumerate([68, 69, 70, 70, 71, 72, 72, 72, 73, 74, 71, 73]):
        aim(comp, at, 1, total)
    tie(comp, 2, 3, "10-18", [2])
    tie(comp, 5, 6, "13-18", [2])
    tie(comp, 0, 4, "last round", [2])
    put(comp, 10, [9], "PU")
    spoil(comp, 10, "NR")
    spoil(comp, 7, "RTD", 2, played=11)
    cut(comp)
    return comp


def stroke_play_72(name):
    comp = invent(name, 1, terms("stroke_play", ranking="gross", rounds=4,
                                 cut={"after_round": 2, "places": 0, "ties_in": False, "within": 8}), 11,
                  indexes=[-12, 5, 11, 24, 8, 31, 17, 40, -3, 22, 36])
    for at, (one, two) in enumerate([(71, 71), (72, 72), (70, 74), (74, 73), (73, 75), (75, 75), (76, 75), (78, 77),
                                     (74, 74), (72, 75), (75, 73)]):
        aim(comp, at, 1, one)
        aim(comp, at, 2, two)
    tie(comp, 1, 2, "last round", [3, 4])
    tie(comp, 3, 4, "10-18", [3, 4])
    tie(comp, 3, 5, "16-18", [3, 4])
    spoil(comp, 8, "WD", 3, played=6)
    spoil(comp, 9, "DQ", 2)
    put(comp, 10, [18], "")
    spoil(comp, 10, "NR", 1)
    cut(comp)
    return comp


def four_ball_stroke_play(name):
    comp = invent(name, 1, terms("stroke_play", percent=85, difference=True, side="four_ball", side_size=2), 12)
    put(comp, 1, [3, 12], "PU", ball=0)
    put(comp, 1, [7], "", ball=1)
    ties(comp, (0, 1, "10-18"), (2, 3, "13-18"), (4, 5, "4-9"), (6, 7, "level"))
    put(comp, 8, ALL18, "", ball=1)  # the partner never came (23.4)
    for ball in (0, 1):
        put(comp, 9, [16], "PU", ball=ball)
    spoil(comp, 9, "NR")
    spoil(comp, 10, "WD", played=0)
    spoil(comp, 11, "DQ")
    return comp


def four_ball_stableford(name):
    comp = invent(name, 1, terms("stableford", percent=85, side="four_ball", side_size=2), 10)
    put(comp, 1, [5, 14], "PU", ball=1)
    ties(comp, (0, 1, "10-18"), (2, 3, "16-18"), (4, 5, "9"), (6, 7, "level"))
    for ball in (0, 1):
        put(comp, 8, [11], "PU", ball=ball)  # no point, and the card counts
    spoil(comp, 9, "NS", played=0)
    return comp


def four_ball_par_bogey(name):
    comp = invent(name, 1, terms("par_bogey", percent=90, side="four_ball", side_size=2), 10)
    put(comp, 1, [2], "PU", ball=0)
    ties(comp, (0, 1, "13-18"), (2, 3, "18"), (4, 5, "7-9"), (6, 7, "10-18"))
    for ball in (0, 1):
        put(comp, 8, [6], "PU", ball=ball)
    spoil(comp, 9, "DQ")
    return comp


def one_ball(name, form, side, allowances, steps, mixed_tees=False, **more):
    """Sides that play one ball: ties between 0 and 1, 2 and 3 and so on, then one NR and one DQ."""
    size = len(allowances)
    comp = invent(name, 1, terms(form, percent=100, side=side, side_size=size, side_allowances=allowances, **more),
                  2 * len(steps) + 2, mixed_tees=mixed_tees)
    ties(comp, *[(2 * at, 2 * at + 1, step) for at, step in enumerate(steps)],
         match_handicaps=form == "stroke_play")
    last = len(comp.entries) - 1
    put(comp, last - 1, [10], "PU")
    if form == "stroke_play":
        spoil(comp, last - 1, "NR")
    spoil(comp, last, "DQ")
    return comp


def foursomes(name):
    return one_ball(name, "stroke_play", "foursomes", [50, 50], ["10-18", "16-18", "18", "level"], difference=True)


def greensomes(name):
    return one_ball(name, "stableford", "greensomes", [60, 40], ["10-18", "13-18", "4-9", "level"], mixed_tees=True)


def chapman(name):
    return one_ball(name, "stroke_play", "chapman", [60, 40], ["13-18", "7-9", "10-18"], most_tenths=270)


def scramble_2(name):
    return one_ball(name, "stroke_play", "scramble", [35, 15], ["10-18", "13-18", "9"], leave_out=True)


def scramble_3(name):
    return one_ball(name, "stroke_play", "scramble", [30, 20, 10], ["16-18", "4-9", "level"], difference=True)


def scramble_4(name):
    return one_ball(name, "stroke_play", "scramble", [25, 20, 15, 10], ["10-18", "18", "7-9"])


def best_2_of_4(name):
    comp = invent(name, 1, terms("stroke_play", percent=85, difference=True, side="best_of", side_size=4, count=[2]), 8)
    put(comp, 1, [8, 9], "PU", ball=2)
    put(comp, 1, [8], "", ball=3)
    ties(comp, (0, 1, "10-18"), (2, 3, "13-18"), (4, 5, "level"))
    for ball in (0, 1, 3):
        put(comp, 6, [13], "PU", ball=ball)  # one ball is too few
    spoil(comp, 6, "NR")
    spoil(comp, 7, "WD", played=0)
    return comp


def best_varying(name):
    comp = invent(name, 1, terms("stableford", percent=85, source="committee", side="best_of", side_size=4,
                                 count=[1, 2, 3] * 6), 8)
    for ball in (0, 1):
        put(comp, 1, [3, 12], "PU", ball=ball)
    ties(comp, (0, 1, "10-18"), (2, 3, "16-18"), (4, 5, "4-9"))
    for ball in (1, 2, 3):
        put(comp, 6, [9], "PU", ball=ball)  # three count, two of them nothing
    spoil(comp, 7, "DQ")
    return comp


def best_3_of_4_totals(name):
    comp = invent(name, 1, terms("stroke_play", ranking="gross", percent=100, side="best_of", side_size=4,
                                 count=[3], count_by="round"), 8)
    put(comp, 1, [4], "PU", ball=2)   # this ball drops out, three are left
    ties(comp, (0, 1, "10-18"), (2, 3, "18"), (4, 5, "level"))
    put(comp, 6, [2], "PU", ball=0)   # two balls drop out, two are too few
    put(comp, 6, [15], "", ball=3)
    spoil(comp, 6, "NR")
    spoil(comp, 7, "DQ")
    return comp


def aggregate_pairs(name):
    comp = invent(name, 1, terms("stableford", percent=100, source="committee", side="aggregate", side_size=2), 10)
    put(comp, 1, [1, 18], "PU", ball=1)
    ties(comp, (0, 1, "13-18"), (2, 3, "16-18"), (4, 5, "7-9"), (6, 7, "level"))
    put(comp, 8, ALL18, "", ball=1)  # one ball alone: the other adds nothing
    spoil(comp, 9, "WD", played=0)
    return comp


def mixed_rounds(name):
    comp = invent(name, 1, terms(
        "stroke_play", percent=85, rounds=2, difference=True, side="four_ball", side_size=2,
        per_round=[{"side": "four_ball"},
                   {"date": "2026-06-07", "side": "foursomes", "allowance_percent": 100, "side_allowances": [50, 50],
                    "par_difference": False}]), 10)
    for first, other in ((2, 3), (4, 5)):
        same_handicap(comp, first, other)
    ties(comp, (0, 1, "last round"), (2, 3, "10-18"), (4, 5, "13-18"))
    for ball in (0, 1):
        put(comp, 8, [12], "PU", ball=ball)
    spoil(comp, 8, "NR", 1)
    spoil(comp, 9, "DQ", 2)
    return comp


def penalties(name):
    comp = invent(name, 1, terms("stroke_play", difference=True), 13)
    rule(comp, "exclude_hole", when="play", hole=14, rule="", reason="green under water since the third group")
    rule(comp, "exclude_hole", when="play", hole=5, reason="taken for the flooded one")
    rule(comp, "restore_hole", when="play", hole=5, reason="it was the 14th")
    rule(comp, "penalty", 1, id="p1", hole=17, strokes=2, rule="Rules of Golf 3.3b(3)",
         reason="wrong place, two strokes that the player did not know of")
    rule(comp, "penalty", 3, id="p2", hole=0, strokes=1, rule="pace policy", reason="group late, one stroke each")
    rule(comp, "penalty", 4, id="p3", hole=9, strokes=1, rule="Rules of Golf 17.1d", reason="ball in the ditch")
    rule(comp, "penalty_removed", 4, id="p3", reason="the stroke was in the score already")
    ties_with = ((0, 1, "16-18"), (2, 3, "10-18"), (4, 5, "18"))
    ties(comp, *ties_with, match_handicaps=True)
    for at, change in ((6, -1), (7, 1)):
        text = comp.texts[1, entry_at(comp, at), 0][3]
        rule(comp, "correction", at, hole=3, score=int(text) + change, rule="Rules of Golf 20.2d(2)",
             reason=f"the paper card says {int(text) + change}, {text} was keyed")
    rule(comp, "stands", 8, hole=2, rule="Rules of Golf 3.3b(3)", reason="returned one higher than made: it stands")
    rule(comp, "status", 9, status="DQ", hole=10, rule="Rules of Golf 3.3b(3)", reason="returned one lower than made")
    rule(comp, "status", 10, status="DQ", rule="Rules of Golf 3.3b(2)", reason="not certified by the marker")
    rule(comp, "status", 10, status="in_play", rule="Rules of Golf 20.2d(2)",
         reason="the certified card was found: returned as it stood")
    put(comp, 11, [14], "")      # the excluded hole is asked of nobody
    put(comp, 12, [7], "PU")
    spoil(comp, 12, "NR")
    return comp


def ties_hole_by_hole(name):
    comp = invent(name, 1, terms("stroke_play", tie_windows="hole_by_hole"), 10)
    ties(comp, (0, 1, "17"), (2, 3, "12"), (4, 5, "3"), (6, 7, "level"), (8, 9, "13-18"), match_handicaps=True)
    return comp


def ties_by_play_shotgun(name):
    comp = invent(name, 1, terms("stroke_play", start="shotgun", group=2, tie_holes="by_play"), 10)
    members = list(comp.entries)
    groups = [{"number": n + 1, "time": "08:00", "starting_hole": hole, "letter": "",
               "entries": [members[n], members[n + 5]]} for n, hole in enumerate([7, 1, 13, 10, 14])]
    comp.draw = [{"round": 1, "method": "by_hand", "groups": groups}]
    comp.starts = {(1, e): g["starting_hole"] for g in groups for e in g["entries"]}
    for first, other, step in ((0, 1, "10-18"), (2, 3, "13-18"), (4, 5, "18"), (6, 7, "4-9"), (8, 9, "level")):
        same_handicap(comp, first, other)
        tie(comp, first, other, step if step == "level" else step + " in order of play",
            unlike={"tie_holes": "by_number"} if step in ("10-18", "18") else None)
    return comp


def ties_course_handicap_share(name):
    comp = invent(name, 1, terms("stroke_play", tie_handicap="course"), 8)
    for first, other in ((0, 1), (2, 4)):  # course handicaps differ, playing handicaps do not
        same_handicap(comp, first, other)
        tie(comp, first, other, "10-18", unlike={"tie_handicap": "playing"})
    same_index(comp, 3, 6)  # the same tee and index: nothing but the strokes parts them
    tie(comp, 3, 6, "16-18")
    tie(comp, 5, 7, "10-18")
    return comp


def ties_rounded_share(name):
    comp = invent(name, 1, terms("stroke_play", share="rounded_half_up"), 8)
    for at, playing in enumerate([11, 12, 20, 7, -3, -2, 23, 24]):
        give_handicap(comp, at, playing)
    tie(comp, 0, 1, "13-18", unlike={"tie_share": "exact_fraction"})
    tie(comp, 2, 3, "10-18", unlike={"tie_share": "as_allocated"})
    tie(comp, 4, 5, "16-18", unlike={"tie_share": "exact_fraction"})  # two plus players: -3/2 becomes -1
    tie(comp, 6, 7, "18")
    return comp


def match_terms(bracket, percent, extra_holes, **more):
    return terms("match", percent=percent, rounds=0, difference=True, tie_method="shared", **more,
                 match={"bracket": bracket, "length": 18, "extra_holes": extra_holes, "full_net": False})


def sheet(comp, number, pairs, bracket=None):
    """Put up the matches of a round; bracket: all slots from the top, empty for a bye."""
    groups = [{"number": at + 1, "entries": list(pair)} for at, pair in enumerate(pairs)]
    comp.draw.append({"round": number, "method": "seeded" if bracket else "round_robin", "groups": groups,
                      **({"bracket": bracket} if bracket else {})})


def ends(*texts):
    return lambda out: out.text in texts


def match_singles(name):
    comp = invent(name, 1, match_terms("knockout", 100, True, group=2), 6, indexes=[-34, 94, 133, 187, 246, 312])
    one, two, three, four, five, six = comp.entries
    sheet(comp, 1, [(four, five), (three, six)], [one, "", four, five, two, "", three, six])
    a = stage(comp, 1, 1, (four, five), ends("3 and 2"), pick_up=[("B", 0, 4)], concede_hole=("A", 9))
    b = stage(comp, 1, 2, (three, six), lambda out: out.lead[-1] == 3, concede_after=("B", 11))
    sheet(comp, 2, [(one, a), (two, b)], [one, a, two, b])
    a = stage(comp, 2, 1, (one, a), ends("at the 20th"))
    b = stage(comp, 2, 2, (two, b), ends("1 up"))
    sheet(comp, 3, [(a, b)], [a, b])
    stage(comp, 3, 1, (a, b), ends("2 up"))
    return comp


def match_four_ball(name):
    comp = invent(name, 1, match_terms("round_robin", 90, False, side="four_ball", side_size=2), 4)
    one, two, three, four = comp.entries

    def won_by(entry, *texts):
        return lambda out: out.winner == entry and out.text in texts

    # One and two are level, their own match too: holes part them. Three and four are level: their own match does.
    sheet(comp, 1, [(one, four), (two, three)])
    stage(comp, 1, 1, (one, four), ends("tied"), pick_up=[("A", 0, 3), ("A", 1, 3)])
    stage(comp, 1, 2, (two, three), won_by(two, "3 and 2"), pick_up=[("B", 1, 8)])
    sheet(comp, 2, [(one, three), (four, two)])
    stage(comp, 2, 1, (one, three), won_by(one, "1 up"))
    stage(comp, 2, 2, (four, two), ends("tied"), concede_hole=("B", 6))
    sheet(comp, 3, [(one, two), (three, four)])
    stage(comp, 3, 1, (one, two), ends("tied"))
    stage(comp, 3, 2, (three, four), won_by(three, "1 up"))
    return comp


def match_foursomes(name):
    comp = invent(name, 1, match_terms("knockout", 100, True, side="foursomes", side_size=2,
                                       side_allowances=[50, 50]), 4,
                  indexes=[-31, 12, 98, 164, 141, 203, 266, 318])
    one, two, three, four = comp.entries
    sheet(comp, 1, [(one, four), (two, three)], [one, four, two, three])
    a = stage(comp, 1, 1, (one, four), ends("at the 19th"))
    b = stage(comp, 1, 2, (two, three), ends("5 and 4"))
    sheet(comp, 2, [(a, b)], [a, b])
    stage(comp, 2, 1, (a, b), ends("2 and 1"), pick_up=[("A", 0, 13)])
    return comp


ALL = {f.__name__: f for f in (
    par_bogey, maximum_score, maximum_score_gross, stableford_9, stroke_play_36_cut, stroke_play_72,
    four_ball_stroke_play, four_ball_stableford, four_ball_par_bogey, foursomes, greensomes, chapman,
    scramble_2, scramble_3, scramble_4, best_2_of_4, best_varying, best_3_of_4_totals, aggregate_pairs,
    mixed_rounds, penalties, ties_hole_by_hole, ties_by_play_shotgun, ties_course_handicap_share,
    ties_rounded_share, match_singles, match_four_ball, match_foursomes)}
