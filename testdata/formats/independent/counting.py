"""Count one card: what a ball and a side have on a hole and in a round (Rules of Golf 2023, 3.3, 21, 23, 24)."""

from types import SimpleNamespace

from handicaps import balls_of
from reading import round_terms

STROKES = ("stroke_play", "maximum_score")


def sign_of(terms):
    """1 where the lower figure is better, -1 where the higher one is."""
    return 1 if terms["format"] in STROKES else -1


def maximum(terms, par, received):
    """The most strokes that count on a hole, 21.2."""
    kind = terms["maximum"]["kind"]
    return {"net_double_bogey": par + 2 + received, "double_par": 2 * par,
            "strokes": terms["maximum"].get("strokes")}[kind]


def hole_value(terms, ranking, par, received, strokes):
    """What one ball has on one hole; None where nothing counts. Strokes are None without a score."""
    given = received if ranking == "net" else 0
    form = terms["format"]
    if form == "maximum_score":
        most = maximum(terms, par, received)
        return (most if strokes is None else min(strokes, most)) - given
    if form == "stroke_play":
        return None if strokes is None else strokes - given
    if form == "stableford":  # 21.1b: no score is no point
        return 0 if strokes is None else max(0, 2 + par + given - strokes)
    if strokes is None:       # 21.3b: no score is a lost hole
        return -1
    margin = par + given - strokes
    return (margin > 0) - (margin < 0)


def strokes_of(comp, number, entry, ball, hole):
    """Gross strokes of a ball on a hole, penalties added; None where it was not holed out."""
    text = comp.texts[number, entry, ball][hole]
    extra = sum(p[4] for p in comp.penalties.values() if p[:4] == (number, entry, ball, hole))
    return None if text in ("", "PU") else int(text) + extra


def balls_that_count(terms, at, count_of):
    """How many balls count on a hole (23, 24.2); at is 0 for the first hole in play."""
    side = terms.get("side", "")
    if side == "best_of":
        count = terms["count"]
        return count[at] if len(count) > 1 else count[0]
    return count_of if side == "aggregate" else 1


def best(values, count, sign, holed=None):
    """The sum of the best count of ball -> value, and which balls.

    Of equals one that was holed counts before one that was not (23.2a: the side's score is that of the partner
    who completed the hole), then the first ones."""
    order = sorted((b for b, v in values.items() if v is not None),
                   key=lambda b: (sign * values[b], holed is not None and b not in holed, b))
    if len(order) < count:
        return None, []
    return sum(values[b] for b in order[:count]), sorted(order[:count])


def side_values(terms, holes, values, strokes):
    """values, strokes: ball -> hole -> value, strokes made. Return hole -> (value of the side, balls that count there)."""
    sign = sign_of(terms)
    if terms.get("count_by") == "round":
        totals = {ball: None if None in by_hole.values() else sum(by_hole.values())
                  for ball, by_hole in values.items()}
        _, balls = best(totals, balls_that_count(terms, 0, len(values)), sign)
        return {h: (sum(values[b][h] for b in balls) if balls else None, balls) for h in holes}
    return {h: best({b: values[b][h] for b in values}, balls_that_count(terms, at, len(values)), sign,
                    {b for b in strokes if strokes[b][h] is not None})
            for at, h in enumerate(holes)}


def count_card(comp, entry, number):
    """Count the card of an entry in a round."""
    terms = round_terms(comp.terms, number)
    holes, balls = terms["holes"], balls_of(comp, entry, number, terms)
    card = SimpleNamespace(terms=terms, balls=balls, status=comp.status[number, entry], by_hole={},
                           used={}, total={})
    of_round = sum(p[4] for p in comp.penalties.values() if p[:2] == (number, entry) and p[3] == 0)
    assert not of_round or (len(balls) == 1 and terms["format"] in STROKES)
    strokes = {b: {h: strokes_of(comp, number, entry, b, h) for h in holes} for b in range(len(balls))}
    for ranking in ("net", "gross"):
        values = {b: {h: 0 if (number, h) in comp.excluded else
                      hole_value(terms, ranking, ball.tee.pars[h], ball.strokes[h], strokes[b][h])
                      for h in holes} for b, ball in enumerate(balls)}
        counted = side_values(terms, holes, values, strokes)
        card.by_hole[ranking] = {h: counted[h][0] for h in holes}
        card.used[ranking] = {h: counted[h][1] for h in holes}
        whole = None not in card.by_hole[ranking].values()
        card.total[ranking] = sum(card.by_hole[ranking].values()) + of_round if whole else None
    if terms["format"] == "stroke_play":
        assert bool(card.status) or card.total["net"] is not None, (comp.name, entry, number)
    card.actual = None  # strokes made, beside those that count
    if terms["format"] == "maximum_score" and len(balls) == 1:
        made = [strokes[0][h] for h in holes if (number, h) not in comp.excluded]
        card.actual = None if None in made else sum(made) + of_round
    return card


def figures(card):
    """The totals of a card or of several together by the name of their column."""
    net, gross, form = card.total["net"], card.total["gross"], card.terms["format"]
    return {
        "stroke_play": {"gross": gross, "net": net},
        "maximum_score": {"gross": card.actual, "net": net, "counted": gross},
        "stableford": {"points": net, "gross_points": gross},
        "par_bogey": {"par_bogey": net if card.terms["ranking"] == "net" else gross},
    }[form]
