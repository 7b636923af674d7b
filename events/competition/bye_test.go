package competition_test

import (
	"testing"

	"marram.example/events/competition"
)

// Who has a bye starts nowhere, so that the first match may stand behind it on the
// sheet with the same start.
func TestByesHaveNoStart(t *testing.T) {
	t.Parallel()
	groups := games([]string{"ann"}, []string{"dan", "eve"}, []string{"ben"}, []string{"cat", "fay"})
	groups[0].StartingHole, groups[2].StartingHole = groups[1].StartingHole, groups[1].StartingHole
	sheet := gameSheet(1)
	sheet.Groups = groups
	clash := games([]string{"ann"}, []string{"dan", "eve"}, []string{"ben"}, []string{"cat", "fay"})
	clash[3].StartingHole = clash[1].StartingHole
	decider.Check(t, []rule{
		{Rule: "a bye shares the start of a match", Source: "Committee Procedures 5F", Given: six, When: competition.PublishDraw{Method: "seeded", Groups: groups}, Then: given(sheet)},
		{Rule: "two matches do not", Source: "Committee Procedures 5F", Given: six, When: competition.PublishDraw{Method: "seeded", Groups: clash}, Refused: invalid("duplicate", "groups[3].time")},
	})
}
