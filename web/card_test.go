package web_test

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/events/card"
)

func (m *morning) state(entry int) *card.State {
	m.t.Helper()
	k, err := m.commands.Card(context.Background(), m.card(entry))
	require.NoError(m.t, err)
	return k.State
}

func (m *morning) at(entry int) string { return "/cards/" + m.card(entry) }

// press is one press of a key on the hole shown.
func (v *visitor) press(at, name, value string) *visitor {
	v.t.Helper()
	v.form(at+"/scores").set(name, value).send()
	require.Equal(v.t, http.StatusOK, v.status, v.words())
	return v
}

func TestCardLinkLeavesTheSecretBehind(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	v := m.holder(0, events.RolePlayer)
	assert.Equal(t, m.at(0), v.at, "the address holds the card, not the token")
	v.wellMade()
	assert.Contains(t, v.words(), "Your card, kept by")
	other := v.reads(m.at(1))
	assert.Empty(t, all(all(other.page, "main")[0], "form"), "a card link opens one card for writing")
}

func TestCardIsWrittenHoleByHoleWithoutScript(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	v := m.holder(0, events.RolePlayer)
	assert.Contains(t, v.words(), "Hole 1 Par")
	form := v.form(at+"/scores").set("strokes", "4")
	form.send()
	require.Equal(t, http.StatusOK, v.status)
	assert.Contains(t, v.words(), "Hole 2 Par", "the next hole comes by itself")
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[0].Player)

	before, err := m.commands.Card(context.Background(), m.card(0))
	require.NoError(t, err)
	form.send()
	after, err := m.commands.Card(context.Background(), m.card(0))
	require.NoError(t, err)
	assert.Equal(t, before.Sequence, after.Sequence, "the same form sent twice counts once")
	form.set("strokes", "7").send()
	assert.NotEqual(t, http.StatusOK, v.status, "the same key with something else is refused")
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[0].Player)

	v.reads(at)
	v.press(at, "none", "picked_up")
	assert.Equal(t, events.Score{None: events.PickedUp}, m.state(0).Holes[1].Player)
	undo := v.form(at+"/scores", 2)
	assert.Equal(t, "1", undo.values.Get("undo"))
	undo.send()
	assert.Contains(t, v.words(), "Hole 2 Par", "undo leads back to the hole")
	assert.False(t, m.state(0).Holes[1].Player.Entered())

	v.press(at, "strokes", "5")
	v.reads(at+"?hole=1").press(at, "strokes", "6")
	undo = v.form(at+"/scores", 2)
	assert.Equal(t, "4", undo.values.Get("strokes"), "undo brings back what stood before")
	undo.send()
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[0].Player)
	v.wellMade()
}

func TestUnlikelyNumberIsAskedBack(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	v := m.holder(0, events.RolePlayer)
	v.form(at+"/scores", 1).set("strokes", "12").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.wellMade()
	assert.Contains(t, v.words(), "12 on hole 1, a par 4? That is rare. Is it meant?")
	assert.False(t, m.state(0).Holes[0].Player.Entered(), "nothing is stored before the answer")
	yes := v.form(at + "/scores")
	require.Equal(t, "12", yes.values.Get("strokes"))
	yes.set("confirmed", "1").send()
	require.Equal(t, http.StatusOK, v.status)
	assert.Equal(t, events.Score{Strokes: 12}, m.state(0).Holes[0].Player)
}

func TestRefusalNamesWhatIsWrong(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	v := m.holder(0, events.RolePlayer)
	for name, change := range map[string]func(*sheet){
		"too many": func(s *sheet) { s.set("strokes", "100") }, "none": func(s *sheet) {}, "words": func(s *sheet) { s.set("strokes", "four") },
		"two": func(s *sheet) { s.set("strokes", "4").set("none", "picked_up") }, "no such hole": func(s *sheet) { s.set("hole", "19").set("strokes", "4") },
		"no key": func(s *sheet) { s.set("key", "").set("strokes", "4") }, "unknown": func(s *sheet) { s.set("none", "lost") },
	} {
		s := v.reads(at + "?hole=1").form(at + "/scores")
		change(s)
		s.send()
		assert.GreaterOrEqual(t, v.status, 400, name)
		assert.Less(t, v.status, 500, name)
		v.wellMade()
	}
	assert.Zero(t, m.state(0).Played(), "nothing was stored")
	stranger := m.visit().reads(at)
	assert.Empty(t, all(all(stranger.page, "main")[0], "form"))
	(&sheet{v: stranger, action: at + "/scores", method: "post", values: map[string][]string{"key": {"0123456789"}, "hole": {"1"}, "strokes": {"4"}}}).send()
	assert.Equal(t, http.StatusUnauthorized, stranger.status)
	assert.Zero(t, m.state(0).Played())
}

