package web_test

import (
	"context"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// TestTheSheetIsChangedByHand moves a player, adds a group, sends a late entry out
// and lets nobody lose a place.
func TestTheSheetIsChangedByHand(t *testing.T) {
	t.Parallel()
	m := medal(t, 6)
	v := m.secretary()
	at := "/desk/competitions/" + m.competition
	hand := at + "/draw/hand"
	draw := func() []events.Group {
		s, _, err := m.commands.Competition(context.Background(), m.competition)
		require.NoError(t, err)
		return s.Draw.Groups
	}
	before := draw()
	require.Len(t, before, 2)
	mover := before[1].Places[0].EntryID

	v.reads(hand)
	v.form(hand).set("group."+mover, "1").set("order."+mover, "9").set("change", "look").send()
	require.Equal(t, http.StatusOK, v.status)
	require.Equal(t, before, draw(), "looking publishes nothing")
	v.form(hand).set("change", "up."+mover).send()
	v.form(hand).set("change", "add").send()
	v.form(hand).send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "Say why the start sheet changes")
	require.Equal(t, "1", v.form(hand).values.Get("group."+mover), "the move is still there")
	v.form(hand).set("reason", "a lift was missed").set("groups[1].time", "09:30").ok()
	after := draw()
	require.Len(t, after, 2, "an empty group is dropped")
	require.Len(t, after[0].Places, 4)
	require.Equal(t, mover, after[0].Places[2].EntryID, "one place up from the end")
	require.Equal(t, "09:30", after[1].Time)
	for _, p := range after[0].Places {
		require.NotEqual(t, p.EntryID, p.MarkerID)
		require.True(t, slices.ContainsFunc(after[0].Places, func(x events.GroupSlot) bool { return x.EntryID == p.MarkerID }))
	}

	m.open()
	v.reads("/desk/players")
	v.form("/desk/players", 1).set("member_no", "L8").set("name", "Late Arrival").set("handicap_index", "9.9").set("effective", "2025-06-01").ok()
	v.reads(at + "/entries")
	v.form(at+"/entries").set("player_id", "L8").ok()
	v.reads(at + "/draw")
	require.Contains(t, v.words(), "Late entries without a place")
	v.form(at+"/draw/late").set("group", "2").ok()
	require.Len(t, draw()[1].Places, 3)
	require.Contains(t, v.cardsByName(at), "Late Arrival", "with a card, because the round is open")
}

// TestTheDeskSettlesWhatThePhonesLeftOpen settles a difference, changes a marker
// and renews a link.
func TestTheDeskSettlesWhatThePhonesLeftOpen(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.secretary()
	m.open()
	ctx, id := context.Background(), m.card(0)
	at := "/desk/cards/" + id
	for role, n := range map[events.Role]int{events.RolePlayer: 4, events.RoleMarker: 5} {
		_, err := m.commands.EnterScore(ctx, as(role, id), id, command.EnterScore{Hole: 3, Strokes: &n})
		require.NoError(t, err)
	}
	cards := "/desk/competitions/" + m.competition + "/cards"
	v.reads(cards + "?show=differs")
	require.Contains(t, v.words(), "player and marker differ on hole 3")
	v.reads(at)
	require.Empty(t, v.form(at).values.Get("scores[2]"), "a difference is never filled in")
	v.form(at+"/holes").set("value", "5").ok()
	k, err := m.commands.Card(ctx, id)
	require.NoError(t, err)
	require.Equal(t, events.Score{Strokes: 5}, k.State.Holes[2].Committee)
	require.Equal(t, 4, k.State.Holes[2].Player.Strokes, "both values stay")

	v.form(at+"/marker").set("marker_id", "").set("reason", "the marker went home").ok()
	require.Contains(t, v.words(), "marked by the committee")
	old, err := m.commands.CardLink(ctx, id, events.RolePlayer)
	require.NoError(t, err)
	v.form(at+"/links").set("role", "player").ok()
	_, err = m.commands.OpenLink(ctx, old)
	require.Error(t, err, "the old link opens nothing")
	require.NotContains(t, v.text, old)

	// An unlikely number is asked back once, an impossible one is refused.
	typeCard(v.form(at), "4", map[int]string{4: "12", 6: "0"}).send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "12 on hole 5")
	require.Contains(t, v.words(), `"0" is not a score`)
	require.NotContains(t, v.words(), "Receipt")
	typeCard(v.form(at), "4", map[int]string{4: "12"}).set("confirmed", "1").ok()
	require.Contains(t, v.words(), "Receipt")

	// A returned card is corrected with a reason only.
	v.reads(at)
	v.form(at).set("scores[0]", "5").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Equal(t, "5", v.form(at).values.Get("scores[0]"))
	v.form(at).set("reason", "misread").set("confirmed", "1").ok()
	require.Contains(t, v.words(), "4 changed to 5 by the committee: misread")
}

