package projections_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strconv"

	"marram.example/events"
	"marram.example/projections/draw"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// maximum reads a maximum: the name of a kind, or strokes. Left out it is none.
func (in inputs) maximum() (events.Maximum, error) {
	if !in.has("maximum") {
		return events.Maximum{}, nil
	}
	if kind, ok := in["maximum"].(string); ok {
		return events.Maximum{Kind: kind}, nil
	}
	strokes, err := in.integer("maximum")
	return events.Maximum{Kind: events.FixedStrokes, Strokes: strokes}, err
}

func parBogeyCase(in inputs) (answers, error) {
	result, err := scored(events.ParBogey, in, in)
	if err != nil {
		return nil, err
	}
	holes := make([]any, len(result.Holes))
	for i, hole := range result.Holes {
		holes[i] = hole.ParBogey
	}
	return answers{"holes": holes, "total": result.Value, "out": result.Out.ParBogey, "in": result.In.ParBogey}, nil
}

func maximumScoreCase(in inputs) (answers, error) {
	result, err := scored(events.MaximumScore, in, in)
	if err != nil {
		return nil, err
	}
	counted := make([]any, len(result.Holes))
	for i, hole := range result.Holes {
		counted[i] = hole.Gross
	}
	return answers{
		"counted": counted, "gross": result.Total.Gross, "net": result.Total.Net,
		"out": result.Out.Gross, "in": result.In.Gross,
	}, nil
}

// balls reads the players of a side.
func (in inputs) balls() ([]scoring.Card, error) {
	players, err := in.list("players")
	if err != nil {
		return nil, err
	}
	balls := make([]scoring.Card, len(players))
	for i, value := range players {
		player, ok := value.(map[string]any)
		if !ok {
			return nil, fmt.Errorf("players: %v is not a player", value)
		}
		if balls[i], err = inputs(player).card(in); err != nil {
			return nil, err
		}
	}
	return balls, nil
}

// sideAnswer is what a side scores by hole, null on a hole where it has no score, and its total, null where it has none.
func sideAnswer(result scoring.Result) answers {
	holes := make([]any, len(result.Holes))
	for i, hole := range result.Holes {
		if len(hole.By) > 0 {
			holes[i] = hole.Figure
		}
	}
	answer := answers{"by_hole": holes, "total": nil}
	if result.Complete {
		answer["total"] = result.Value
	}
	return answer
}

func fourBallCase(in inputs) (answers, error) {
	name, err := in.text("format")
	if err != nil {
		return nil, err
	}
	return sideCase(in, name, scoring.Net, events.Play{Side: events.SideFourBall})
}

func sideCase(in inputs, formatName string, basis scoring.Basis, play events.Play) (answers, error) {
	format, err := scoring.FormatByName(formatName)
	if err != nil {
		return nil, err
	}
	if play.Maximum, err = in.maximum(); err != nil {
		return nil, err
	}
	balls, err := in.balls()
	if err != nil {
		return nil, err
	}
	result, err := scoring.ScoreSide(format, play, balls, basis)
	if err != nil {
		return nil, err
	}
	return sideAnswer(result), nil
}

// cardOrSide scores one card of a countback: a player's, or a four-ball's where it lists players.
func cardOrSide(format scoring.Format, card, course inputs) (scoring.Result, error) {
	if !card.has("players") {
		return scored(format.Name, card, course)
	}
	balls, err := inputs{"players": card["players"], "par": course["par"], "stroke_index": course["stroke_index"], "maximum": course["maximum"]}.balls()
	if err != nil {
		return scoring.Result{}, err
	}
	return scoring.ScoreSide(format, events.Play{Side: events.SideFourBall}, balls, scoring.Net)
}

// countbackTerms reads what the terms of a competition say about ties, under the names that they have there.
func (in inputs) countbackTerms() (scoring.CountbackTerms, error) {
	terms := events.Terms{Rounds: 1}
	for key, field := range map[string]*string{
		"share": &terms.TieShare, "tie_windows": &terms.TieWindows, "tie_holes": &terms.TieHoles, "tie_handicap": &terms.TieHandicap,
	} {
		if in.has(key) {
			text, err := in.text(key)
			if err != nil {
				return scoring.CountbackTerms{}, err
			}
			*field = text
		}
	}
	return scoring.CountbackTermsOf(&terms)
}

