package main

import (
	"bytes"
	"cmp"
	"context"
	"crypto/rand"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"os"
	"slices"
	"strings"
	"time"

	"marram.example/api/command"
	"marram.example/api/csvfile"
)

// sendWithin bounds one file on its way to a server.
const sendWithin = 5 * time.Minute

// remote is a running server.
type remote struct {
	url, token string
	client     *http.Client
}

// send imports the files through a server, one after the other and course
// before players before entries before cards; it stops at the first refusal.
func (c *ImportCmd) send(ctx context.Context, out io.Writer, files []csvFile) error {
	s, err := c.remote()
	if err != nil {
		return err
	}
	competition := ""
	if c.Competition != "" {
		all, err := s.planned(ctx)
		if err != nil {
			return err
		}
		if competition, err = pick(all, c.Competition); err != nil {
			return err
		}
	}
	var order []string
	for _, t := range csvfile.Tables() {
		order = append(order, t.Name)
	}
	slices.SortStableFunc(files, func(a, b csvFile) int {
		return cmp.Compare(slices.Index(order, string(a.kind)), slices.Index(order, string(b.kind)))
	})
	changed := false
	for n, f := range files {
		report, err := s.post(ctx, f, competition, c.DryRun)
		if err != nil {
			return fmt.Errorf("%s: %w", f.name, err)
		}
		printReport(out, report)
		if len(report.Problems) > 0 {
			if n > 0 && !c.DryRun {
				return fmt.Errorf("%s was refused; the files before it are imported", f.name)
			}
			return errRefused
		}
		changed = changed || changes(report)
	}
	printOutcome(out, c.DryRun, changed)
	return nil
}

func (c *ImportCmd) remote() (*remote, error) {
	u, err := url.Parse(c.Server)
	if err != nil || u.Host == "" || u.Scheme != "http" && u.Scheme != "https" || u.User != nil {
		return nil, errors.New("--server is an address such as https://medal.example, without a name or password in it")
	}
	if c.TokenFile == "" {
		return nil, errors.New("--server needs --token-file: a file with the token that POST /api/v1/sessions answers to a committee account")
	}
	b, err := os.ReadFile(c.TokenFile)
	if err != nil {
		return nil, fmt.Errorf("read the token: %w", err)
	}
	token := strings.TrimSpace(string(b))
	if token == "" {
		return nil, fmt.Errorf("%s holds no token", c.TokenFile)
	}
	return &remote{url: strings.TrimRight(c.Server, "/"), token: token, client: &http.Client{Timeout: sendWithin}}, nil
}

// refusedBy is what a server answers instead of a report.
type refusedBy struct {
	Title        string                  `json:"title"`
	Detail       string                  `json:"detail"`
	Field        string                  `json:"field"`
	Problems     []command.ImportProblem `json:"problems"`
	MoreProblems int                     `json:"more_problems"`
}

// do asks the server and decodes its answer, or gives what it refused with.
func (s *remote) do(ctx context.Context, method, path string, body []byte, into any) (*refusedBy, error) {
	r, err := http.NewRequestWithContext(ctx, method, s.url+path, bytes.NewReader(body))
	if err != nil {
		return nil, fmt.Errorf("ask the server: %w", err)
	}
	r.Header.Set("Authorization", "Bearer "+s.token)
	if method == http.MethodPost {
		r.Header.Set("Content-Type", "text/csv")
		r.Header.Set("Idempotency-Key", "import-"+rand.Text())
	}
	res, err := s.client.Do(r)
	if err != nil {
		return nil, fmt.Errorf("reach the server: %w", err)
	}
	defer func() { _ = res.Body.Close() }()
	const most = 16 << 20
	answer, err := io.ReadAll(io.LimitReader(res.Body, most))
	if err != nil {
		return nil, fmt.Errorf("read the server's answer: %w", err)
	}
	if res.StatusCode == http.StatusOK {
		if err := json.Unmarshal(answer, into); err != nil {
			return nil, fmt.Errorf("read the server's answer: %w", err)
		}
		return nil, nil
	}
	var no refusedBy
	if err := json.Unmarshal(answer, &no); err != nil || no.Detail == "" {
		return nil, fmt.Errorf("the server answers with status %d", res.StatusCode)
	}
	return &no, nil
}

func (no *refusedBy) err() error {
	return fmt.Errorf("the server refuses: %s: %s", strings.ToLower(no.Title), no.Detail)
}

// post sends one file. Problems of the file come back in its report.
func (s *remote) post(ctx context.Context, f csvFile, competition string, dry bool) (command.ImportReport, error) {
	q := url.Values{}
	if competition != "" && f.kind.OfCompetition() {
		q.Set("competition", competition)
	}
	if dry {
		q.Set("dry_run", "true")
	}
	report := command.ImportReport{Kind: f.kind}
	no, err := s.do(ctx, http.MethodPost, "/api/v1/imports/"+string(f.kind)+"?"+q.Encode(), f.data, &report)
	if err == nil && no != nil {
		report.Problems, report.MoreProblems = no.Problems, no.MoreProblems
		if len(no.Problems) == 0 {
			err = no.err()
		}
	}
	report.Name = f.name
	return report, err
}

// planned lists the competitions of the server.
func (s *remote) planned(ctx context.Context) ([]plannedCompetition, error) {
	var out []plannedCompetition
	for cursor := ""; ; {
		var page struct {
			Items []struct {
				ID   string `json:"competition_id"`
				Name string `json:"name"`
				Date string `json:"date"`
			} `json:"items"`
			Next string `json:"next"`
		}
		q := url.Values{}
		if cursor != "" {
			q.Set("cursor", cursor)
		}
		no, err := s.do(ctx, http.MethodGet, "/api/v1/competitions?"+q.Encode(), nil, &page)
		if err != nil {
			return nil, err
		}
		if no != nil {
			return nil, no.err()
		}
		for _, p := range page.Items {
			out = append(out, plannedCompetition{id: p.ID, name: p.Name, date: p.Date})
		}
		if page.Next == "" || page.Next == cursor {
			return out, nil
		}
		cursor = page.Next
	}
}
