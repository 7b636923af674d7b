package api

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"mime"
	"net/http"
	"regexp"

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
		return jsonError(err)
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return &badRequestError{"body", "malformed_json", "there is something behind the JSON value"}
	}
	return nil
}

func jsonError(err error) error {
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
