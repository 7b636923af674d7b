package csvfile

import (
	"fmt"
	"slices"
	"strings"

	"marram.example/events"
)

// Holds says what stands in the cells of a column.
type Holds string

// What cells hold.
const (
	Text    Holds = "text"
	Whole   Holds = "whole number"
	Decimal Holds = "number with at most one decimal"
	Index   Holds = "handicap index with at most one decimal, a plus handicap as +2.3"
	Date    Holds = "date, YYYY-MM-DD"
	Exact   Holds = "number with at most four decimals"
	Hole    Holds = "gross strokes, or PU for picked up"
	Status  Holds = "NR, RTD, WD, NS or DQ"
	Members Holds = "member numbers joined by spaces, each with an optional :tee"
)

// Column documents one column of a file, and is what cells are checked against.
type Column struct {
	Name     string `json:"name"`
	Required bool   `json:"required"`      // the column must be there and no cell may be blank
	Holds    Holds  `json:"holds"`         //
	Min      int    `json:"min,omitempty"` // least whole number; with Max 0 there are no limits
	Max      int    `json:"max,omitempty"` // greatest whole number
	Meaning  string `json:"meaning"`       // in one line
	Blank    string `json:"blank"`         // what a blank cell or a missing column means; empty where required
	Example  string `json:"example"`       //
	Rule     string `json:"rule"`          // behind the limits, where there is one
}

// Limits describes what a cell may hold, with its range.
func (c Column) Limits() string {
	if c.Max == 0 {
		return string(c.Holds)
	}
	return fmt.Sprintf("%s, %d to %d", c.Holds, c.Min, c.Max)
}

// Table documents one kind of file.
type Table struct {
	Name    string   `json:"name"` // course, players, entries, cards, strokes or expected-scores
	Meaning string   `json:"meaning"`
	MaxRows int      `json:"max_rows"` // besides the header
	Columns []Column `json:"columns"`
}

// Column finds a column by its name in lower case.
func (t Table) Column(name string) (Column, bool) {
	i := slices.IndexFunc(t.Columns, func(c Column) bool { return c.Name == name })
	if i < 0 {
		return Column{}, false
	}
	return t.Columns[i], true
}

func (t Table) names() string {
	out := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		out[i] = c.Name
	}
	return strings.Join(out, ", ")
}

const (
	ruleSlope       = "Rules of Handicapping, definition of Slope Rating: 55 to 155"
	ruleStrokeIndex = "Rules of Handicapping, Appendix E: every stroke index once"
	rulePar         = "holes of par 3 to 6"
	ruleStrokes     = "1 to 99 strokes: more than two digits is taken for a slip (common practice, no source)"
	ruleRulings     = "NR no return, RTD retired, WD withdrew, NS no show, DQ disqualified"
	ratingsRepeat   = "the same on every row of the tee"
)

