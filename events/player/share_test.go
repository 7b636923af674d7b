package player_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/decidertest"
	"marram.example/events/player"
)

var (
	sealedFor = []byte("sealed: for whom")
	sealedSay = []byte("sealed: a note")
	shared    = events.ReviewShared{ShareID: "s1", Sealed: sealedFor}
	withdrawn = events.ReviewShareWithdrawn{ShareID: "s1"}
	noted     = events.CoachNoteAdded{NoteID: "n1", ShareID: "s1", CardID: "card", Sealed: sealedSay}
	unnoted   = events.CoachNoteRemoved{NoteID: "n1"}

	share = player.ShareReview{ShareID: "s1", Sealed: sealedFor}
	note  = player.AddNote{NoteID: "n1", ShareID: "s1", CardID: "card", Sealed: sealedSay}
	gone  = refused(events.KindNotNow, "player_erased", "player_id")
	away  = refused(events.KindForbidden, "forbidden", "")
)

func TestShares(t *testing.T) {
	t.Parallel()
	full := given(registered)
	for i := range player.MostShares {
		full = append(full, events.ReviewShared{ShareID: fmt.Sprint(i), Sealed: sealedFor})
	}
	decider.Check(t, []rule{
		{Rule: "a player lets somebody read the reviews", Source: marram, Given: given(registered), When: share, Then: given(shared)},
		{Rule: "also one who left the club", Source: marram, Given: given(registered, left), When: share, Then: given(shared)},
		{Rule: "once", Source: marram, Given: given(registered, shared), When: share},
		{Rule: "a withdrawn share does not come back by itself", Source: marram, Given: given(registered, shared, withdrawn), When: share},
		{Rule: "another one may be given", Source: marram, Given: given(registered, shared, withdrawn), When: player.ShareReview{ShareID: "s2", Sealed: sealedFor},
			Then: given(events.ReviewShared{ShareID: "s2", Sealed: sealedFor})},
		{Rule: "a share is for somebody", Source: marram, Given: given(registered), When: player.ShareReview{ShareID: "s1"}, Refused: refused(events.KindInvalid, "required", "for")},
		{Rule: "a share has an id", Source: marram, Given: given(registered), When: player.ShareReview{Sealed: sealedFor}, Refused: refused(events.KindInvalid, "required", "share_id")},
		{Rule: "there is an end to them", Source: unsourced, Given: full, When: player.ShareReview{ShareID: "x", Sealed: sealedFor}, Refused: refused(events.KindNotNow, "too_many", "share_id")},
		{Rule: "withdrawn ones do not count", Source: unsourced, Given: append(full[:len(full):len(full)], events.ReviewShareWithdrawn{ShareID: "3"}),
			When: player.ShareReview{ShareID: "x", Sealed: sealedFor}, Then: given(events.ReviewShared{ShareID: "x", Sealed: sealedFor})},
		{Rule: "the player withdraws it", Source: marram, Given: given(registered, shared), When: player.WithdrawShare{ShareID: "s1"}, Then: given(withdrawn)},
		{Rule: "once is enough", Source: marram, Given: given(registered, shared, withdrawn), When: player.WithdrawShare{ShareID: "s1"}},
		{Rule: "only a share that was given", Source: marram, Given: given(registered), When: player.WithdrawShare{ShareID: "s1"}, Refused: refused(events.KindNotFound, "not_found", "share_id")},
		{Rule: "nobody shares what is erased", Source: marram, Given: given(registered, erased), When: share, Refused: gone},
		{Rule: "nor withdraws it: there is nothing left", Source: marram, Given: given(registered, shared, erased), When: player.WithdrawShare{ShareID: "s1"}, Refused: gone},
		{Rule: "a stranger shares nothing", Source: marram, When: share, Refused: refused(events.KindNotFound, "not_found", "player_id")},
	})
}

func TestNotes(t *testing.T) {
	t.Parallel()
	full := given(registered, shared)
	for i := range player.MostNotes {
		full = append(full, events.CoachNoteAdded{NoteID: fmt.Sprint(i), ShareID: "s1", Sealed: sealedSay})
	}
	all := note
	all.CardID = ""
	other := events.ReviewShared{ShareID: "s2", Sealed: sealedFor}
	own := player.RemoveNote{NoteID: "n1", ShareID: "s1"}
	decider.Check(t, []rule{
		{Rule: "a coach writes about a round", Source: marram, Given: given(registered, shared), When: note, Then: given(noted)},
		{Rule: "or about all of them", Source: marram, Given: given(registered, shared), When: all, Then: given(events.CoachNoteAdded{NoteID: "n1", ShareID: "s1", Sealed: sealedSay})},
		{Rule: "once", Source: marram, Given: given(registered, shared, noted), When: note},
		{Rule: "not without a share", Source: marram, Given: given(registered), When: note, Refused: away},
		{Rule: "not once it is withdrawn", Source: marram, Given: given(registered, shared, withdrawn), When: note, Refused: away},
		{Rule: "a note has words", Source: marram, Given: given(registered, shared), When: player.AddNote{NoteID: "n1", ShareID: "s1"}, Refused: refused(events.KindInvalid, "required", "text")},
		{Rule: "a note has an id", Source: marram, Given: given(registered, shared), When: player.AddNote{ShareID: "s1", Sealed: sealedSay}, Refused: refused(events.KindInvalid, "required", "note_id")},
		{Rule: "there is an end to them", Source: unsourced, Given: full, When: player.AddNote{NoteID: "x", ShareID: "s1", Sealed: sealedSay}, Refused: refused(events.KindNotNow, "too_many", "note_id")},
		{Rule: "its writer takes it off", Source: marram, Given: given(registered, shared, noted), When: own, Then: given(unnoted)},
		{Rule: "nobody takes another coach's off", Source: marram, Given: given(registered, shared, other, noted), When: player.RemoveNote{NoteID: "n1", ShareID: "s2"}, Refused: away},
		{Rule: "nor does its writer once the share is withdrawn", Source: marram, Given: given(registered, shared, noted, withdrawn), When: own, Refused: away},
		{Rule: "the player may take any off, also then", Source: marram, Given: given(registered, shared, noted, withdrawn), When: player.RemoveNote{NoteID: "n1"}, Then: given(unnoted)},
		{Rule: "only one that stands", Source: marram, Given: given(registered, shared, noted, unnoted), When: player.RemoveNote{NoteID: "n1"}, Refused: refused(events.KindNotFound, "not_found", "note_id")},
		{Rule: "nothing is noted about who is erased", Source: marram, Given: given(registered, shared, erased), When: note, Refused: gone},
		{Rule: "nor taken off", Source: marram, Given: given(registered, shared, noted, erased), When: player.RemoveNote{NoteID: "n1"}, Refused: gone},
	})
}

