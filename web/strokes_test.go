package web_test

import (
	"context"
	"fmt"
	"net/http"
	"net/url"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// logAt is the address of the strokes of an entry's card.
func (m *morning) logAt(entry int) string { return m.at(entry) + "/strokes" }

// stroke is the form that is sent about the stroke under review.
func (v *visitor) strokeForm(m *morning, entry int) *sheet {
	v.t.Helper()
	for _, n := range all(v.page, "form") {
		if a := attr(n, "action"); strings.HasPrefix(a, m.logAt(entry)+"/") && strings.Contains(attr(n, "class"), "step") {
			return v.fieldsOf(n)
		}
	}
	require.Fail(v.t, "no stroke is under review", "%s\n%s", v.at, v.words())
	return nil
}

func (m *morning) strokesOn(entry, hole int) []events.Stroke {
	m.t.Helper()
	var out []events.Stroke
	for _, x := range m.state(entry).StrokesOn(0, hole) {
		out = append(out, x.Stroke)
	}
	return out
}

// drive logs a drive of a card's first hole up to the green and its first putt.
func (m *morning) twoToTheGreen(v *visitor) {
	m.t.Helper()
	at := m.logAt(0)
	v.reads(at + "?hole=1")
	v.form(at).set("club", "driver").set("target", "left").set("commitment", "4").set("aim", "the mast").send()
	v.strokeForm(m, 0).set("judged", "poor.yes").set("missed", "long.left").set("finish.distance", "120").set("finish", "rough").set("word", "toe").send()
	v.form(at).set("club", "iron-8").send()
	v.strokeForm(m, 0).set("judged", "good.yes").set("missed", "level.on_line").set("finish.distance", "6.5").set("finish", "green").send()
	require.Equal(m.t, http.StatusOK, v.status, v.words())
}

func TestStrokesAreLoggedWithoutScript(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer).reads(m.at(0) + "?hole=1")
	assert.Contains(t, v.links(), at+"?hole=1", "beside the score, the same hole")
	v.reads(at + "?hole=1")
	v.wellMade()
	length := m.state(0).Holes[0].LengthM
	first := v.form(at)
	assert.Equal(t, "tee", first.values.Get("lie"))
	assert.Equal(t, fmt.Sprint(length), first.values.Get("distance"), "the hole's length stands there already")
	m.twoToTheGreen(v)
	v.wellMade()
	putt := v.form(at)
	assert.Equal(t, "6.5", putt.values.Get("distance"))
	assert.Contains(t, v.words(), "to green, 6.5 m to go", "never \"left\", which is also a side")
	assert.Contains(t, v.words(), "To go, m")
	putt.set("finish", "").send() // ready
	v.strokeForm(m, 0).set("finish.distance", "0.4").set("finish", "green").send()
	v.form(at).set("finish", "holed").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Contains(t, v.words(), "4 entered on hole 1", v.at)
	assert.Contains(t, v.words(), "Hole 2 Par", "the next hole comes by itself")
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[0].Player)

	s := m.strokesOn(0, 1)
	require.Len(t, s, 4)
	yes := true
	assert.Equal(t, "driver", s[0].Club)
	assert.Equal(t, "left", s[0].Target)
	assert.Equal(t, 4, s[0].Commitment)
	assert.Equal(t, "poor", s[0].Strike)
	assert.Equal(t, &yes, s[0].GoodEnough)
	assert.Equal(t, events.Miss{Side: "left", Length: "long"}, s[0].Miss)
	assert.Equal(t, &events.Finish{Lie: "rough", DistanceM: 120}, s[0].Finish)
	assert.Equal(t, "rough", s[1].Lie)
	assert.InDelta(t, 120, s[1].DistanceM, 0)
	assert.True(t, s[3].Finish.Holed)
	for _, x := range s {
		assert.True(t, x.IntentAt.IsZero() && x.StruckAt.IsZero(), "without script nobody knows the time of the device")
	}
	logged, err := m.commands.Logged(context.Background(), m.state(0), 0, 1)
	require.NoError(t, err)
	assert.Equal(t, "the mast", logged[0].Aim, "the review keeps the intent's words")
	assert.Equal(t, "toe", logged[0].Word)
	v.reads(at + "?hole=1")
	v.wellMade()
	assert.Contains(t, v.words(), "poor strike, good enough, long left")
	assert.Contains(t, v.words(), "toe")
}

