package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"mime"
	"net/http"
	"regexp"
	"slices"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/events"
)

// bodyError says what went wrong while a body was read.
func bodyError(err error) error {
	var large *http.MaxBytesError
	if errors.As(err, &large) {
		return err
	}
	return &badRequestError{"body", "unreadable", "the body could not be read to its end"}
}

// contentType refuses a body of another kind than want.
func contentType(r *http.Request, want string) error {
	got, _, err := mime.ParseMediaType(r.Header.Get(echo.HeaderContentType))
	if err != nil || got != want {
		return echo.NewHTTPError(http.StatusUnsupportedMediaType, "send the body as "+want)
	}
	return nil
}

// embedded are the names of embedded types in the path to a field: Go's, not the API's.
var embedded = regexp.MustCompile(`\b[A-Z]\w*\.`)

var unknownField = regexp.MustCompile(`^json: unknown field "(.*)"$`)

// decode reads one JSON value strictly: no unknown field, nothing behind it. An
// empty body is an empty object.
func decode(r *http.Request, body []byte, into any) error {
	if len(bytes.TrimSpace(body)) == 0 {
		body = []byte("{}")
	} else if err := contentType(r, echo.MIMEApplicationJSON); err != nil {
		return err
	}
	d := json.NewDecoder(bytes.NewReader(body))
	d.DisallowUnknownFields()
	if err := d.Decode(into); err != nil {
		return jsonError(err, body)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return &badRequestError{"body", "malformed_json", "there is something behind the JSON value"}
	}
	return nil
}

// noTime finds the first field of a body that should hold a time and does not; empty
// for none, and where the body is no JSON. What decodes a time does not say which one
// it was. Fields that end in _at hold times.
func noTime(body []byte) string {
	var v any
	if json.Unmarshal(body, &v) != nil {
		return ""
	}
	return noTimeIn(v, "", 0)
}

// timesLieAbove is how deep a body is looked through for times.
const timesLieAbove = 8

func noTimeIn(v any, at string, deep int) string {
	if deep == timesLieAbove {
		return ""
	}
	switch v := v.(type) {
	case map[string]any:
		for _, name := range slices.Sorted(maps.Keys(v)) {
			if strings.HasSuffix(name, "_at") && v[name] != nil {
				text, isText := v[name].(string)
				if !isText || new(time.Time).UnmarshalText([]byte(text)) != nil {
					return strings.TrimPrefix(at+"."+name, ".")
				}
			}
			if found := noTimeIn(v[name], at+"."+name, deep+1); found != "" {
				return found
			}
		}
	case []any:
		for i, x := range v {
			if found := noTimeIn(x, fmt.Sprintf("%s[%d]", at, i), deep+1); found != "" {
				return found
			}
		}
	}
	return ""
}

func jsonError(err error, body []byte) error {
	var kind *json.UnmarshalTypeError
	if errors.As(err, &kind) {
		field := embedded.ReplaceAllString(kind.Field, "")
		if field == "" {
			field = "body"
		}
		return events.Invalid(field, "wrong_type", fmt.Sprintf("a JSON %s does not fit here", kind.Value))
	}
	if m := unknownField.FindStringSubmatch(err.Error()); m != nil {
		return events.Invalid(m[1], "unknown_field", "this field is not known here")
	}
	if at := noTime(body); at != "" {
		return events.Invalid(at, "malformed", "a time is written as in RFC 3339, for example 2031-05-03T09:12:44+02:00")
	}
	return &badRequestError{"body", "malformed_json", "the body is not well-formed JSON"}
}

// encodeJSON answers with a value. A content type that is set already stays.
func encodeJSON(c echo.Context, status int, v any) error {
	h := c.Response().Header()
	if h.Get(echo.HeaderContentType) == "" {
		h.Set(echo.HeaderContentType, echo.MIMEApplicationJSON)
	}
	c.Response().WriteHeader(status)
	if err := json.NewEncoder(c.Response()).Encode(v); err != nil {
		return fmt.Errorf("send the answer: %w", err)
	}
	return nil
}
