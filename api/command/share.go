package command

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/events/player"
)

// The longest words about reviews, in characters.
const (
	MostFor  = 80   // for whom a share is
	MostNote = 2000 // of a coach
)

// ShareReview lets somebody read the reviews of a player's rounds.
type ShareReview struct {
	For string `json:"for"` // in the player's words: who it is
}

// AddNote keeps a coach's note for a player.
type AddNote struct {
	Text   string `json:"text"`
	CardID string `json:"card_id"` // the round it is about; empty for all of them
}

// Share is one share as its player sees it.
type Share struct {
	ID        string `json:"share_id"`
	For       string `json:"for"`
	Token     string `json:"token"` // a secret; empty once withdrawn
	Path      string `json:"path"`  // of the page that the token opens; empty once withdrawn
	Withdrawn bool   `json:"withdrawn"`
}

// Note is a note in the clear.
type Note struct {
	ID      string `json:"note_id"`
	ShareID string `json:"share_id"` // whose it is
	By      string `json:"by"`       // for whom the player says that share is
	CardID  string `json:"card_id"`  // the round it is about; empty for all of them
	Text    string `json:"text"`
	Own     bool   `json:"own"` // written by who asks
}

// ShareReview is the use case of the same name, by the player's link of a card that
// the player plays alone. The answer names the share; Shares gives its link.
func (s *Service) ShareReview(ctx context.Context, r Request, cardID string, in ShareReview) (Done, error) {
	playerID, err := s.alone(ctx, r.Who, cardID)
	if err != nil {
		return Done{}, s.told(r, err)
	}
	id := shortID(13, "share", playerID, r.CommandID)
	done, err := s.onPlayer(ctx, r, playerID, func() (player.Command, error) {
		label, err := words("for", in.For, MostFor, false)
		if err != nil {
			return nil, err
		}
		sealed, err := s.sealFor(ctx, playerID, events.ShareLabel{For: label})
		return player.ShareReview{ShareID: id, Sealed: sealed}, err
	})
	done.ID = id
	return done, err
}

// WithdrawShare makes the link of a share open nothing any more.
func (s *Service) WithdrawShare(ctx context.Context, r Request, cardID, shareID string) (Done, error) {
	playerID, err := s.alone(ctx, r.Who, cardID)
	if err != nil {
		return Done{}, s.told(r, err)
	}
	done, err := s.onPlayer(ctx, r, playerID, func() (player.Command, error) { return player.WithdrawShare{ShareID: shareID}, nil })
	done.ID = shareID
	return done, err
}

// Shares lists the shares of a player in the order granted, with their links, for
// the player's link of a card that the player plays alone.
func (s *Service) Shares(ctx context.Context, who Who, cardID string) ([]Share, error) {
	playerID, err := s.alone(ctx, who, cardID)
	if err != nil {
		return nil, err
	}
	p, _, err := s.Player(ctx, playerID)
	if err != nil {
		return nil, err
	}
	out := make([]Share, 0, len(p.Shares))
	for _, x := range p.Shares {
		one := Share{ID: x.ID, Withdrawn: x.Withdrawn}
		label, err := opened[events.ShareLabel](ctx, s, playerID, x.Sealed)
		if err != nil {
			return nil, err
		}
		one.For = label.For
		if !x.Withdrawn {
			if one.Token, err = s.keepLink(ctx, link{Role: events.RoleCoach, Holder: x.ID, PlayerID: playerID}); err != nil {
				return nil, err
			}
			one.Path = "/r/" + one.Token
		}
		out = append(out, one)
	}
	return out, nil
}

// AddNote is the use case of the same name, for a coach.
func (s *Service) AddNote(ctx context.Context, r Request, playerID string, in AddNote) (Done, error) {
	if r.Who.Role != events.RoleCoach || r.Who.PlayerID != playerID {
		return Done{}, s.refuse(r, "a coach's")
	}
	id := shortID(13, "note", playerID, r.Who.ID, r.CommandID)
	done, err := s.onPlayer(ctx, r, playerID, func() (player.Command, error) {
		text, err := words("text", in.Text, MostNote, true)
		if err != nil {
			return nil, err
		}
		if err := s.roundOf(ctx, playerID, in.CardID); err != nil {
			return nil, err
		}
		sealed, err := s.sealFor(ctx, playerID, events.NoteText{Text: text})
		return player.AddNote{NoteID: id, ShareID: r.Who.ID, CardID: in.CardID, Sealed: sealed}, err
	})
	done.ID = id
	return done, err
}

// RemoveNote takes a note off: its writer does, or the player.
func (s *Service) RemoveNote(ctx context.Context, r Request, playerID, noteID string) (Done, error) {
	if err := s.MayReview(ctx, r.Who, playerID); err != nil {
		return Done{}, s.told(r, err)
	}
	share := ""
	if r.Who.Role == events.RoleCoach {
		share = r.Who.ID
	}
	done, err := s.onPlayer(ctx, r, playerID, func() (player.Command, error) { return player.RemoveNote{NoteID: noteID, ShareID: share}, nil })
	done.ID = noteID
	return done, err
}