// Courses, Players, Entries, Cards and Expected are kinds of files; Strokes and
// ClubStrokes stand beside what reads them.
var (
	Courses = Table{
		Name: "course", MaxRows: 2000,
		Meaning: "one row for every hole of every tee; the ratings repeat on the rows of a tee",
		Columns: []Column{
			{Name: "course", Required: true, Holds: Text, Meaning: "name of the course", Example: "Thrumsay Links"},
			{Name: "tee", Required: true, Holds: Text, Meaning: "name of the tee", Example: "White"},
			{Name: "hole", Required: true, Holds: Whole, Min: 1, Max: 18, Meaning: "number of the hole", Example: "7"},
			{Name: "par", Required: true, Holds: Whole, Min: 3, Max: 6, Meaning: "par of the hole from this tee", Example: "4", Rule: rulePar},
			{
				Name: "stroke_index", Required: true, Holds: Whole, Min: 1, Max: 18,
				Meaning: "stroke index of the hole from this tee, each once", Example: "11", Rule: ruleStrokeIndex,
			},
			{Name: "length_m", Holds: Whole, Min: 0, Max: 900, Meaning: "length of the hole in metres", Blank: "not known", Example: "352"},
			{Name: "course_rating", Required: true, Holds: Decimal, Meaning: "course rating of the tee, " + ratingsRepeat, Example: "71.3"},
			{
				Name: "slope_rating", Required: true, Holds: Whole, Min: 55, Max: 155,
				Meaning: "slope rating of the tee, " + ratingsRepeat, Example: "128", Rule: ruleSlope,
			},
			{Name: "front_course_rating", Holds: Decimal, Meaning: "course rating of holes 1 to 9", Blank: "no rating for this nine", Example: "35.4"},
			{Name: "front_slope_rating", Holds: Whole, Min: 55, Max: 155, Meaning: "slope rating of holes 1 to 9", Blank: "no rating for this nine", Example: "126", Rule: ruleSlope},
			{Name: "back_course_rating", Holds: Decimal, Meaning: "course rating of holes 10 to 18", Blank: "no rating for this nine", Example: "35.9"},
			{Name: "back_slope_rating", Holds: Whole, Min: 55, Max: 155, Meaning: "slope rating of holes 10 to 18", Blank: "no rating for this nine", Example: "130", Rule: ruleSlope},
		},
	}

	Players = Table{
		Name: "players", MaxRows: 5000,
		Meaning: "one row a player; a member number that is known already changes that player",
		Columns: []Column{
			{Name: "member_no", Required: true, Holds: Text, Meaning: "the club's own number; leading zeros count", Example: "0107"},
			{Name: "name", Required: true, Holds: Text, Meaning: "name as it stands on the start sheet", Example: "Zoë Ravensdale"},
			{Name: "handicap_index", Holds: Index, Meaning: "handicap index as the association states it", Blank: "none is recorded", Example: "16.0"},
			{
				Name: "index_date", Holds: Date, Meaning: "first day on which the index counts",
				Blank: "the day of the import, unless the index is the one in effect already", Example: "2025-06-13",
			},
		},
	}

	Entries = Table{
		Name: "entries", MaxRows: 1000,
		Meaning: "one row an entry of one competition; entries that the file leaves out stay as they are",
		Columns: []Column{
			{Name: "member_no", Required: true, Holds: Text, Meaning: "member number of a registered player", Example: "0107"},
			{Name: "tee", Holds: Text, Meaning: "a tee of the terms", Blank: "the first tee of the terms, or the tee of the entry as it stands", Example: "Red"},
			{
				Name: "handicap_index", Holds: Index, Meaning: "index set by the committee for this competition",
				Blank: "the player's index on the day of the competition", Example: "16.0",
			},
			{
				Name: "partners", Holds: Members, Meaning: "the other players of a side, in the order of their balls",
				Blank: "a single player, or the partners as they stand", Example: "0214 0377:Red",
			},
			{Name: "team_name", Holds: Text, Meaning: "what a side calls itself; no person's name", Blank: "none, or the name as it stands", Example: "The Sandpipers"},
		},
	}

	Cards = Table{
		Name: "cards", MaxRows: 900, // with 18 holes, certification and return all fit into one command
		Meaning: "one row a ball of a paper card of one competition whose round is open; the rows of one card go together",
		Columns: append(append([]Column{
			{Name: "member_no", Required: true, Holds: Text, Meaning: "member number of a player with a card; of a side its first player's", Example: "0107"},
			{Name: "ball", Holds: Whole, Min: 0, Max: 3, Meaning: "ball of a side: 0 is the first player's, 1 to 3 are those of the partners", Blank: "0", Example: "1"},
			{Name: "round", Holds: Whole, Min: 1, Max: 4, Meaning: "round in which the card was played", Blank: "the present one", Example: "2"},
		}, holeColumns()...),
			Column{
				Name: "status", Holds: Status, Meaning: "the committee's ruling on the card; of a side on one of its rows",
				Blank: "the paper bears both signatures and is returned", Example: "RTD", Rule: ruleRulings,
			},
			Column{Name: "reason", Holds: Text, Meaning: "why, for a ruling", Blank: "as stated in the file", Example: "ill after the 11th"},
		),
	}

	Expected = Table{
		Name: "expected-scores", MaxRows: 1000,
		Meaning: "one row an index, in rising order: what the association expects over nine holes; the file replaces all figures before",
		Columns: []Column{
			{Name: "handicap_index", Required: true, Holds: Index, Meaning: "handicap index, each once", Example: "14.0"},
			{
				Name: "expected_differential", Required: true, Holds: Exact, Meaning: "score differential over nine holes that the association states for it",
				Example: "0.0", Rule: "Rules of Handicapping 5.1b; the figures are the association’s, none is known here",
			},
			{Name: "source", Required: true, Holds: Text, Meaning: "where the association states them, the same on every row", Example: "letter of the association, 3 March"},
		},
	}
)

func holeColumns() []Column {
	out := make([]Column, 18)
	for i := range out {
		out[i] = Column{
			Name: fmt.Sprintf("h%d", i+1), Holds: Hole, Min: 1, Max: 99,
			Meaning: fmt.Sprintf("hole %d; the columns of all holes in play are required", i+1),
			Blank:   "no score: in stroke play only beside a status, which then leaves what stands on the card",
			Example: "4", Rule: ruleStrokes,
		}
	}
	return out
}

// Tables lists the kinds of files in the order in which a new club needs them.
func Tables() []Table { return []Table{Courses, Players, Entries, Cards, ClubStrokes, Expected} }

// Recognize says which kind of file has this header: the one that knows most of
// its columns. It fails where two kinds fit equally or none fits.
func Recognize(data []byte) (Table, error) {
	f := &File{}
	header, _, ok := f.open(data)
	if !ok {
		first := f.List()[0]
		return Table{}, events.Invalid("file", first.Code, first.Detail)
	}
	best, most, tied := Table{}, 0, false
	for _, t := range Tables() {
		n := 0
		for _, h := range header {
			if _, ok := t.Column(h); ok {
				n++
			}
		}
		switch {
		case n > most:
			best, most, tied = t, n, false
		case n == most:
			tied = true
		}
	}
	if most == 0 || tied {
		return Table{}, events.Invalid("file", "unknown_kind",
			"the first line does not tell what this file holds; it names the columns of course, players, entries, cards, strokes or expected scores")
	}
	return best, nil
}
