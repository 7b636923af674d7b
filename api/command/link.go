package command

import (
	"context"
	"crypto/hmac"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"

	"marram.example/events"
	eventlog "marram.example/events/log"
)

// link is what a token opens. Only the hash of the token is stored; the token is
// derived from a key of the club, so that a start sheet can be printed again
// without any token being kept.
//
// A link is made out to one entry in one capacity, in one generation: whoever no
// longer keeps a card, however that came about, holds a link that opens nothing.
type link struct {
	CardID     string      `json:"card_id"` // or the match
	Role       events.Role `json:"role"`
	Holder     string      `json:"holder"` // entry: the player's own, or the marker's
	Generation int         `json:"generation"`
	PlayerID   string      `json:"player_id,omitempty"` // of a share: whose reviews it opens, in place of a card
}

const tokenBytes = 16 // 128 bits

// linkToMatch is the link that is valid now for a side of a match.
func (s *Service) linkToMatch(ctx context.Context, matchID, holder string) (link, error) {
	m, err := s.Match(ctx, matchID)
	if err != nil {
		return link{}, err
	}
	if a := m.State.Arranged; holder != a.A.EntryID && holder != a.B.EntryID {
		return link{}, events.NotFound("entry_id", "this entry does not play the match")
	}
	out := link{CardID: matchID, Role: events.RolePlayer, Holder: holder}
	out.Generation, err = s.generation(ctx, matchID+"/"+holder, events.RolePlayer)
	return out, err
}

// linkTo is the link that is valid now for a card in a capacity.
func (s *Service) linkTo(ctx context.Context, cardID string, role events.Role) (link, error) {
	k, err := s.Card(ctx, cardID)
	if err != nil {
		return link{}, err
	}
	out := link{CardID: cardID, Role: role, Holder: k.State.EntryID}
	if role == events.RoleMarker {
		out.Holder = k.State.MarkerID
	}
	out.Generation, err = s.generation(ctx, cardID, role)
	return out, err
}

// CardLink returns the token that opens a card for its player or its marker,
// making it valid where it is not yet.
func (s *Service) CardLink(ctx context.Context, cardID string, role events.Role) (string, error) {
	l, err := s.linkTo(ctx, cardID, role)
	if err != nil {
		return "", err
	}
	return s.keepLink(ctx, l)
}

// MatchLink returns the token that opens a match for the players of an entry.
func (s *Service) MatchLink(ctx context.Context, matchID, entryID string) (string, error) {
	l, err := s.linkToMatch(ctx, matchID, entryID)
	if err != nil {
		return "", err
	}
	return s.keepLink(ctx, l)
}

func (s *Service) keepLink(ctx context.Context, l link) (string, error) {
	body, err := json.Marshal(l)
	if err != nil {
		return "", fmt.Errorf("encode a card link: %w", err)
	}
	key, err := s.ensureKey(ctx, "links")
	if err != nil {
		return "", err
	}
	token := l.token(s.club, key)
	if err := s.links.Create(ctx, hashToken(token), body); err != nil && !errors.Is(err, eventlog.ErrKeyExists) {
		return "", fmt.Errorf("keep a card link: %w", err)
	}
	return token, nil
}

// token derives the unguessable part of a link.
func (l link) token(club string, key []byte) string {
	m := hmac.New(sha256.New, key)
	// A card and a player never stand in for one another: the role says which it is.
	_, _ = fmt.Fprintf(m, "%s\x00%s\x00%s\x00%s\x00%d", club, l.CardID+l.PlayerID, l.Role, l.Holder, l.Generation) // a hash never fails to write
	return base64.RawURLEncoding.EncodeToString(m.Sum(nil)[:tokenBytes])
}

func hashToken(token string) string {
	h := sha256.Sum256([]byte(token))
	return hex.EncodeToString(h[:])
}

func generationKey(cardID string, role events.Role) string {
	return "generation/" + cardID + "/" + string(role)
}

