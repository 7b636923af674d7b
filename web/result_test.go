package web_test

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"marram.example/events"
)

func TestResultShowsPlacesPrizesAndArithmetic(t *testing.T) {
	t.Parallel()
	m := medal(t, 60)
	m.open()
	m.finish()
	at := "/competitions/" + m.competition + "/result"
	v := m.visit().reads(at)
	v.wellMade()
	c, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	rows := all(all(v.page, "tbody")[0], "tr")
	require.Len(t, rows, len(c.Result.Rows))
	for i, tr := range rows {
		position := words(byClass(tr, "pos")[0])
		assert.Equal(t, c.Result.Rows[i].Positions["net"], position)
		if position == "" {
			assert.Empty(t, byClass(tr, "countback"))
		}
	}
	assert.Len(t, all(byClass(v.page, "prizes")[0], "li"), len(c.Result.Prizes))
	matched := 0
	for _, b := range c.Result.Countbacks {
		if b.Ranking == "net" {
			matched++
		}
	}
	require.Positive(t, matched, "the file has ties")
	assert.Len(t, byClass(v.page, "countback"), matched)
	assert.Contains(t, v.words(), "before")
	assert.Contains(t, v.words(), "\u2212", "gross less a share of the handicap is written out")
	for _, ranking := range []string{"gross", "net/Division 2"} {
		v.reads(at + "?ranking=" + strings.ReplaceAll(ranking, " ", "%20"))
		v.wellMade()
		last := 0
		for _, tr := range all(all(v.page, "tbody")[0], "tr") {
			position := words(byClass(tr, "pos")[0])
			if position == "" {
				last = 1 << 20
				continue
			}
			n := number(t, strings.TrimPrefix(position, "T"))
			assert.GreaterOrEqual(t, n, last, ranking)
			last = n
		}
	}
	r, body := v.get("/api/v1/competitions/"+m.competition+"/result", nil)
	assert.Equal(t, 200, r.StatusCode)
	assert.True(t, json.Valid(body))
}

func TestRevisionSaysWhy(t *testing.T) {
	t.Parallel()
	m := medal(t, 6)
	m.open()
	m.finish()
	ctx := context.Background()
	five := 5
	in := enter(1, &five)
	in.Reason = "the marker read a 3 for a 5"
	_, err := m.commands.EnterScore(ctx, by(), m.card(1), in)
	require.NoError(t, err)
	d, err := m.commands.Revise(ctx, by(), m.competition, "a 3 was read for a 5")
	require.NoError(t, err)
	m.settle(d)
	v := m.visit().reads("/competitions/" + m.competition + "/result")
	v.wellMade()
	assert.Contains(t, v.words(), "Revision 1")
	assert.Contains(t, v.words(), "A 3 was read for a 5.")
	assert.Contains(t, v.words(), "First published")
}

func TestResultOfPointsCountsPoints(t *testing.T) {
	t.Parallel()
	m := medal(t, 6, func(t *events.Terms) { t.Format, t.ParDifference, t.AllowancePercent = "stableford", false, 95 })
	m.open()
	m.play(func(i int) int { return 3 * i })
	v := m.visit().reads("/competitions/" + m.competition + "/board")
	v.wellMade()
	assert.Contains(t, v.words(), "Points")
	m.finish()
	v.reads("/competitions/" + m.competition + "/result")
	v.wellMade()
	c, _, err := m.commands.Competition(context.Background(), m.competition)
	require.NoError(t, err)
	for i, tr := range all(all(v.page, "tbody")[0], "tr") {
		if points := c.Result.Rows[i].Points; points != nil {
			assert.Equal(t, *points, number(t, words(byClass(tr, "counts")[0])))
		}
	}
}
