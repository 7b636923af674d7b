package csvfile

import (
	"fmt"
	"strings"

	"marram.example/events"
)

// CourseRow is one hole of one tee.
type CourseRow struct {
	Line        int
	Course, Tee string
	Hole        events.Hole
	Ratings     Ratings
}

// Ratings are those of a tee; tenths of a stroke for course ratings, 0 for what
// is blank.
type Ratings struct {
	Course, Slope           int
	FrontCourse, FrontSlope int
	BackCourse, BackSlope   int
}

// PlayerRow is one player.
type PlayerRow struct {
	Line           int
	MemberNo, Name string
	IndexTenths    *int   // nil where none is stated
	IndexDate      string // YYYY-MM-DD; empty where none is stated
}

// EntryRow is one entry.
type EntryRow struct {
	Line        int
	MemberNo    string
	Tee         string        // empty where none is stated
	IndexTenths *int          // nil where none is stated
	Partners    []PartnerCell // the other players of a side
	TeamName    string
}

// PartnerCell is one partner as an entries file names him or her.
type PartnerCell struct {
	MemberNo string
	Tee      string // empty where none is stated
}

// CardRow is one ball of a card.
type CardRow struct {
	Line     int
	MemberNo string           // of the first player of the entry
	Ball     int              // 0 for the first player's, or the one of the side
	Round    int              // 0 where none is stated
	Holes    [18]events.Score // by number less one; the zero score where blank
	Status   string           // NR, RTD, WD, NS or DQ; empty for a returned card
	Reason   string
}

// ExpectedRow is the expected score of one index: num/den strokes over nine holes.
type ExpectedRow struct {
	Line                     int
	IndexTenths              int
	ExpectedNum, ExpectedDen int64
	Source                   string
}

// rows reads the good rows of a file with one function a row.
func rows[T any](f *File, records []record, one func(*row) T) []T {
	out := make([]T, 0, len(records))
	for _, rec := range records {
		r := &row{f: f, rec: rec, ok: true}
		if v := one(r); r.ok {
			out = append(out, v)
		}
	}
	return out
}

// unique refuses a value that stands in the column on an earlier line.
func (r *row) unique(seen map[string]int, column, value, what string) {
	if value == "" {
		return
	}
	if line, twice := seen[value]; twice {
		r.fail(column, "duplicate", "", "%s %s on line %d already", clip(value), what, line)
		return
	}
	seen[value] = r.rec.line
}

// ball refuses a ball of a card that stands on an earlier line.
func (r *row) ball(seen map[string]int, v CardRow) {
	if v.MemberNo == "" {
		return
	}
	key := fmt.Sprintf("%d %d %s", v.Round, v.Ball, v.MemberNo)
	if line, twice := seen[key]; twice {
		r.fail("member_no", "duplicate", "", "%s has a card on line %d already", clip(v.MemberNo), line)
		return
	}
	seen[key] = r.rec.line
}

// ReadCourses reads a course file: the good rows, and the problems of the others.
func ReadCourses(data []byte) (*File, []CourseRow) {
	f, records := read(data, Courses)
	told := map[string]bool{} // ratings repeat on every row of a tee; a bad one is told once
	return f, rows(f, records, func(r *row) CourseRow {
		v := CourseRow{
			Line: r.rec.line, Course: r.text("course"), Tee: r.text("tee"),
			Hole: events.Hole{
				Number: r.whole("hole"), Par: r.whole("par"), StrokeIndex: r.whole("stroke_index"), LengthM: r.whole("length_m"),
			},
		}
		for _, x := range []struct {
			to     *int
			column string
			read   func(string) int
		}{
			{&v.Ratings.Course, "course_rating", r.rating}, {&v.Ratings.Slope, "slope_rating", r.whole},
			{&v.Ratings.FrontCourse, "front_course_rating", r.rating}, {&v.Ratings.FrontSlope, "front_slope_rating", r.whole},
			{&v.Ratings.BackCourse, "back_course_rating", r.rating}, {&v.Ratings.BackSlope, "back_slope_rating", r.whole},
		} {
			key := fmt.Sprintf("%q %q %s %q", v.Course, v.Tee, x.column, r.get(x.column))
			if told[key] {
				r.ok = false
				continue
			}
			before := r.ok
			r.ok = true
			*x.to = x.read(x.column)
			told[key] = !r.ok
			r.ok = r.ok && before
		}
		return v
	})
}

// ReadPlayers reads a players file: the good rows, and the problems of the others.
func ReadPlayers(data []byte) (*File, []PlayerRow) {
	f, records := read(data, Players)
	seen := map[string]int{}
	return f, rows(f, records, func(r *row) PlayerRow {
		v := PlayerRow{
			Line: r.rec.line, MemberNo: r.text("member_no"), Name: r.text("name"),
			IndexTenths: r.index("handicap_index"), IndexDate: r.date("index_date"),
		}
		r.unique(seen, "member_no", v.MemberNo, "stands")
		if r.get("index_date") != "" && r.get("handicap_index") == "" {
			r.fail("handicap_index", "required", "", "a date stands here without the index that counts from it")
		}
		return v
	})
}

// ReadEntries reads an entries file: the good rows, and the problems of the others.
func ReadEntries(data []byte) (*File, []EntryRow) {
	f, records := read(data, Entries)
	seen := map[string]int{}
	return f, rows(f, records, func(r *row) EntryRow {
		v := EntryRow{Line: r.rec.line, MemberNo: r.text("member_no"), Tee: r.text("tee"), IndexTenths: r.index("handicap_index"), TeamName: r.text("team_name")}
		r.unique(seen, "member_no", v.MemberNo, "is entered")
		for _, cell := range strings.Fields(r.text("partners")) {
			p := PartnerCell{}
			p.MemberNo, p.Tee, _ = strings.Cut(cell, ":")
			if p.MemberNo == "" {
				r.fail("partners", "malformed", "", "%q names no member; write 0214 or 0214:Red", clip(cell))
				continue
			}
			r.unique(seen, "partners", p.MemberNo, "is entered")
			v.Partners = append(v.Partners, p)
		}
		return v
	})
}

// ReadCards reads a cards file: the good rows, and the problems of the others.
func ReadCards(data []byte) (*File, []CardRow) {
	f, records := read(data, Cards)
	seen := map[string]int{}
	return f, rows(f, records, func(r *row) CardRow {
		v := CardRow{Line: r.rec.line, MemberNo: r.text("member_no"), Ball: r.whole("ball"), Round: r.whole("round"), Reason: r.text("reason")}
		for i := range v.Holes {
			v.Holes[i] = r.score(fmt.Sprintf("h%d", i+1))
		}
		v.Status = r.oneOf("status",
			events.StatusNoReturn, events.StatusRetired, events.StatusWithdrew, events.StatusNoShow, events.StatusDisqualified)
		r.ball(seen, v)
		return v
	})
}

// ReadExpected reads a file of expected scores: the good rows, and the problems of
// the others.
func ReadExpected(data []byte) (*File, []ExpectedRow) {
	f, records := read(data, Expected)
	return f, rows(f, records, func(r *row) ExpectedRow {
		v := ExpectedRow{Line: r.rec.line, Source: r.text("source")}
		if index := r.index("handicap_index"); index != nil {
			v.IndexTenths = *index
		}
		v.ExpectedNum, v.ExpectedDen = r.exact("expected_differential")
		return v
	})
}
