"""Handicaps and strokes by hole (Rules of Handicapping 2024, 6.1, 6.2, Appendices C and E)."""

from fractions import Fraction
from types import SimpleNamespace

from reading import half_up

ONE_BALL = ("foursomes", "greensomes", "chapman", "scramble")
BY_STROKES = ("stroke_play", "match")  # formats of 6.2b: holes compared by strokes, not with par


def course_handicap(index, tee, terms):
    """Unrounded course handicap: 6.1a; for nine holes 6.1b, half the index rounded to a tenth."""
    holes = terms["holes"]
    if terms["maximum_index_tenths"] is not None:
        index = min(index, Fraction(terms["maximum_index_tenths"], 10))
    if len(holes) == 9:
        index = Fraction(half_up(index / 2 * 10), 10)
    rating, slope = tee.ratings[holes[0], len(holes)]
    above_par = 0 if terms["leave_out_par"] else rating - par_of(tee, holes)
    return index * slope / 113 + above_par


def par_of(tee, holes):
    return sum(tee.pars[h] for h in holes)


def strokes_by_hole(handicap, tee, holes):
    """Deal the strokes out one at a time, from the lowest stroke index in play, or back from the highest."""
    strokes = dict.fromkeys(holes, 0)
    order = sorted(holes, key=lambda h: tee.indexes[h], reverse=handicap < 0)
    for dealt in range(abs(handicap)):
        strokes[order[dealt % len(order)]] += 1 if handicap > 0 else -1
    return strokes


def balls_of(comp, entry, number, terms):
    """Return the balls that an entry plays in a round, with their handicaps."""
    members = comp.entries[entry]
    holes = terms["holes"]
    lowest = min(par_of(comp.tees[name], holes) for name in terms["tees"])
    own = [(course_handicap(comp.players[m], comp.tees[tee], terms), m) for m, tee in members]
    if terms.get("side") in ONE_BALL:
        percents = terms["side_allowances"]
        shares = sorted(own, key=lambda share: share[0])
        value = sum(handicap * percent / 100 for (handicap, _), percent in zip(shares, percents))
        text = " ".join(f"{m}:{percent}" for (_, m), percent in zip(shares, percents))
        parts = [(value, 100, members[0], text)]
    else:
        parts = [(value, terms["allowance_percent"], member, "")
                 for (value, _), member in zip(own, members)]
    balls = []
    for value, percent, (member, tee_name), shares in parts:
        tee = comp.tees[tee_name]
        difference = par_of(tee, holes) - lowest if terms["par_difference"] else 0
        assert not difference or terms["format"] in BY_STROKES, "6.2b is for formats compared by strokes"
        playing = half_up(value * percent / 100 + difference)
        balls.append(SimpleNamespace(
            member=member, tee=tee, course=value, playing=playing, shares=shares,
            strokes=strokes_by_hole(playing, tee, holes)))
    return balls
