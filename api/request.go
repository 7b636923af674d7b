package api

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"net/http"
	"regexp"
	"strconv"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/api/auth"
	"marram.example/api/command"
	"marram.example/events"
)

// Headers of commands.
const (
	// HeaderIdempotencyKey is the id of a command: the same one sent twice has one
	// effect (after the IETF draft of this name).
	HeaderIdempotencyKey = "Idempotency-Key"
	// HeaderRecordedAt is the device's clock when something was entered that is
	// sent later (RFC 3339).
	HeaderRecordedAt = "Recorded-At"
	// HeaderRepeat says that a command had been carried out before; the answer is
	// that of the first time.
	HeaderRepeat = "Marram-Repeat"
)

// The largest bodies. Who holds a card link enters scores: everybody on the course
// does, and what they send is kept.
const (
	MaxBody       = 1 << 20
	MaxLinkBody   = 64 << 10
	MaxImportBody = 5 << 20
)

var idempotencyKey = regexp.MustCompile(`^[A-Za-z0-9._:~-]{8,128}$`)

// request is what surrounds the input of a use case, from the headers of a
// request: Idempotency-Key (required), If-Match, Recorded-At and the correlation
// id; the fingerprint covers method, address and body. It fails on a header that
// cannot be read and on a body of more than limit.
func request(c echo.Context, who *auth.Auth, limit int64) (command.Request, []byte, error) {
	out := command.Request{Who: who.WhoOn(c, auth.Subject(c)), CorrelationID: CorrelationID(c)}
	h := c.Request().Header
	var err error
	if out.CommandID, err = commandID(h); err != nil {
		return command.Request{}, nil, err
	}
	if out.Expect, err = ifMatch(h); err != nil {
		return command.Request{}, nil, err
	}
	if at := h.Get(HeaderRecordedAt); at != "" {
		if out.RecordedAt, err = time.Parse(time.RFC3339Nano, at); err != nil {
			return command.Request{}, nil, &badRequestError{HeaderRecordedAt, "malformed", "a time is written as in RFC 3339, for example 2031-05-03T09:12:44+02:00"}
		}
	}
	if out.Who.CardID != "" {
		limit = min(limit, MaxLinkBody)
	}
	body, err := readBody(c, limit)
	if err != nil {
		return command.Request{}, nil, err
	}
	out.Hash = fingerprint(c.Request(), body)
	return out, body, nil
}

func commandID(h http.Header) (string, error) {
	key := h.Get(HeaderIdempotencyKey)
	if key == "" {
		return "", &badRequestError{HeaderIdempotencyKey, "required", "a request that changes something has a key of its own, for example a UUID"}
	}
	if len(key) > 2 && key[0] == '"' && key[len(key)-1] == '"' {
		key = key[1 : len(key)-1] // as a string of RFC 9651
	}
	if !idempotencyKey.MatchString(key) {
		return "", &badRequestError{HeaderIdempotencyKey, "malformed", "a key has 8 to 128 letters, digits and . _ : ~ -"}
	}
	return key, nil
}

// ifMatch is the version that the client saw, or nil. "*" only asks that there is
// something, which every command asks anyway.
func ifMatch(h http.Header) (*events.Sequence, error) {
	v := strings.TrimSpace(h.Get("If-Match"))
	if v == "" || v == "*" {
		return nil, nil
	}
	n, err := strconv.ParseUint(strings.Trim(v, `"`), 10, 64)
	if err != nil || len(v) < 3 || v[0] != '"' || v[len(v)-1] != '"' {
		return nil, &badRequestError{"If-Match", "malformed", `If-Match is one version as the ETag gave it, for example "7"`}
	}
	seq := events.Sequence(n)
	return &seq, nil
}

// etag is a version as ETag and If-Match show it.
func etag(seq events.Sequence) string { return fmt.Sprintf(`"%d"`, uint64(seq)) }

// readBody reads the body and leaves it to be read again. It fails with
// *http.MaxBytesError.
func readBody(c echo.Context, limit int64) ([]byte, error) {
	r := c.Request()
	body, err := io.ReadAll(http.MaxBytesReader(c.Response(), r.Body, limit))
	if err != nil {
		return nil, bodyError(err)
	}
	r.Body = io.NopCloser(bytes.NewReader(body))
	return body, nil
}

// fingerprint tells a repeat of a request from another one with the same key.
func fingerprint(r *http.Request, body []byte) string {
	h := sha256.New()
	_, _ = fmt.Fprintf(h, "%s\n%s\n%s\n", r.Method, r.URL.EscapedPath(), r.URL.RawQuery) // a hash never fails to write
	_, _ = h.Write(body)
	return hex.EncodeToString(h.Sum(nil))
}