func TestStrokesOfNobodyElse(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	v := m.holder(0, events.RolePlayer)
	m.twoToTheGreen(v)
	id := m.state(0).Strokes[0].ID
	for name, other := range map[string]*visitor{
		"nobody": m.visit(), "marker": m.holder(0, events.RoleMarker), "another player": m.holder(1, events.RolePlayer), "committee": m.secretary(),
	} {
		for _, path := range []string{"?hole=1", "/rows", "?hole=1&stroke=" + id} {
			other.open(m.logAt(0) + path)
			assert.Contains(t, []int{http.StatusForbidden, http.StatusUnauthorized}, other.status, "%s %s", name, path)
			assert.NotContains(t, other.text, "toe", "%s %s", name, path)
		}
		for _, path := range []string{"", "/rows", "/csv", "/undo", "/score", "/" + id, "/" + id + "/removal"} {
			s := &sheet{v: other, action: m.logAt(0) + path, values: map[string][]string{"key": {"0123456789"}, "hole": {"1"}, "lie": {"tee"}, "distance": {"300"}, "row.1": {"0"}, "did": {"3"}, "strokes": {"4"}}}
			s.send()
			assert.Contains(t, []int{http.StatusForbidden, http.StatusUnauthorized}, other.status, "%s %s", name, path)
		}
		other.open(m.at(0))
		assert.NotContains(t, other.text, "trokes say", name)
	}
	assert.Len(t, m.strokesOn(0, 1), 2)
}

func TestAWrongStrokeShowsItsFieldAndKeepsTheRest(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	for name, x := range map[string]struct{ field, value, says string }{
		"no distance":  {"distance", "", "Type the distance to the hole."},
		"words":        {"distance", "far", "“far” is no distance"},
		"nought":       {"distance", "0", "above 0"},
		"too far":      {"distance", "1501", "at most 1500 m"},
		"a lie":        {"lie", "lake", "is not known here"},
		"a club":       {"club", "spoon", "is not known here"},
		"a target":     {"target", "up", "is not known here"},
		"commitment":   {"commitment", "6", "commitment is 1 to 5"},
		"a time":       {"intent_at", "noon", "RFC 3339"},
		"a long aim":   {"aim", strings.Repeat("x", 201), "200"},
		"no such lie":  {"before", "nothing", "no such stroke"},
		"another ball": {"ball", "3", "no such ball"},
	} {
		s := v.reads(at+"?hole=2").form(at).set("club", "iron-8").set("target", "right").set(x.field, x.value)
		s.send()
		assert.GreaterOrEqual(t, v.status, 400, name)
		assert.Less(t, v.status, 500, name)
		text := strings.NewReplacer(`"`, "", "“", "", "”", "").Replace(strings.ToLower(v.words()))
		assert.Contains(t, text, strings.ToLower(strings.NewReplacer("“", "", "”", "").Replace(x.says)), name)
		if strings.Contains(x.field, "distance") {
			again := v.form(at)
			assert.Equal(t, x.value, again.values.Get("distance"), "%s: what was typed stays", name)
			assert.Equal(t, "right", again.values.Get("target"), name)
			v.wellMade()
		}
	}
	assert.Empty(t, m.strokesOn(0, 2), "nothing was stored")

	m.twoToTheGreen(v)
	id := m.state(0).Strokes[1].ID
	v.reads(at + "?hole=1&stroke=" + id)
	v.wellMade()
	v.strokeForm(m, 0).set("miss.side_by", "8").set("missed", "level.on_line").set("word", "thin").send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	assert.Contains(t, v.words(), "Say to which side.")
	assert.Equal(t, "thin", v.strokeForm(m, 0).values.Get("word"))
	v.strokeForm(m, 0).set("missed", "short.left").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Equal(t, events.Miss{Side: "left", SideM: 8, Length: "short"}, m.strokesOn(0, 1)[1].Miss)
	v.reads(at + "?hole=1")
	v.form(at).set("finish", "green").set("finish.distance", "").send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	assert.Contains(t, v.words(), "Type the distance to the hole.")
	assert.Len(t, m.strokesOn(0, 1), 2)
}

