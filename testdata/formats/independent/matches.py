"""Play out matches hole by hole (Rules of Golf 2023, 3.2; Rules of Handicapping, Appendix C)."""

from types import SimpleNamespace

from handicaps import balls_of, strokes_by_hole
from reading import FORMATS, HOLES, read_table

EXTRA = 4  # columns for holes after the 18th


def read_matches(comp):
    """Return the matches of matches.csv in order."""
    found = {}
    for row in read_table(FORMATS / comp.name / "matches.csv"):
        at = (int(row["round"]), int(row["match"]))
        match = found.setdefault(at, SimpleNamespace(
            round=at[0], number=at[1], sides={}, scores={}, conceded=None))
        match.sides[row["side"]] = row["member_no"]
        scores = [row[f"h{h}"] for h in HOLES] + [row[f"x{n}"] for n in range(1, EXTRA + 1)]
        match.scores.setdefault(row["side"], []).append(scores)
        if row["conceded_after"]:
            match.conceded = (row["side"], int(row["conceded_after"]))
    return [found[at] for at in sorted(found)]


def play(comp, match):
    """Return strokes received, the lead of side A after each hole, the result in words and the winner."""
    terms, length = comp.terms, len(comp.terms["holes"])
    balls = {side: balls_of(comp, entry, match.round, terms) for side, entry in match.sides.items()}
    lowest = min(b.playing for side in "AB" for b in balls[side])
    off = 0 if terms["match"]["full_net"] else lowest
    received = {side: [b.playing - off for b in balls[side]] for side in "AB"}
    strokes = {side: [strokes_by_hole(n, b.tee, terms["holes"]) for n, b in zip(received[side], balls[side])]
               for side in "AB"}
    out = SimpleNamespace(balls=balls, received=received, strokes=strokes, lead=[], text="", winner="", by="")
    lead = 0
    for at in range(length + EXTRA + 1):
        if match.conceded and match.conceded[1] == at:
            loser = match.conceded[0]
            return finish(match, out, "B" if loser == "A" else "A", "conceded", "", at)
        if at < length and abs(lead) > length - at:
            return finish(match, out, side_ahead(lead), f"{abs(lead)} and {length - at}", abs(lead), at)
        if at == length and lead:
            return finish(match, out, side_ahead(lead), f"{abs(lead)} up", abs(lead), at)
        if at == length and not terms["match"]["extra_holes"]:
            return finish(match, out, None, "tied", 0, at)
        if at > length and lead:
            return finish(match, out, side_ahead(lead), f"at the {ordinal(at)}", abs(lead), at)
        lead += hole_result(match, at, terms["holes"][at % length], strokes)
        out.lead.append(lead)
    raise ValueError(f"{comp.name}: match {match.number} of round {match.round} has no end")


def hole_result(match, at, hole, strokes):
    """1 where side A wins a hole, 0 where it is tied, -1 where side B wins."""
    best = {}
    for side in "AB":
        texts = [line[at] for line in match.scores[side]]
        if "C" in texts:  # conceded
            return -1 if side == "A" else 1
        nets = [int(t) - strokes[side][ball][hole] for ball, t in enumerate(texts) if t not in ("", "PU")]
        best[side] = min(nets) if nets else 99
    assert min(best.values()) < 99, f"nobody has a score on hole {at + 1}"
    return (best["A"] < best["B"]) - (best["A"] > best["B"])


def side_ahead(lead):
    return "A" if lead > 0 else "B"


def ordinal(n):
    """19 -> 19th; 21 and 22 differ."""
    return f"{n}{ {21: 'st', 22: 'nd'}.get(n, 'th')}"


def finish(match, out, winner, text, by, holes):
    """Close a match after so many holes; nothing may stand behind them."""
    for lines in match.scores.values():
        assert not any("".join(line[holes:]) for line in lines), f"scores after the end of match {match.number}"
    out.winner = match.sides[winner] if winner else ""
    out.text, out.by = text, by
    return out


def table(entries, played):
    """Rank a round robin: a win 1, a tie 1/2; two equal: their own match, then holes; more equal: holes.

    played: (entry A, entry B, winner or "", holes up)."""
    lines = {e: {"member_no": e, "played": 0, "won": 0, "tied": 0, "lost": 0, "half_points": 0, "holes": 0}
             for e in entries}
    for a, b, winner, by in played:
        for entry, other in ((a, b), (b, a)):
            line = lines[entry]
            outcome = "tied" if not winner else "won" if winner == entry else "lost"
            line["played"] += 1
            line[outcome] += 1
            line["half_points"] += {"won": 2, "tied": 1, "lost": 0}[outcome]
            line["holes"] += {"won": by, "tied": 0, "lost": -by}[outcome]
    order = []
    for points in sorted({line["half_points"] for line in lines.values()}, reverse=True):
        level = [e for e in entries if lines[e]["half_points"] == points]
        level.sort(key=lambda e: -lines[e]["holes"])
        decided = "holes" if len(level) > 1 else ""
        if len(level) == 2:
            own = next(m[2] for m in played if set(m[:2]) == set(level))
            if own:
                level.sort(key=lambda e: e != own)
                decided = "own match"
        if decided == "holes":
            assert len({lines[e]["holes"] for e in level}) == len(level), "a tie that stands"
        for entry in level:
            lines[entry].update(position=str(len(order) + 1), decided=decided)
            order.append(entry)
    return [lines[e] for e in order]
