package command

import (
	"crypto/sha256"
	"encoding/base32"
	"fmt"
	"strings"
)

// Ids are derived from what they name, so that a repeat of the same command or
// the same file finds the same thing, without asking any read model.

var alphabet = base32.NewEncoding("0123456789abcdefghjkmnpqrstvwxyz").WithPadding(base32.NoPadding)

// shortID hashes parts to n characters of five bits each.
func shortID(n int, parts ...string) string {
	h := sha256.Sum256([]byte(strings.Join(parts, "\x00")))
	return alphabet.EncodeToString(h[:])[:n]
}

// PlayerID is the id of the player with a member number.
func (s *Service) PlayerID(memberNo string) string { return shortID(13, "player", s.club, memberNo) }

// CourseID is the id of the course with a name; case does not matter.
func (s *Service) CourseID(name string) string {
	return shortID(13, "course", s.club, strings.ToLower(strings.TrimSpace(name)))
}

// CompetitionID is the id of the competition that a command plans.
func (s *Service) CompetitionID(commandID string) string {
	return shortID(12, "competition", s.club, commandID)
}

// EntryID is the id of a player's entry in a competition.
func EntryID(competitionID, playerID string) string {
	return shortID(10, "entry", competitionID, playerID)
}

// CardID is the id of an entry's card. It names its competition, so that the
// stream of a card is found from its id alone.
func CardID(competitionID, entryID string, round int) string {
	return fmt.Sprintf("%s-%s-%d", competitionID, entryID, round)
}

// CompetitionOf is the competition that a card id names; empty where the id is
// not one of a card.
func CompetitionOf(cardID string) string {
	parts := strings.Split(cardID, "-")
	if len(parts) != 3 {
		return ""
	}
	return parts[0]
}
