package strokes

import "marram.example/events"

// codes are short forms of the words of a stroke, each in one place: a player's years
// are read at once, and most of a stroke is words. A word without a code, and every
// word that an older program wrote, stands as it is. A code never gets another meaning.
var codes = map[string]string{
	events.LieTee: "T", events.LieFairway: "F", events.LieRough: "R", events.LieSand: "S", events.LieRecovery: "X", events.LieGreen: "G", holedOut: "O",

	"left": "l", "right": "r", "at": "a", "on_line": "o", "short": "s", "long": "g", "level": "v",
	events.ShapeStraight: "n", events.ShapeDraw: "d", events.ShapeFade: "f",
	events.StrikePoor: "1", events.StrikeFair: "2", events.StrikeGood: "3",

	"driver": "d1", "putter": "pt", "pitching-wedge": "pw", "gap-wedge": "gw", "sand-wedge": "sw", "lob-wedge": "lw",
	"wood-2": "w2", "wood-3": "w3", "wood-4": "w4", "wood-5": "w5", "wood-7": "w7", "wood-9": "w9",
	"hybrid-2": "h2", "hybrid-3": "h3", "hybrid-4": "h4", "hybrid-5": "h5", "hybrid-6": "h6", "hybrid-7": "h7",
	"iron-1": "i1", "iron-2": "i2", "iron-3": "i3", "iron-4": "i4", "iron-5": "i5", "iron-6": "i6", "iron-7": "i7", "iron-8": "i8", "iron-9": "i9",
}

var words = func() map[string]string {
	out := make(map[string]string, len(codes))
	for word, code := range codes {
		out[code] = word
	}
	return out
}()

// coded is the short form of a word, or the word.
func coded(word string) string {
	if code, ok := codes[word]; ok {
		return code
	}
	return word
}

// decoded is the word of a short form.
func decoded(code string) string {
	if word, ok := words[code]; ok {
		return word
	}
	return code
}
