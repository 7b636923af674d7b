package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"strings"
)

// VerifyCmd checks the log by itself, then the read models against it.
type VerifyCmd struct {
	Place `embed:""`
}

// errDiffers ends the command with a status other than 0.
var errDiffers = errors.New("not everything is as it should be; see above")

// Run verifies, with progress, and says what differs.
func (c *VerifyCmd) Run(ctx context.Context, out io.Writer, lines *slog.Logger) (err error) {
	a, err := c.open(ctx, lines)
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, stop(ctx, a)) }()
	report, err := a.Log.Verify(ctx, share(out, "events read"))
	if err != nil {
		return err
	}
	_, _ = fmt.Fprintf(out, "\nLog: %d events in %d streams", report.Last, report.Streams)
	for _, p := range report.Problems {
		_, _ = fmt.Fprintf(out, "\n  %v", p)
	}
	diffs, err := a.Runner.Verify(ctx, share(out, "events replayed"))
	if err != nil {
		return err
	}
	_, _ = fmt.Fprintf(out, "\nRead models: %d rows differ from a replay of the log\n", len(diffs))
	for _, d := range diffs {
		_, _ = fmt.Fprintf(out, "  %s %s\n    stored %s\n    replay %s\n", d.Table, strings.Join(d.Key, " "), orNone(d.Stored), orNone(d.Replay))
	}
	if !report.Sound() || len(diffs) > 0 {
		return errDiffers
	}
	return nil
}

func orNone(line string) string {
	if line == "" {
		return "(no row)"
	}
	return line
}
