package player_test

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"marram.example/events"
	"marram.example/events/decidertest"
	"marram.example/events/player"
)

var decider = decidertest.Decider[player.State, player.Command]{
	New: player.New, Clone: player.Clone, Evolve: player.Evolve, Decide: player.Decide,
}

type rule = decidertest.Case[player.Command]

// The words of the tables.
var (
	refused = decidertest.Refused
)

func given(es ...events.Event) []events.Event { return es }

var (
	sealed     = []byte("sealed name")
	newName    = []byte("another sealed name")
	registered = events.PlayerRegistered{MemberNo: "0107", Sealed: sealed}
	left       = events.PlayerLeft{Reason: "moved"}
	erased     = events.PlayerErased{Reason: "asked"}
	may        = events.HandicapIndexRecorded{IndexTenths: 123, Effective: "2026-05-01", Origin: events.OriginOfficial}
	recordMay  = player.RecordIndex{Tenths: 123, Effective: "2026-05-01", Origin: events.OriginOfficial}
)

const marram, unsourced = "Marram", "common practice, no source"

func TestRegister(t *testing.T) {
	t.Parallel()
	decider.Check(t, []rule{
		{Rule: "a player is registered under a member number and a sealed name", Source: marram,
			When: player.Register{MemberNo: "0107", Sealed: sealed}, Then: given(registered)},
		{Rule: "leading zeros of a member number count", Source: marram, Given: given(registered),
			When: player.Register{MemberNo: "107", Sealed: sealed}, Refused: refused(events.KindConflict, "member_no_fixed", "member_no")},
		{Rule: "a first registration needs a name", Source: marram,
			When: player.Register{MemberNo: "0107"}, Refused: refused(events.KindInvalid, "required", "name")},
		{Rule: "a member number is not empty", Source: marram,
			When: player.Register{Sealed: sealed}, Refused: refused(events.KindInvalid, "malformed", "member_no")},
		{Rule: "a member number has no spaces", Source: marram,
			When: player.Register{MemberNo: "01 07", Sealed: sealed}, Refused: refused(events.KindInvalid, "malformed", "member_no")},
		{Rule: "a member number has at most 32 characters", Source: marram,
			When: player.Register{MemberNo: "123456789012345678901234567890123", Sealed: sealed}, Refused: refused(events.KindInvalid, "malformed", "member_no")},
		{Rule: "the same again changes nothing", Source: marram, Given: given(registered),
			When: player.Register{MemberNo: "0107", Sealed: sealed}},
		{Rule: "registering again without a name keeps the name", Source: marram, Given: given(registered),
			When: player.Register{MemberNo: "0107"}},
		{Rule: "a player may get another name", Source: marram, Given: given(registered),
			When: player.Register{MemberNo: "0107", Sealed: newName}, Then: given(events.PlayerDetailsChanged{Sealed: newName})},
		{Rule: "who left may come back under the old name", Source: marram, Given: given(registered, left),
			When: player.Register{MemberNo: "0107"}, Then: given(registered)},
		{Rule: "who left may come back under a new name", Source: marram, Given: given(registered, left),
			When: player.Register{MemberNo: "0107", Sealed: newName}, Then: given(events.PlayerRegistered{MemberNo: "0107", Sealed: newName})},
		{Rule: "name and index may come in together", Source: marram,
			When: player.Register{MemberNo: "0107", Sealed: sealed, Index: &recordMay}, Then: given(registered, may)},
		{Rule: "an index that comes with a known name is recorded alone", Source: marram, Given: given(registered),
			When: player.Register{MemberNo: "0107", Sealed: sealed, Index: &recordMay}, Then: given(may)},
		{Rule: "a wrong index stores no name either", Source: "promise 6",
			When:    player.Register{MemberNo: "0107", Sealed: sealed, Index: &player.RecordIndex{Tenths: 541, Effective: "2026-05-01", Origin: events.OriginOfficial}},
			Refused: refused(events.KindInvalid, "out_of_range", "handicap_index")},
		{Rule: "a wrong name stores no index either", Source: "promise 6",
			When: player.Register{MemberNo: "0107", Index: &recordMay}, Refused: refused(events.KindInvalid, "required", "name")},
		{Rule: "who was erased does not come back under the same record", Source: "promise of erasure", Given: given(registered, erased),
			When: player.Register{MemberNo: "0107", Sealed: sealed}, Refused: refused(events.KindNotNow, "player_erased", "player_id")},
	})
}

