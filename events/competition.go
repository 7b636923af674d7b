package events

// CompetitionPlanned says that the club will play this competition.
type CompetitionPlanned struct {
	fact
	Name string `json:"name"`
	Date string `json:"date"` // YYYY-MM-DD
}

// TermsSet says what the terms are. Terms are fixed once the round is open.
type TermsSet struct {
	fact
	Terms
}

// EntryAccepted says that a player is in.
type EntryAccepted struct {
	fact
	EntryID     string      `json:"entry_id"`
	PlayerID    string      `json:"player_id"`
	Tee         string      `json:"tee"`
	IndexTenths int         `json:"index_tenths"` // as known when entered; the card fixes the one that counts
	IndexOrigin IndexOrigin `json:"index_origin"`
	Late        bool        `json:"late"` // accepted after the draw
	Side
}

// Side is what an entry of several players has beside its first one.
type Side struct {
	TeamName string    `json:"team_name,omitempty"` // what the side calls itself; no person's name
	Partners []Partner `json:"partners,omitempty"`  // the other players
}

// Partner is another player of an entry.
type Partner struct {
	PlayerID    string      `json:"player_id"`
	Tee         string      `json:"tee"`
	IndexTenths int         `json:"index_tenths"`
	IndexOrigin IndexOrigin `json:"index_origin"`
}

// EntryAmended replaces tees, indexes or partners of an entry.
type EntryAmended struct {
	fact
	EntryID     string      `json:"entry_id"`
	Tee         string      `json:"tee"`
	IndexTenths int         `json:"index_tenths"`
	IndexOrigin IndexOrigin `json:"index_origin"`
	Reason      string      `json:"reason,omitempty"`
	Side
}

// EntryWithdrawn says that an entry left the field before its card was issued.
type EntryWithdrawn struct {
	fact
	EntryID string `json:"entry_id"`
	Reason  string `json:"reason,omitempty"`
}

// Group is who plays together, from where and when.
type Group struct {
	Number       int         `json:"number"`        // 1 is the first on the sheet
	Time         string      `json:"time"`          // HH:MM, the club's time
	StartingHole int         `json:"starting_hole"` // 1 to 18
	Letter       string      `json:"letter"`        // A, B on one starting hole in a shotgun; else empty
	Places       []GroupSlot `json:"places"`        // 1 to 4
}

// GroupSlot is one entry of a group and who marks its card.
type GroupSlot struct {
	EntryID  string `json:"entry_id"`
	MarkerID string `json:"marker_id"` // entry that keeps this one's card; empty where the committee keeps it
}

// DrawPublished is the whole start sheet. A later one replaces it.
type DrawPublished struct {
	fact
	Round  int     `json:"round"`
	Method string  `json:"method"` // handicap, random, as_entered, standing, seeded, round_robin or by_hand
	Seed   uint64  `json:"seed"`   // stated for a random draw, so that anybody can repeat it
	Groups []Group `json:"groups"`
	Reason string  `json:"reason,omitempty"` // why it changed, for every draw but the first
}

// RoundOpened says that play may begin; cards are issued with it.
type RoundOpened struct {
	fact
	Round int `json:"round"`
}

// RoundSuspended says that play is stopped.
type RoundSuspended struct {
	fact
	Round  int    `json:"round"`
	Kind   string `json:"kind"` // immediate (danger) or normal, Rules of Golf 5.7b
	Reason string `json:"reason"`
}

// RoundResumed says that play goes on.
type RoundResumed struct {
	fact
	Round int `json:"round"`
}

// CardStanding is how a card stood when the round was closed.
type CardStanding struct {
	CardID   string   `json:"card_id"`
	EntryID  string   `json:"entry_id"`
	Status   string   `json:"status"`   // returned, NR, RTD, WD, NS or DQ
	Sequence Sequence `json:"sequence"` // of the card's stream, as read
}

// RoundClosed says that nothing is outstanding.
type RoundClosed struct {
	fact
	Round   int             `json:"round"`
	Cards   []CardStanding  `json:"cards"`
	Matches []MatchStanding `json:"matches,omitempty"` // of a round of matches
}

// MatchStanding is how a match stood when the round was closed.
type MatchStanding struct {
	MatchID  string   `json:"match_id"`
	Number   int      `json:"number"`           // of its group on the start sheet
	EntryIDs []string `json:"entry_ids"`        // side A, side B
	Winner   string   `json:"winner,omitempty"` // entry; empty where the tie stands, NoWinner where both sides are out
	Text     string   `json:"text"`             // such as 3 and 2
	By       int      `json:"by"`               // holes up in the end; as credited where it was conceded
	Sequence Sequence `json:"sequence"`         // of the match's stream, as read
}

