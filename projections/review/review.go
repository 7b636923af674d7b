package review

import "marram.example/projections/shots"

// Figures that a sentence opens: the anchors of the page's pictures.
const (
	FigurePhases     = "phases"     // Review.Phases, Total
	FigureAreas      = "areas"      // Review.Areas
	FigureHoles      = "holes"      // Review.Holes, Field
	FigureClubs      = "clubs"      // Review.Clubs
	FigureStrokes    = "strokes"    // Review.Best, Worst
	FigurePatterns   = "patterns"   // Review.Patterns; Item is the group of clubs
	FigurePutts      = "putts"      // Review.Putts
	FigureSquare     = "square"     // Review.Square
	FigureCommitment = "commitment" // Review.Commitment
	FigureRoutine    = "routine"    // Review.Routine
	FigureClassic    = "classic"    // Review.Classic
	FigureCompare    = "compare"    // Review.Compare
	FigureRounds     = "rounds"     // Review.Rounds, Trend
	FigureClub       = "club"       // Review.Club
	FigurePlan       = "plan"       // Review.Plan
	FigureCounted    = "counted"    // Review.Counted
)

// How sure something is, besides the four words of package shots (SureClear,
// SureLikely, SureHint, SureTooFew).
const SureCounted = "counted" // a plain count or sum of what happened; nothing is inferred from it

// Review is one round, or several, as the player is shown them. Distances are in
// metres, gains in strokes (above 0 is better), unrounded; people are shown one
// decimal. Lists are never null.
type Review struct {
	Caution  string       `json:"caution"` // to be printed on top of everything, empty for none
	Title    Title        `json:"title"`
	Baseline BaselineInfo `json:"baseline"`

	First     *Advice    `json:"first"`      // what to practise first; null where nothing can be said, then FirstNot says why
	FirstNot  string     `json:"first_not"`  // why there is none; empty where there is one
	Sentences []Sentence `json:"sentences"`  // three, the one that matters most first; none where nothing was played
	Plan      []Advice   `json:"plan"`       // where a stroke is cheapest to gain, the first one first; First is its head
	PlanBasis string     `json:"plan_basis"` // the rounds and the comparison that the plan rests on, in words

	Total  GainLine   `json:"total"`  // of all strokes; the sum of Phases and of Holes
	Phases []GainLine `json:"phases"` // all four, in the order of play: the waterfall
	// Areas are finer parts of the game, only those with strokes, against what advice
	// compares with (Baseline.Advice). They add up to AreasTotal, which is Total where
	// that is the baseline asked for.
	Areas      []GainLine `json:"areas"`
	AreasTotal float64    `json:"areas_total"`
	Clubs      []GainLine `json:"clubs"` // the longest first; strokes without a club last, under an empty key
	Bands      []GainLine `json:"bands"` // by distance to the hole

	Holes []HoleLine   `json:"holes"` // of one round, in the order of play; empty over several
	Field *FieldLine   `json:"field"` // the round against the day's field; null over several rounds, and where nobody else played
	Best  []StrokeLine `json:"best"`  // at most five
	Worst []StrokeLine `json:"worst"` // at most five

	Patterns   []PatternLine    `json:"patterns"` // by group of clubs, the longest first
	Putts      []shots.PuttBand `json:"putts"`
	Square     shots.Square     `json:"square"`
	Commitment shots.Commitment `json:"commitment"`
	Routine    shots.Routine    `json:"routine"` // of the newest 50 rounds at most
	Times      []TimeLine       `json:"times"`   // of one round; empty over several
	Classic    shots.Classic    `json:"classic"`

	Compare []CompareLine `json:"compare"` // with the last 5, 10 and 20 rounds; only those that there are rounds for
	Rounds  []RoundLine   `json:"rounds"`  // the oldest first: those under review, of one round also the past ones (at most 20 of them)
	Trend   *Trend        `json:"trend"`   // over Rounds; null below five of them
	Club    *ClubFigure   `json:"club"`    // the club's own baseline; null where strokes are compared with another one

	Counted Counted `json:"counted"`
}

