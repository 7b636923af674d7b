package web_test

import (
	"net/http"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

func got(n int) events.Score { return events.Score{Strokes: n} }

// Two phones of the player with the same hole open: the second sees what the first
// entered before it goes over it.
func TestTwoPhonesOfOnePlayerDoNotOverwriteEachOther(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	one, two := m.holder(0, events.RolePlayer), m.holder(0, events.RolePlayer)
	one.press(at, "strokes", "4")

	two.form(at+"/scores").set("strokes", "5").send()
	require.Equal(t, http.StatusConflict, two.status, two.words())
	two.wellMade()
	assert.Contains(t, two.words(), "Not entered. Hole 1 has changed since 5 was entered for it")
	assert.Contains(t, two.words(), "the player's value was nothing then and is 4 now")
	assert.Contains(t, two.words(), "You entered 4 .")
	assert.Contains(t, two.words(), "Keep 4")
	assert.Equal(t, got(4), m.state(0).Holes[0].Player, "nothing is stored")

	anyway := two.form(at + "/scores")
	assert.Equal(t, "4,,", anyway.values.Get("saw"), "the second time it is seen")
	anyway.set("strokes", "5").send()
	require.Equal(t, http.StatusOK, two.status, two.words())
	assert.Equal(t, got(5), m.state(0).Holes[0].Player)

	one.reads(at+"?hole=1").press(at, "strokes", "5")
	assert.Equal(t, got(5), m.state(0).Holes[0].Player, "the same from both is no conflict")
}

func TestWhatWasAgreedMeanwhileIsSeenBeforeItIsChanged(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	player := m.holder(0, events.RolePlayer).press(at, "strokes", "4").reads(at + "?hole=1")
	marker := m.holder(0, events.RoleMarker)
	marker.press(at, "strokes", "4")

	player.form(at+"/scores").set("none", "picked_up").send()
	require.Equal(t, http.StatusConflict, player.status)
	assert.Contains(t, player.words(), "the marker's value was nothing then and is 4 now")
	assert.Contains(t, player.words(), "You entered 4 . Your marker has 4 .")
	assert.Equal(t, got(4), m.state(0).Holes[0].Player)
	assert.Empty(t, m.state(0).Differences())
	player.form(at+"/scores").set("none", "picked_up").send()
	require.Equal(t, http.StatusOK, player.status)
	for _, v := range []*visitor{player.reads(at), marker.reads(at)} {
		assert.Contains(t, v.words(), "Player and marker differ")
	}

	// Each settles what its page showed.
	player.form(at+"/scores", 3).set("strokes", "4").send()
	require.Equal(t, http.StatusOK, player.status, player.words())
	marker.form(at+"/scores", 3).set("none", "picked_up").send()
	require.Equal(t, http.StatusConflict, marker.status, "the player gave in first")
	assert.Contains(t, marker.words(), "the player's value was picked up then and is 4 now")
	assert.Empty(t, m.state(0).Differences())
}

func TestWhatTheCommitteeSettledMeanwhileStays(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	v := m.holder(0, events.RolePlayer)
	_, err := m.commands.EnterScore(t.Context(), by(), m.card(0), enter(1, new(6)))
	require.NoError(t, err)
	v.form(at+"/scores").set("strokes", "4").send()
	require.Equal(t, http.StatusConflict, v.status)
	v.wellMade()
	assert.Contains(t, v.words(), "the committee's value was nothing then and is 6 now")
	assert.Contains(t, v.words(), "The committee settled this hole: 6 .")
	assert.Contains(t, v.words(), "Go on")
	assert.NotContains(t, v.words(), "Enter 4")
}

// The question whether an unlikely number is meant keeps what was seen before it.
func TestAskingBackKeepsWhatWasSeen(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	one, two := m.holder(0, events.RolePlayer), m.holder(0, events.RolePlayer)
	one.press(at, "strokes", "4")
	two.form(at+"/scores", 1).set("strokes", "12").send()
	require.Equal(t, http.StatusUnprocessableEntity, two.status)
	two.form(at+"/scores").set("confirmed", "1").send()
	require.Equal(t, http.StatusConflict, two.status)
	assert.Equal(t, got(4), m.state(0).Holes[0].Player)
	two.form(at+"/scores").set("strokes", "12").send()
	require.Equal(t, http.StatusOK, two.status, "not asked back again")
	assert.Equal(t, got(12), m.state(0).Holes[0].Player)
}

// Undo takes back what it says, and nothing that came after.
func TestUndoTakesBackOnlyWhatItShows(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	one, two := m.holder(0, events.RolePlayer), m.holder(0, events.RolePlayer)
	one.press(at, "strokes", "4")
	two.reads(at+"?hole=1").press(at, "strokes", "5")
	one.form(at+"/scores", 2).send()
	require.Equal(t, http.StatusConflict, one.status)
	assert.Contains(t, one.words(), "Take mine back")
	assert.Equal(t, got(5), m.state(0).Holes[0].Player)
}

func TestFormsThatSayNothingOfWhatTheySaw(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.at(0)
	one, two := m.holder(0, events.RolePlayer), m.holder(0, events.RolePlayer)
	one.press(at, "strokes", "4")
	old := two.form(at + "/scores")
	for _, wrong := range []string{"4", "4,5", "4,5,6,7", "4,lost,", "100,,", "0,,"} {
		old.set("saw", wrong).set("strokes", "5").send()
		require.Equal(t, http.StatusUnprocessableEntity, two.status, wrong)
		require.Equal(t, got(4), m.state(0).Holes[0].Player, wrong)
	}
	old.values.Del("saw")
	old.set("strokes", "5").send()
	require.Equal(t, http.StatusOK, two.status, "a page from before writes as it did")
	assert.Equal(t, got(5), m.state(0).Holes[0].Player)
}

// On the card of a side each ball is seen for itself.
func TestBallsOfASideAreSeenForThemselves(t *testing.T) {
	t.Parallel()
	m := fourBall(t)
	at := m.at(0)
	one, two := m.holder(0, events.RolePlayer), m.holder(0, events.RolePlayer)
	one.ballForm(at, 1).set("strokes", "4").send()
	require.Equal(t, http.StatusOK, one.status)
	two.ballForm(at, 0).set("strokes", "5").send()
	require.Equal(t, http.StatusOK, two.status, "the other ball")
	old := m.holder(0, events.RolePlayer).reads(at+"?hole=1").ballForm(at, 1)
	one.reads(at+"?hole=1").ballForm(at, 1).set("strokes", "6").send()
	require.Equal(t, http.StatusOK, one.status)
	v := old.set("strokes", "5").send()
	require.Equal(t, http.StatusConflict, v.status)
	v.wellMade()
	assert.Equal(t, got(6), m.state(0).Lines(1)[0].Player)
}