func TestErasingEndsSharesAndNotes(t *testing.T) {
	t.Parallel()
	s := decider.Fold(registered, shared, noted, erased)
	require.Empty(t, s.Shares)
	require.Empty(t, s.Notes)
	_, ok := s.Share("s1")
	require.False(t, ok)
	// What came late from another writer of the log does not bring them back to life.
	_, err := player.Decide(decider.Fold(registered, erased, shared), note)
	require.Equal(t, events.KindNotNow, events.AsError(err).Kind)
}

func TestAWithdrawnShareIsNone(t *testing.T) {
	t.Parallel()
	found, ok := decider.Fold(registered, shared).Share("s1")
	require.True(t, ok)
	require.Equal(t, player.Share{ID: "s1", Sealed: sealedFor}, found)
	_, ok = decider.Fold(registered, shared, withdrawn).Share("s1")
	require.False(t, ok)
}

func TestClonesHaveSharesAndNotesOfTheirOwn(t *testing.T) {
	t.Parallel()
	decider.Siblings(t, given(registered, shared), withdrawn, events.ReviewShared{ShareID: "s2", Sealed: sealedFor})
	decider.Siblings(t, given(registered, shared, noted), unnoted, events.CoachNoteAdded{NoteID: "n2", ShareID: "s1", Sealed: sealedSay})
}

// TestAnyCommandsOfShares: see decidertest.Run.Do for what holds at every step. Here
// the log says who could read and write when.
func TestAnyCommandsOfShares(t *testing.T) {
	t.Parallel()
	id := rapid.SampledFrom([]string{"1", "2", "3", ""})
	bytes := rapid.SampledFrom([][]byte{sealedSay, sealedSay, nil})
	command := rapid.OneOf(
		rapid.Custom(func(t *rapid.T) player.Command {
			return player.ShareReview{ShareID: id.Draw(t, "share"), Sealed: bytes.Draw(t, "for")}
		}),
		rapid.Custom(func(t *rapid.T) player.Command { return player.WithdrawShare{ShareID: id.Draw(t, "share")} }),
		rapid.Custom(func(t *rapid.T) player.Command {
			return player.AddNote{NoteID: id.Draw(t, "note"), ShareID: id.Draw(t, "share"), CardID: id.Draw(t, "card"), Sealed: bytes.Draw(t, "text")}
		}),
		rapid.Custom(func(t *rapid.T) player.Command {
			return player.RemoveNote{NoteID: id.Draw(t, "note"), ShareID: id.Draw(t, "share")}
		}),
		rapid.SampledFrom([]player.Command{player.Leave{}, player.Register{MemberNo: "0107"}, recordMay, player.Erase{Reason: "asked"}}),
	)
	rapid.Check(t, func(t *rapid.T) {
		run := decider.Start(t, registered)
		open, notes, gone := map[string]bool{}, map[string]string{}, false
		for range rapid.IntRange(1, 40).Draw(t, "commands") {
			out, err := run.Do(t, command.Draw(t, "command"))
			if err != nil {
				continue
			}
			require.False(t, gone && len(out) > 0, "after an erasure nothing happens")
			for _, e := range out {
				switch e := e.(type) {
				case events.ReviewShared:
					require.NotContains(t, open, e.ShareID, "a share is given once")
					open[e.ShareID] = true
				case events.ReviewShareWithdrawn:
					require.True(t, open[e.ShareID], "what is withdrawn was open")
					open[e.ShareID] = false
				case events.CoachNoteAdded:
					require.True(t, open[e.ShareID], "who writes reads")
					require.NotContains(t, notes, e.NoteID)
					notes[e.NoteID] = e.ShareID
				case events.CoachNoteRemoved:
					require.Contains(t, notes, e.NoteID)
					delete(notes, e.NoteID)
				case events.PlayerErased:
					gone = true
					clear(open)
					clear(notes)
				}
			}
			requireShares(t, run, open, notes)
		}
	})
}

func requireShares(t *rapid.T, run *decidertest.Run[player.State, player.Command], open map[string]bool, notes map[string]string) {
	require.Len(t, run.State.Shares, len(open))
	for id, is := range open {
		_, ok := run.State.Share(id)
		require.Equal(t, is, ok, "share %q", id)
	}
	require.Len(t, run.State.Notes, len(notes))
	for _, n := range run.State.Notes {
		require.Equal(t, notes[n.ID], n.ShareID)
	}
}