// Notes lists the notes of a player in the order written: all of them for the
// player, a coach's own for the coach.
func (s *Service) Notes(ctx context.Context, who Who, playerID string) ([]Note, error) {
	if err := s.MayReview(ctx, who, playerID); err != nil {
		return nil, err
	}
	p, _, err := s.Player(ctx, playerID)
	if err != nil {
		return nil, err
	}
	by := map[string]string{}
	for _, x := range p.Shares {
		label, err := opened[events.ShareLabel](ctx, s, playerID, x.Sealed)
		if err != nil {
			return nil, err
		}
		by[x.ID] = label.For
	}
	out := []Note{}
	for _, x := range p.Notes {
		own := who.Role == events.RoleCoach && x.ShareID == who.ID
		if who.Role == events.RoleCoach && !own {
			continue
		}
		text, err := opened[events.NoteText](ctx, s, playerID, x.Sealed)
		if err != nil {
			return nil, err
		}
		out = append(out, Note{ID: x.ID, ShareID: x.ShareID, By: by[x.ShareID], CardID: x.CardID, Text: text.Text, Own: own})
	}
	return out, nil
}

// MayReview refuses who may not read the reviews of a player: that player may, by a
// card that he or she plays alone, and a coach to whom they are shared. The committee
// may not.
func (s *Service) MayReview(ctx context.Context, who Who, playerID string) error {
	refused := events.Forbidden("forbidden", "only the player reads these reviews, and whom the player shares them with")
	switch who.Role {
	case events.RoleCoach:
		if who.PlayerID == playerID {
			return nil
		}
	case events.RolePlayer:
		own, err := s.alone(ctx, who, who.CardID)
		if err != nil && events.AsError(err) == nil {
			return err
		}
		if err == nil && own == playerID {
			return nil
		}
	}
	return refused
}

// alone is the player whose link of a card somebody holds, where that player plays
// the card alone: a link of a side is the side's.
func (s *Service) alone(ctx context.Context, who Who, cardID string) (string, error) {
	if who.Role != events.RolePlayer || who.CardID != cardID || CompetitionOf(cardID) == "" {
		return "", events.Forbidden("forbidden", "this needs the player's link of the card")
	}
	k, err := s.Card(ctx, cardID)
	if err != nil {
		return "", err
	}
	players := k.State.Players()
	if len(players) != 1 {
		return "", events.Forbidden("side", "the link of this card is a side's; open one that you play alone")
	}
	return players[0], nil
}

// told says in the log lines that somebody was refused, and passes the refusal on.
func (s *Service) told(r Request, err error) error {
	if e := events.AsError(err); e != nil && e.Kind == events.KindForbidden {
		s.lines.Warn("refused", "role", string(r.Who.Role), "id", r.Who.ID, "wanted", "the player's", "correlation", r.CorrelationID)
	}
	return err
}

// onPlayer decides on a player's shares and notes.
func (s *Service) onPlayer(ctx context.Context, r Request, playerID string, decide func() (player.Command, error)) (Done, error) {
	stream := events.PlayerStream(s.club, playerID)
	c, err := decide()
	if err != nil {
		return unlessKnown(ctx, s, r, players, stream, err)
	}
	return s.run(ctx, r, eventlog.Do(players, stream, c, r.expect()...))
}

// roundOf makes sure that a card is one that the player plays alone; none is fine.
func (s *Service) roundOf(ctx context.Context, playerID, cardID string) error {
	if cardID == "" {
		return nil
	}
	unknown := events.Invalid("card_id", "unknown", "this player has no such round")
	k, err := s.Card(ctx, cardID)
	if e := events.AsError(err); e != nil && e.Kind == events.KindNotFound {
		return unknown
	}
	if err != nil {
		return err
	}
	if players := k.State.Players(); len(players) != 1 || players[0] != playerID {
		return unknown
	}
	return nil
}

// sealFor is sealKnown with the refusal that people read.
func (s *Service) sealFor(ctx context.Context, playerID string, p any) ([]byte, error) {
	sealed, err := s.sealKnown(ctx, playerID, p)
	if errors.Is(err, ErrErased) {
		return nil, events.NotNow("player_id", "player_erased", "this player's personal data was erased; no words can be kept")
	}
	return sealed, err
}

// opened is open, with nothing for what was erased.
func opened[T any](ctx context.Context, s *Service, playerID string, sealed []byte) (T, error) {
	v, err := open[T](ctx, s, playerID, sealed)
	if errors.Is(err, ErrErased) {
		return v, nil
	}
	return v, err
}

// words are free words as they are kept: of at most so many characters, on one line
// unless lines are allowed, without what cannot be seen.
func words(field, text string, most int, lines bool) (string, error) {
	out, err := tidy(field, text, most, lines)
	if err == nil && out == "" {
		err = events.Invalid(field, "required", "say it in a word or more")
	}
	return out, err
}

// tidy is words where there may be none.
func tidy(field, text string, most int, lines bool) (string, error) {
	if lines {
		text = strings.TrimSpace(strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(text))
	} else {
		text = strings.Join(strings.Fields(text), " ")
	}
	if !utf8.ValidString(text) || strings.ContainsFunc(text, func(c rune) bool { return unicode.IsControl(c) && c != '\n' && c != '\t' }) {
		return "", events.Invalid(field, "control_character", "this holds a character that cannot be seen")
	}
	if utf8.RuneCountInString(text) > most {
		return "", events.Invalid(field, "too_long", fmt.Sprintf("at most %d characters", most))
	}
	return text, nil
}