func TestAStrokeIsAmendedInsertedDeletedAndUndone(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	m.twoToTheGreen(v)
	before := m.strokesOn(0, 1)
	ids := m.state(0).Strokes

	same := v.reads(at+"?hole=1&stroke="+ids[0].ID).strokeForm(m, 0)
	same.send()
	assert.Equal(t, before, m.strokesOn(0, 1), "saved unchanged: nothing is lost")

	v.reads(at+"?hole=1&stroke="+ids[0].ID).strokeForm(m, 0).set("distance", "333").set("judged", "none").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.InDelta(t, 333, m.strokesOn(0, 1)[0].DistanceM, 0)
	assert.Empty(t, m.strokesOn(0, 1)[0].Strike)
	v.form(at + "/undo").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	back := m.strokesOn(0, 1)
	assert.InDelta(t, before[0].DistanceM, back[0].DistanceM, 0)
	assert.Equal(t, "poor", back[0].Strike, "undo brings the review back too")

	v.reads(at + "?hole=1&before=" + ids[1].ID)
	v.wellMade()
	v.form(at).set("lie", "recovery").set("distance", "150").set("club", "iron-6").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Contains(t, v.words(), "Change stroke 2", "what was put in is reviewed at once")
	require.Len(t, m.strokesOn(0, 1), 3)
	assert.Equal(t, "recovery", m.strokesOn(0, 1)[1].Lie)
	v.form(at + "/undo").send()
	require.Len(t, m.strokesOn(0, 1), 2)

	v.reads(at + "?hole=1&stroke=" + ids[0].ID).form(at + "/" + ids[0].ID + "/removal").send()
	require.Len(t, m.strokesOn(0, 1), 1)
	undo := v.form(at + "/undo")
	undo.send()
	require.Len(t, m.strokesOn(0, 1), 2)
	logged, err := m.commands.Logged(context.Background(), m.state(0), 0, 1)
	require.NoError(t, err)
	assert.Equal(t, "the mast", logged[0].Aim, "words come back")
	undo.send()
	assert.Len(t, m.strokesOn(0, 1), 2, "twice is once")
	undo.set("did", "99999").send()
	assert.GreaterOrEqual(t, v.status, 400)
}

func TestUndoTakesTheScoreThatFollowedBackToo(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	m.twoToTheGreen(v)
	v.form(at).set("finish", "holed").send()
	require.Equal(t, events.Score{Strokes: 3}, m.state(0).Holes[0].Player)
	v.reads(at + "?hole=1&did=" + fmt.Sprint(m.sequence(0)))
	v.form(at + "/undo").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.False(t, m.state(0).Holes[0].Player.Entered())
	assert.Len(t, m.strokesOn(0, 1), 2)
}

func (m *morning) sequence(entry int) events.Sequence {
	m.t.Helper()
	k, err := m.commands.Card(context.Background(), m.card(entry))
	require.NoError(m.t, err)
	return k.Sequence
}

func TestADifferenceIsShownUntilThePlayerSettlesIt(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	four := 4
	_, err := m.commands.EnterScore(context.Background(), as(events.RolePlayer, m.card(0)), m.card(0), enter(1, &four))
	require.NoError(t, err)
	m.twoToTheGreen(v)
	v.form(at).set("finish", "holed").send()
	assert.Contains(t, v.words(), "Strokes say 3, the card says 4.", "it stays on the hole")
	v.wellMade()
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[0].Player, "nothing is changed in silence")
	v.reads(m.at(0))
	assert.Contains(t, v.words(), "strokes say 3")
	v.wellMade()
	marker := m.holder(0, events.RoleMarker)
	assert.NotContains(t, marker.words(), "strokes say")
	stale := v.reads(at + "?hole=1").form(at + "/score")
	stale.set("strokes", "7").send()
	assert.Equal(t, http.StatusConflict, v.status, "a number that the strokes do not say")
	v.reads(at + "?hole=1").form(at + "/score").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Equal(t, events.Score{Strokes: 3}, m.state(0).Holes[0].Player)
	assert.NotContains(t, v.reads(m.at(0)).words(), "strokes say")
}

