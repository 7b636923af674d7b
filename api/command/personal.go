package command

import (
	"context"
	"crypto/aes"
	"crypto/cipher"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"marram.example/events"
	eventlog "marram.example/events/log"
)

// ErrErased says that the key to a player's personal data is gone.
var ErrErased = errors.New("personal data erased")

const keyBytes = 32

func personalKey(playerID string) string { return "player/" + playerID }

// seal encrypts personal data with the player's own key, making one for a new
// player. Events and backups hold only the sealed form.
func (s *Service) seal(ctx context.Context, playerID string, p any) ([]byte, error) {
	key, err := s.ensureKey(ctx, personalKey(playerID))
	if err != nil {
		return nil, err
	}
	return sealWith(key, playerID, p)
}

// sealKnown is seal for a registered player. It fails with ErrErased once the key is
// gone, and never makes another one.
func (s *Service) sealKnown(ctx context.Context, playerID string, p any) ([]byte, error) {
	key, err := s.keyOf(ctx, playerID)
	if err != nil {
		return nil, err
	}
	return sealWith(key, playerID, p)
}

func sealWith(key []byte, playerID string, p any) ([]byte, error) {
	box, err := box(key)
	if err != nil {
		return nil, err
	}
	plain, err := json.Marshal(p)
	if err != nil {
		return nil, fmt.Errorf("encode personal data: %w", err)
	}
	nonce := make([]byte, box.NonceSize())
	if _, err := rand.Read(nonce); err != nil {
		return nil, fmt.Errorf("draw a nonce: %w", err)
	}
	return box.Seal(nonce, nonce, plain, []byte(playerID)), nil
}

// OpenPersonal opens a player's name. It fails with ErrErased once the key is gone.
func (s *Service) OpenPersonal(ctx context.Context, playerID string, sealed []byte) (events.Personal, error) {
	return open[events.Personal](ctx, s, playerID, sealed)
}

// open decrypts what seal made. It fails with ErrErased once the key is gone.
func open[T any](ctx context.Context, s *Service, playerID string, sealed []byte) (T, error) {
	var p T
	key, err := s.keyOf(ctx, playerID)
	if err != nil {
		return p, err
	}
	return openWith[T](key, playerID, sealed)
}

// keyOf is the key to a player's personal data. It fails with ErrErased once the key
// is gone.
func (s *Service) keyOf(ctx context.Context, playerID string) ([]byte, error) {
	key, err := s.keys.Get(ctx, personalKey(playerID))
	if errors.Is(err, eventlog.ErrNoKey) {
		return nil, ErrErased
	}
	if err != nil {
		return nil, fmt.Errorf("read the key of player %s: %w", playerID, err)
	}
	return key, nil
}

func openWith[T any](key []byte, playerID string, sealed []byte) (T, error) {
	var p T
	box, err := box(key)
	if err != nil {
		return p, err
	}
	if len(sealed) < box.NonceSize() {
		return p, fmt.Errorf("personal data of player %s is damaged", playerID)
	}
	plain, err := box.Open(nil, sealed[:box.NonceSize()], sealed[box.NonceSize():], []byte(playerID))
	if err != nil {
		return p, fmt.Errorf("open personal data of player %s: %w", playerID, err)
	}
	if err := json.Unmarshal(plain, &p); err != nil {
		return p, fmt.Errorf("decode personal data of player %s: %w", playerID, err)
	}
	return p, nil
}

func box(key []byte) (cipher.AEAD, error) {
	block, err := aes.NewCipher(key)
	if err != nil {
		return nil, fmt.Errorf("use a key: %w", err)
	}
	gcm, err := cipher.NewGCM(block)
	if err != nil {
		return nil, fmt.Errorf("use a key: %w", err)
	}
	return gcm, nil
}

// ensureKey reads a key, or draws it where it does not exist yet; two who draw
// at once end up with the same one.
func (s *Service) ensureKey(ctx context.Context, name string) ([]byte, error) {
	key, err := s.keys.Get(ctx, name)
	if err == nil {
		return key, nil
	}
	if !errors.Is(err, eventlog.ErrNoKey) {
		return nil, fmt.Errorf("read a key: %w", err)
	}
	key = make([]byte, keyBytes)
	if _, err := rand.Read(key); err != nil {
		return nil, fmt.Errorf("draw a key: %w", err)
	}
	err = s.keys.Create(ctx, name, key)
	if errors.Is(err, eventlog.ErrKeyExists) {
		return s.keys.Get(ctx, name)
	}
	if err != nil {
		return nil, fmt.Errorf("keep a key: %w", err)
	}
	return key, nil
}

func checkName(name string) (string, error) {
	name = strings.Join(strings.Fields(name), " ")
	if name == "" || len(name) > 120 {
		return "", events.Invalid("name", "required", "a name has 1 to 120 characters")
	}
	return name, nil
}
