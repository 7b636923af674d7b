package app_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// From a score sent to its row changed in an open browser: a field of 300 in three
// divisions, 50 scores a second, one Chromium on the same machine. The figures
// are times in milliseconds, from the sending and from the acknowledgement.
func BenchmarkScoreToScreen(b *testing.B) {
	const pace = 20 * time.Millisecond
	a := mustStart(b)
	id, c := bigField(b, a, 300)
	page := mustBrowse(b, a.URL(), 1280, 900)
	page.open("/competitions/" + id + "/board")
	page.wait(`document.querySelector("#board-line").innerText.startsWith("Live")`)
	page.eval(`void (() => {
		window.seen = {};
		new MutationObserver((all) => {
			const now = Date.now();
			const rows = new Set();
			for (const m of all) {
				const at = m.target.nodeType === 1 ? m.target : m.target.parentElement;
				const tr = at?.closest("tr");
				if (tr) rows.add(tr);
			}
			for (const tr of rows) {
				const card = tr.querySelector(".fig a")?.getAttribute("href")?.split("/")[2];
				window.seen[card + " " + tr.querySelector(".n").textContent] ??= now;
			}
		}).observe(document.querySelector("#board tbody"), { subtree: true, childList: true, characterData: true });
	})()`)
	type moment struct {
		key         string
		sent, acked time.Time
	}
	var moments []moment
	ticker := time.NewTicker(pace)
	defer ticker.Stop()
	b.ResetTimer()
	for i := range b.N {
		<-ticker.C
		hole := i/len(c.Order) + 1
		if hole > 18 {
			break
		}
		card := command.CardID(id, c.Order[i%len(c.Order)], 1)
		strokes := 3 + i%4
		r := command.Request{Who: command.Who{Role: events.RoleService, ID: "bench"}, CommandID: fmt.Sprintf("screen-%d", i)}
		m := moment{key: fmt.Sprintf("%s %d", card, hole), sent: time.Now()}
		_, err := a.Commands.EnterScore(b.Context(), r, card, command.EnterScore{Hole: hole, Strokes: &strokes, Confirmed: true})
		require.NoError(b, err)
		m.acked = time.Now()
		moments = append(moments, m)
	}
	b.StopTimer()
	last := moments[len(moments)-1].key
	page.wait(fmt.Sprintf(`window.seen[%q] !== undefined`, last))
	var seen map[string]int64
	require.NoError(b, json.Unmarshal([]byte(page.ask(`JSON.stringify(window.seen)`)), &seen))
	var sent, acked []float64
	missed := 0
	for _, m := range moments {
		at, ok := seen[m.key]
		if !ok {
			missed++ // a later score of the same row came into the same frame
			continue
		}
		sent = append(sent, float64(at-m.sent.UnixMilli()))
		acked = append(acked, float64(at-m.acked.UnixMilli()))
	}
	slices.Sort(sent)
	slices.Sort(acked)
	at := func(of []float64, share float64) float64 { return of[min(int(share*float64(len(of))), len(of)-1)] }
	b.ReportMetric(at(sent, 0.5), "sent-p50-ms")
	b.ReportMetric(at(sent, 0.99), "sent-p99-ms")
	b.ReportMetric(at(acked, 0.5), "ack-p50-ms")
	b.ReportMetric(at(acked, 0.99), "ack-p99-ms")
	b.ReportMetric(float64(missed), "missed")
}
