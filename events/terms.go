package events

// Terms are the terms of a competition, as the committee states them. What later
// versions of Marram added may be missing: every such field says what empty means,
// and that is what held before it existed.
type Terms struct {
	Format             string     `json:"format"`               // how a ball's holes count: stroke_play, stableford, par_bogey, maximum_score or match
	Ranking            string     `json:"ranking"`              // net or gross: what the competition says first
	Rounds             int        `json:"rounds"`               // 1 to 4; of matches as many as the draw needs: 0
	Holes              []int      `json:"holes"`                // hole numbers in play: 1-18, 1-9 or 10-18
	AllowancePercent   int        `json:"allowance_percent"`    // of each player's course handicap; 100 where side allowances are stated
	AllowanceSource    string     `json:"allowance_source"`     // the table it was preset from, or "committee"
	ParDifference      bool       `json:"par_difference"`       // add own tee's par less the lowest par (Rules of Handicapping 6.2b)
	LeaveOutPar        bool       `json:"leave_out_par"`        // course handicap without (course rating - par), as some associations had it before April 2024
	MaximumIndexTenths *int       `json:"maximum_index_tenths"` // highest index that counts; null where none
	CourseID           string     `json:"course_id"`            // the course played
	Tees               []string   `json:"tees"`                 // tees of that course that may be played; the first is the default
	Divisions          []Division `json:"divisions"`            // by handicap index; may be empty
	TieMethod          string     `json:"tie_method"`           // countback, shared, lot or play_off
	TieShare           string     `json:"tie_share"`            // exact_fraction, rounded_half_up or as_allocated: net stroke play countback
	FieldLimit         int        `json:"field_limit"`          // most entries; 0 for none
	Start              StartTerms `json:"start"`                // how groups go out
	Prizes             []Prize    `json:"prizes"`               // in the order in which they are awarded
	OnePrizeAPlayer    bool       `json:"one_prize_a_player"`   // who has one is passed over for later ones
	BoardPublic        bool       `json:"board_public"`         // whether anybody may watch
	NamesAs            string     `json:"names_as"`             // name or initials, on public pages

	Side           string       `json:"side,omitempty"`            // who an entry is: empty for one player; four_ball, foursomes, greensomes, chapman, scramble, best_of or aggregate
	SideSize       int          `json:"side_size,omitempty"`       // players of an entry, 2 to 4; 0 for one player
	SideAllowances []int        `json:"side_allowances,omitempty"` // percents of the players' course handicaps, the lowest first: sides that play one ball
	Maximum        Maximum      `json:"maximum,omitzero"`          // of a hole, in maximum score
	Count          []int        `json:"count,omitempty"`           // balls that count in best_of: one number, or one for each hole in play
	CountBy        string       `json:"count_by,omitempty"`        // hole or round (best_of, aggregate); empty for hole
	PerRound       []RoundTerms `json:"per_round,omitempty"`       // what differs by round: none, or one a round
	Cut            *Cut         `json:"cut,omitempty"`             // who plays on; null where everybody does
	TieWindows     string       `json:"tie_windows,omitempty"`     // after hole 18: first_nine (4-9, 7-9, 9) or hole_by_hole (17, 16, 15 ...); empty for first_nine
	TieHoles       string       `json:"tie_holes,omitempty"`       // windows by_number (10-18 for everybody) or by_play (the last nine played); empty for by_number
	TieHandicap    string       `json:"tie_handicap,omitempty"`    // whose share is taken: playing or course (unrounded); empty for playing
	TieThen        string       `json:"tie_then,omitempty"`        // where a countback decides nothing: shared, lot or play_off; empty for shared
	Match          *MatchTerms  `json:"match,omitempty"`           // of match play; null for every other format
	Practice       bool         `json:"practice,omitempty"`        // rounds to practise: what interprets the players' strokes is shown while they are played
}

// Maximum is the most strokes that count on a hole (Rules of Golf 21.2).
type Maximum struct {
	Kind    string `json:"kind"`              // net_double_bogey, double_par or strokes
	Strokes int    `json:"strokes,omitempty"` // of kind strokes, the same on every hole
}

