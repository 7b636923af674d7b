package review

// Term is a word of the page and what is meant by it.
type Term struct {
	Key   string `json:"key"`
	Title string `json:"title"`
	Words string `json:"words"`
}

// Glossary says what the words of a review mean, for the page's "what is this". The
// keys are those of phases, areas, figures and classic measures where they name one.
func Glossary() []Term {
	return []Term{
		{"gained", "Strokes gained", "How much better a stroke was than expected. From where you stand a player needs so many strokes on average to hole out. " +
			"What your stroke took off that, less the stroke itself and any penalty, is what it gained; below 0 it lost. " +
			"On a hole the strokes add up to what was expected from the tee less your score."},
		{"baseline", "Compared with", "The table of average strokes by lie and distance. Matched: the published table of professionals, stretched so that a round adds up to " +
			"what your handicap averages, the course rating, the course handicap and about 3 strokes. It is derived, not published, and stretches every lie alike, which flatters putting a little."},
		{"level", "The rest of your own game", "The published table stretched until all of your logged strokes together gain nothing. " +
			"A part of the game then gains or loses against your other parts. Used where no handicap is known."},
		{"off_the_tee", "Off the tee", "Every stroke from the tee of a par 4 or longer, a second ball after out of bounds too."},
		{"approach", "Approach", "Every stroke from more than 50 yd (46 m) from the hole that is not off the tee; tee shots on par 3s at any length are here."},
		{"around_the_green", "Around the green", "Every stroke from 50 yd (46 m) to the hole or less, not from the green and not from a tee. " +
			"50 yd is a choice of ours: the distance to the edge of the green is not known."},
		{"putting", "Putting", "Every stroke from the green, with whatever club. A putter from the fringe is not putting."},
		{"penalty", "Penalty strokes", "They count with the stroke that incurred them, in its part of the game. A ball out of bounds has lost exactly 2."},
		{"areas", "Parts of the game", "Finer parts that can be practised by themselves. Every stroke is in exactly one, so that they add up to the total."},
		{"sure", "How sure", "Clear: with so few strokes, luck alone would look like this less than 1 time in 20, even after looking at every line of the list. " +
			"Likely: less than 1 time in 5. A hint only: luck alone could well look like this. " +
			"Too few strokes to say: fewer than 8. Counted: it happened, and nothing is inferred."},
		{"interval", "Between", "Where the true figure may lie were such rounds played on and on: 19 times in 20 where something is clear, 4 times in 5 otherwise. " +
			"One round does not know what kind of day it was, so it is too narrow rather than too wide."},
		{"usual", "Usual for you", "Your own earlier rounds, at least 5 of which two thirds of the holes are logged. A difference counts as more than chance only " +
			"where your rounds do not differ that much anyway."},
		{"field", "Against the field", "On each hole the average score of all who played it that day, you among them, less yours. It needs no strokes, only scores."},
		{"for_handicap", "For your handicap", "The same, against what a player of your handicap would have scored on that hole in that field; from 12 scores on."},
		{"strike", "Strike", "How well the ball was hit, poor, fair or good, whatever became of it."},
		{"good_enough", "Good enough", "You said that you can go on from where the ball finished. It is your own judgement, not a distance."},
		{"square", "Strike and outcome", "Four boxes: was the strike good, and was it good enough? A good strike that was not good enough points at the plan: target, club or luck. " +
			"A poor one that was good enough anyway is one that you can let go."},
		{"cost", "What poor strikes cost", "The average that good strikes gained less the average of poor ones, times the poor ones."},
		{"patterns", "Pattern", "Where strokes finish seen from their target. The middle is a median, so that one shank does not move it. " +
			"The ellipse holds about two thirds of the strokes; it is drawn from 8 strokes on."},
		{"one_sided", "One-sided", "Do misses go to one side more often than a coin would fall? Below 6 misses nobody can tell. That it is not clear never means that there is no lean."},
		{"corridor", "Corridor and aim", "Between two troubles that you described: how many of 20 strokes stay inside, and where to aim so that the fewest strokes are lost, " +
			"with allowance for what is not yet known of your pattern."},
		{"putts", "Putts by distance", "Putts tried and holed. The line beside them is what professionals hole: a picture of how hard the distance is, not a mark to reach."},
		{"commitment", "Commitment", "How committed you were before the stroke, 1 to 5. It is observed, not tried: where there is trouble one may be less committed and score less anyway."},
		{"routine", "Seconds logged", "From the intent entered to the strike confirmed on the phone. It holds the fumbling with the phone and is not the time over the ball."},
		{"fairways_hit", "Fairway hit", "Par 4 or longer: after the first stroke, without a penalty, the ball lies on the fairway or the green. The first cut is a miss."},
		{"greens", "Green in regulation", "On the green or holed with two strokes fewer than par or better, penalties included."},
		{"scrambles", "Scrambling", "A green missed in regulation, and still par or better."},
		{"sand_saves", "Sand save", "The first stroke from sand within 50 yd (46 m) of the hole: holed with it or with the next one. A second bunker stroke spoils it, whatever becomes of it."},
		{"bounce_back", "Bounce-back", "A hole under par straight after a hole over par."},
		{"plan", "Practise first", "What you lose most surely comes first: the smallest loss that the strokes still allow, not the largest they suggest. " +
			"Nothing is assumed about how much practice wins back. The aim is half of the loss; so many strokes show it 4 times in 5."},
		{"trend", "Trend", "A straight line through your rounds. From 5 rounds on, with its interval."},
	}
}