// TestATieIsSettledByLot gives both players of a tie that the terms leave their
// place.
func TestATieIsSettledByLot(t *testing.T) {
	t.Parallel()
	m := medal(t, 3, func(t *events.Terms) { t.TieMethod, t.Ranking = "shared", "gross" })
	v := m.secretary()
	m.open()
	for i := range 3 {
		at := "/desk/cards/" + m.card(i)
		v.reads(at)
		typeCard(v.form(at), "5", nil).ok()
	}
	at := "/desk/competitions/" + m.competition
	v.reads(at + "/close")
	v.form(at + "/close").ok()
	require.Contains(t, v.words(), "Gross, T1")
	f := v.form(at + "/ties")
	entries := f.values["entry"]
	require.Len(t, entries, 3)
	f.set("method", "lot").set("place."+entries[0], "1").set("place."+entries[1], "1").set("reason", "drawn by the captain").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status, "two first places")
	v.form(at+"/ties").set("method", "lot").set("place."+entries[0], "3").set("place."+entries[1], "1").set("place."+entries[2], "2").set("reason", "drawn by the captain").ok()
	require.Contains(t, v.words(), "by lot: drawn by the captain")
	v.form(at + "/result").ok()
	s, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	place := map[string]string{}
	for _, r := range s.Result.Rows {
		place[r.EntryID] = r.Positions["gross"]
	}
	require.Equal(t, map[string]string{entries[1]: "1", entries[2]: "2", entries[0]: "3"}, place)
}

// TestNamesAreErasedAfterAsking erases a player; scores and pages stay.
func TestNamesAreErasedAfterAsking(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.secretary()
	m.open()
	at := "/desk/players/" + m.players[0]
	v.reads(at)
	name := words(all(v.page, "h1")[0])
	v.form(at+"/erasure").set("member_no", "no").send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "Type this player's member number")
	p, _, err := m.commands.Player(context.Background(), m.players[0])
	require.NoError(t, err)
	v.form(at+"/erasure").set("member_no", p.MemberNo).ok()
	require.Contains(t, v.words(), "Name not shown")
	v.reads("/desk/cards/" + m.card(0))
	require.NotContains(t, v.text, name)
}

// TestAFileIsLookedAtBeforeItIsStored imports players: a file with faults, then one
// without.
func TestAFileIsLookedAtBeforeItIsStored(t *testing.T) {
	t.Parallel()
	m := mustOpenClub(t)
	v := m.secretary()
	v.reads("/desk/import")
	bad := v.form("/desk/import").set("kind", "players")
	bad.file = []byte("member_no,name,handicap_index\n0107,Zoë Ravensdale,twelve\n0108,,5.0\n")
	bad.send()
	require.Equal(t, http.StatusUnprocessableEntity, v.status)
	require.Contains(t, v.words(), "2 problems: nothing can be stored")
	require.Contains(t, v.words(), "2 handicap_index")
	require.Contains(t, v.words(), "3 name")

	players, err := os.ReadFile(filepath.Join("..", "testdata", "medal", "players.csv"))
	require.NoError(t, err)
	rows := strings.Count(strings.TrimSpace(string(players)), "\n")
	before := m.length()
	good := v.form("/desk/import").set("kind", "players")
	good.file = players
	good.send()
	require.Equal(t, http.StatusOK, v.status)
	require.Contains(t, v.words(), "The file is in order")
	require.Equal(t, before, m.length(), "looking stores nothing")
	store := v.form("/desk/import")
	require.Equal(t, "import", store.values.Get("step"))
	store.ok()
	require.True(t, strings.HasPrefix(v.at, "/desk/players"))
	_, _, err = m.commands.Player(context.Background(), m.commands.PlayerID("0107"))
	require.NoError(t, err)
	stored := m.length()
	require.GreaterOrEqual(t, int(stored-before), rows)
	store.ok()
	require.Equal(t, stored, m.length(), "the same file again changes nothing")
}