// RoundTerms are the terms of one round where they differ from those of the
// competition. What is empty is as the terms say.
type RoundTerms struct {
	Date             string   `json:"date,omitempty"`              // YYYY-MM-DD; empty for the competition's
	FirstTime        string   `json:"first_time,omitempty"`        // HH:MM of the first group
	Format           string   `json:"format,omitempty"`            //
	Side             string   `json:"side,omitempty"`              //
	CourseID         string   `json:"course_id,omitempty"`         // it has every tee of the terms
	Holes            []int    `json:"holes,omitempty"`             //
	AllowancePercent *int     `json:"allowance_percent,omitempty"` //
	SideAllowances   []int    `json:"side_allowances,omitempty"`   //
	ParDifference    *bool    `json:"par_difference,omitempty"`    //
	Maximum          *Maximum `json:"maximum,omitempty"`           //
	Count            []int    `json:"count,omitempty"`             //
	CountBy          string   `json:"count_by,omitempty"`          //
}

// Cut says who plays the rounds after it. Who fulfils one of the conditions does.
type Cut struct {
	AfterRound int  `json:"after_round"`      // 1 to rounds - 1
	Places     int  `json:"places"`           // so many from the top of the competition's ranking; 0 for none
	TiesIn     bool `json:"ties_in"`          // who shares the last place is through; else nobody on it is where that makes too many
	Within     *int `json:"within,omitempty"` // strokes, points or holes of the lead; null where it does not count
}

// MatchTerms are the terms of match play.
type MatchTerms struct {
	Bracket    string `json:"bracket"`     // knockout, round_robin or single: each match for itself
	Length     int    `json:"length"`      // holes of a match: as many as are in play, or 36 for 18 holes played twice
	ExtraHoles bool   `json:"extra_holes"` // a tied match goes on hole by hole (Rules of Golf 3.2a(4)); else the tie stands
	FullNet    bool   `json:"full_net"`    // everybody receives their whole playing handicap; else the difference to the lowest (Rules of Handicapping, Appendix C)
}

// Round is what holds in a round, with everything filled in.
func (t *Terms) Round(n int) Terms {
	r := *t
	if n < 1 || n > len(t.PerRound) {
		return r
	}
	o := t.PerRound[n-1]
	set(&r.Format, o.Format)
	set(&r.Side, o.Side)
	set(&r.CourseID, o.CourseID)
	set(&r.CountBy, o.CountBy)
	set(&r.Start.FirstTime, o.FirstTime)
	if len(o.Holes) > 0 {
		r.Holes = o.Holes
	}
	if o.AllowancePercent != nil {
		r.AllowancePercent = *o.AllowancePercent
	}
	if len(o.SideAllowances) > 0 {
		r.SideAllowances = o.SideAllowances
	}
	if o.ParDifference != nil {
		r.ParDifference = *o.ParDifference
	}
	if o.Maximum != nil {
		r.Maximum = *o.Maximum
	}
	if len(o.Count) > 0 {
		r.Count = o.Count
	}
	return r
}

func set(to *string, value string) {
	if value != "" {
		*to = value
	}
}

// DateOf is the day of a round; planned is that of the competition.
func (t *Terms) DateOf(round int, planned string) string {
	if round >= 1 && round <= len(t.PerRound) && t.PerRound[round-1].Date != "" {
		return t.PerRound[round-1].Date
	}
	return planned
}

// Players is how many players an entry has.
func (t *Terms) Players() int { return max(1, t.SideSize) }

// Division is a part of the field by handicap index.
type Division struct {
	Name       string `json:"name"`
	FromTenths int    `json:"from_tenths"` // lowest index, inclusive, tenths, plus negative
	ToTenths   int    `json:"to_tenths"`   // highest index, inclusive
}

// StartTerms say how groups go out.
type StartTerms struct {
	Kind               string `json:"kind"`                 // one_tee, two_tee or shotgun
	FirstTime          string `json:"first_time"`           // HH:MM, the club's time
	IntervalMinutes    int    `json:"interval_minutes"`     // between groups; 0 for a shotgun
	GroupSize          int    `json:"group_size"`           // players, 2 to 4
	EmptyIntervalAfter int    `json:"empty_interval_after"` // a starter's gap after every so many groups; 0 for none
}

// Prize is one rank that gets something.
type Prize struct {
	Name     string `json:"name"`
	Ranking  string `json:"ranking"`            // net or gross
	Division string `json:"division,omitempty"` // empty for the whole field
	Places   int    `json:"places"`             // how many from the top
}