// CutMade says who plays on, with the grounds.
type CutMade struct {
	fact
	AfterRound int      `json:"after_round"`
	Through    []string `json:"through"` // entry ids, best first
	Missed     []string `json:"missed"`  // entry ids with a total, best first
	Line       *int     `json:"line"`    // total of the last one through, in the unit that ranks; null where nobody is
	Words      string   `json:"words"`   // the arithmetic
}

// PlayingConditionsSet says which playing conditions adjustment the association
// published for the day of a round. Marram never computes one.
type PlayingConditionsSet struct {
	fact
	Round      int    `json:"round"`
	Adjustment int    `json:"adjustment"` // -1 to 3 (Rules of Handicapping 5.6)
	Source     string `json:"source"`     // where the committee has it from
}

// HoleExcluded says that a hole of a round counts for nobody.
type HoleExcluded struct {
	fact
	Round  int    `json:"round"`
	Hole   int    `json:"hole"`
	Reason string `json:"reason"`
}

// HoleRestored takes a HoleExcluded back.
type HoleRestored struct {
	fact
	Round  int    `json:"round"`
	Hole   int    `json:"hole"`
	Reason string `json:"reason"`
}

// TieDecided is a tie that the committee settled by lot or by hand.
type TieDecided struct {
	fact
	Ranking  string   `json:"ranking"`   // net, gross or points
	Division string   `json:"division"`  // empty for the whole field
	EntryIDs []string `json:"entry_ids"` // best first
	Method   string   `json:"method"`    // lot or play_off
	Reason   string   `json:"reason"`
	Seed     uint64   `json:"seed,omitempty"` // of a lot that was drawn here, so that anybody can repeat it
}

// ResultRow is one line of a result, with its grounds.
type ResultRow struct {
	EntryID         string            `json:"entry_id"`
	PlayerID        string            `json:"player_id"`
	CardID          string            `json:"card_id"`
	CardSequence    Sequence          `json:"card_sequence"` // of the card's stream, as counted
	Division        string            `json:"division,omitempty"`
	Tee             string            `json:"tee"`
	IndexTenths     int               `json:"index_tenths"`
	PlayingHandicap int               `json:"playing_handicap"`
	Status          string            `json:"status"` // returned, NR, RTD, WD, NS or DQ
	Gross           *int              `json:"gross"`  // strokes; null where a hole has no score
	Net             *int              `json:"net"`    // strokes
	Points          *int              `json:"points"` // Stableford, by playing handicap
	GrossPoints     *int              `json:"gross_points"`
	Positions       map[string]string `json:"positions"`           // by ranking, then ranking/division: "net", "gross", "net/Division 1"
	Countback       string            `json:"countback,omitempty"` // in words, where one decided the place in the competition's ranking

	TeamName string         `json:"team_name,omitempty"`
	Partners []ResultPlayer `json:"partners,omitempty"`  // the other players of a side
	ParBogey *int           `json:"par_bogey,omitempty"` // holes won less holes lost against the target
	Rounds   []RoundFigures `json:"rounds,omitempty"`    // of a competition over several rounds; totals above are over all of them
}

// ResultPlayer is a partner in a result.
type ResultPlayer struct {
	PlayerID        string `json:"player_id"`
	Tee             string `json:"tee"`
	IndexTenths     int    `json:"index_tenths"`
	PlayingHandicap int    `json:"playing_handicap"` // own ball; 0 where the side plays one
}

// RoundFigures are one round of an entry.
type RoundFigures struct {
	Round           int      `json:"round"`
	CardID          string   `json:"card_id"`
	CardSequence    Sequence `json:"card_sequence"`
	Status          string   `json:"status"`
	PlayingHandicap int      `json:"playing_handicap"`
	Gross           *int     `json:"gross"`
	Net             *int     `json:"net"`
	Points          *int     `json:"points,omitempty"`
	ParBogey        *int     `json:"par_bogey,omitempty"`
}

// PrizeAwarded is one prize and who gets it.
type PrizeAwarded struct {
	Prize    string `json:"prize"`
	Place    int    `json:"place"`
	EntryID  string `json:"entry_id"`
	PassedBy int    `json:"passed_by"` // how many better placed had a prize already
}