// An answer that was lost on the way: the phone sends the same form again.
func TestAStrokeSentTwiceIsOneStroke(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	v.reads(at + "?hole=1")
	drive := v.form(at).set("club", "driver")
	drive.send()
	drive.send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	review := v.strokeForm(m, 0).set("finish", "green").set("finish.distance", "3")
	review.send()
	review.send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	putt := v.form(at).set("finish", "holed")
	putt.send()
	first := v.words()
	putt.send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Equal(t, first, v.words(), "the same page again")
	assert.Len(t, m.strokesOn(0, 1), 2)
	undo := v.form(at + "/undo")
	undo.send()
	undo.send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Len(t, m.strokesOn(0, 1), 1)
	removal := v.reads(at + "?hole=1&stroke=" + m.state(0).Strokes[0].ID).form(at + "/" + m.state(0).Strokes[0].ID + "/removal")
	removal.send()
	removal.send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Empty(t, m.strokesOn(0, 1))
	old := putt
	old.set("key", "another-key-0123").set("distance", "2").send()
	require.Equal(t, http.StatusOK, v.status, "a stroke of an old page is a stroke")
	old.set("key", "another-key-4567").send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status, "nothing follows a ball that is holed")
	assert.Contains(t, v.words(), "a stroke that is holed is the last of its hole")
}

// Whatever is sent, the answer says what is wrong with it.
func TestNoFormOfStrokesIsAFault(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	m.twoToTheGreen(v)
	id, seq := m.state(0).Strokes[0].ID, m.sequence(0)
	junk := []string{"", "-1", "NaN", "1e309", "99999999999999999999", "\x00", "\xff\xfe", "<script>", strings.Repeat("9", 3000), "none", "yes.no.", "Inf"}
	for _, path := range []string{"", "/rows", "/csv", "/undo", "/score", "/" + id, "/" + id + "/removal", "/none", "/none/removal"} {
		for i, x := range junk {
			for _, field := range []string{"hole", "ball", "lie", "distance", "club", "finish", "finish.distance", "judged", "missed", "penalty", "commitment", "did", "strokes", "row.1", "text", "before", "intent_at", "word", "units"} {
				if path == "/"+id+"/removal" && (field != "hole" && field != "ball" || x == "") || path == "/"+id && (field == "units" || field == "finish" && x == "") {
					continue // these are in order: nothing else is read there, or nothing said about the finish
				}
				s := &sheet{v: v, action: at + path, values: map[string][]string{
					"key": {fmt.Sprintf("junk-%s-%d-%s", strings.Trim(path, "/"), i, field)}, "hole": {"1"}, "lie": {"moon"}, "distance": {"120"}, "finish": {"moon"}, "finish.distance": {"20"}, "strokes": {"44"}, "row.1": {"q"},
				}}
				s.set(field, x).send()
				require.Less(t, v.status, 500, "%s %s=%q", path, field, x)
			}
		}
	}
	for _, q := range junk {
		for _, field := range []string{"hole", "ball", "stroke", "before", "lie", "did", "done", "next", "to"} {
			v.open(at + "?" + url.Values{field: {q}}.Encode())
			require.Less(t, v.status, 500, "%s=%q", field, q)
			v.open(at + "/rows?" + url.Values{field: {q}}.Encode())
			require.Less(t, v.status, 500, "%s=%q", field, q)
		}
	}
	assert.Equal(t, seq, m.sequence(0), "nothing was stored")
}

func TestPuttsAlone(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	v.reads(at + "?hole=1&lie=green")
	v.wellMade()
	v.form(at).set("distance", "7").set("finish", "green").set("finish.distance", "1").send()
	v.form(at).set("finish", "holed").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Contains(t, v.words(), "2 putts on hole 1")
	assert.Contains(t, v.words(), "Hole 2 Par", "the next hole")
	assert.Contains(t, v.words(), "First putt", "begins with a putt again: who logs putts alone goes on with them")
	assert.False(t, m.state(0).Holes[0].Player.Entered(), "no score follows from putts alone")
}

func TestStrokeAndDistanceIsOneButton(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer).reads(at + "?hole=1")
	v.form(at).set("club", "driver").send()
	v.strokeForm(m, 0).set("finish", "again").send()
	again := v.form(at)
	assert.Equal(t, "tee", again.values.Get("lie"))
	assert.Equal(t, fmt.Sprint(m.state(0).Holes[0].LengthM), again.values.Get("distance"))
	again.set("club", "wood-3").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	s := m.strokesOn(0, 1)
	require.Len(t, s, 2)
	assert.Equal(t, 1, s[0].Penalty)
	assert.Equal(t, "tee", s[1].Lie)
}

