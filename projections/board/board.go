package board

import (
	"time"

	"marram.example/events"
	"marram.example/events/competition"
	"marram.example/projections/standing"
)

// Heading is what a board says about its competition as a whole.
type Heading struct {
	CompetitionID string                  `json:"competition_id"`
	Name          string                  `json:"name"`
	Date          string                  `json:"date"`                 // YYYY-MM-DD
	Format        string                  `json:"format"`               // as in the terms of the round; empty before the terms are set
	Side          string                  `json:"side,omitempty"`       // who an entry is; empty for one player
	Round         int                     `json:"round"`                // that is prepared, played or was closed last; from 1
	Rounds        int                     `json:"rounds"`               // of the competition
	Cut           *competition.Cut        `json:"cut,omitempty"`        // once made
	Bracket       string                  `json:"bracket,omitempty"`    // knockout, round_robin or single, of match play
	Holes         int                     `json:"holes"`                // in the round; 0 before the terms are set
	Rankings      []string                `json:"rankings"`             // the competition's own first: net, gross, net/Division 1 ...
	Public        bool                    `json:"public"`               // whether the terms let anybody watch
	Practice      bool                    `json:"practice,omitempty"`   // rounds to practise
	Phase         competition.Phase       `json:"phase"`                // planned, drawn, open, suspended, closed or published
	Suspension    *competition.Suspension `json:"suspension,omitempty"` // kind and reason while play is stopped
	Provisional   bool                    `json:"provisional"`          // false only where the published result says the same
	Revision      int                     `json:"revision"`             // of the published result; 0 for the first
	Position      events.Position         `json:"position"`             // of the last event that changed the board
	AsOf          time.Time               `json:"as_of"`                // when that event was accepted, UTC
	Unnamed       bool                    `json:"unnamed,omitempty"`    // names could not be looked up; they follow by themselves
	Fault         string                  `json:"fault,omitempty"`      // why nothing can be ranked, where it cannot
}

// Row is one entry of a board. Figures are null until they mean something:
// before the first hole, where a hole without a score leaves no total, and on a
// card that the committee ruled NR, RTD, WD, NS or DQ.
type Row struct {
	No              int      `json:"no"` // place in the order of acceptance, from 0; never changes and names the row in a Span
	EntryID         string   `json:"entry_id"`
	PlayerID        string   `json:"player_id"`
	Name            string   `json:"name"` // as the terms want it shown, of a side its team name or all its players; empty where erased or unknown
	TeamName        string   `json:"team_name,omitempty"`
	PlayerName      string   `json:"player_name,omitempty"` // of a side: its first player
	Partners        []Player `json:"partners,omitempty"`    // the other players of a side
	GroupNumber     int      `json:"group_number"`          // 0 before the draw
	GroupTime       string   `json:"group_time"`            // HH:MM, the club's time; empty before the draw
	GroupLetter     string   `json:"group_letter,omitempty"`
	StartingHole    int      `json:"starting_hole"` // 0 before the draw
	Division        string   `json:"division,omitempty"`
	Tee             string   `json:"tee"`
	IndexTenths     int      `json:"index_tenths"`     // tenths; plus handicaps negative
	PlayingHandicap *int     `json:"playing_handicap"` // strokes, plus negative; null before the card is issued
	ParDifference   int      `json:"par_difference"`   // own tee's par less the lowest par of the tees: rankings by strokes compare totals, not totals to par
	CardID          string   `json:"card_id,omitempty"`
	Status          string   `json:"status"` // in_play, returned, NR, RTD, WD, NS, DQ; empty before the card is issued
	Returned        bool     `json:"returned"`
	Thru            int      `json:"thru"` // holes on which something counts

	Gross         *int         `json:"gross"`        // strokes on the holes played
	Net           *int         `json:"net"`          // strokes
	GrossToPar    *int         `json:"gross_to_par"` // strokes less par of the holes played
	NetToPar      *int         `json:"net_to_par"`
	Points        *int         `json:"points"`       // Stableford only, as are the following
	GrossPoints   *int         `json:"gross_points"` // without strokes received
	Level         *int         `json:"level"`        // points less two for each hole played
	GrossLevel    *int         `json:"gross_level"`
	ParBogey      *int         `json:"par_bogey,omitempty"` // par/bogey only: holes won less holes lost
	GrossParBogey *int         `json:"gross_par_bogey,omitempty"`
	Rounds        []RoundTotal `json:"rounds,omitempty"` // of a competition over several rounds; the figures above are over all of them

	Places      map[string]standing.Place `json:"places"`              // by ranking; those the row takes part in
	Movement    int                       `json:"movement"`            // places gained (+) or lost (-) in the own ranking by the last hole, while the round is played
	LastHole    int                       `json:"last_hole,omitempty"` // whose counting score changed last
	Differences []int                     `json:"differences"`         // holes on which player and marker disagree
	Countback   string                    `json:"countback,omitempty"` // in words, where one decided the place in the own ranking
	Fault       string                    `json:"fault,omitempty"`     // why the card cannot be scored, where it cannot
}

// Player is a partner on a board.
type Player struct {
	PlayerID string `json:"player_id"`
	Name     string `json:"name"`
}

// RoundTotal is what a round of an entry comes to so far.
type RoundTotal struct {
	Round  int    `json:"round"`
	CardID string `json:"card_id"`
	Thru   int    `json:"thru"`
	Net    *int   `json:"net"`   // in the unit that ranks: strokes, points or holes
	Gross  *int   `json:"gross"` // likewise, without strokes received

	NetLevel   *int `json:"net_level"`   // to par, or against level play, over the holes played
	GrossLevel *int `json:"gross_level"` // likewise
}

// Board is how a competition stands. Its parts are shared and must not be changed.
type Board struct {
	Heading
	Rows    []Row             `json:"rows"`              // in the order of the competition's own ranking
	Matches []Match           `json:"matches,omitempty"` // of match play, the first round first
	Table   []events.TableRow `json:"table,omitempty"`   // of a round robin
}

// Row finds the line of an entry.
func (b Board) Row(entryID string) (Row, bool) {
	for _, r := range b.Rows {
		if r.EntryID == entryID {
			return r, true
		}
	}
	return Row{}, false
}