// Title is what is under review.
type Title struct {
	One    bool   `json:"one"`
	Card   string `json:"card"` // its id, of one round
	Ball   int    `json:"ball"`
	From   string `json:"from"` // first date, YYYY-MM-DD
	To     string `json:"to"`   // last date
	Rounds int    `json:"rounds"`
	Score  *int   `json:"score"`   // of one round: strokes over the holes scored; null without any
	ToPar  *int   `json:"to_par"`  // the same to par
	Scored int    `json:"scored"`  // holes with a score, over all rounds
	Whole  bool   `json:"whole"`   // one round of which every hole is logged from the tee into the hole
	Logged bool   `json:"logged"`  // any stroke is logged
	Putts  bool   `json:"putting"` // only putts are logged
}

// BaselineInfo says what strokes are compared with.
type BaselineInfo struct {
	Name      string `json:"name"`
	Label     string `json:"label"`
	Source    string `json:"source"`
	Published bool   `json:"published"`
	Note      string `json:"note"`
	// Advice is the label of what the plan compares with: the matched baseline where
	// there is one, else the player's own level, else this one.
	Advice string `json:"advice"`
}

// Sentence is one of the three. It has at most 160 characters.
type Sentence struct {
	Words  string `json:"words"`
	Figure string `json:"figure"` // the anchor of the figure that it comes from
	Item   string `json:"item"`   // which part of the figure: a phase, an area, a group of clubs, a hole's number; may be empty
	Sure   string `json:"sure"`   // one of the words for it
}

// GainLine is what a part of the game gained.
type GainLine struct {
	Key   string  `json:"key"`
	Label string  `json:"label"` // for people, distances in the units asked for
	N     int     `json:"n"`     // strokes
	Total float64 `json:"total"`
	Mean  float64 `json:"mean"` // a stroke
	From  float64 `json:"from"` // edges of a distance band in metres, 0 where there is none
	To    float64 `json:"to"`

	Rounds   int            `json:"rounds"`    // rounds in which strokes of this kind were logged at all
	PerRound float64        `json:"per_round"` // Total over Rounds
	Interval shots.Interval `json:"interval"`  // 95 % of PerRound, were such rounds played on and on; equal ends below two strokes
	Likely   shots.Interval `json:"likely"`    // 80 % of it
	Sure     string         `json:"sure"`      // how sure that PerRound is not 0
	Usual    *UsualLine     `json:"usual"`     // against the player's past rounds; null below five of them, and in Clubs and Bands
}

// UsualLine compares what was gained a round with the player's own past.
type UsualLine struct {
	Rounds     int            `json:"rounds"`     // past rounds in which it was logged
	PerRound   float64        `json:"per_round"`  // their mean
	Difference float64        `json:"difference"` // above 0: better than usual
	Interval   shots.Interval `json:"interval"`   // 95 % of the difference
	Likely     shots.Interval `json:"likely"`     // 80 %
	Sure       string         `json:"sure"`       // how sure that this is not how rounds differ anyway
}

// Advice is one entry of the practice plan.
type Advice struct {
	Area   string `json:"area"`   // a key of Areas or Phases
	Label  string `json:"label"`  // what to practise
	Words  string `json:"words"`  // one sentence: what, how much, how sure
	Figure string `json:"figure"` // FigurePlan

	Loss     float64        `json:"loss"`     // strokes a round, above 0
	Interval shots.Interval `json:"interval"` // 95 % of Loss
	Likely   shots.Interval `json:"likely"`   // 80 %; its lower end ranks the plan
	Sure     string         `json:"sure"`
	Against  string         `json:"against"` // what the loss is measured against, in words
	Rounds   int            `json:"rounds"`
	Strokes  int            `json:"strokes"`
	Usual    *UsualLine     `json:"usual"` // the round under review against the past in this area; null over several rounds

	Aim     string  `json:"aim"`      // measurable, without a drill
	Change  float64 `json:"change"`   // strokes a stroke that the aim gains
	Needed  int     `json:"needed"`   // strokes in the area until a change of that size would show with a chance of 80 %
	InRound float64 `json:"in_round"` // strokes in the area a round
	Worked  string  `json:"worked"`   // how to tell that it worked
	After   int     `json:"after"`    // Needed as rounds
}

