package command

import (
	"fmt"
	"slices"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/handicap"
	"marram.example/projections/scoring"
)

// Allowance is one row of the published table of handicap allowances, by what the
// terms of a competition say (Rules of Handicapping, Appendix C).
type Allowance struct {
	Name     string    `json:"name"`      // of the row
	Formats  []string  `json:"formats"`   // for which it is published
	Side     string    `json:"side"`      // empty for one player
	SideSize int       `json:"side_size"` // 0 for one player
	Count    int       `json:"count"`     // balls that count; 0 where that is not stated
	Percents []float64 `json:"percents"`  // one for every player alike, or one a player, the lowest handicap first
	Source   string    `json:"source"`
	Year     int       `json:"year"`
}

// rowOf says for which formats and side a row of the table is.
func rowOf(name string) (side string, formats []string) {
	switch name {
	case "four_ball_stroke_play":
		return events.SideFourBall, []string{events.StrokePlay}
	case "four_ball_stableford":
		return events.SideFourBall, []string{events.Stableford}
	case "four_ball_par_bogey":
		return events.SideFourBall, []string{events.ParBogey}
	case "four_ball_match":
		return events.SideFourBall, []string{events.MatchPlay}
	case "foursomes", "greensomes", "chapman":
		return name, append(competition.Formats(), events.MatchPlay)
	case "scramble":
		return name, competition.Formats()
	case "total_of_two_match":
		return events.SideAggregate, []string{events.MatchPlay}
	case "best_of_stroke_play":
		return events.SideBestOf, []string{events.StrokePlay}
	case "best_of_par_bogey":
		return events.SideBestOf, []string{events.ParBogey}
	default:
		return "", []string{name}
	}
}

// Allowances is the whole published table.
func Allowances() []Allowance {
	rows := handicap.Allowances()
	out := make([]Allowance, len(rows))
	for i, r := range rows {
		a := Allowance{Name: r.Format, SideSize: r.Of, Count: r.Count, Source: r.Source, Year: r.Year}
		a.Side, a.Formats = rowOf(r.Format)
		if a.Side == events.SideBestOf && a.Count == a.SideSize {
			a.Side = events.SideAggregate // all balls count
		}
		for _, p := range r.Percents {
			a.Percents = append(a.Percents, float64(p)/float64(handicap.Percent(1)))
		}
		out[i] = a
	}
	return out
}

// Preset says what terms are wanted to start from. What is empty or 0 is usual.
type Preset struct {
	Format   string // stroke_play where empty
	Side     string // empty for one player
	SideSize int    // 2, or 4 in best_of
	Count    int    // of best_of: 2, or 1 of two
}

// PresetFor are terms to start from with the published allowance for format and
// side; where none is published it is 100 % and the committee's. It refuses formats
// and sides that are not known and sizes that a side does not have.
func PresetFor(in Preset) (events.Terms, error) {
	if in.Format == "" {
		in.Format = events.StrokePlay
	}
	if !slices.Contains(append(competition.Formats(), events.MatchPlay), in.Format) {
		return events.Terms{}, events.Invalid("format", "unknown", "a format is stroke_play, stableford, par_bogey, maximum_score or match")
	}
	side, err := in.sized()
	if err != nil {
		return events.Terms{}, err
	}
	t := plainTerms(in.Format)
	if side.Name != "" {
		t.Side, t.SideSize = in.Side, in.SideSize
		t.Start.GroupSize = 4
	}
	if in.Side == events.SideBestOf {
		t.Count = []int{in.Count}
	}
	if in.Format == events.MatchPlay {
		t.Rounds, t.TieMethod = 0, "shared"
		t.Match = &events.MatchTerms{Bracket: competition.Knockout, Length: len(t.Holes), ExtraHoles: true}
		t.Start.GroupSize = max(2, 2*in.SideSize)
	}
	if in.Format == events.MaximumScore {
		t.Maximum.Kind = events.NetDoubleBogey
	}
	if in.Format != events.StrokePlay || !side.OneBall {
		t.TieShare = "as_allocated" // Committee Procedures 5A(6): a share is for net stroke play
	}
	in.allow(&t)
	return t, nil
}

// sized fills in what is usual for the side and checks it.
func (in *Preset) sized() (scoring.Side, error) {
	side, err := scoring.SideByName(in.Side)
	if err != nil {
		return side, domain(err)
	}
	if in.Format == events.MatchPlay && !slices.Contains([]string{"", events.SideFourBall, events.SideFoursomes, events.SideGreensomes, events.SideChapman}, in.Side) {
		return side, events.Invalid("side", "not_applicable", "matches are played by one player a side, or in four-ball, foursomes, greensomes or Chapman")
	}
	switch {
	case in.SideSize == 0 && in.Side == events.SideBestOf:
		in.SideSize = 4
	case in.SideSize == 0 && side.Name != "":
		in.SideSize = max(2, side.Fewest)
	}
	fewest, most := side.Fewest, min(side.Most, 4)
	switch {
	case side.Name == "" && in.SideSize > 0:
		return side, events.Invalid("side_size", "out_of_range", "0 stands for one player")
	case side.Name != "" && (in.SideSize < max(2, fewest) || in.SideSize > max(2, most)):
		return side, events.Invalid("side_size", "out_of_range", fmt.Sprintf("%s is not played by %d", in.Side, in.SideSize))
	}
	switch {
	case in.Side != events.SideBestOf && in.Count != 0:
		return side, events.Invalid("count", "not_applicable", "only best_of states how many balls count")
	case in.Side == events.SideBestOf && in.Count == 0:
		in.Count = min(2, in.SideSize-1)
	case in.Side == events.SideBestOf && in.Count >= in.SideSize:
		return side, events.Invalid("count", "out_of_range", fmt.Sprintf("1 to %d balls count; where all do it is an aggregate", in.SideSize-1))
	}
	return side, nil
}

// allow sets the published allowance. Where the table has no row, as for a team's
// Stableford, the percentages are for the committee to state: it begins with 100 %,
// and a side of one ball with equal shares (common practice, no source).
func (in Preset) allow(t *events.Terms) {
	at := slices.IndexFunc(Allowances(), func(a Allowance) bool {
		return a.Side == in.Side && slices.Contains(a.Formats, in.Format) && (a.Side == "" || a.SideSize == in.SideSize) &&
			(a.Side != events.SideBestOf || a.Count == in.Count)
	})
	if events.OneBall(in.Side) {
		t.SideAllowances = make([]int, in.SideSize)
		for i := range t.SideAllowances {
			t.SideAllowances[i] = 100 / in.SideSize
		}
	}
	if at < 0 {
		return
	}
	a := Allowances()[at]
	t.AllowanceSource = a.Source
	if events.OneBall(in.Side) {
		for i, p := range a.Percents {
			t.SideAllowances[i] = int(p)
		}
		return
	}
	t.AllowancePercent = int(a.Percents[0])
}