// Countback is the matching of tied cards in one ranking, with its arithmetic.
type Countback struct {
	Ranking string             `json:"ranking"` // net, gross, net/Division 1 ...
	From    int                `json:"from"`    // the position that was tied
	Rule    string             `json:"rule"`
	Order   [][]string         `json:"order"` // entry ids, best first; those still tied together
	Steps   []CountbackStep    `json:"steps"` // what separates each group of Order from the next
	Cards   []CountbackWindows `json:"cards"`
}

// CountbackStep says which holes separated two cards and by which values.
type CountbackStep struct {
	Window string `json:"window"` // such as 10-18
	Above  string `json:"above"`  // exact values, such as 65/2
	Below  string `json:"below"`
}

// CountbackWindows are the values of one card.
type CountbackWindows struct {
	EntryID string            `json:"entry_id"`
	Windows []CountbackWindow `json:"windows"`
}

// CountbackWindow is one value of one card: strokes less a share of the
// handicap, or the figures as allocated by hole.
type CountbackWindow struct {
	Window string `json:"window"`
	Gross  int    `json:"gross"`
	Share  string `json:"share,omitempty"`
	Value  string `json:"value"`
}

// Result is a whole result as published.
type Result struct {
	Rows       []ResultRow    `json:"rows"` // in order of the competition's ranking
	Prizes     []PrizeAwarded `json:"prizes"`
	Countbacks []Countback    `json:"countbacks"` // every one that decided a place

	Matches []MatchStanding `json:"matches,omitempty"` // of a match competition, round by round
	Table   []TableRow      `json:"table,omitempty"`   // of a round robin
}

// TableRow is one line of a round robin's table.
type TableRow struct {
	EntryID    string `json:"entry_id"`
	Played     int    `json:"played"`
	Won        int    `json:"won"`
	Tied       int    `json:"tied"`
	Lost       int    `json:"lost"`
	HalfPoints int    `json:"half_points"`       // twice the points: a win 2, a tie 1
	Holes      int    `json:"holes"`             // up less down over all matches
	Decided    string `json:"decided,omitempty"` // in words, what separated equal points
}

// ResultPublished says that this is the result.
type ResultPublished struct {
	fact
	Result
}

// ResultRevised says that this is the result now. There is no time limit for
// correcting an administrative mistake (Rules of Golf 20.2d(2)).
type ResultRevised struct {
	fact
	Result
	Revision int    `json:"revision"` // 1 for the first
	Reason   string `json:"reason"`
}

// EventType implements Event.
func (CompetitionPlanned) EventType() string { return "marram.competition.CompetitionPlanned.v1" }

// EventType implements Event.
func (TermsSet) EventType() string { return "marram.competition.TermsSet.v1" }

// EventType implements Event.
func (EntryAccepted) EventType() string { return "marram.competition.EntryAccepted.v1" }

// EventType implements Event.
func (EntryAmended) EventType() string { return "marram.competition.EntryAmended.v1" }

// EventType implements Event.
func (EntryWithdrawn) EventType() string { return "marram.competition.EntryWithdrawn.v1" }

// EventType implements Event.
func (DrawPublished) EventType() string { return "marram.competition.DrawPublished.v1" }

// EventType implements Event.
func (RoundOpened) EventType() string { return "marram.competition.RoundOpened.v1" }

// EventType implements Event.
func (RoundSuspended) EventType() string { return "marram.competition.RoundSuspended.v1" }

// EventType implements Event.
func (RoundResumed) EventType() string { return "marram.competition.RoundResumed.v1" }

// EventType implements Event.
func (RoundClosed) EventType() string { return "marram.competition.RoundClosed.v1" }

// EventType implements Event.
func (CutMade) EventType() string { return "marram.competition.CutMade.v1" }

// EventType implements Event.
func (PlayingConditionsSet) EventType() string {
	return "marram.competition.PlayingConditionsSet.v1"
}

// EventType implements Event.
func (HoleExcluded) EventType() string { return "marram.competition.HoleExcluded.v1" }

// EventType implements Event.
func (HoleRestored) EventType() string { return "marram.competition.HoleRestored.v1" }

// EventType implements Event.
func (TieDecided) EventType() string { return "marram.competition.TieDecided.v1" }

// EventType implements Event.
func (ResultPublished) EventType() string { return "marram.competition.ResultPublished.v1" }

// EventType implements Event.
func (ResultRevised) EventType() string { return "marram.competition.ResultRevised.v1" }