// HoleLine is one hole of the round.
type HoleLine struct {
	Number   int      `json:"number"`
	Par      int      `json:"par"`
	Length   float64  `json:"length"`  // metres; 0 where unknown
	Score    int      `json:"score"`   // 0 for none
	Strokes  int      `json:"strokes"` // logged, penalties not included
	Penalty  int      `json:"penalty"` // penalty strokes logged
	Putts    int      `json:"putts"`   // logged
	Whole    bool     `json:"whole"`   // logged from the tee into the hole
	Differs  bool     `json:"differs"` // whole, and its strokes are not what the card says
	Expected *float64 `json:"expected"`
	Gained   *float64 `json:"gained"`  // of the strokes logged; null without any. Of a whole hole Expected less strokes and penalties
	Running  *float64 `json:"running"` // sum of Gained up to here; null before the first hole with one

	FieldN       int      `json:"field_n"`       // players of the field with a score on it
	FieldMean    *float64 `json:"field_mean"`    // null without a field
	FieldGained  *float64 `json:"field_gained"`  // FieldMean less Score
	FieldRunning *float64 `json:"field_running"` // its sum up to here
	ForHandicap  *float64 `json:"for_handicap"`  // the same against what the handicap would have scored
	LeftOut      string   `json:"left_out"`      // why its strokes are left out; empty where they are not
}

// FieldLine is the round against the day's field, from scores alone.
type FieldLine struct {
	Players int     `json:"players"` // of whom at least one hole is compared, the player included
	Holes   int     `json:"holes"`   // holes compared
	Score   int     `json:"score"`   // own, over these holes
	Mean    float64 `json:"mean"`    // the field's, over these holes
	Gained  float64 `json:"gained"`
}

// StrokeLine is one stroke.
type StrokeLine struct {
	shots.Gain

	Club       string `json:"club"`
	Strike     string `json:"strike"`
	GoodEnough *bool  `json:"good_enough"`
	Date       string `json:"date"`
	Words      string `json:"words"` // "Hole 7, stroke 2: iron-7, 142 m from the rough to 6 m"
}

// PatternLine is how the strokes with a group of clubs miss: those under review, of
// one round with the past ones, so that the day can be told from what is usual. The
// newest 50 rounds at most.
type PatternLine struct {
	Group     string            `json:"group"`
	Label     string            `json:"label"`
	Pattern   shots.Pattern     `json:"pattern"`
	Rounds    int               `json:"rounds"` // that the pattern rests on
	Points    []shots.MissPoint `json:"points"` // to be drawn, the newest first, at most 150
	Left      int               `json:"left"`   // of the strokes under review
	Right     int               `json:"right"`
	OnLine    int               `json:"on_line"`
	Short     int               `json:"short"`
	Long      int               `json:"long"`
	Level     int               `json:"level"`
	Across    shots.OneSided    `json:"across"`     // is the miss one-sided? Of the strokes under review, P as it stands
	Along     shots.OneSided    `json:"along"`      // the same of short (its left) and long (its right)
	Sure      string            `json:"sure"`       // that they miss to one side, after all questions asked of all groups
	SureAlong string            `json:"sure_along"` // that they miss short, or long
	Words     string            `json:"words"`      // the pattern in words
	Corridor  *CorridorLine     `json:"corridor"`   // null where no trouble was described
}

