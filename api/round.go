package api

import (
	"context"

	"marram.example/api/command"
)

// suspend is why and how play is stopped.
type suspend struct {
	Kind   string `json:"kind"` // immediate or normal (Rules of Golf 5.7b)
	Reason string `json:"reason"`
}

func (a *API) openRound(ctx context.Context, w writing[nothing]) (command.Done, error) {
	return a.Commands.OpenRound(ctx, w.request, w.Param("competition"))
}

func (a *API) suspendRound(ctx context.Context, w writing[suspend]) (command.Done, error) {
	return a.Commands.Suspend(ctx, w.request, w.Param("competition"), w.in.Kind, w.in.Reason)
}

func (a *API) resumeRound(ctx context.Context, w writing[nothing]) (command.Done, error) {
	return a.Commands.Resume(ctx, w.request, w.Param("competition"))
}

func (a *API) closeRound(ctx context.Context, w writing[command.CloseRound]) (command.Done, error) {
	return a.Commands.CloseRound(ctx, w.request, w.Param("competition"), w.in)
}

func (a *API) makeCut(ctx context.Context, w writing[nothing]) (command.Done, error) {
	return a.Commands.MakeCut(ctx, w.request, w.Param("competition"))
}

func (a *API) excludeHole(ctx context.Context, w writing[command.HoleOut]) (command.Done, error) {
	return a.Commands.ExcludeHole(ctx, w.request, w.Param("competition"), w.in)
}

func (a *API) restoreHole(ctx context.Context, w writing[command.HoleOut]) (command.Done, error) {
	return a.Commands.RestoreHole(ctx, w.request, w.Param("competition"), w.in)
}

func (a *API) setConditions(ctx context.Context, w writing[command.SetConditions]) (command.Done, error) {
	return a.Commands.SetConditions(ctx, w.request, w.Param("competition"), w.in)
}
