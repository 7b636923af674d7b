package apitest

import (
	"fmt"
	"net/http"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
)

// Names of the players of a morning; invented.
func names() []string {
	return []string{"Imke Sandvoort", "Teunis Krammer", "Ada Marsh", "Olaf Dyke"}
}

// Morning is a small competition: a course, four players in two groups of two.
type Morning struct {
	Course      string
	Competition string
	Players     []string
	Entries     []string // of the players, in their order
	Cards       []string // of the players, in their order; once the round is open
}

// Par is that of every hole of the course.
const Par = 4

// Tee is the course's only tee.
func Tee() events.TeeDefinition {
	t := events.TeeDefinition{Tee: "White", CourseRatingTenths: 720, SlopeRating: 113}
	for i := range 18 {
		t.Holes = append(t.Holes, events.Hole{Number: i + 1, Par: Par, StrokeIndex: (i*7)%18 + 1, LengthM: 300 + 5*i})
	}
	return t
}

// Terms are the terms of a morning on a course.
func Terms(course string) events.Terms {
	t := command.PresetTerms("stroke_play")
	t.CourseID, t.Tees, t.Start.GroupSize = course, []string{"White"}, 2
	return t
}

// MustDraw prepares a competition up to the start sheet, through the API.
func MustDraw(t testing.TB, c *Client, change ...func(*events.Terms)) Morning {
	t.Helper()
	var m Morning
	m.Course = c.Post(t, "/courses", command.DefineCourse{Name: "Low Marsh (invented)", Tees: []events.TeeDefinition{Tee()}}).
		Must(t, http.StatusCreated).Written(t).ID
	m.Competition = c.Post(t, "/competitions", command.PlanCompetition{Name: "Saturday Medal", Date: "2031-05-03"}).
		Must(t, http.StatusCreated).Written(t).ID
	terms := Terms(m.Course)
	for _, f := range change {
		f(&terms)
	}
	c.Put(t, "/competitions/"+m.Competition+"/terms", terms).Must(t, http.StatusOK)
	for i, name := range names() {
		index := 50 + 30*i
		p := c.Post(t, "/players", map[string]any{
			"member_no": fmt.Sprintf("%04d", 100+i), "name": name, "index_tenths": index, "effective": "2031-05-01", "origin": "official",
		}).Must(t, http.StatusCreated).Written(t).ID
		m.Players = append(m.Players, p)
		m.Entries = append(m.Entries, c.Post(t, "/competitions/"+m.Competition+"/entries", map[string]any{"player_id": p}).
			Must(t, http.StatusCreated).Written(t).ID)
	}
	c.Post(t, "/competitions/"+m.Competition+"/draw", map[string]any{"method": "handicap"}).Must(t, http.StatusCreated)
	return m
}

// MustOpenRound is MustDraw with cards out.
func MustOpenRound(t testing.TB, c *Client, change ...func(*events.Terms)) Morning {
	t.Helper()
	m := MustDraw(t, c, change...)
	c.Post(t, "/competitions/"+m.Competition+"/round/opening", nil).Must(t, http.StatusOK)
	for _, e := range m.Entries {
		m.Cards = append(m.Cards, command.CardID(m.Competition, e, 1))
	}
	return m
}

// MustLink is the token that opens a card for its player or its marker.
func MustLink(t testing.TB, c *Client, card string, role events.Role) string {
	t.Helper()
	var l api.CardLink
	c.Post(t, "/cards/"+card+"/links/"+string(role), nil).Must(t, http.StatusOK).JSON(t, &l)
	require.NotEmpty(t, l.Token)
	return l.Token
}

// Scores are those of a whole card with the same number on every hole.
func Scores(strokes int) map[string]any {
	holes := make([]any, 18)
	for i := range holes {
		holes[i] = map[string]any{"strokes": strokes}
	}
	return map[string]any{"scores": holes}
}

// MustHandIn types in every card of a morning as signed, the first one best.
func MustHandIn(t testing.TB, c *Client, m Morning) {
	t.Helper()
	for i, card := range m.Cards {
		in := Scores(Par + i)
		in["signed"] = true
		c.Put(t, "/cards/"+card+"/scores", in).Must(t, http.StatusOK)
	}
}