func TestUnitsOfADevice(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer).reads(at + "?hole=1")
	v.form("/units").set("units", "yd").send()
	require.Equal(t, http.StatusOK, v.status)
	assert.Equal(t, at+"?hole=1", v.at, "back to the page")
	v.form(at).set("distance", "410").set("club", "driver").send()
	v.strokeForm(m, 0).set("finish", "green").set("finish.distance", "18").send()
	putt := v.form(at)
	assert.Equal(t, "18", putt.values.Get("distance"), "feet on the green")
	putt.set("finish", "holed").send()
	s := m.strokesOn(0, 1)
	assert.InDelta(t, 374.904, s[0].DistanceM, 1e-9)
	assert.InDelta(t, 5.4864, s[1].DistanceM, 1e-9)
	v.reads(at + "?hole=1")
	assert.Contains(t, v.words(), "Tee, 410 yd, driver")
	assert.Contains(t, v.words(), "Green, 18 ft")
	v.form("/units").set("units", "miles").send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	v.reads(at+"?hole=1").form("/units").set("units", "m").set("back", "//elsewhere.example").send()
	assert.Equal(t, "/", v.at, "no way to another site")
}

func TestDeviceTimesComeFromTheDeviceAlone(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer).reads(at + "?hole=1")
	v.form(at).set("club", "driver").set("intent_at", "2025-06-14T08:00:10.500Z").send()
	v.strokeForm(m, 0).set("struck_at", "2025-06-14T08:00:41Z").set("finish", "rough").set("finish.distance", "140").send()
	v.form(at).set("club", "iron-7").set("intent_at", "2025-06-14T08:05:00Z").send()
	v.strokeForm(m, 0).set("struck_at", "2025-06-14T09:30:00Z").set("finish", "green").set("finish.distance", "3").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	v.form(at).set("step", "log").set("intent_at", "2025-06-14T09:31:00Z").set("finish", "holed").send()
	s := m.strokesOn(0, 1)
	require.Len(t, s, 3)
	assert.InDelta(t, 30.5, s[0].StruckAt.Sub(s[0].IntentAt).Seconds(), 0)
	assert.True(t, s[1].StruckAt.IsZero(), "judged an hour later is from memory, and no reason to refuse the review")
	assert.True(t, s[2].IntentAt.IsZero(), "just logged")

	one := 4
	for h := 1; h <= 18; h++ {
		for _, role := range []events.Role{events.RolePlayer, events.RoleMarker} {
			_, err := m.commands.EnterScore(context.Background(), as(role, m.card(0)), m.card(0), enter(h, &one))
			require.NoError(t, err)
		}
	}
	for _, role := range []events.Role{events.RoleMarker, events.RolePlayer} {
		_, err := m.commands.Certify(context.Background(), as(role, m.card(0)), m.card(0), role)
		require.NoError(t, err)
	}
	_, err := m.commands.Return(context.Background(), as(events.RolePlayer, m.card(0)), m.card(0))
	require.NoError(t, err)
	v.reads(at + "?hole=2")
	v.wellMade()
	assert.NotContains(t, v.text, "intent_at", "after the return strokes are logged from memory")
	assert.Contains(t, v.reads(m.at(0)).links(), at)
	v.reads(at+"?hole=2").form(at).set("club", "driver").send()
	v.strokeForm(m, 0).set("finish", "holed").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Contains(t, v.words(), "Strokes say 1, the card says 4.")
	assert.Contains(t, v.words(), "only the committee changes it now")
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[1].Player)
}

