// Command marram runs a golf club's competitions: entries, draw, cards, live
// board and result, from an event log that keeps every score.
package main

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"os"
	"os/signal"
	"syscall"

	"github.com/alecthomas/kong"
)

// CLI is the command line.
type CLI struct {
	Serve   ServeCmd   `cmd:"" help:"Serve the club: pages, API and live boards."`
	Demo    DemoCmd    `cmd:"" help:"Play an invented Saturday medal, live, in a temporary folder."`
	Import  ImportCmd  `cmd:"" help:"Bring course, players, entries, cards, strokes or expected scores in from CSV files."`
	Rebuild RebuildCmd `cmd:"" help:"Drop the read models and replay the log into them."`
	Verify  VerifyCmd  `cmd:"" help:"Check log and read models against each other."`

	JSONLogs bool   `help:"Write log lines as JSON." env:"MARRAM_JSON_LOGS"`
	LogLevel string `help:"Least level of log lines that are written." enum:"debug,info,warn,error" default:"warn" env:"MARRAM_LOG_LEVEL"`
}

// logger is where log lines go: standard error, so that output can be piped.
func (c *CLI) logger() (*slog.Logger, error) {
	var level slog.Level
	if err := level.UnmarshalText([]byte(c.LogLevel)); err != nil {
		return nil, fmt.Errorf("--log-level: %w", err)
	}
	o := &slog.HandlerOptions{Level: level}
	if c.JSONLogs {
		return slog.New(slog.NewJSONHandler(os.Stderr, o)), nil
	}
	return slog.New(slog.NewTextHandler(os.Stderr, o)), nil
}

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], os.Stdout, os.Stderr))
}

// run parses the command line and does what it says; it returns the exit status.
func run(ctx context.Context, args []string, out, errs io.Writer) int {
	var cli CLI
	exit := -1
	parser, err := kong.New(&cli, kong.Name("marram"), kong.UsageOnError(), kong.Writers(out, errs),
		kong.Description("Competitions of a golf club, from the entry list to the result."),
		kong.Exit(func(code int) { exit = code }))
	if err != nil {
		_, _ = fmt.Fprintln(errs, "marram:", err)
		return 2
	}
	parsed, err := parser.Parse(args)
	if exit >= 0 {
		return exit // --help
	}
	if err != nil {
		_, _ = fmt.Fprintln(errs, "marram:", err)
		return 2
	}
	lines, err := cli.logger()
	if err != nil {
		_, _ = fmt.Fprintln(errs, "marram:", err)
		return 2
	}
	parsed.BindTo(ctx, (*context.Context)(nil))
	parsed.BindTo(out, (*io.Writer)(nil))
	if err := parsed.Run(lines); err != nil {
		_, _ = fmt.Fprintln(errs, "marram:", err)
		return 1
	}
	return 0
}
