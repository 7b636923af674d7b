package api

import (
	"context"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"
)

// Health says whether the service works, part by part.
type Health struct {
	OK     bool    `json:"ok"`
	Checks []Check `json:"checks"`
}

// Check is one part.
type Check struct {
	Name string `json:"name"`
	OK   bool   `json:"ok"`
	Lag  uint64 `json:"lag"` // events behind the log
}

const healthTimeout = 2 * time.Second

// alive says that the process runs; it depends on nothing else.
func alive(c echo.Context) error {
	return encodeJSON(c, http.StatusOK, Health{OK: true, Checks: []Check{}})
}

// ready says whether this process should be asked. It should while the log
// answers and the boards follow: a read store that is down takes lists and names
// away, not scores, and shows among the checks.
func (a *API) ready(c echo.Context) error {
	ctx, cancel := context.WithTimeout(c.Request().Context(), healthTimeout)
	defer cancel()
	last, _, err := a.Log.Last(ctx)
	out := Health{Checks: []Check{{Name: "log", OK: err == nil}}}
	out.Checks = append(out.Checks, Check{Name: "read_store", OK: a.Store.Ping(ctx) == nil})
	trouble, _ := a.Runner.Trouble()
	for _, p := range []struct {
		name    string
		at      uint64
		trouble error
	}{
		{"read_models", uint64(a.Runner.Position()), trouble},
		{"boards", uint64(a.Boards.Position()), nil},
	} {
		lag := uint64(last) - min(p.at, uint64(last))
		out.Checks = append(out.Checks, Check{Name: p.name, OK: p.trouble == nil && lag <= a.MaxLag, Lag: lag})
	}
	out.OK = true
	for _, k := range out.Checks {
		out.OK = out.OK && (k.OK || k.Name == "read_store" || k.Name == "read_models")
	}
	if !out.OK {
		c.Response().Header().Set(echo.HeaderRetryAfter, "2")
		return encodeJSON(c, http.StatusServiceUnavailable, out)
	}
	return encodeJSON(c, http.StatusOK, out)
}