func TestDifferencesAreSettledThenTheCardIsHandedIn(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	player, marker := m.holder(0, events.RolePlayer), m.holder(0, events.RoleMarker)
	for h := 1; h <= 18; h++ {
		player.reads(fmt.Sprintf("%s?hole=%d", at, h)).press(at, "strokes", "5")
		strokes := "5"
		if h == 7 {
			strokes = "6"
		}
		marker.reads(fmt.Sprintf("%s?hole=%d", at, h)).press(at, "strokes", strokes)
	}
	player.reads(at)
	player.wellMade()
	assert.Contains(t, player.words(), "Hole 7: you have 5 , your marker has 6 .")
	assert.NotContains(t, player.words(), "I certify", "a disputed card cannot be certified")
	marker.reads(at)
	assert.Contains(t, marker.words(), "Hole 7: you have 6 , the player has 5 .")
	var settle *sheet
	for i := range 6 {
		if f := marker.form(at+"/scores", i); f.values.Get("hole") == "7" && strings.Contains(marker.text, "Change mine to 5") && f.values.Get("confirmed") == "1" {
			settle = f
			break
		}
	}
	require.NotNil(t, settle)
	settle.set("strokes", "5").send()
	require.Equal(t, http.StatusOK, marker.status)
	assert.Empty(t, m.state(0).Differences())

	marker.reads(at).form(at + "/certification").send()
	require.Equal(t, http.StatusOK, marker.status, marker.words())
	assert.Contains(t, marker.words(), "You have certified.")
	for _, f := range all(marker.page, "form") {
		assert.NotEqual(t, at+"/return", attr(f, "action"), "the marker does not return the card")
	}
	player.reads(at).form(at + "/certification").send()
	player.form(at + "/return").send()
	require.Equal(t, http.StatusOK, player.status, player.words())
	s := m.state(0)
	require.True(t, s.Returned)
	require.NotEmpty(t, s.Receipt)
	assert.Contains(t, player.words(), "The card is returned.")
	assert.Contains(t, player.words(), s.Receipt)
	assert.Empty(t, all(all(player.page, "main")[0], "form"), "a returned card is only to be read")
	player.wellMade()
	seen := m.visit().reads(at)
	assert.NotContains(t, seen.text, s.Receipt, "the receipt is between player and committee")
	assert.Contains(t, seen.words(), "The card is returned.")
}

func TestMarkerFindsTheOwnCardToo(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	v := m.holder(0, events.RolePlayer)
	for i := range m.entries {
		if m.state(i).MarkerID != m.entries[0] {
			continue
		}
		token, err := m.commands.CardLink(context.Background(), m.card(i), events.RoleMarker)
		require.NoError(t, err)
		v.reads("/c/" + token)
		assert.Contains(t, v.words(), "You keep this card")
		assert.Contains(t, v.words(), "Your own card")
		v.reads(m.at(0))
		assert.Contains(t, v.links(), m.at(i))
		return
	}
	require.Fail(t, "nobody's card is kept by the first entry")
}

func TestStrokesReceivedAreDrawnAndSaid(t *testing.T) {
	t.Parallel()
	m := medal(t, 12)
	m.open()
	for i := range m.entries {
		s := m.state(i)
		v := m.holder(i, events.RolePlayer)
		for _, h := range s.Holes {
			v.reads(fmt.Sprintf("%s?hole=%d", m.at(i), h.Number))
			var drawn, said string
			for _, p := range all(v.page, "p") {
				if attr(p, "id") == "hole-received" {
					drawn, said = strings.Repeat("|", len(all(p, "svg"))), words(p)
				}
			}
			switch {
			case h.Received > 0:
				assert.Len(t, drawn, h.Received)
				assert.Contains(t, said, fmt.Sprintf("%d stroke", h.Received))
			case h.Received < 0:
				assert.Contains(t, said, "given back")
			default:
				assert.Equal(t, "No stroke received", said)
			}
		}
		if i == 0 {
			continue
		}
		if s.Figures.PlayingHandicap < 0 {
			return
		}
	}
}

func TestFiguresPageOpensEverySum(t *testing.T) {
	t.Parallel()
	m := medal(t, 6)
	m.open()
	m.play(func(int) int { return 18 })
	m.finish()
	v := m.visit()
	for i := range m.entries {
		v.reads(m.at(i) + "/figures")
		v.wellMade()
		s := m.state(i)
		said := v.words()
		assert.Contains(t, said, "Worked out again just now")
		assert.Contains(t, said, "Rules of Handicapping")
		assert.Contains(t, said, "unofficial")
		assert.Contains(t, said, "Card issued")
		if s.Status() == events.StatusReturned {
			gross, in := 0, 0
			for _, h := range s.Holes {
				gross += h.Counting().Strokes
				if h.Number > 9 {
					in += h.Counting().Strokes
				}
			}
			assert.Contains(t, said, fmt.Sprintf("out + %d in = %d", in, gross), "the gross total stands there")
			assert.Contains(t, said, fmt.Sprintf("Net %d", gross-s.Figures.PlayingHandicap))
		}
	}
}

func TestPlayerPageKeepsTheIndexPrivate(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	ctx := context.Background()
	for i, tenths := range []int{150, 146, 151} {
		d, err := m.commands.RecordIndex(ctx, by(), m.players[0], command.RecordIndex{
			IndexTenths: tenths, Effective: fmt.Sprintf("2025-0%d-01", i+2), Origin: []events.IndexOrigin{events.OriginOfficial, events.OriginClub}[i%2],
		})
		require.NoError(t, err)
		m.settle(d)
	}
	m.open()
	at := "/players/" + m.players[0]
	seen := m.visit().reads(at)
	seen.wellMade()
	assert.NotContains(t, seen.words(), "Handicap index")
	assert.Contains(t, seen.words(), "Saturday Medal")
	own := m.holder(0, events.RolePlayer).reads(at)
	own.wellMade()
	assert.Contains(t, own.words(), "Handicap index")
	assert.Contains(t, own.words(), "committee, unofficial")
	assert.Contains(t, own.words(), "14.6")
	marker := m.holder(0, events.RoleMarker).reads(at)
	assert.NotContains(t, marker.words(), "Handicap index", "a marker's link opens the card, not the player's index")

	_, err := m.commands.Erase(ctx, by(), m.players[0], "asked for it")
	require.NoError(t, err)
	d, err := m.commands.Plan(ctx, by(), "", command.PlanCompetition{Name: "Next", Date: "2025-07-01"})
	require.NoError(t, err)
	m.settle(d)
	gone := m.secretary().reads(at)
	assert.Contains(t, gone.words(), "Name erased")
	assert.NotContains(t, gone.text, readCSV(t, "players.csv")[0]["name"])
}
