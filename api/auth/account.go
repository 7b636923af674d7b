package auth

import (
	"cmp"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"marram.example/events"
	eventlog "marram.example/events/log"
)

// Account is one sign-in of the committee.
type Account struct {
	ID      string    `json:"id"`      // stands in events as the actor; says nothing about the person
	Name    string    `json:"name"`    // to sign in with, chosen by the committee
	Created time.Time `json:"created"` // UTC
}

// stored is an account as kept under its name.
type stored struct {
	Account
	Hash string `json:"hash"` // argon2id, with its parameters and salt
}

// Password rules: length alone (common practice, no source). The upper bound
// keeps the work for one hashing small.
const (
	MinPassword = 12  // characters
	MaxPassword = 200 // bytes
)

var accountName = regexp.MustCompile(`^[a-z0-9][a-z0-9._@-]{1,63}$`)

// cleanName is a sign-in name as it is kept: case and surrounding space do not matter.
func cleanName(name string) string { return strings.ToLower(strings.TrimSpace(name)) }

func checkAccount(name, password string) error {
	if !accountName.MatchString(name) {
		return events.Invalid("name", "malformed", "a sign-in name has 2 to 64 letters, digits, dots, hyphens, underscores or @, and begins with a letter or digit")
	}
	switch {
	case utf8.RuneCountInString(password) < MinPassword:
		return events.Invalid("password", "too_short", fmt.Sprintf("a password has at least %d characters", MinPassword))
	case len(password) > MaxPassword:
		return events.Invalid("password", "too_long", fmt.Sprintf("a password has at most %d bytes", MaxPassword))
	case cleanName(password) == name:
		return events.Invalid("password", "same_as_name", "the password must not be the name")
	}
	return nil
}

// AddAccount makes an account. It fails with an invalid *events.Error for a bad
// name or password, and the conflict account_exists for a name that is taken.
func (a *Auth) AddAccount(ctx context.Context, name, password string) error {
	name = cleanName(name)
	if err := checkAccount(name, password); err != nil {
		return err
	}
	hash, err := a.hash(ctx, password)
	if err != nil {
		return err
	}
	acc := stored{Account: Account{ID: strings.ToLower(rand.Text())[:13], Name: name, Created: a.now().UTC()}, Hash: hash}
	body, err := json.Marshal(acc)
	if err != nil {
		return fmt.Errorf("encode an account: %w", err)
	}
	err = a.accounts.Create(ctx, name, body)
	if errors.Is(err, eventlog.ErrKeyExists) {
		return events.Conflict("name", "account_exists", "there is an account of this name already")
	}
	if err != nil {
		return fmt.Errorf("keep an account: %w", err)
	}
	a.lines.Info("account added", "account", acc.ID)
	return nil
}

// ChangePassword gives an account another password and ends its sessions.
func (a *Auth) ChangePassword(ctx context.Context, name, password string) error {
	name = cleanName(name)
	if err := checkAccount(name, password); err != nil {
		return err
	}
	acc, ok, err := a.account(ctx, name)
	if err != nil {
		return err
	}
	if !ok {
		return events.NotFound("name", "there is no account of this name")
	}
	if acc.Hash, err = a.hash(ctx, password); err != nil {
		return err
	}
	body, err := json.Marshal(acc)
	if err != nil {
		return fmt.Errorf("encode an account: %w", err)
	}
	if err := a.accounts.Put(ctx, name, body); err != nil {
		return fmt.Errorf("keep an account: %w", err)
	}
	a.lines.Info("password changed", "account", acc.ID)
	return nil
}

// RemoveAccount ends an account and its sessions. The last one stays.
func (a *Auth) RemoveAccount(ctx context.Context, name string) error {
	name = cleanName(name)
	all, err := a.Accounts(ctx)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(all, func(x Account) bool { return x.Name == name }) {
		return events.NotFound("name", "there is no account of this name")
	}
	if len(all) == 1 {
		return events.NotNow("name", "last_account", "the last account cannot be removed; add another one first")
	}
	if err := a.accounts.Delete(ctx, name); err != nil {
		return fmt.Errorf("remove an account: %w", err)
	}
	a.lines.Info("account removed")
	return nil
}

// Accounts lists the accounts by name.
func (a *Auth) Accounts(ctx context.Context) ([]Account, error) {
	names, err := a.accounts.Keys(ctx)
	if err != nil {
		return nil, fmt.Errorf("list the accounts: %w", err)
	}
	out := make([]Account, 0, len(names))
	for _, name := range names {
		acc, ok, err := a.account(ctx, name)
		if err != nil {
			return nil, err
		}
		if ok {
			out = append(out, acc.Account)
		}
	}
	slices.SortFunc(out, func(x, y Account) int { return cmp.Compare(x.Name, y.Name) })
	return out, nil
}

// HasAccounts reports whether anybody can sign in yet.
func (a *Auth) HasAccounts(ctx context.Context) (bool, error) {
	names, err := a.accounts.Keys(ctx)
	if err != nil {
		return false, fmt.Errorf("list the accounts: %w", err)
	}
	return len(names) > 0, nil
}

func (a *Auth) account(ctx context.Context, name string) (acc stored, ok bool, err error) {
	body, err := a.accounts.Get(ctx, name)
	if errors.Is(err, eventlog.ErrNoKey) {
		return stored{}, false, nil
	}
	if err != nil {
		return stored{}, false, fmt.Errorf("read an account: %w", err)
	}
	if err := json.Unmarshal(body, &acc); err != nil {
		return stored{}, false, fmt.Errorf("decode an account: %w", err)
	}
	return acc, true, nil
}
