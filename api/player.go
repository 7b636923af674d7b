package api

import (
	"context"
	"encoding/json"

	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
	"marram.example/projections/players"
)

// Player is a player, for the committee alone.
type Player struct {
	ID string `json:"player_id"`
	view
	MemberNo string        `json:"member_no"`
	Name     string        `json:"name"`    // empty once erased
	Indexes  []IndexRecord `json:"indexes"` // in the order recorded
	Left     bool          `json:"left"`
	Erased   bool          `json:"erased"`
}

// IndexRecord is a recorded handicap index.
type IndexRecord struct {
	IndexTenths int                `json:"index_tenths"` // plus handicaps negative
	Effective   string             `json:"effective"`    // date from which it counts
	Origin      events.IndexOrigin `json:"origin"`
}

func playerView(d players.Player) Player {
	out := Player{
		ID: d.ID, view: view{d.Sequence}, MemberNo: d.State.MemberNo, Name: d.State.Name, Left: d.State.Left, Erased: d.State.Erased,
		Indexes: make([]IndexRecord, len(d.State.Indexes)),
	}
	for i, x := range d.State.Indexes {
		out.Indexes[i] = IndexRecord{IndexTenths: x.Tenths, Effective: x.Effective, Origin: x.Origin}
	}
	return out
}

func listPlayers(ctx context.Context, r reading) (Page[Player], error) {
	if err := r.committee(); err != nil {
		return Page[Player]{}, err
	}
	limit, err := r.limit()
	if err != nil {
		return Page[Player]{}, err
	}
	found, next, err := r.api.Models.Players.List(ctx, r.QueryParam("search"), r.QueryParam("cursor"), limit)
	if err != nil {
		return Page[Player]{}, fromStore(err)
	}
	p := Page[Player]{Items: make([]Player, len(found)), Next: next}
	for i, d := range found {
		p.Items[i] = playerView(d)
	}
	return p, nil
}

func getPlayer(ctx context.Context, r reading) (Player, error) {
	if err := r.committee(); err != nil {
		return Player{}, err
	}
	d, err := r.api.Models.Players.Get(ctx, r.Param("player"))
	if err != nil {
		return Player{}, fromStore(err)
	}
	return playerView(*d), nil
}

func playerAt(_ echo.Context, d command.Done) string { return "/players/" + d.ID }

// indexField is what the deciders call the index of a player.
var indexField = map[string]string{"handicap_index": "index_tenths"}

func (a *API) addPlayer(ctx context.Context, w writing[command.RegisterPlayer]) (command.Done, error) {
	w.request.Hash = withoutName(w.Context, w.in)
	done, err := a.Commands.RegisterPlayer(ctx, w.request, w.in)
	return done, fieldAs(err, indexField)
}

// withoutName is the fingerprint of a registration: it stands in the log, where
// one of the name would let a guess be proved after the name was erased.
func withoutName(c echo.Context, in command.RegisterPlayer) string {
	in.Name = ""
	body, _ := json.Marshal(in) // plain fields: never fails
	return fingerprint(c.Request(), body)
}

func (a *API) recordIndex(ctx context.Context, w writing[command.RecordIndex]) (command.Done, error) {
	done, err := a.Commands.RecordIndex(ctx, w.request, w.Param("player"), w.in)
	return done, fieldAs(err, indexField)
}

// because is the input of a decision that only needs a reason.
type because struct {
	Reason string `json:"reason"`
}

func (a *API) erasePlayer(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.Erase(ctx, w.request, w.Param("player"), w.in.Reason)
}

func (a *API) playerLeaves(ctx context.Context, w writing[because]) (command.Done, error) {
	return a.Commands.Leave(ctx, w.request, w.Param("player"), w.in.Reason)
}