func TestRecordIndex(t *testing.T) {
	t.Parallel()
	invalid := func(code, field string) *decidertest.Refusal { return refused(events.KindInvalid, code, field) }
	record := func(tenths int) player.RecordIndex {
		return player.RecordIndex{Tenths: tenths, Effective: "2026-05-01", Origin: events.OriginOfficial}
	}
	recorded := func(tenths int) []events.Event {
		return given(events.HandicapIndexRecorded{IndexTenths: tenths, Effective: "2026-05-01", Origin: events.OriginOfficial})
	}
	june := events.HandicapIndexRecorded{IndexTenths: 118, Effective: "2026-06-01", Origin: events.OriginOfficial}
	maySlip := events.HandicapIndexRecorded{IndexTenths: 132, Effective: "2026-05-01", Origin: events.OriginOfficial}
	decider.Check(t, []rule{
		{Rule: "an index counts from a day on", Source: marram, Given: given(registered), When: recordMay, Then: given(may)},
		{Rule: "54.0 is the highest index", Source: "Rules of Handicapping 5.3", Given: given(registered), When: record(540), Then: recorded(540)},
		{Rule: "54.1 is too high", Source: "Rules of Handicapping 5.3", Given: given(registered), When: record(541), Refused: invalid("out_of_range", "handicap_index")},
		{Rule: "+10.0 is the best index taken", Source: "common practice, no source", Given: given(registered), When: record(-100), Then: recorded(-100)},
		{Rule: "+10.1 is a slip", Source: "common practice, no source", Given: given(registered), When: record(-101), Refused: invalid("out_of_range", "handicap_index")},
		{Rule: "0.0 is an index", Source: "Rules of Handicapping 5.2", Given: given(registered), When: record(0), Then: recorded(0)},
		{Rule: "30 February is no date", Source: marram, Given: given(registered),
			When: player.RecordIndex{Tenths: 1, Effective: "2026-02-30", Origin: events.OriginClub}, Refused: invalid("malformed", "effective")},
		{Rule: "a date has two digits for month and day, so that dates compare as text", Source: marram, Given: given(registered),
			When: player.RecordIndex{Tenths: 1, Effective: "2026-5-1", Origin: events.OriginClub}, Refused: invalid("malformed", "effective")},
		{Rule: "an index says where it comes from", Source: "official indexes belong to the association", Given: given(registered),
			When: player.RecordIndex{Tenths: 1, Effective: "2026-05-01"}, Refused: invalid("unknown", "origin")},
		{Rule: "the same again changes nothing", Source: marram, Given: given(registered, may), When: recordMay},
		{Rule: "the same again after a later one changes nothing", Source: marram, Given: given(registered, may, june), When: recordMay},
		{Rule: "a slip is put right on the same day", Source: marram, Given: given(registered, maySlip), When: recordMay, Then: given(may)},
		{Rule: "a corrected value may be set back to the first one", Source: marram, Given: given(registered, may, maySlip), When: recordMay, Then: given(may)},
		{Rule: "the club may record an index of its own on the same day", Source: marram, Given: given(registered, may),
			When: player.RecordIndex{Tenths: 123, Effective: "2026-05-01", Origin: events.OriginClub},
			Then: given(events.HandicapIndexRecorded{IndexTenths: 123, Effective: "2026-05-01", Origin: events.OriginClub})},
		{Rule: "nobody unknown has an index", Source: marram, When: recordMay, Refused: refused(events.KindNotFound, "not_found", "player_id")},
		{Rule: "nothing is recorded of an erased player", Source: "promise of erasure", Given: given(registered, erased), When: recordMay,
			Refused: refused(events.KindNotNow, "player_erased", "player_id")},
	})
}

func TestLeaveAndErase(t *testing.T) {
	t.Parallel()
	decider.Check(t, []rule{
		{Rule: "a player leaves", Source: marram, Given: given(registered), When: player.Leave{Reason: "moved"}, Then: given(left)},
		{Rule: "who left does not leave again", Source: marram, Given: given(registered, left), When: player.Leave{Reason: "moved"}},
		{Rule: "nobody unknown leaves", Source: marram, When: player.Leave{}, Refused: refused(events.KindNotFound, "not_found", "player_id")},
		{Rule: "an erased player does not leave", Source: marram, Given: given(registered, erased), When: player.Leave{},
			Refused: refused(events.KindNotNow, "player_erased", "player_id")},
		{Rule: "personal data is erased", Source: "promise of erasure", Given: given(registered, may), When: player.Erase{Reason: "asked"}, Then: given(erased)},
		{Rule: "who left can still be erased", Source: "promise of erasure", Given: given(registered, left), When: player.Erase{Reason: "asked"}, Then: given(erased)},
		{Rule: "an erasure that was cut short can be asked for again", Source: "promise of erasure", Given: given(registered, erased), When: player.Erase{Reason: "asked"}},
		{Rule: "nobody unknown is erased", Source: marram, When: player.Erase{}, Refused: refused(events.KindNotFound, "not_found", "player_id")},
	})
}