func TestStrokesAHoleARow(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0) + "/rows"
	v := m.holder(0, events.RolePlayer)
	m.twoToTheGreen(v)
	before := m.strokesOn(0, 1)
	seq := m.sequence(0)
	v.reads(at)
	v.wellMade()
	rows := v.form(at)
	assert.Equal(t, fmt.Sprintf("t %d driver, r 120 iron-8 x", m.state(0).Holes[0].LengthM), rows.values.Get("row.1"), "what stands, in the same syntax")
	rows.send()
	require.Equal(t, http.StatusOK, v.status)
	assert.Equal(t, seq, m.sequence(0), "unchanged rows change nothing")

	v.form(at).set("row.1", rows.values.Get("row.1")[:len(rows.values.Get("row.1"))-2]+", g 6, g 0.5").set("row.2", "t 150 iron-7 +1, s 20, g 1.2").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	v.wellMade()
	assert.Contains(t, v.words(), "4 entered on hole 1")
	assert.Contains(t, v.words(), "4 strokes: tee 150 m, 7 iron, 1 penalty stroke; sand 20 m; green 1.2 m; holed.")
	assert.Equal(t, before, m.strokesOn(0, 1)[:2], "what a row cannot say is kept")
	assert.Equal(t, events.Score{Strokes: 4}, m.state(0).Holes[1].Player)
	focus := ""
	for _, n := range all(v.page, "input") {
		if has(n, "autofocus") {
			focus += attr(n, "name")
		}
	}
	assert.Equal(t, "row.3", focus, "the next row is ready to be typed in")

	seq = m.sequence(0)
	for text, says := range map[string]string{
		"t 380, q 5": `Hole 4, stroke 2: "q" is no lie`, "t 380, f 100, t 200": "Hole 4, stroke 3: a ball that has left the tee is there again only with a penalty (Rules of Golf 18.1)",
	} {
		v.reads(at).form(at).set("row.3", "t 300, g 2").set("row.4", text).send()
		assert.Equal(t, http.StatusUnprocessableEntity, v.status, text)
		assert.Contains(t, v.words(), says)
		v.wellMade()
		assert.Equal(t, text, v.form(at).values.Get("row.4"), "what was typed stays")
		assert.Equal(t, "t 300, g 2", v.form(at).values.Get("row.3"))
		assert.Equal(t, seq, m.sequence(0), "nothing is stored")
	}
	v.reads(at).form(at).set("row.1", "").send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	assert.Len(t, m.strokesOn(0, 1), 4, "an emptied row is a slip")
	stale := v.reads(at).form(at).set("row.2", "t 150, g 3")
	v.reads(at).form(at).set("row.2", "0").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Empty(t, m.strokesOn(0, 2))
	stale.send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	assert.Contains(t, v.words(), "changed elsewhere")
	assert.Empty(t, m.strokesOn(0, 2))
}

func TestStrokesAsAFile(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer)
	m.twoToTheGreen(v)
	before, seq := m.strokesOn(0, 1), m.sequence(0)
	v.reads(at + "/rows")
	r, err := v.client.Get(v.base + "/api/v1" + at + ".csv")
	require.NoError(t, err)
	file := newVisitor(t, v.base).take(r, err).text
	require.Contains(t, file, "the mast")
	s := v.form(at+"/csv", 0)
	s.file = []byte(file)
	s.send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	v.wellMade()
	assert.Contains(t, v.words(), "The file is in order")
	v.form(at + "/csv").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Equal(t, before, m.strokesOn(0, 1))
	assert.Equal(t, seq, m.sequence(0), "the same file changes nothing")
	s = v.form(at + "/csv")
	s.file = []byte(strings.Replace(file, "driver", "spoon", 1))
	s.send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	assert.Contains(t, v.words(), "nothing is stored")
	s.file = nil
	s.send()
	assert.Equal(t, http.StatusUnprocessableEntity, v.status)
	assert.Contains(t, v.words(), "Choose a file.")
}

// Each ball of a side has strokes of its own; where one ball is played, it has them.
func TestStrokesOfASide(t *testing.T) {
	t.Parallel()
	m := fourBall(t)
	at := m.logAt(0)
	v := m.holder(0, events.RolePlayer).reads(at + "?hole=1&ball=1")
	v.wellMade()
	s := v.form(at)
	assert.Equal(t, "1", s.values.Get("ball"))
	s.set("distance", "9").set("lie", "green").set("finish", "holed").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	assert.Contains(t, v.at, "ball=1", "the next hole of the same ball")
	assert.Len(t, m.state(0).StrokesOn(1, 1), 1)
	assert.Empty(t, m.strokesOn(0, 1))
	v.reads(at+"/rows?ball=1").form(at+"/rows").set("row.2", "t 150 8i, g 2").send()
	require.Equal(t, http.StatusOK, v.status, v.words())
	v.wellMade()
	assert.Len(t, m.state(0).StrokesOn(1, 2), 2)
	assert.Equal(t, events.Score{Strokes: 2}, m.state(0).Lines(1)[1].Player)
	assert.False(t, m.state(0).Holes[1].Player.Entered(), "nobody else's ball has that score")
	five := 5
	_, err := m.commands.EnterScore(context.Background(), as(events.RolePlayer, m.card(0)), m.card(0), command.EnterScore{Hole: 2, Ball: 1, Strokes: &five, Confirmed: true})
	require.NoError(t, err)
	v.reads(m.at(0))
	v.wellMade()
	assert.Contains(t, v.links(), at+"?hole=2&ball=1", "the difference is marked at its ball")
}
