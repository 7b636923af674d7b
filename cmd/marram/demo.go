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
	"slices"
	"strings"
	"syscall"
	"time"

	"marram.example/api/command"
	"marram.example/cmd/marram/app"
	"marram.example/events"
	"marram.example/projections/handicap"
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
	rng      *mathrand.Rand
	course   string // id
	medal    string // id
	field    []demoPlayer
	loggers  []demoPlayer          // who log their strokes
	golfers  map[string]demoGolfer // how they play, by player
	review   string                // path that opens the last card that was logged and handed in
	coach    string                // path that a coach of three players' reviews opens, one after the other
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
	_, _ = fmt.Fprintln(out, "Setting up an invented club with ten weeks behind it ...")
	if err := d.stage(ctx); err != nil {
		return fmt.Errorf("set the demo up: %w", err)
	}
	greet(out, a, d, password, folder, c)
	if err := d.day(ctx, c.Speed, progress(out)); err != nil && ctx.Err() == nil {
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

// stage sets the club up as far as a first board needs: the course, sixty
// players, what three of them have behind them, and a medal with its cards out.
func (d *demo) stage(ctx context.Context) error {
	d.rng = mathrand.New(mathrand.NewPCG(d.seed, 18))
	course, err := d.commands.DefineCourse(ctx, d.committee(), "", command.DefineCourse{Name: demoCourseName, Tees: demoTees()})
	if err != nil {
		return err
	}
	d.course, d.field = course.ID, demoField(d.rng)
	var players strings.Builder
	players.WriteString("member_no,name,handicap_index,index_date\n")
	for _, p := range d.field {
		_, _ = fmt.Fprintf(&players, "%s,%s,%s,%s\n", p.memberNo, p.name, handicap.Index(p.index), time.Now().AddDate(0, 0, -100).Format(time.DateOnly))
	}
	files := []command.ImportFile{{Name: "players", Kind: "players", Body: strings.NewReader(players.String())}}
	if _, err := d.commands.ImportFiles(ctx, d.committee(), "", files, false); err != nil {
		return err
	}
	if err := d.mornings(ctx); err != nil {
		return fmt.Errorf("play the mornings before: %w", err)
	}
	d.medal, err = d.open(ctx, "Morning Medal", time.Now(), demoTerms("stroke_play", d.course), d.field, "as_entered")
	return err
}

// underWay is how many minutes of the morning are played as fast as they go, so
// that a visitor finds something to look at.
const underWay = 75

// day plays the medal; first, while nobody looks yet, last Wednesday's
// competition with its result.
func (d *demo) day(ctx context.Context, speed float64, told func(done, total int)) error {
	moments, err := d.schedule(ctx, d.medal, d.rng)
	if err != nil {
		return err
	}
	wednesday := time.Now().AddDate(0, 0, -1)
	for wednesday.Weekday() != time.Wednesday {
		wednesday = wednesday.AddDate(0, 0, -1)
	}
	now := moments[0].minute + underWay
	early := before(moments, now)
	if err := d.play(ctx, early, now, speed, func(int, int) {}); err != nil {
		return err
	}
	if err := d.midweek(ctx, wednesday); err != nil {
		return err
	}
	if err := d.calendar(ctx, wednesday); err != nil {
		return err
	}
	return d.play(ctx, moments[len(early):], now, speed, told)
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

// open plans a competition and brings it to the point where cards are out, or
// matches arranged. Neighbours in the field are a side where the terms have sides.
func (d *demo) open(ctx context.Context, name string, date time.Time, terms events.Terms, field []demoPlayer, method string) (string, error) {
	planned, err := d.commands.Plan(ctx, d.committee(), "", command.PlanCompetition{Name: name, Date: date.Format(time.DateOnly)})
	if err != nil {
		return "", err
	}
	id := planned.ID
	if _, err := d.commands.SetTerms(ctx, d.committee(), id, terms); err != nil {
		return "", err
	}
	var entries strings.Builder
	entries.WriteString("member_no,tee,partners\n")
	for side := range slices.Chunk(field, terms.Players()) {
		var partners []string
		for _, p := range side[1:] {
			partners = append(partners, p.memberNo+":"+p.tee)
		}
		_, _ = fmt.Fprintf(&entries, "%s,%s,%s\n", side[0].memberNo, side[0].tee, strings.Join(partners, " "))
	}
	files := []command.ImportFile{{Name: "entries", Kind: "entries", Body: strings.NewReader(entries.String())}}
	if _, err := d.commands.ImportFiles(ctx, d.committee(), id, files, false); err != nil {
		return "", err
	}
	if _, err := d.commands.Draw(ctx, d.committee(), id, command.Draw{Method: method, Seed: d.seed}); err != nil {
		return "", err
	}
	_, err = d.commands.OpenRound(ctx, d.committee(), id)
	return id, err
}

// midweek plays a Stableford from paper cards and publishes its result.
func (d *demo) midweek(ctx context.Context, date time.Time) error {
	id, err := d.open(ctx, "Midweek Stableford", date, demoTerms("stableford", d.course), d.field[:24], "random")
	if err != nil {
		return err
	}
	return d.publishFromPaper(ctx, id)
}

// publishFromPaper types every card in, closes the round and publishes.
func (d *demo) publishFromPaper(ctx context.Context, id string) error {
	c, _, err := d.commands.Competition(ctx, id)
	if err != nil {
		return err
	}
	out, err := d.commands.Cards(ctx, id, c, c.Round)
	if err != nil {
		return err
	}
	for _, entry := range c.Order {
		if err := d.paperCard(ctx, out[entry]); err != nil {
			return err
		}
	}
	if _, err := d.commands.CloseRound(ctx, d.committee(), id, command.CloseRound{}); err != nil {
		return err
	}
	_, err = d.commands.Publish(ctx, d.committee(), id)
	return err
}

func (d *demo) paperCard(ctx context.Context, k command.CardView) error {
	in := command.EnterCard{Signed: true, Confirmed: true}
	for ball := range k.State.Balls() {
		form := d.rng.NormFloat64() * 0.12
		var scores []command.HoleEntry
		for _, h := range k.State.Lines(ball) {
			n := demoScore(d.rng, h.Par, h.Received, form)
			scores = append(scores, command.HoleEntry{Strokes: &n})
		}
		if ball == 0 {
			in.Scores = scores
		} else {
			in.Partners = append(in.Partners, scores)
		}
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

func greet(out io.Writer, a *app.App, d *demo, password, folder string, c *DemoCmd) {
	_, _ = fmt.Fprintf(out, `
An invented club plays its medal, %g minutes of golf in a minute.

  Board        %s/competitions/%s/board
  Start sheet  %s/competitions/%s/start-sheet
  Home         %s/
  Console      %s/desk      sign in as %q with password %q
  Review       %s%s      a player's phone, after the round
  Coach        %s%s      who may read that player's reviews

  Data         %s
`, c.Speed, a.URL(), d.medal, a.URL(), d.medal, a.URL(), a.URL(), demoAccount, password, a.URL(), d.review, a.URL(), d.coach, filepath.Clean(folder))
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
