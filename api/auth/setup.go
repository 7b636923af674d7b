package auth

import (
	"context"
	"crypto/rand"
	"crypto/subtle"
	"errors"
	"fmt"

	"marram.example/events"
	eventlog "marram.example/events/log"
)

const setupKey = "token"

// SetupToken makes the one-time token with which the first account is made; the
// operator reads it from the start-up lines. An earlier one stops being valid.
// It fails with the not-now set_up where there is an account.
func (a *Auth) SetupToken(ctx context.Context) (string, error) {
	if err := a.notSetUp(ctx); err != nil {
		return "", err
	}
	token := rand.Text()
	if err := a.setup.Put(ctx, setupKey, []byte(digest(token))); err != nil {
		return "", fmt.Errorf("keep the setup token: %w", err)
	}
	return token, nil
}

// CheckSetup fails where a setup token is not, or no longer, the one that makes
// the first account. It does not use it up.
func (a *Auth) CheckSetup(ctx context.Context, token string) error {
	if err := a.notSetUp(ctx); err != nil {
		return err
	}
	refused := events.Forbidden("bad_setup_token", "this setup link is not valid; restart the service for a new one")
	want, err := a.setup.Get(ctx, setupKey)
	if errors.Is(err, eventlog.ErrNoKey) {
		return refused
	}
	if err != nil {
		return fmt.Errorf("read the setup token: %w", err)
	}
	if subtle.ConstantTimeCompare(want, []byte(digest(token))) != 1 {
		a.lines.Warn("refused", "wanted", "setup")
		return refused
	}
	return nil
}

// SetUp makes the first account and uses the token up, also where two try at once.
func (a *Auth) SetUp(ctx context.Context, token, name, password string) error {
	if err := a.CheckSetup(ctx, token); err != nil {
		return err
	}
	if err := checkAccount(cleanName(name), password); err != nil {
		return err
	}
	err := a.setup.Create(ctx, "used/"+digest(token), []byte(a.now().UTC().String()))
	if errors.Is(err, eventlog.ErrKeyExists) {
		return events.Forbidden("bad_setup_token", "this setup link was used already; restart the service for a new one")
	}
	if err != nil {
		return fmt.Errorf("use the setup token: %w", err)
	}
	if err := a.AddAccount(ctx, name, password); err != nil {
		return err
	}
	if err := a.setup.Delete(ctx, setupKey); err != nil {
		return fmt.Errorf("forget the setup token: %w", err)
	}
	return nil
}

func (a *Auth) notSetUp(ctx context.Context) error {
	has, err := a.HasAccounts(ctx)
	if err != nil {
		return err
	}
	if has {
		return events.NotNow("token", "set_up", "the service is set up already; sign in")
	}
	return nil
}
