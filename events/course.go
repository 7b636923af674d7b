package events

// Hole is one hole as it plays from one tee.
type Hole struct {
	Number      int `json:"number"`       // 1 to 18
	Par         int `json:"par"`          // 3 to 6
	StrokeIndex int `json:"stroke_index"` // 1 to 18, each once over the tee's holes
	LengthM     int `json:"length_m"`     // metres; 0 where unknown
}

// NineRating is the rating of one nine of an 18-hole tee, needed for a
// competition over nine holes (Rules of Handicapping 6.1b).
type NineRating struct {
	CourseRatingTenths int `json:"course_rating_tenths"` // tenths of a stroke, nine holes
	SlopeRating        int `json:"slope_rating"`         // 55 to 155
}

// TeeDefinition is a set of tee markers with its ratings and holes.
type TeeDefinition struct {
	Tee                string      `json:"tee"`                  // name, unique on the course
	CourseRatingTenths int         `json:"course_rating_tenths"` // tenths of a stroke, all holes of the tee
	SlopeRating        int         `json:"slope_rating"`         // 55 to 155
	Front              *NineRating `json:"front,omitempty"`      // holes 1 to 9
	Back               *NineRating `json:"back,omitempty"`       // holes 10 to 18
	Holes              []Hole      `json:"holes"`                // 18 or 9, in order of number
}

// Par is the sum of the holes' pars.
func (t TeeDefinition) Par() int {
	sum := 0
	for _, h := range t.Holes {
		sum += h.Par
	}
	return sum
}

// CourseDefined says that the club has this course.
type CourseDefined struct {
	fact
	Name string `json:"name"`
}

// TeeDefined says that the course has this tee; a later one of the same name
// replaces it for competitions drawn afterwards.
type TeeDefined struct {
	fact
	TeeDefinition
}

// CourseRevised says that the course got another name.
type CourseRevised struct {
	fact
	Name   string `json:"name"`
	Reason string `json:"reason,omitempty"`
}

// EventType implements Event.
func (CourseDefined) EventType() string { return "marram.course.CourseDefined.v1" }

// EventType implements Event.
func (TeeDefined) EventType() string { return "marram.course.TeeDefined.v1" }

// EventType implements Event.
func (CourseRevised) EventType() string { return "marram.course.CourseRevised.v1" }
