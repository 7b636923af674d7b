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
type link struct {
	CardID     string      `json:"card_id"`
	Role       events.Role `json:"role"`
	Generation int         `json:"generation"`
}

const tokenBytes = 16 // 128 bits

// CardLink returns the token that opens a card for its player or its marker,
// making it valid where it is not yet.
func (s *Service) CardLink(ctx context.Context, cardID string, role events.Role) (string, error) {
	g, err := s.generation(ctx, cardID, role)
	if err != nil {
		return "", err
	}
	token, err := s.token(ctx, cardID, role, g)
	if err != nil {
		return "", err
	}
	body, err := json.Marshal(link{CardID: cardID, Role: role, Generation: g})
	if err != nil {
		return "", fmt.Errorf("encode a card link: %w", err)
	}
	if err := s.links.Create(ctx, hashToken(token), body); err != nil && !errors.Is(err, eventlog.ErrKeyExists) {
		return "", fmt.Errorf("keep a card link: %w", err)
	}
	return token, nil
}

// token derives the unguessable part of a card link.
func (s *Service) token(ctx context.Context, cardID string, role events.Role, generation int) (string, error) {
	key, err := s.ensureKey(ctx, "links")
	if err != nil {
		return "", err
	}
	m := hmac.New(sha256.New, key)
	_, _ = fmt.Fprintf(m, "%s\x00%s\x00%s\x00%d", s.club, cardID, role, generation) // a hash never fails to write
	return base64.RawURLEncoding.EncodeToString(m.Sum(nil)[:tokenBytes]), nil
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
	k, err := s.Card(ctx, l.CardID)
	if err != nil {
		return Who{}, err
	}
	who := Who{Role: l.Role, ID: k.State.EntryID, CardID: l.CardID}
	if l.Role == events.RoleMarker {
		who.ID = k.State.MarkerID
	}
	return who, nil
}

// RenewLink withdraws a card link and returns a fresh one.
func (s *Service) RenewLink(ctx context.Context, r Request, cardID string, role events.Role) (string, error) {
	if err := s.committee(r); err != nil {
		return "", err
	}
	if err := s.withdrawLink(ctx, cardID, role); err != nil {
		return "", err
	}
	return s.CardLink(ctx, cardID, role)
}

// withdrawLink makes a card link open nothing; the next one is another.
func (s *Service) withdrawLink(ctx context.Context, cardID string, role events.Role) error {
	g, err := s.generation(ctx, cardID, role)
	if err != nil {
		return err
	}
	old, err := s.token(ctx, cardID, role, g)
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
	if err := s.links.Delete(ctx, hashToken(old)); err != nil && !errors.Is(err, eventlog.ErrNoKey) {
		return fmt.Errorf("withdraw a card link: %w", err)
	}
	return nil
}
