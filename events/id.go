package events

import (
	"fmt"
	"regexp"
	"strings"
)

// Sequence is the place of an event in the stream of its aggregate, counted
// from 1. Zero means a stream with no event yet. Clients see it as the version
// of a resource (ETag, If-Match).
type Sequence uint64

// Position is the place of an event in the whole log, counted from 1. Zero means
// before the first event. It is never comparable with a Sequence.
type Position uint64

// Aggregate names a kind of stream.
type Aggregate string

// The aggregates.
const (
	Course      Aggregate = "course"
	Player      Aggregate = "player"
	Competition Aggregate = "competition"
	Card        Aggregate = "card"
	Match       Aggregate = "match"
	Club        Aggregate = "club"
)

// NoCompetition stands in a subject where a stream belongs to no competition.
const NoCompetition = "-"

// StreamID names the stream of one aggregate of one club.
type StreamID struct {
	Club        string    // short name of the club, one subject token
	Aggregate   Aggregate // kind of stream
	Competition string    // id of the competition the stream belongs to, or NoCompetition
	ID          string    // id of the aggregate
}

// CourseStream is the stream of a course.
func CourseStream(club, id string) StreamID {
	return StreamID{Club: club, Aggregate: Course, Competition: NoCompetition, ID: id}
}

// PlayerStream is the stream of a player.
func PlayerStream(club, id string) StreamID {
	return StreamID{Club: club, Aggregate: Player, Competition: NoCompetition, ID: id}
}

// ClubStream is the stream of what the club decided for itself; there is one.
func ClubStream(club string) StreamID {
	return StreamID{Club: club, Aggregate: Club, Competition: NoCompetition, ID: "club"}
}

// CompetitionStream is the stream of a competition.
func CompetitionStream(club, id string) StreamID {
	return StreamID{Club: club, Aggregate: Competition, Competition: id, ID: id}
}

// CardStream is the stream of a card of a competition.
func CardStream(club, competition, id string) StreamID {
	return StreamID{Club: club, Aggregate: Card, Competition: competition, ID: id}
}

// MatchStream is the stream of a match of a competition.
func MatchStream(club, competition, id string) StreamID {
	return StreamID{Club: club, Aggregate: Match, Competition: competition, ID: id}
}

// subjectRoot is the first token of every subject.
const subjectRoot = "marram"

// Subject is marram.<club>.<aggregate>.<competition or ->.<id>.
func (s StreamID) Subject() string {
	return strings.Join([]string{subjectRoot, s.Club, string(s.Aggregate), s.Competition, s.ID}, ".")
}

// ParseSubject is the inverse of Subject. It fails on anything else.
func ParseSubject(subject string) (StreamID, error) {
	p := strings.Split(subject, ".")
	if len(p) != 5 || p[0] != subjectRoot {
		return StreamID{}, fmt.Errorf("subject %q is not marram.<club>.<aggregate>.<competition>.<id>", subject)
	}
	s := StreamID{Club: p[1], Aggregate: Aggregate(p[2]), Competition: p[3], ID: p[4]}
	return s, s.Check()
}

var token = regexp.MustCompile(`^[A-Za-z0-9_-]{1,64}$`)

// ValidToken reports whether s may stand in a subject: 1 to 64 letters, digits,
// hyphens or underscores.
func ValidToken(s string) bool { return token.MatchString(s) }

// Check says whether every part of the id may stand in a subject.
func (s StreamID) Check() error {
	for _, p := range []string{s.Club, string(s.Aggregate), s.Competition, s.ID} {
		if !ValidToken(p) {
			return Invalid("id", "malformed_id", fmt.Sprintf("%q is not an id: 1 to 64 letters, digits, hyphens or underscores", p))
		}
	}
	return nil
}