func bestOfCase(in inputs) (answers, error) {
	unit, err := in.text("unit")
	if err != nil {
		return nil, err
	}
	play := events.Play{Side: events.SideBestOf}
	if _, several := in["count"].([]any); several {
		play.Count, err = in.integers("count")
	} else {
		play.Count = make([]int, 1)
		play.Count[0], err = in.integer("count")
	}
	if err != nil {
		return nil, err
	}
	switch unit {
	case "gross":
		return sideCase(in, events.StrokePlay, scoring.Gross, play)
	case "net":
		return sideCase(in, events.StrokePlay, scoring.Net, play)
	case "points":
		return sideCase(in, events.Stableford, scoring.Net, play)
	default:
		return nil, fmt.Errorf("unit: %q is unknown", unit)
	}
}

func bestTotalsCase(in inputs) (answers, error) {
	count, err := in.integer("count")
	if err != nil {
		return nil, err
	}
	direction := scoring.Low
	if in.has("direction") {
		text, err := in.text("direction")
		if err != nil {
			return nil, err
		}
		if direction, err = scoring.ParseDirection(text); err != nil {
			return nil, err
		}
	}
	list, err := in.list("rounds")
	if err != nil {
		return nil, err
	}
	rounds := make([][]*int, len(list))
	for i, value := range list {
		round, ok := value.(map[string]any)
		if !ok {
			return nil, fmt.Errorf("rounds: %v is not an object", value)
		}
		for _, id := range slices.Sorted(maps.Keys(round)) {
			total, err := totalOrStatus(id, round[id])
			if err != nil {
				return nil, err
			}
			rounds[i] = append(rounds[i], total)
		}
	}
	byRound, total, err := scoring.BestTotals(rounds, count, direction)
	if err != nil {
		return nil, err
	}
	totals := make([]any, len(byRound))
	for i, round := range byRound {
		totals[i] = numberOrNull(round.Total)
	}
	return answers{"round_totals": totals, "total": numberOrNull(total)}, nil
}

// totalOrStatus reads a total, or a status or null for none.
func totalOrStatus(id string, value any) (*int, error) {
	switch value := value.(type) {
	case nil:
		return nil, nil
	case string:
		_, err := scoring.ParseStatus(value)
		return nil, err
	default:
		exact, err := rational(id, value)
		if err != nil {
			return nil, err
		}
		total, err := whole(id, exact)
		return &total, err
	}
}

func numberOrNull(number *int) any {
	if number == nil {
		return nil
	}
	return *number
}

func seededDrawCase(in inputs) (answers, error) {
	entries, err := in.integer("entries")
	if err != nil {
		return nil, err
	}
	drawn, err := draw.Seeded(entries)
	if err != nil {
		return nil, err
	}
	pairs := make(set, len(drawn))
	for i, pair := range drawn {
		pairs[i] = []any{pair.A, nil}
		if !pair.Bye() {
			pairs[i] = []any{pair.A, pair.B}
		}
	}
	return answers{"pairs": pairs}, nil
}

func roundRobinCase(in inputs) (answers, error) {
	players, err := in.integer("players")
	if err != nil {
		return nil, err
	}
	rounds, err := draw.RoundRobin(players)
	if err != nil {
		return nil, err
	}
	matches, met, byes := 0, map[draw.Pair]int{}, make([]int, players+1)
	for _, round := range rounds {
		for _, pair := range round {
			if pair.Bye() {
				byes[pair.A]++
				continue
			}
			matches++
			met[draw.Pair{A: min(pair.A, pair.B), B: max(pair.A, pair.B)}]++
		}
	}
	once := len(met) == players*(players-1)/2
	for _, times := range met {
		once = once && times == 1
	}
	for _, n := range byes[1:] {
		if n != byes[1] {
			return nil, fmt.Errorf("byes are uneven: %v", byes[1:])
		}
	}
	return answers{"rounds": len(rounds), "matches": matches, "each_pair_once": once, "byes_each": byes[1]}, nil
}

// groupTableCase takes each result as an object or a list of winner, loser and margin.
func groupTableCase(in inputs) (answers, error) {
	given, err := in.list("results")
	if err != nil {
		return nil, err
	}
	var entries []string
	if in.has("players") {
		players, err := in.list("players")
		if err != nil {
			return nil, err
		}
		for _, player := range players {
			entries = append(entries, idOf(player))
		}
	}
	results := make([]draw.GroupResult, len(given))
	for i, value := range given {
		a, b, by, err := matchOf(value)
		if err != nil {
			return nil, err
		}
		results[i] = draw.GroupResult{A: a, B: b}
		if by == "conceded" {
			by = "1 up" // what the terms credit by default
		}
		if results[i].By, err = draw.ParseMargin(by); err != nil {
			return nil, err
		}
		results[i].Tied = results[i].By == 0
		for _, id := range []string{a, b} {
			if !slices.Contains(entries, id) && !in.has("players") {
				entries = append(entries, id)
			}
		}
	}
	table, err := draw.GroupTable(entries, results)
	if err != nil {
		return nil, err
	}
	points, holes := map[string]any{}, map[string]any{}
	for _, row := range table.Rows {
		points[row.EntryID], holes[row.EntryID] = big.NewRat(int64(row.HalfPoints), 2), row.Holes
	}
	order := make([]any, len(table.Order))
	for i, group := range table.Order {
		order[i] = together(list(group))
	}
	return answers{"points": points, "holes_difference": holes, "order": order}, nil
}

