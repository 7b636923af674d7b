package events

// Terms are the terms of a competition, as the committee states them.
type Terms struct {
	Format             string     `json:"format"`               // stroke_play or stableford
	Ranking            string     `json:"ranking"`              // net or gross: what the competition says first
	Rounds             int        `json:"rounds"`               // 1
	Holes              []int      `json:"holes"`                // hole numbers in play: 1-18, 1-9 or 10-18
	AllowancePercent   int        `json:"allowance_percent"`    // of the course handicap
	AllowanceSource    string     `json:"allowance_source"`     // the table it was preset from, or "committee"
	ParDifference      bool       `json:"par_difference"`       // add own tee's par less the lowest par (Rules of Handicapping 6.2b)
	LeaveOutPar        bool       `json:"leave_out_par"`        // course handicap without (course rating - par), as some associations had it before April 2024
	MaximumIndexTenths *int       `json:"maximum_index_tenths"` // highest index that counts; null where none
	CourseID           string     `json:"course_id"`            // the course played
	Tees               []string   `json:"tees"`                 // tees of that course that may be played; the first is the default
	Divisions          []Division `json:"divisions"`            // by handicap index; may be empty
	TieMethod          string     `json:"tie_method"`           // countback or shared
	TieShare           string     `json:"tie_share"`            // exact_fraction, rounded_half_up or as_allocated: net stroke play countback
	FieldLimit         int        `json:"field_limit"`          // most entries; 0 for none
	Start              StartTerms `json:"start"`                // how groups go out
	Prizes             []Prize    `json:"prizes"`               // in the order in which they are awarded
	OnePrizeAPlayer    bool       `json:"one_prize_a_player"`   // who has one is passed over for later ones
	BoardPublic        bool       `json:"board_public"`         // whether anybody may watch
	NamesAs            string     `json:"names_as"`             // name or initials, on public pages
}

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
	GroupSize          int    `json:"group_size"`           // 2 to 4
	EmptyIntervalAfter int    `json:"empty_interval_after"` // a starter's gap after every so many groups; 0 for none
}

// Prize is one rank that gets something.
type Prize struct {
	Name     string `json:"name"`
	Ranking  string `json:"ranking"`            // net, gross or points
	Division string `json:"division,omitempty"` // empty for the whole field
	Places   int    `json:"places"`             // how many from the top
}
