"""Rank a field: totals over rounds, the cut, ties (Committee Procedures 5A(6))."""

from collections import Counter
from fractions import Fraction

from counting import count_card, sign_of
from reading import half_up


def rounds_of(comp, entry):
    """The rounds in which an entry has a card."""
    return [n for n in range(1, comp.terms["rounds"] + 1) if (n, entry) in comp.status]


def windows(terms, start):
    """The windows of a countback as name and holes, in their order."""
    first, count = terms["holes"][0], len(terms["holes"])
    order, by_play = list(terms["holes"]), terms.get("tie_holes") == "by_play"
    if by_play:
        order = order[start - first:] + order[:start - first]
    if count == 9:
        spans = [(4, 9), (7, 9), (9, 9)]
    else:
        spans = [(10, 18), (13, 18), (16, 18), (18, 18)]
        if terms.get("tie_windows") == "hole_by_hole":
            spans += [(n, n) for n in range(17, 0, -1)]
        else:
            spans += [(4, 9), (7, 9), (9, 9)]
    named = []
    for low, high in spans:
        holes = order[low - 1:high]
        ends = (low, high) if by_play else (holes[0], holes[-1])
        name = str(ends[0]) if low == high else f"{ends[0]}-{ends[1]}"
        named.append((name + (" in order of play" if by_play else ""), holes))
    return named


def window_values(comp, entry, number, card):
    """The values of a card in every window, lower is better."""
    terms, ranking = card.terms, card.terms["ranking"]
    ball = card.balls[0]
    shared = (terms["format"] == "stroke_play" and ranking == "net" and len(card.balls) == 1
              and terms["tie_share"] != "as_allocated")
    out = []
    for _, holes in windows(terms, comp.starts.get((number, entry), terms["holes"][0])):
        if not shared:
            out.append(sign_of(terms) * sum(card.by_hole[ranking][h] for h in holes))
            continue
        handicap = ball.course if terms.get("tie_handicap") == "course" else ball.playing
        counting = [h for h in holes if (number, h) not in comp.excluded]
        share = Fraction(handicap) * len(counting) / len(terms["holes"])
        if terms["tie_share"] == "rounded_half_up":
            share = half_up(share)
        out.append(sum(card.by_hole["gross"][h] for h in holes) - share)
    return out


def steps(comp):
    """The names of what separates equal totals, in order."""
    last = comp.terms["rounds"]
    names = [name for name, _ in windows(comp.terms, comp.terms["holes"][0])]
    return (["last round"] if last > 1 else []) + names


def key_of(comp, entry):
    """What an entry is ranked by, lower is better: total, last round, windows."""
    numbers = rounds_of(comp, entry)
    cards = [count_card(comp, entry, n) for n in numbers]
    ranking, sign = comp.terms["ranking"], sign_of(comp.terms)
    totals = [sign * card.total[ranking] for card in cards]
    last = totals[-1:] if comp.terms["rounds"] > 1 else []
    return [sum(totals), *last, *window_values(comp, entry, numbers[-1], cards[-1])]


def make_cut(comp):
    """Return the entries through, those that missed the cut, and the total of the last one through.

    Places are counted by total: no countback makes a cut."""
    cut = comp.terms.get("cut")
    if not cut:
        return list(comp.entries), [], None
    ranking, sign, total = comp.terms["ranking"], sign_of(comp.terms), {}
    for entry in comp.entries:
        numbers = range(1, cut["after_round"] + 1)
        if all(comp.status.get((n, entry)) == "" for n in numbers):
            total[entry] = sum(sign * count_card(comp, entry, n).total[ranking] for n in numbers)
    order = sorted(total, key=lambda e: total[e])
    lead, through = total[order[0]], set()
    if 0 < cut["places"] < len(order):
        line, beyond = total[order[cut["places"] - 1]], total[order[cut["places"]]]
        through = {e for e in order if total[e] < line or total[e] == line and (cut["ties_in"] or beyond > line)}
    elif cut["places"]:
        through = set(order)
    if cut["within"] is not None:
        through |= {e for e in order if total[e] <= lead + cut["within"]}
    return ([e for e in order if e in through], [e for e in order if e not in through],
            sign * max(total[e] for e in through))


def status_of(comp, entry, missed):
    """The first status that leaves an entry without a total; MC for a missed cut; empty for returned."""
    for number in rounds_of(comp, entry):
        if comp.status[number, entry]:
            return comp.status[number, entry]
    return "MC" if entry in missed else ""


def positions(keys):
    """Positions by key: entry -> "1", "2", "T3", "T3", "5" ..."""
    counts = Counter(map(tuple, keys.values()))
    better = {k: sum(n for other, n in counts.items() if other < k) for k in counts}
    return {e: ("T" if counts[tuple(k)] > 1 else "") + str(better[tuple(k)] + 1) for e, k in keys.items()}


def tie_notes(keys, names, sign):
    """Say for every entry of a tied total what decided against its neighbours."""
    order, notes = sorted(keys, key=lambda e: (keys[e], e)), dict.fromkeys(keys, "")
    for at, entry in enumerate(order):
        parts = []
        for other, word in ((at - 1, "behind"), (at + 1, "ahead of")):
            if not 0 <= other < len(order) or keys[order[other]][0] != keys[entry][0]:
                continue
            mine, theirs = keys[entry][1:], keys[order[other]][1:]
            step = next((i for i, (a, b) in enumerate(zip(mine, theirs)) if a != b), None)
            if step is None:
                parts.append(f"level with {order[other]} in every window")
            else:
                parts.append(f"{word} {order[other]} on {names[step]} ({sign * mine[step]} to {sign * theirs[step]})")
        notes[entry] = "; ".join(parts)
    return notes