func (s *Service) generation(ctx context.Context, cardID string, role events.Role) (int, error) {
	b, err := s.links.Get(ctx, generationKey(cardID, role))
	if errors.Is(err, eventlog.ErrNoKey) {
		return 0, nil
	}
	if err != nil {
		return 0, fmt.Errorf("read a card link: %w", err)
	}
	var g int
	if err := json.Unmarshal(b, &g); err != nil {
		return 0, fmt.Errorf("decode a card link: %w", err)
	}
	return g, nil
}

// OpenLink says what a token opens. Whatever it does not open is refused alike.
func (s *Service) OpenLink(ctx context.Context, token string) (Who, error) {
	refused := events.Forbidden("bad_link", "this card link is not valid; ask the committee for a new one")
	b, err := s.links.Get(ctx, hashToken(token))
	if errors.Is(err, eventlog.ErrNoKey) {
		s.lines.Warn("refused", "wanted", "card link")
		return Who{}, refused
	}
	if err != nil {
		return Who{}, fmt.Errorf("read a card link: %w", err)
	}
	var l link
	if err := json.Unmarshal(b, &l); err != nil {
		return Who{}, fmt.Errorf("decode a card link: %w", err)
	}
	now, err := s.linkNow(ctx, l)
	if err != nil {
		return Who{}, err
	}
	if l != now {
		s.lines.Warn("refused", "wanted", "card link", "card", l.CardID, "player", l.PlayerID)
		return Who{}, refused
	}
	return Who{Role: l.Role, ID: l.Holder, CardID: l.CardID, PlayerID: l.PlayerID}, nil
}

// linkNow is the link that is valid now in the place of one that was handed out.
func (s *Service) linkNow(ctx context.Context, l link) (link, error) {
	switch {
	case l.Role == events.RoleCoach:
		return s.linkToReviews(ctx, l.PlayerID, l.Holder)
	case IsMatchID(l.CardID):
		return s.linkToMatch(ctx, l.CardID, l.Holder)
	default:
		return s.linkTo(ctx, l.CardID, l.Role)
	}
}

// linkToReviews is the link of a share, as long as the share stands; else one that
// opens nothing.
func (s *Service) linkToReviews(ctx context.Context, playerID, shareID string) (link, error) {
	p, _, err := s.Player(ctx, playerID)
	if err != nil {
		return link{}, err
	}
	if _, stands := p.Share(shareID); !stands || p.Erased {
		return link{}, nil
	}
	return link{Role: events.RoleCoach, Holder: shareID, PlayerID: playerID}, nil
}

// RenewLink withdraws a card link and returns a fresh one.
func (s *Service) RenewLink(ctx context.Context, r Request, cardID string, role events.Role) (string, error) {
	if err := s.committee(r); err != nil {
		return "", err
	}
	if err := s.renew(ctx, cardID, role); err != nil {
		return "", err
	}
	return s.CardLink(ctx, cardID, role)
}

// RenewMatchLink withdraws the link of a side of a match and returns a fresh one.
func (s *Service) RenewMatchLink(ctx context.Context, r Request, matchID, entryID string) (string, error) {
	if err := s.committee(r); err != nil {
		return "", err
	}
	if _, err := s.linkToMatch(ctx, matchID, entryID); err != nil {
		return "", err
	}
	if err := s.renew(ctx, matchID+"/"+entryID, events.RolePlayer); err != nil {
		return "", err
	}
	return s.MatchLink(ctx, matchID, entryID)
}

// renew makes every link of a generation open nothing.
func (s *Service) renew(ctx context.Context, cardID string, role events.Role) error {
	g, err := s.generation(ctx, cardID, role)
	if err != nil {
		return err
	}
	next, err := json.Marshal(g + 1)
	if err != nil {
		return fmt.Errorf("encode a card link: %w", err)
	}
	if err := s.links.Put(ctx, generationKey(cardID, role), next); err != nil {
		return fmt.Errorf("renew a card link: %w", err)
	}
	return nil
}
