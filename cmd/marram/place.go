package main

import (
	"context"
	"fmt"
	"log/slog"
	"os"
	"path/filepath"
	"time"

	"marram.example/cmd/marram/app"
)

// Place are the settings that say where a club's data lies; every subcommand
// that opens it has them. Flags come before environment, environment before
// default.
type Place struct {
	Data        string `help:"Folder of the event log and the read models." default:"marram-data" type:"path" env:"MARRAM_DATA"`
	Club        string `help:"Short name of the club: letters, digits, hyphens." default:"club" env:"MARRAM_CLUB"`
	NATSURL     string `help:"Remote NATS for the event log, instead of the embedded one." name:"nats-url" env:"MARRAM_NATS_URL"`
	Replicas    int    `help:"Replicas of the stream on a remote NATS." default:"1" env:"MARRAM_REPLICAS"`
	DatabaseURL string `help:"PostgreSQL for the read models, instead of SQLite in the folder." name:"database-url" env:"MARRAM_DATABASE_URL"`
}

func (p Place) options(lines *slog.Logger) app.Options {
	o := app.DefaultOptions()
	o.Data, o.Club, o.NATSURL, o.Replicas, o.DatabaseURL, o.Logger = p.Data, p.Club, p.NATSURL, p.Replicas, p.DatabaseURL, lines
	return o
}

// mustExist refuses a folder without a log: a mistyped one must not look like a
// club that lost everything.
func (p Place) mustExist() error {
	if p.NATSURL != "" {
		return nil
	}
	if _, err := os.Stat(filepath.Join(p.Data, "log")); err != nil {
		return fmt.Errorf("there is no event log in %s; --data names the folder that marram serve was given", p.Data)
	}
	return nil
}

// open makes the program on a club that is there, without starting it.
func (p Place) open(ctx context.Context, lines *slog.Logger) (*app.App, error) {
	if err := p.mustExist(); err != nil {
		return nil, err
	}
	return app.New(ctx, p.options(lines))
}

func location(name string) (*time.Location, error) {
	if name == "" {
		return time.Local, nil
	}
	return time.LoadLocation(name)
}
