package api

import (
	"context"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/netip"
	"regexp"
	"runtime/debug"
	"strings"
	"time"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
)

// HeaderCorrelation names the piece of work that a request belongs to. It is
// taken over from the client where it is well formed, and always answered.
const HeaderCorrelation = "X-Correlation-Id"

const correlationKey = "marram.correlation"

var correlation = regexp.MustCompile(`^[A-Za-z0-9._-]{1,128}$`)

// correlate gives every request its correlation id.
func correlate() echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			id := c.Request().Header.Get(HeaderCorrelation) //nolint:canonicalheader // as in openapi.yaml, and as Go writes it
			if !correlation.MatchString(id) {
				id = uuid.Must(uuid.NewV7()).String() // fails only without randomness
			}
			c.Set(correlationKey, id)
			c.Response().Header().Set(HeaderCorrelation, id) //nolint:canonicalheader // as above
			return next(c)
		}
	}
}

// CorrelationID is the id of the piece of work that a request belongs to.
func CorrelationID(c echo.Context) string {
	id, _ := c.Get(correlationKey).(string)
	return id
}

// template is the route of a request as registered: never its path, which may
// hold a secret or an id.
func template(c echo.Context) string {
	if p := c.Path(); p != "" {
		return p
	}
	return "unmatched"
}

// record writes one line a request and measures it. It lets the error handler
// answer first, so that the status is the one that was sent.
func (a *API) record() echo.MiddlewareFunc {
	return middleware.RequestLoggerWithConfig(middleware.RequestLoggerConfig{
		HandleError: true, LogStatus: true, LogLatency: true, LogMethod: true, LogResponseSize: true,
		LogValuesFunc: func(c echo.Context, v middleware.RequestLoggerValues) error {
			route := template(c)
			a.Metrics.request(v.Method, route, v.Status, v.Latency, c.Response().Header().Get(echo.HeaderContentType))
			level := slog.LevelInfo
			if v.Status >= http.StatusInternalServerError {
				level = slog.LevelError
			}
			a.lines.LogAttrs(context.WithoutCancel(c.Request().Context()), level, "request",
				slog.String("method", v.Method), slog.String("route", route), slog.Int("status", v.Status),
				slog.Duration("duration", v.Latency.Round(time.Microsecond)), slog.Int64("bytes", v.ResponseSize),
				slog.String("role", string(a.Auth.WhoOn(c, c.Param("card")).Role)), slog.String("correlation", CorrelationID(c)))
			return nil
		},
	})
}

// survive turns a panic into an internal problem.
func (a *API) survive() echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) (err error) {
			defer func() {
				r := recover()
				if r == nil {
					return
				}
				if r == http.ErrAbortHandler { //nolint:errorlint // net/http compares it so
					panic(r)
				}
				a.lines.Error("panic", "route", template(c), "correlation", CorrelationID(c), "panic", fmt.Sprint(r), "stack", string(debug.Stack()))
				err = fmt.Errorf("panic: %v", r)
			}()
			return next(c)
		}
	}
}

// contentSecurityPolicy lets a page load only what this service serves.
const contentSecurityPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; " +
	"font-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

const oneYear = "max-age=31536000"

// secureHeaders go with every answer. Referrers stay within the site, because
// the address of a card link is a secret.
func secureHeaders(secure bool) echo.MiddlewareFunc {
	return func(next echo.HandlerFunc) echo.HandlerFunc {
		return func(c echo.Context) error {
			h := c.Response().Header()
			h.Set(echo.HeaderContentSecurityPolicy, contentSecurityPolicy)
			h.Set(echo.HeaderXContentTypeOptions, "nosniff")
			h.Set(echo.HeaderReferrerPolicy, "same-origin")
			h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
			h.Set("Cross-Origin-Opener-Policy", "same-origin")
			h.Set("Cross-Origin-Resource-Policy", "same-origin")
			if secure {
				h.Set(echo.HeaderStrictTransportSecurity, oneYear)
			}
			return next(c)
		}
	}
}

// notStored keeps answers of the API out of every cache.
func notStored(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		if strings.HasPrefix(c.Request().URL.Path, Root+"/") {
			c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
		}
		return next(c)
	}
}

func ipNet(p netip.Prefix) *net.IPNet {
	p = p.Masked()
	return &net.IPNet{IP: p.Addr().AsSlice(), Mask: net.CIDRMask(p.Bits(), p.Addr().BitLen())}
}