func TestErasedStateHoldsNoPersonalData(t *testing.T) {
	t.Parallel()
	s := decider.Fold(registered, events.PlayerDetailsChanged{Sealed: newName}, may, erased)
	require.Nil(t, s.Sealed)
	require.True(t, s.Erased)
	require.True(t, s.Left)
	require.Equal(t, "0107", s.MemberNo, "scores stay with the number")
	require.Len(t, s.Indexes, 1)
}

func TestCurrentIndex(t *testing.T) {
	t.Parallel()
	official := func(tenths int, day string) player.Index {
		return player.Index{Tenths: tenths, Effective: day, Origin: events.OriginOfficial}
	}
	club := func(tenths int, day string) player.Index {
		return player.Index{Tenths: tenths, Effective: day, Origin: events.OriginClub}
	}
	for _, c := range []struct {
		rule     string
		recorded []player.Index
		want     int
		none     bool
	}{
		{rule: "none is recorded", none: true},
		{rule: "one of tomorrow does not count today", recorded: []player.Index{official(100, "2026-05-03")}, none: true},
		{rule: "one of today counts today", recorded: []player.Index{official(100, "2026-05-02")}, want: 100},
		{rule: "the latest day counts, whatever was recorded last", recorded: []player.Index{official(98, "2026-05-02"), official(100, "2026-04-01")}, want: 98},
		{rule: "the later recorded counts among equals", recorded: []player.Index{official(100, "2026-05-01"), official(98, "2026-05-01")}, want: 98},
		{rule: "official counts before club on one day", recorded: []player.Index{official(100, "2026-05-01"), club(90, "2026-05-01")}, want: 100},
		{rule: "official counts before club on one day, recorded after", recorded: []player.Index{club(90, "2026-05-01"), official(100, "2026-05-01")}, want: 100},
		{rule: "a later club index counts before an older official one", recorded: []player.Index{official(100, "2026-04-01"), club(90, "2026-05-01")}, want: 90},
		{rule: "a plus index counts", recorded: []player.Index{official(-14, "2026-05-01")}, want: -14},
	} {
		t.Run(c.rule, func(t *testing.T) {
			t.Parallel()
			got, ok := (&player.State{Indexes: c.recorded}).Current("2026-05-02")
			require.Equal(t, !c.none, ok)
			require.Equal(t, c.want, got.Tenths)
		})
	}
}

func TestUnknownCommandIsAFaultOfTheProgram(t *testing.T) {
	t.Parallel()
	_, err := player.Decide(decider.Fold(registered), nil)
	require.ErrorContains(t, err, "unknown command")
	require.Nil(t, events.AsError(err))
}

// TestAnyCommandsOfAPlayer: see decidertest.Run.Do for what holds at every step.
func TestAnyCommandsOfAPlayer(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		run := decider.Start(t)
		names := rapid.SampledFrom([][]byte{nil, sealed, newName})
		days := rapid.SampledFrom([]string{"2026-05-01", "2026-05-02", "soon"})
		origins := rapid.SampledFrom([]events.IndexOrigin{events.OriginOfficial, events.OriginClub, "guess"})
		command := rapid.OneOf(
			rapid.Custom(func(t *rapid.T) player.Command {
				return player.Register{MemberNo: rapid.SampledFrom([]string{"0107", "0108", ""}).Draw(t, "member"), Sealed: names.Draw(t, "name")}
			}),
			rapid.Custom(func(t *rapid.T) player.Command {
				return player.RecordIndex{Tenths: rapid.IntRange(-110, 550).Draw(t, "tenths"), Effective: days.Draw(t, "day"), Origin: origins.Draw(t, "origin")}
			}),
			rapid.Just[player.Command](player.Leave{}),
			rapid.Map(rapid.IntRange(0, 9), func(n int) player.Command {
				if n == 0 {
					return player.Erase{}
				}
				return player.Register{MemberNo: "0107", Sealed: sealed}
			}),
		)
		for range rapid.IntRange(1, 25).Draw(t, "commands") {
			c := command.Draw(t, "command")
			out, err := run.Do(t, c)
			if err == nil && len(out) > 0 {
				again, err := run.Do(t, c)
				require.NoError(t, err, "a command repeated is no fault")
				require.Empty(t, again, "a command repeated changes nothing: %#v", c)
			}
			if run.State.Erased {
				require.Nil(t, run.State.Sealed)
			}
		}
	})
}

func TestTwoClonesLiveApart(t *testing.T) {
	t.Parallel()
	index := func(tenths int) events.Event {
		return events.HandicapIndexRecorded{IndexTenths: tenths, Effective: "2026-05-01", Origin: events.OriginClub}
	}
	decider.Siblings(t, given(registered, index(1), index(2), index(3)), index(4), index(5))
}