func idOf(value any) string {
	switch value := value.(type) {
	case map[string]any:
		return idOf(value["id"])
	case string:
		return value
	default:
		return fmt.Sprint(value)
	}
}

func matchOf(value any) (a, b, by string, err error) {
	var fields []any
	switch value := value.(type) {
	case []any:
		fields = value
	case map[string]any:
		in := inputs(value)
		first, _ := in.firstOf("winner", "a", "A")
		second, _ := in.firstOf("loser", "b", "B")
		fields = []any{first, second, in["by"]}
		for _, key := range []string{"players", "tied"} {
			if pair, ok := in[key].([]any); ok && len(pair) == 2 {
				fields[0], fields[1] = pair[0], pair[1]
			}
		}
		if tied := in["tied"]; in["by"] == nil && tied != nil && tied != false {
			fields[2] = "tied"
		}
	}
	if len(fields) == 2 {
		fields = append(fields, "tied")
	}
	if len(fields) != 3 {
		return "", "", "", fmt.Errorf("results: %v is not a winner, a loser and by how much", value)
	}
	by, ok := fields[2].(string)
	if !ok {
		number, isNumber := fields[2].(json.Number)
		if !isNumber {
			return "", "", "", fmt.Errorf("results: %v does not say by how much", value)
		}
		if by = number.String() + " up"; number.String() == "0" {
			by = "tied"
		}
	}
	return idOf(fields[0]), idOf(fields[1]), by, nil
}

func skinsCase(in inputs) (answers, error) {
	holes, err := in.list("scores_by_hole")
	if err != nil {
		return nil, err
	}
	var ids []string
	switch players := in["players"].(type) {
	case []any:
		for _, player := range players {
			ids = append(ids, idOf(player))
		}
	case json.Number:
		n, err := in.integer("players")
		if err != nil {
			return nil, err
		}
		for i := range n {
			ids = append(ids, strconv.Itoa(i+1))
		}
	default:
		return nil, fmt.Errorf("players: %v is not a list", in["players"])
	}
	scores := make([][]*int, len(holes))
	for i, value := range holes {
		hole, ok := value.([]any)
		if !ok {
			return nil, fmt.Errorf("scores_by_hole: %v is not a list", value)
		}
		for _, score := range hole {
			strokes, err := totalOrStatus("scores_by_hole", score)
			if err != nil {
				return nil, err
			}
			scores[i] = append(scores[i], strokes)
		}
	}
	result, err := scoring.Skins(scores, len(ids))
	if err != nil {
		return nil, err
	}
	skins := map[string]any{}
	for i, id := range ids {
		skins[id] = result.Skins[i]
	}
	return answers{"skins": skins, "left_over": result.LeftOver}, nil
}

// firstOf finds the first of several names for one circumstance.
func (in inputs) firstOf(keys ...string) (any, bool) {
	for _, key := range keys {
		if value, ok := in[key]; ok {
			return value, true
		}
	}
	return nil, false
}

// score reads a hole score; null and words such as "picked_up" are no score.
func (in inputs) score(key string) (scoring.Score, error) {
	switch in[key].(type) {
	case nil, string:
		return scoring.Score{State: scoring.NoScore}, nil
	default:
		strokes, err := in.integer(key)
		return scoring.Strokes(strokes), err
	}
}

func scorecardRulingCase(in inputs) (answers, error) {
	in = in.withCircumstances()
	name, err := in.text("format")
	if err != nil {
		return nil, err
	}
	format, err := scoring.FormatByName(name)
	if err != nil {
		return nil, err
	}
	hole, err := in.returnedScore()
	if err != nil {
		return nil, err
	}
	ruling, err := scoring.RuleOnScore(format, hole)
	if err != nil {
		return nil, err
	}
	if ruling.Disqualified {
		return answers{"ruling": "DQ"}, nil
	}
	return answers{"ruling": ruling.Figure}, nil
}

