package api

import (
	"context"
	"errors"
	"fmt"
	"math"
	"net/http"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/events"
	eventlog "marram.example/events/log"
	"marram.example/projections/board"
)

// Problem is what a refused request is answered with: problem details for HTTP
// APIs (RFC 9457) with members of our own.
type Problem struct {
	Type          string `json:"type"`            // urn:marram:problem:<name>: stable, see the table
	Title         string `json:"title"`           // the same for every problem of the type
	Status        int    `json:"status"`          // HTTP
	Detail        string `json:"detail"`          // a sentence for people
	Code          string `json:"code"`            // what exactly, for machines; more of them may come
	Field         string `json:"field,omitempty"` // at fault: of the body, the path, the query, or a header
	Rule          string `json:"rule,omitempty"`  // behind it, with its source
	CorrelationID string `json:"correlation_id"`  // to be told to the operator
	// Problems are the faults of a file that was refused, line by line;
	// MoreProblems counts those that are not listed.
	Problems     []command.ImportProblem `json:"problems,omitempty"`
	MoreProblems int                     `json:"more_problems,omitempty"`

	after time.Duration // when to try again; 0 where that is not known
}

// ContentTypeProblem is the media type of a Problem.
const ContentTypeProblem = "application/problem+json"

// problemURN begins every problem type.
const problemURN = "urn:marram:problem:"

// problemType is one line of the table.
type problemType struct {
	status int
	title  string
}

// problems is the one table from names of problem types to HTTP.
var problems = map[string]problemType{
	"malformed":              {http.StatusBadRequest, "The request cannot be read"},
	"unauthenticated":        {http.StatusUnauthorized, "Sign in or open a card link first"},
	"forbidden":              {http.StatusForbidden, "Not yours to do"},
	"not-found":              {http.StatusNotFound, "There is no such thing"},
	"method-not-allowed":     {http.StatusMethodNotAllowed, "Not possible here"},
	"conflict":               {http.StatusConflict, "Something else stands in the way"},
	"not-now":                {http.StatusConflict, "Not at this moment"},
	"stale":                  {http.StatusPreconditionFailed, "It has changed since you looked"},
	"too-large":              {http.StatusRequestEntityTooLarge, "The request is too large"},
	"unsupported-media-type": {http.StatusUnsupportedMediaType, "This kind of content is not read here"},
	"invalid":                {http.StatusUnprocessableEntity, "The input breaks a rule"},
	"too-many-requests":      {http.StatusTooManyRequests, "Too often"},
	"internal":               {http.StatusInternalServerError, "A mistake of ours"},
	"unavailable":            {http.StatusServiceUnavailable, "Not reachable at the moment"},
}

func problem(name, code, detail string) Problem {
	t := problems[name]
	return Problem{Type: problemURN + name, Title: t.title, Status: t.status, Code: code, Detail: detail}
}

// errReadStore says that a query of the read models failed.
var errReadStore = errors.New("read models unavailable")

// errBehind says that the read models did not reach min_sequence in time.
var errBehind = errors.New("read models are behind")

// badRequestError is a request that cannot be read: a header or the syntax of its body.
type badRequestError struct{ field, code, detail string }

func (e *badRequestError) Error() string { return e.field + ": " + e.detail }

const tryAgain = 2 * time.Second

// ProblemOf says how an error is answered. Text of errors that are not meant for
// people is never in it.
func (a *API) ProblemOf(c echo.Context, err error) Problem {
	p := a.problemOf(c, err)
	p.CorrelationID = CorrelationID(c)
	var file *command.ImportError
	if errors.As(err, &file) {
		p.Problems, p.MoreProblems = file.Report.Problems, file.Report.MoreProblems
	}
	return p
}

func (a *API) problemOf(c echo.Context, err error) Problem {
	var bad *badRequestError
	var many *auth.TooMany
	var large *http.MaxBytesError
	var he *echo.HTTPError
	switch {
	case events.AsError(err) != nil:
		return a.domainProblem(c, events.AsError(err))
	case errors.As(err, &bad):
		p := problem("malformed", bad.code, bad.detail)
		p.Field = bad.field
		return p
	case errors.As(err, &many):
		p := problem("too-many-requests", "too_many_tries", many.Detail)
		p.after = many.After
		return p
	case errors.As(err, &large):
		p := problem("too-large", "too_large", fmt.Sprintf("the body has more than %d bytes", large.Limit))
		p.Field = "body"
		return p
	case errors.Is(err, eventlog.ErrUnavailable), errors.Is(err, eventlog.ErrClosed):
		return unavailable("log_unavailable", "the event log does not answer; whether it was stored is unknown, so send the same request again with the same Idempotency-Key")
	case errors.Is(err, errReadStore):
		return unavailable("read_store_unavailable", "lists and names cannot be read at the moment; scores are accepted all the same")
	case errors.Is(err, errBehind):
		p := unavailable("read_models_behind", "what was written last cannot be read yet")
		p.Field = "min_sequence"
		return p
	case errors.Is(err, board.ErrClosed), errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return unavailable("interrupted", "the request was not finished; send it again with the same Idempotency-Key")
	case errors.As(err, &he):
		return httpProblem(he)
	}
	return problem("internal", "internal", "something went wrong on our side; tell the operator the correlation id")
}

