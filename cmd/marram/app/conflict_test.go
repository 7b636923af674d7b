package app_test

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"marram.example/api/command"
	"marram.example/events"
)

// refusedOnce takes the browser's word about the one refusal that was meant off its list.
func (b *browser) refusedOnce() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	require.Len(b.t, b.troubles, 1)
	require.Contains(b.t, b.troubles[0], "409")
	require.Contains(b.t, b.troubles[0], "/scores")
	b.troubles = nil
}

// Two phones of the player and one of the marker in a browser, two of them showing
// what is no longer so: the entry stays in sight beside what stands until somebody
// chooses.
func TestPhonesInConflictInABrowser(t *testing.T) {
	t.Parallel()
	a := mustStart(t)
	id, entries := contest(t, a, 2, "as_entered", func(*events.Terms) {})
	k := command.CardID(id, entries[0], 1)
	phone := func(role events.Role) *browser {
		token, err := a.Commands.CardLink(t.Context(), k, role)
		require.NoError(t, err)
		b := mustBrowse(t, a.URL(), 360, 740)
		b.open("/c/" + token)
		b.wait(`location.pathname.startsWith("/cards/")`)
		// No picture of the card by itself: what is shown grows old as without signal.
		b.eval(`void (window.fetched = window.fetch, window.fetch = (to, how) => String(to).includes("part=all") && !window.looks ? Promise.reject(new TypeError()) : window.fetched(to, how))`)
		return b
	}
	stands := func() [2]int {
		v, err := a.Commands.Card(t.Context(), k)
		require.NoError(t, err)
		return [2]int{v.State.Holes[0].Player.Strokes, v.State.Holes[0].Marker.Strokes}
	}
	one, two, marker := phone(events.RolePlayer), phone(events.RolePlayer), phone(events.RoleMarker)
	press := func(b *browser, strokes int) {
		b.click(fmt.Sprintf(`#keys button[value="%d"]`, strokes))
	}
	press(one, 4)
	require.Eventually(t, func() bool { return stands() == [2]int{4, 0} }, patience, 20*time.Millisecond)

	two.eval(`void (window.looks = true)`)
	press(two, 5)
	two.wait(`document.querySelector(".conflict")?.innerText.includes("the player's value was nothing then and is 4 now")`)
	two.wait(`[...document.querySelectorAll(".conflict button")].map((b) => b.textContent).join() === "Enter 5,Keep 4"`)
	two.wait(`[...document.querySelectorAll(".conflict button")].every((b) => b.getBoundingClientRect().height >= 48)`)
	two.fits("card-conflict")
	require.Equal(t, [2]int{4, 0}, stands(), "nothing is stored")
	two.wait(`document.getElementById("undo").hidden`)
	two.refusedOnce()
	two.click(".conflict button")
	two.wait(`!document.querySelector(".conflict")`)
	require.Eventually(t, func() bool { return stands() == [2]int{5, 0} }, patience, 20*time.Millisecond)

	two.wait(`document.getElementById("undo").innerText.trim() === "Undo 5 on 1"`)
	two.click("#undo button")
	require.Eventually(t, func() bool { return stands() == [2]int{4, 0} }, patience, 20*time.Millisecond, "back to what stood before")
	press(two, 5)
	require.Eventually(t, func() bool { return stands() == [2]int{5, 0} }, patience, 20*time.Millisecond)

	// Undo takes back what it says, not what another phone entered since.
	one.click("#undo button")
	one.wait(`document.querySelector(".conflict")?.innerText.includes("the player's value was 4 then and is 5 now")`)
	one.refusedOnce()
	one.click(".conflict button.plain")
	require.Equal(t, [2]int{5, 0}, stands())

	press(marker, 5)
	require.Eventually(t, func() bool { return stands() == [2]int{5, 5} }, patience, 20*time.Millisecond)

	// The first phone does not know yet that the marker agrees.
	one.eval(`void (window.looks = true)`)
	one.wait(`document.getElementById("hole-number").textContent === "1"`)
	press(one, 6)
	one.wait(`document.querySelector(".conflict")?.innerText.includes("has changed since 6 was entered for it")`)
	one.wait(`document.querySelector(".conflict").innerText.includes("Your marker has 5.")`)
	one.click(".conflict button.plain")
	one.wait(`!document.querySelector(".conflict")`)
	require.Equal(t, [2]int{5, 5}, stands(), "kept")
	one.refusedOnce()
}