// CorridorLine is what the pattern does between two troubles, and where to aim.
type CorridorLine struct {
	Left      float64         `json:"left"` // metres, as described
	Right     float64         `json:"right"`
	CostLeft  float64         `json:"cost_left"` // strokes
	CostRight float64         `json:"cost_right"`
	Bias      float64         `json:"bias"`   // metres that the pattern is off at its length, right above 0
	Spread    float64         `json:"spread"` // of the next stroke: with what is not known of the bias
	Length    float64         `json:"length"` // metres that the strokes are long
	Now       *shots.Corridor `json:"now"`    // with the present aim; null with too few strokes
	Aim       *shots.Aim      `json:"aim"`    // the best one; null with too few strokes
	Words     string          `json:"words"`
}

// CompareLine compares with the last few rounds.
type CompareLine struct {
	Last   int           `json:"last"`   // 5, 10 or 20
	Rounds int           `json:"rounds"` // that there were
	Score  *float64      `json:"score"`  // mean score to par over 18 holes of the holes scored; null without any
	Total  *ComparePart  `json:"total"`  // null where no strokes are logged
	Phases []ComparePart `json:"phases"` // those logged
	Putts  *float64      `json:"putts"`  // a green hole played out from the green on, mean; null without any
	Greens shots.Count   `json:"greens"` // in regulation
}

// ComparePart is a part of the game in a CompareLine: of one round, the round
// against the last few before it; over several, the last few against those before
// them.
type ComparePart struct {
	Key        string          `json:"key"` // "total" or a phase
	Label      string          `json:"label"`
	Rounds     int             `json:"rounds"`
	PerRound   float64         `json:"per_round"`  // of the last few
	Difference *float64        `json:"difference"` // null where there is nothing to compare with
	Interval   *shots.Interval `json:"interval"`   // 95 % of it; null below five rounds
	Sure       string          `json:"sure"`       // empty without an interval
}

// RoundLine is a round in the trend.
type RoundLine struct {
	Card            string             `json:"card"`
	Ball            int                `json:"ball"`
	Date            string             `json:"date"`
	Score           int                `json:"score"` // over the holes scored
	ToPar           int                `json:"to_par"`
	Scored          int                `json:"scored"`           // holes
	Holes           int                `json:"holes"`            // of the round
	Logged          int                `json:"logged"`           // holes with strokes that count
	Gained          *float64           `json:"gained"`           // null without strokes
	Phases          map[string]float64 `json:"phases"`           // only those logged
	AgainstHandicap *float64           `json:"against_handicap"` // course rating, course handicap and 3 strokes, less the score; above 0 better. Null without all scores and figures
	Current         bool               `json:"current"`          // under review
}

// Trend is a straight line through the rounds.
type Trend struct {
	Of       string         `json:"of"`     // "gained" or "against_handicap"
	Rounds   int            `json:"rounds"` // that the line goes through
	PerTen   float64        `json:"per_ten"`
	Interval shots.Interval `json:"interval"` // 95 %
	Likely   shots.Interval `json:"likely"`   // 80 %
	Sure     string         `json:"sure"`
	First    float64        `json:"first"` // the line at the oldest round
	Last     float64        `json:"last"`  // and at the newest
	Words    string         `json:"words"`
}

// Counted says what the review rests on.
type Counted struct {
	Rounds       int       `json:"rounds"`
	RoundsLogged int       `json:"rounds_logged"` // with a stroke
	Past         int       `json:"past"`          // rounds that "usual" rests on
	Holes        int       `json:"holes"`
	HolesScored  int       `json:"holes_scored"`
	HolesLogged  int       `json:"holes_logged"`
	HolesWhole   int       `json:"holes_whole"` // from the tee into the hole
	Strokes      int       `json:"strokes"`     // logged
	Compared     int       `json:"compared"`    // of them with a gain
	Extrapolated int       `json:"extrapolated"`
	LeftOut      []LeftOut `json:"left_out"`
	Words        string    `json:"words"` // all of it in one sentence
}

// LeftOut is something that is not in the review, and why.
type LeftOut struct {
	What string `json:"what"` // "holes", "strokes", "rounds"
	N    int    `json:"n"`
	Why  string `json:"why"`
}