func unavailable(code, detail string) Problem {
	p := problem("unavailable", code, detail)
	p.after = tryAgain
	return p
}

// domainProblem maps the one domain error.
func (a *API) domainProblem(c echo.Context, e *events.Error) Problem {
	name := "invalid"
	switch {
	case e.Code == "stale_sequence":
		name = "stale"
	case e.Code == "command_id_reused":
	case e.Kind == events.KindConflict:
		name = "conflict"
	case e.Kind == events.KindNotNow:
		name = "not-now"
	case e.Kind == events.KindForbidden:
		name = "forbidden"
		if e.Code != "cross_site" && a.anonymous(c) {
			name = "unauthenticated"
		}
	case e.Kind == events.KindNotFound && addressed(c, e.Field):
		name = "not-found"
	}
	p := problem(name, e.Code, e.Detail)
	p.Field, p.Rule = e.Field, e.Rule
	if name == "invalid" && e.Kind == events.KindNotFound {
		p.Code = "unknown"
	}
	return p
}

// addressed reports whether what was not found is what the address names; what
// only the body names is invalid input.
func addressed(c echo.Context, field string) bool {
	if field == "" {
		return true
	}
	name := strings.TrimSuffix(field, "_id")
	for _, p := range c.ParamNames() {
		if p == name {
			return true
		}
	}
	return false
}

// anonymous reports whether nobody has said who they are.
func (a *API) anonymous(c echo.Context) bool { return a.Auth.WhoOn(c, auth.Subject(c)).Role == "" }

// httpProblem maps what the router and its middleware refuse.
func httpProblem(he *echo.HTTPError) Problem {
	switch he.Code {
	case http.StatusNotFound:
		return problem("not-found", "no_route", "there is nothing at this address")
	case http.StatusMethodNotAllowed:
		return problem("method-not-allowed", "method_not_allowed", "this address does not take this method")
	case http.StatusRequestEntityTooLarge:
		return problem("too-large", "too_large", "the body is too large")
	case http.StatusUnsupportedMediaType:
		p := problem("unsupported-media-type", "unsupported_media_type", fmt.Sprint(he.Message))
		p.Field = echo.HeaderContentType
		return p
	case http.StatusServiceUnavailable:
		return unavailable("restarting", "the service is restarting; come back in a moment")
	case http.StatusBadRequest:
		return problem("malformed", "malformed", "the request cannot be read")
	}
	return problem("internal", "internal", "something went wrong on our side; tell the operator the correlation id")
}

// HandleError answers a request that ended with an error. It is the only place
// where errors become HTTP.
func (a *API) HandleError(err error, c echo.Context) {
	if c.Response().Committed {
		return
	}
	p := a.ProblemOf(c, err)
	if p.Status >= http.StatusInternalServerError {
		a.lines.Error("failed", "route", template(c), "status", p.Status, "correlation", p.CorrelationID, "error", err)
	}
	a.Metrics.refusal(c.Request().Method, p)
	h := c.Response().Header()
	h.Set(echo.HeaderCacheControl, "no-store")
	if p.after > 0 {
		h.Set(echo.HeaderRetryAfter, strconv.Itoa(int(math.Ceil(p.after.Seconds()))))
	}
	if p.Status == http.StatusUnauthorized {
		h.Set(echo.HeaderWWWAuthenticate, `Bearer realm="marram"`)
	}
	if err := a.answer(c, p); err != nil {
		a.lines.Warn("problem not sent", "route", template(c), "correlation", p.CorrelationID, "error", err)
	}
}

func (a *API) answer(c echo.Context, p Problem) error {
	if c.Request().Method == http.MethodHead {
		return c.NoContent(p.Status)
	}
	if a.page != nil && wantsPage(c.Request()) {
		return a.page(c, p)
	}
	c.Response().Header().Set(echo.HeaderContentType, ContentTypeProblem)
	return encodeJSON(c, p.Status, p)
}

// wantsPage reports whether a person looks at the answer.
func wantsPage(r *http.Request) bool {
	return !strings.HasPrefix(r.URL.Path, "/api/") && strings.Contains(r.Header.Get(echo.HeaderAccept), "text/html")
}
