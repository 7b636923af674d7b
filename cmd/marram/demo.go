package main

import (
	"context"
	"crypto/rand"
	"encoding/base64"
	"errors"
	"fmt"
	"io"
	"log/slog"
	mathrand "math/rand/v2"
	"net"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
	"marram.example/projections/scoring"
)

// DemoCmd plays an invented medal on an invented course, live.
type DemoCmd struct {
	Addr  string  `help:"Address to listen on; another free port is taken where this one is busy." default:"127.0.0.1:8080"`
	Speed float64 `help:"Minutes of golf in a minute of yours." default:"60"`
	Seed  uint64  `help:"Another seed plays another morning; the same seed the same one." default:"1"`
	Once  bool    `help:"Stop when the morning has been played, instead of serving on."`
	Keep  string  `help:"Keep the data in this folder instead of a temporary one." type:"path"`
}

// demo drives a running program as a club would.
type demo struct {
	commands *command.Service
	lines    *slog.Logger
	seed     uint64
	count    uint64
}

// committee is a request of the demo's committee; every one has its own id.
func (d *demo) committee() command.Request {
	d.count++
	return command.Request{
		Who:       command.Who{Role: events.RoleService, ID: "demo"},
		CommandID: fmt.Sprintf("demo-%d-%d", d.seed, d.count), CorrelationID: "demo",
	}
}

// as is a request by the holder of a card link.
func (d *demo) as(k command.CardView, role events.Role) command.Request {
	r := d.committee()
	r.Who = command.Who{Role: role, ID: k.State.EntryID, CardID: k.ID}
	return r
}

func (d *demo) enter(ctx context.Context, k command.CardView, role events.Role, in command.EnterScore) error {
	_, err := d.commands.EnterScore(ctx, d.as(k, role), k.ID, in)
	return err
}

// Run starts the program in a temporary folder and plays.
func (c *DemoCmd) Run(ctx context.Context, out io.Writer, lines *slog.Logger) error {
	if c.Speed <= 0 {
		return errors.New("--speed must be above 0")
	}
	folder, remove, err := c.folder()
	if err != nil {
		return err
	}
	defer remove()
	o := app.DefaultOptions()
	o.Addr, o.Data, o.ClubName, o.Logger = c.Addr, folder, demoClubName, lines
	a, err := startNear(ctx, o)
	if err != nil {
		return err
	}
	defer func() { _ = a.Stop(context.WithoutCancel(ctx)) }()

	d := &demo{commands: a.Commands, lines: lines, seed: c.Seed}
	password, err := d.account(ctx, a)
	if err != nil {
		return err
	}
	medal, day, from, err := d.stage(ctx, c.Seed)
	if err != nil {
		return fmt.Errorf("set the demo up: %w", err)
	}
	if err := d.play(ctx, before(day, from), from, c.Speed, func(int, int) {}); err != nil {
		return err
	}
	greet(out, a, medal, password, folder, c)
	err = d.play(ctx, day[len(before(day, from)):], from, c.Speed, progress(out))
	if err != nil && ctx.Err() == nil {
		return err
	}
	if ctx.Err() == nil && !c.Once {
		_, _ = fmt.Fprintln(out, "\nThe morning is over. One card differs, one is still out: sign in, settle them, close and publish. Ctrl-C ends the demo.")
		<-ctx.Done()
	}
	return nil
}

func (c *DemoCmd) folder() (string, func(), error) {
	if c.Keep != "" {
		return c.Keep, func() {}, nil
	}
	folder, err := os.MkdirTemp("", "marram-demo-")
	if err != nil {
		return "", nil, fmt.Errorf("make a temporary folder: %w", err)
	}
	return folder, func() { _ = os.RemoveAll(folder) }, nil
}

// startNear starts the program, on another free port where the wanted one is busy.
func startNear(ctx context.Context, o app.Options) (*app.App, error) {
	a, err := app.New(ctx, o)
	if err != nil {
		return nil, err
	}
	if err = a.Start(ctx); !errors.Is(err, syscall.EADDRINUSE) {
		return a, err
	}
	if err := a.Stop(ctx); err != nil {
		return nil, err
	}
	host, _, err := net.SplitHostPort(o.Addr)
	if err != nil {
		return nil, fmt.Errorf("--addr %s: %w", o.Addr, err)
	}
	o.Addr = net.JoinHostPort(host, "0")
	if a, err = app.New(ctx, o); err != nil {
		return nil, err
	}
	return a, a.Start(ctx)
}

const demoAccount = "committee"

// account makes the demo's committee account with a password of the moment.
func (d *demo) account(ctx context.Context, a *app.App) (string, error) {
	b := make([]byte, 12)
	if _, err := rand.Read(b); err != nil {
		return "", fmt.Errorf("draw a password: %w", err)
	}
	password := base64.RawURLEncoding.EncodeToString(b)
	return password, a.Auth.AddAccount(ctx, demoAccount, password)
}

