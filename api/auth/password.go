package auth

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"time"

	"github.com/alexedwards/argon2id"
)

// maxHashings bounds memory and processor that sign-ins take from scoring:
// 19 MiB each.
const maxHashings = 2

// hashPatience is how long a sign-in waits for its turn.
const hashPatience = 5 * time.Second

// hashParams are 19 MiB, 2 passes, 1 lane (OWASP Password Storage Cheat Sheet,
// as quoted by others).
func hashParams() *argon2id.Params {
	return &argon2id.Params{Memory: 19 * 1024, Iterations: 2, Parallelism: 1, SaltLength: 16, KeyLength: 32}
}

// turn waits for one of the places to hash in; the caller gives it back.
func (a *Auth) turn(ctx context.Context) (func(), error) {
	wait := time.NewTimer(hashPatience)
	defer wait.Stop()
	select {
	case a.hashing <- struct{}{}:
		return func() { <-a.hashing }, nil
	case <-wait.C:
		return nil, &TooMany{After: hashPatience, Detail: "too many people sign in at once; try again in a moment"}
	case <-ctx.Done():
		return nil, fmt.Errorf("wait to sign in: %w", ctx.Err())
	}
}

func (a *Auth) hash(ctx context.Context, password string) (string, error) {
	done, err := a.turn(ctx)
	if err != nil {
		return "", err
	}
	defer done()
	h, err := argon2id.CreateHash(password, hashParams())
	if err != nil {
		return "", fmt.Errorf("hash a password: %w", err)
	}
	return h, nil
}

// matches compares in a time that does not depend on where they differ.
func (a *Auth) matches(ctx context.Context, password, hash string) (bool, error) {
	done, err := a.turn(ctx)
	if err != nil {
		return false, err
	}
	defer done()
	ok, err := argon2id.ComparePasswordAndHash(password, hash)
	if err != nil {
		return false, fmt.Errorf("compare a password: %w", err)
	}
	return ok, nil
}

// digest is what is kept of a secret that is random enough to need no slow hash.
func digest(secret string) string {
	h := sha256.Sum256([]byte(secret))
	return hex.EncodeToString(h[:])
}
