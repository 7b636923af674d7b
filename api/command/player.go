package command

import (
	"context"
	"errors"

	"golang.org/x/sync/errgroup"

	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/events/player"
)

// RegisterPlayer states who plays, for the first time or again, with an index
// where one is known.
type RegisterPlayer struct {
	MemberNo    string             `json:"member_no"`
	Name        string             `json:"name"`
	IndexTenths *int               `json:"index_tenths"`
	Effective   string             `json:"effective"` // date of the index, YYYY-MM-DD; the day of recording where empty
	Origin      events.IndexOrigin `json:"origin"`    // official where empty
}

// RecordIndex records a handicap index.
type RecordIndex struct {
	IndexTenths int                `json:"index_tenths"`
	Effective   string             `json:"effective"`
	Origin      events.IndexOrigin `json:"origin"`
}

// RegisterPlayer is the use case of the same name.
func (s *Service) RegisterPlayer(ctx context.Context, r Request, in RegisterPlayer) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	step, err := s.playerStep(ctx, in)
	if err != nil {
		return unlessKnown(ctx, s, r, players, events.PlayerStream(s.club, s.PlayerID(in.MemberNo)), err)
	}
	return s.run(ctx, r, step)
}

// playerStep is the decision to register a player. A trial refuses before a key
// is made for somebody who is not registered in the end.
func (s *Service) playerStep(ctx context.Context, in RegisterPlayer) (eventlog.Step, error) {
	name, err := checkName(in.Name)
	if err != nil {
		return nil, err
	}
	id := s.PlayerID(in.MemberNo)
	stream := events.PlayerStream(s.club, id)
	have, _, err := eventlog.Load(ctx, s.log, players, stream)
	if err != nil {
		return nil, err
	}
	register := player.Register{MemberNo: in.MemberNo, Index: s.indexOf(in), Sealed: []byte{0}}
	if _, err := player.Decide(have, register); err != nil {
		return nil, err
	}
	same, err := s.named(ctx, id, have, name)
	if err != nil {
		return nil, err
	}
	register.Sealed = nil
	if !same {
		if register.Sealed, err = s.seal(ctx, id, events.Personal{Name: name}); err != nil {
			return nil, err
		}
	}
	return eventlog.Do(players, stream, player.Command(register)), nil
}

// indexOf is the index that a registration states, if any.
func (s *Service) indexOf(in RegisterPlayer) *player.RecordIndex {
	if in.IndexTenths == nil {
		return nil
	}
	x := player.RecordIndex{Tenths: *in.IndexTenths, Effective: in.Effective, Origin: in.Origin}
	if x.Effective == "" {
		x.Effective = s.now().UTC().Format("2006-01-02")
	}
	if x.Origin == "" {
		x.Origin = events.OriginOfficial
	}
	return &x
}

// named reports whether a player is registered under this very name.
func (s *Service) named(ctx context.Context, id string, have *player.State, name string) (bool, error) {
	if !have.Exists() || have.Erased {
		return false, nil
	}
	p, err := s.OpenPersonal(ctx, id, have.Sealed)
	if errors.Is(err, ErrErased) {
		return false, nil
	}
	return p.Name == name, err
}

// RecordIndex is the use case of the same name.
func (s *Service) RecordIndex(ctx context.Context, r Request, playerID string, in RecordIndex) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	c := player.RecordIndex{Tenths: in.IndexTenths, Effective: in.Effective, Origin: in.Origin}
	return s.run(ctx, r, eventlog.Do(players, events.PlayerStream(s.club, playerID), player.Command(c), r.expect()...))
}

// Leave says that a player left the club.
func (s *Service) Leave(ctx context.Context, r Request, playerID, reason string) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	return s.run(ctx, r, eventlog.Do(players, events.PlayerStream(s.club, playerID), player.Command(player.Leave{Reason: reason}), r.expect()...))
}

// Erase destroys the key to a player's personal data; scores stay. The fact is
// stored first: a repeat finishes what a crash between the two left undone.
func (s *Service) Erase(ctx context.Context, r Request, playerID, reason string) (Done, error) {
	if err := s.committee(r); err != nil {
		return Done{}, err
	}
	step := eventlog.Do(players, events.PlayerStream(s.club, playerID), player.Command(player.Erase{Reason: reason}), r.expect()...)
	done, err := s.run(ctx, r, step)
	if e := events.AsError(err); err != nil && (e == nil || e.Code != "player_erased") {
		return Done{}, err
	}
	if gone := s.keys.Delete(ctx, personalKey(playerID)); gone != nil && !errors.Is(gone, eventlog.ErrNoKey) {
		return Done{}, gone
	}
	return done, err
}

// Player reads a player from the log.
func (s *Service) Player(ctx context.Context, id string) (*player.State, events.Sequence, error) {
	p, v, err := eventlog.Load(ctx, s.log, players, events.PlayerStream(s.club, id))
	if err != nil {
		return nil, 0, err
	}
	if !p.Exists() {
		return nil, 0, events.NotFound("player_id", "no such player")
	}
	return p, v.Sequence, nil
}

// namesAtOnce is how many names are opened side by side: each asks for a key.
const namesAtOnce = 16

// Names opens the names of players from the log, so that a board can show them
// while the read store is down. Erased and unknown players are left out.
func (s *Service) Names(ctx context.Context, ids []string) (map[string]string, error) {
	found := make([]string, len(ids))
	all, ctx := errgroup.WithContext(ctx)
	all.SetLimit(namesAtOnce)
	for i, id := range ids {
		all.Go(func() (err error) {
			found[i], err = s.nameOf(ctx, id)
			return err
		})
	}
	if err := all.Wait(); err != nil {
		return nil, err
	}
	out := make(map[string]string, len(ids))
	for i, id := range ids {
		if found[i] != "" {
			out[id] = found[i]
		}
	}
	return out, nil
}

// nameOf is the name of a player, empty where there is none to show.
func (s *Service) nameOf(ctx context.Context, id string) (string, error) {
	p, _, err := s.Player(ctx, id)
	if e := events.AsError(err); e != nil && e.Kind == events.KindNotFound || err == nil && p.Erased {
		return "", nil
	}
	if err != nil {
		return "", err
	}
	personal, err := s.OpenPersonal(ctx, id, p.Sealed)
	if errors.Is(err, ErrErased) {
		return "", nil
	}
	return personal.Name, err
}