// stage sets the club up: the course, sixty players, a midweek competition with
// its result, and the medal with its cards out. It returns the medal, its day,
// and the minute at which visitors arrive.
func (d *demo) stage(ctx context.Context, seed uint64) (string, []moment, float64, error) {
	rng := mathrand.New(mathrand.NewPCG(seed, 18))
	course, err := d.commands.DefineCourse(ctx, d.committee(), "", command.DefineCourse{Name: demoCourseName, Tees: demoTees()})
	if err != nil {
		return "", nil, 0, err
	}
	field := demoField(rng)
	today := time.Now()
	for _, p := range field {
		in := command.RegisterPlayer{
			MemberNo: p.memberNo, Name: p.name, IndexTenths: &p.index, Effective: today.AddDate(0, 0, -9).Format(time.DateOnly),
		}
		if _, err := d.commands.RegisterPlayer(ctx, d.committee(), in); err != nil {
			return "", nil, 0, err
		}
	}
	if err := d.midweek(ctx, course.ID, field[:24], today.AddDate(0, 0, -3), rng); err != nil {
		return "", nil, 0, err
	}
	terms := demoTerms("stroke_play", course.ID)
	medal, err := d.open(ctx, "Saturday Medal", today, terms, field)
	if err != nil {
		return "", nil, 0, err
	}
	day, err := d.schedule(ctx, medal, rng)
	if err != nil {
		return "", nil, 0, err
	}
	first, err := scoring.ParseClock(terms.Start.FirstTime)
	return medal, day, float64(first) + 75, err
}

func demoTerms(format, courseID string) events.Terms {
	t := command.PresetTerms(format)
	t.CourseID, t.Tees = courseID, []string{"White", "Yellow", "Red"}
	t.Start = events.StartTerms{Kind: "one_tee", FirstTime: "07:30", IntervalMinutes: 10, GroupSize: 3, EmptyIntervalAfter: 10}
	t.Divisions = []events.Division{
		{Name: "Division 1", FromTenths: -100, ToTenths: 129}, {Name: "Division 2", FromTenths: 130, ToTenths: 204},
		{Name: "Division 3", FromTenths: 205, ToTenths: 540},
	}
	t.Prizes = []events.Prize{
		{Name: "Best net", Ranking: "net", Places: 3}, {Name: "Best gross", Ranking: "gross", Places: 1},
		{Name: "Division 1", Ranking: "net", Division: "Division 1", Places: 1},
		{Name: "Division 2", Ranking: "net", Division: "Division 2", Places: 1},
		{Name: "Division 3", Ranking: "net", Division: "Division 3", Places: 1},
	}
	return t
}

// open plans a competition and brings it to the point where cards are out.
func (d *demo) open(ctx context.Context, name string, date time.Time, terms events.Terms, field []demoPlayer) (string, error) {
	planned, err := d.commands.Plan(ctx, d.committee(), "", command.PlanCompetition{Name: name, Date: date.Format(time.DateOnly)})
	if err != nil {
		return "", err
	}
	id := planned.ID
	if _, err := d.commands.SetTerms(ctx, d.committee(), id, terms); err != nil {
		return "", err
	}
	for _, p := range field {
		in := command.EnterPlayer{PlayerID: d.commands.PlayerID(p.memberNo), Tee: p.tee, IndexTenths: &p.index}
		if _, err := d.commands.Enter(ctx, d.committee(), id, in); err != nil {
			return "", err
		}
	}
	if _, err := d.commands.Draw(ctx, d.committee(), id, command.Draw{Method: "random", Seed: d.seed}); err != nil {
		return "", err
	}
	_, err = d.commands.OpenRound(ctx, d.committee(), id)
	return id, err
}

// midweek plays a Stableford from paper cards and publishes its result.
func (d *demo) midweek(ctx context.Context, courseID string, field []demoPlayer, date time.Time, rng *mathrand.Rand) error {
	id, err := d.open(ctx, "Midweek Stableford", date, demoTerms("stableford", courseID), field)
	if err != nil {
		return err
	}
	c, _, err := d.commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	out, err := d.commands.Cards(ctx, id, c)
	if err != nil {
		return err
	}
	for _, entry := range c.Order {
		if err := d.paperCard(ctx, out[entry], rng); err != nil {
			return err
		}
	}
	if _, err := d.commands.CloseRound(ctx, d.committee(), id, command.CloseRound{}); err != nil {
		return err
	}
	_, err = d.commands.Publish(ctx, d.committee(), id)
	return err
}

func (d *demo) paperCard(ctx context.Context, k command.CardView, rng *mathrand.Rand) error {
	in := command.EnterCard{Signed: true, Confirmed: true}
	form := rng.NormFloat64() * 0.12
	for _, h := range k.State.Holes {
		n := demoScore(rng, h.Par, h.Received, form)
		in.Scores = append(in.Scores, command.HoleEntry{Strokes: &n})
	}
	_, err := d.commands.EnterCard(ctx, d.committee(), k.ID, in)
	return err
}

// before are the moments up to a minute.
func before(day []moment, minute float64) []moment {
	n := 0
	for n < len(day) && day[n].minute <= minute {
		n++
	}
	return day[:n]
}

func greet(out io.Writer, a *app.App, medal, password, folder string, c *DemoCmd) {
	_, _ = fmt.Fprintf(out, `
An invented club plays its Saturday medal, %g minutes of golf in a minute.

  Board        %s/competitions/%s/board
  Start sheet  %s/competitions/%s/start-sheet
  Home         %s/
  Console      %s/desk      sign in as %q with password %q

  Data         %s
`, c.Speed, a.URL(), medal, a.URL(), medal, a.URL(), a.URL(), demoAccount, password, filepath.Clean(folder))
	if c.Keep == "" {
		_, _ = fmt.Fprintln(out, "               (temporary, removed at the end)")
	}
}

// progress writes one line a second at most.
func progress(out io.Writer) func(done, total int) {
	var last time.Time
	return func(done, total int) {
		if done < total && time.Since(last) < time.Second {
			return
		}
		last = time.Now()
		_, _ = fmt.Fprintf(out, "\r  %d of %d moments played ", done, total)
	}
}