func (in inputs) returnedScore() (hole scoring.ReturnedScore, err error) {
	if hole.Returned, err = in.score("returned"); err != nil {
		return hole, err
	}
	if hole.UnknownPenalty, err = in.unknownPenalty(); err != nil {
		return hole, err
	}
	hole.Actual = hole.Returned
	if _, given := in["actual"]; given {
		if hole.Actual, err = in.score("actual"); err != nil {
			return hole, err
		}
	}
	// A case may give as actual what the player made, or that with the penalty that came to light; the second is lower on
	// the card by the whole penalty.
	if hole.Actual.State == scoring.Holed && hole.Actual.Strokes <= hole.Returned.Strokes {
		hole.Actual.Strokes += hole.UnknownPenalty
	}
	hole.Uncertified = in.says(false, "certified", "certified_by_player", "certified_by_marker", "player_certified", "marker_certified") ||
		in.says(true, "not_certified", "uncertified")
	hole.NotReturned = in.says(false, "card_returned", "returned_promptly", "returned_in_time") || in.says(true, "not_returned", "card_not_returned")
	for _, key := range []string{"before_close", "found_before_close", "penalty_found_before_close"} {
		if value, given := in[key].(bool); given {
			hole.Closed = !value
		}
	}
	for _, key := range []string{"after_close", "found_after_close", "closed"} {
		if value, given := in[key].(bool); given {
			hole.Closed = value
		}
	}
	if text, given := in["found"].(string); given {
		hole.Closed = text == "after_close" || text == "after close"
	}
	if hole.Maximum, err = in.maximum(); err != nil {
		return hole, err
	}
	if hole.Par, err = in.integerOr("par", 4); err != nil {
		return hole, err
	}
	hole.Received, err = in.strokesOnHole()
	return hole, err
}

// knowing are the names under which a case may say whether the player knew of a penalty.
var knowing = []string{"known", "told", "in_doubt", "player_knew", "known_to_player", "player_told", "player_in_doubt", "penalty_known"}

// says reports whether one of several circumstances is given as so.
func (in inputs) says(so bool, keys ...string) bool {
	return slices.ContainsFunc(keys, func(key string) bool { return in[key] == so })
}

// withCircumstances reads circumstances that are named in a text or a list of texts as if each were true.
func (in inputs) withCircumstances() inputs {
	named, _ := in.firstOf("circumstance", "circumstances")
	var texts []any
	switch named := named.(type) {
	case string:
		texts = []any{named}
	case []any:
		texts = named
	default:
		return in
	}
	out := maps.Clone(in)
	for _, text := range texts {
		if text, ok := text.(string); ok && !in.has(text) {
			out[text] = true
		}
	}
	return out
}

// unknownPenalty reads the strokes of a penalty that the player did not know of. A number may carry the circumstance
// itself, or stand under penalty beside a flag.
func (in inputs) unknownPenalty() (int, error) {
	value, given := in.firstOf("unknown_penalty", "penalty_unknown", "unknown_penalty_strokes", "penalty_unknown_to_player", "left_out_penalty")
	if !given && in.says(false, knowing...) {
		value, given = in.firstOf("penalty", "penalty_strokes")
	}
	if !given || value == nil || value == false || in.says(true, knowing...) {
		return 0, nil
	}
	if value == true {
		value, given = in.firstOf("penalty", "penalty_strokes", "strokes")
		if !given {
			// The penalty is then what the card is short of.
			actual, err := in.integer("actual")
			if err != nil {
				return 0, err
			}
			returned, err := in.integer("returned")
			return max(0, actual-returned), err
		}
	}
	exact, err := rational("unknown_penalty", value)
	if err != nil {
		return 0, err
	}
	return whole("unknown_penalty", exact)
}

// strokesOnHole reads strokes received on the hole, or works them out from its stroke index of eighteen.
func (in inputs) strokesOnHole() (int, error) {
	for _, key := range []string{"strokes_received", "received", "strokes"} {
		if in.has(key) {
			return in.integer(key)
		}
	}
	if !in.has("stroke_index") {
		return 0, nil
	}
	playing, err := in.integerOr("playing_handicap", 0)
	if err != nil {
		return 0, err
	}
	index, err := in.integer("stroke_index")
	if err != nil {
		return 0, err
	}
	if index < 1 || index > 18 {
		return 0, fmt.Errorf("stroke_index: %d is outside 1 to 18", index)
	}
	indexes := make([]int, 18)
	for i := range indexes {
		indexes[i] = i + 1
	}
	strokes, err := handicap.StrokesReceived(handicap.Playing(playing), indexes)
	if err != nil {
		return 0, err
	}
	return strokes[index-1], nil
}
