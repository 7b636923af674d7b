package app_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
)

// reviewed logs and returns the card of an entry: invented strokes that finish right
// and short.
func reviewed(t *testing.T, a *app.App, id string) {
	t.Helper()
	ctx := t.Context()
	k, err := a.Commands.Card(ctx, id)
	require.NoError(t, err)
	at := time.Now().Add(-5 * time.Hour)
	in := command.EnterCard{Confirmed: true, Signed: true}
	for _, h := range k.State.Holes {
		intent, struck := at, at.Add(time.Duration(20+h.Number)*time.Second)
		at = at.Add(12 * time.Minute)
		enough := h.Number%3 > 0
		rest := 3 + float64(h.Number%4)
		strokes := []command.LoggedStroke{{Stroke: command.Stroke{
			Lie: events.LieTee, Distance: float64(h.LengthM), Club: "driver", Strike: []string{events.StrikePoor, events.StrikeGood}[h.Number%2], GoodEnough: &enough,
			Commitment: 2 + h.Number%4, IntentAt: &intent, StruckAt: &struck,
			Miss: command.Miss{Side: events.MissRight, SideBy: float64(3 + h.Number), Length: events.MissShort, LengthBy: float64(2 + h.Number%5)},
		}}}
		strokes = append(strokes,
			command.LoggedStroke{Stroke: command.Stroke{Lie: events.LieFairway, Distance: 120, Club: "iron-7", Strike: events.StrikeFair, GoodEnough: &enough, Miss: command.Miss{Side: events.MissLeft, SideBy: rest}}},
			command.LoggedStroke{Stroke: command.Stroke{Lie: events.LieGreen, Distance: rest}},
			command.LoggedStroke{Stroke: command.Stroke{Lie: events.LieGreen, Distance: 0.4, Finish: &command.Finish{Holed: true}}},
		)
		r := command.Request{Who: command.Who{Role: events.RolePlayer, ID: "phone", CardID: id}, CommandID: fmt.Sprintf("%s-%s-%d", t.Name(), id, h.Number)}
		_, err := a.Commands.LogHole(ctx, r, id, h.Number, command.LogHole{Strokes: strokes})
		require.NoError(t, err)
		n := len(strokes)
		in.Scores = append(in.Scores, command.HoleEntry{Strokes: &n})
	}
	_, err = a.Commands.EnterCard(ctx, command.Request{Who: command.Who{Role: events.RoleService, ID: "test"}, CommandID: t.Name() + id}, id, in)
	require.NoError(t, err)
}

// The review fits a phone, with every table opened, and says what to practise and how
// sure that is before anybody scrolls.
func TestAReviewInABrowser(t *testing.T) {
	t.Parallel()
	a := mustStart(t)
	id, entries := contest(t, a, 2, "as_entered", func(*events.Terms) {})
	card := command.CardID(id, entries[0], 1)
	token, err := a.Commands.CardLink(t.Context(), card, events.RolePlayer)
	require.NoError(t, err)
	phone := mustBrowse(t, a.URL(), 360, 740)
	phone.open("/c/" + token)
	phone.wait(`location.pathname.startsWith("/cards/")`)
	reviewed(t, a, card)
	wide := mustBrowse(t, a.URL(), 1280, 800)
	wide.open("/c/" + token)
	wide.wait(`location.pathname.startsWith("/cards/")`)
	player := "/players/" + playerOf(t, a, card) + "/review"
	for _, b := range []*browser{phone, wide} {
		for name, at := range map[string]string{"review": "/cards/" + card + "/review", "review-corridor": "/cards/" + card + "/review?left=20&right=15&group=driver", "review-rounds": player} {
			b.open(at)
			b.wait(`document.querySelectorAll(".drawing > svg").length > 3`)
			b.wait(`document.querySelectorAll(".sentences li").length === 3`)
			b.fits(name)
			b.wait(`document.querySelector(".first .what").getBoundingClientRect().bottom + scrollY < 640`)
			b.wait(`[...document.querySelectorAll(".sentences a, .numbers summary, main button")].every((e) => e.getBoundingClientRect().height >= 48)`)
			b.eval(`document.querySelectorAll("details").forEach((d) => { d.open = true })`)
			b.fits(name + "-opened")
			// Sentences open their figure.
			b.eval(`document.querySelector(".sentences a").click()`)
			b.wait(`document.querySelector(":target") !== null`)
		}
	}
}

func playerOf(t *testing.T, a *app.App, card string) string {
	t.Helper()
	k, err := a.Commands.Card(t.Context(), card)
	require.NoError(t, err)
	require.Len(t, k.State.Players(), 1)
	return k.State.Players()[0]
}
