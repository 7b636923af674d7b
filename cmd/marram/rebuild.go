package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"os"

	"marram.example/events"
)

// RebuildCmd drops the read models and replays the log.
type RebuildCmd struct {
	Place `embed:""`
	Dump  string `help:"Write the canonical dump of the read models to this file afterwards." type:"path"`
}

// Run rebuilds, with progress.
func (c *RebuildCmd) Run(ctx context.Context, out io.Writer, lines *slog.Logger) (err error) {
	a, err := c.open(ctx, lines)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, stop(ctx, a)) }()
	if err := a.Runner.Rebuild(ctx, share(out, "events replayed")); err != nil {
		return err
	}
	_, _ = fmt.Fprintln(out)
	if c.Dump == "" {
		return nil
	}
	f, err := os.Create(c.Dump)
	if err != nil {
		return fmt.Errorf("write the dump: %w", err)
	}
	if err := a.Runner.Dump(ctx, f); err != nil {
		_ = f.Close()
		return err
	}
	return f.Close()
}

// share draws progress on one line.
func share(out io.Writer, what string) func(done, total events.Position) {
	return func(done, total events.Position) {
		if total > 0 {
			_, _ = fmt.Fprintf(out, "\r  %d of %d %s (%d %%) ", done, total, what, 100*done/total)
		}
	}
}
