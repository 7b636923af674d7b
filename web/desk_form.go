package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"

	"marram.example/api"
	"marram.example/api/command"
	"marram.example/events"
)

// Hidden fields of every form.
const (
	fieldKey     = "command" // idempotency key: the form sent twice has one effect
	fieldVersion = "version" // sequence of what the page was made from
)

// form is a form as it is shown: empty, filled with what stands, or as somebody
// typed it with what is wrong about it. Fields are named as the domain names them,
// so that a refusal finds its field.
type form struct {
	Key     string
	Version events.Sequence // 0 where the form does not depend on what stands
	Values  url.Values
	Now     url.Values      // what stands, where it changed since the page was made; else nil
	Refused []*events.Error // each beside its field and above the form
	Stale   bool            // something changed since the page was made
	Used    bool            // the same form was sent before with something else in it
	prefix  string          // of the fields' ids, where a page has several forms
}

// newForm is a form to be filled in.
func newForm(at events.Sequence, values url.Values) *form {
	if values == nil {
		values = url.Values{}
	}
	return &form{Key: uuid.NewString(), Version: at, Values: values}
}

// named gives the fields of a form ids of their own.
func (f *form) named(prefix string) *form {
	f.prefix = prefix
	return f
}

// errForm says that what was sent is not a form of ours.
var errForm = echo.NewHTTPError(http.StatusBadRequest, "not a form of this page")

// readForm reads what was sent.
func readForm(c echo.Context) (*form, error) {
	values, err := c.FormParams()
	if err != nil {
		var refused *echo.HTTPError
		if errors.As(err, &refused) { // too large
			return nil, refused
		}
		return nil, errForm.WithInternal(err)
	}
	f := &form{Key: values.Get(fieldKey), Values: values}
	if f.Key == "" || len(f.Key) > 100 {
		return nil, errForm
	}
	if v := values.Get(fieldVersion); v != "" {
		n, err := strconv.ParseUint(v, 10, 64)
		if err != nil {
			return nil, errForm.WithInternal(err)
		}
		f.Version = events.Sequence(n)
	}
	return f, nil
}

// request is what surrounds a use case that a form asks for.
func (w *Web) request(c echo.Context, f *form) command.Request {
	sum := sha256.Sum256([]byte(c.Request().URL.Path + "\n" + f.Values.Encode()))
	r := command.Request{
		Who: w.who(c), CommandID: "form-" + f.Key, Hash: hex.EncodeToString(sum[:]),
		CorrelationID: api.CorrelationID(c),
	}
	if f.Version > 0 {
		at := f.Version
		r.Expect = &at
	}
	return r
}

// personal is request for a form that names a person: no fingerprint of a name
// goes into an event, where it would outlive an erasure.
func (w *Web) personal(c echo.Context, f *form) command.Request {
	r := w.request(c, f)
	r.Hash = ""
	return r
}

// refuse keeps a refusal of the domain to be shown with the form, which then gets
// a fresh key. Any other error is handed back.
func (f *form) refuse(err error) error {
	e := events.AsError(err)
	if e == nil {
		return err
	}
	f.Key = uuid.NewString()
	switch e.Code {
	case "stale_sequence":
		f.Stale = true
	case "command_id_reused":
		f.Used = true
	default:
		f.Refused = append(f.Refused, e)
	}
	return nil
}

// again shows a refused form on what stands now, which was read at a version and
// would fill the form in these values.
func (f *form) again(at events.Sequence, now url.Values) {
	if (f.Stale || f.Used) && now != nil {
		f.Now = now
	}
	if f.Version > 0 || f.Stale {
		f.Version = at
	}
}

// Trouble reports whether the form was refused.
func (f *form) Trouble() bool { return f.Stale || f.Used || len(f.Refused) > 0 }

// Status is that of the answer.
func (f *form) Status() int {
	switch {
	case f.Stale:
		return http.StatusPreconditionFailed
	case f.Used:
		return http.StatusConflict
	case len(f.Refused) > 0:
		if f.Refused[0].Kind == events.KindInvalid || f.Refused[0].Kind == events.KindNotFound {
			return http.StatusUnprocessableEntity
		}
		return http.StatusConflict
	}
	return http.StatusOK
}

// V is the value of a field.
func (f *form) V(name string) string { return f.Values.Get(name) }

// Has reports whether a field has a value, such as a box that is ticked.
func (f *form) Has(name, value string) bool { return slices.Contains(f.Values[name], value) }

// ID is the id of a field.
func (f *form) ID(name string) string {
	return "f-" + f.prefix + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '_' {
			return r
		}
		return '-'
	}, name)
}

// Err is what is wrong with a field, or nil. What is wrong with a part of it is
// shown there too, unless that part has a field of its own.
func (f *form) Err(name string) *events.Error {
	for _, e := range f.Refused {
		if e.Field == name {
			return e
		}
	}
	return nil
}

// ErrIn is what is wrong with any part of a group of fields, or nil.
func (f *form) ErrIn(name string) *events.Error {
	for _, e := range f.Refused {
		if e.Field == name || strings.HasPrefix(e.Field, name+"[") || strings.HasPrefix(e.Field, name+".") {
			return e
		}
	}
	return nil
}

// Changed says what stands in a field now, where that is not what was typed.
func (f *form) Changed(name string) string {
	if f.Now == nil || slices.Equal(f.Now[name], f.Values[name]) || f.Now.Get(name) == f.Values.Get(name) && len(f.Now[name]) <= 1 {
		return ""
	}
	if now := strings.Join(f.Now[name], ", "); now != "" {
		return now
	}
	return "nothing"
}

// cells reads the fields of a form and collects what is wrong with them.
type cells struct {
	v    url.Values
	errs []*events.Error
}

// refused is the first thing wrong, or nil.
func (r *cells) refused(f *form) bool {
	if len(r.errs) == 0 {
		return false
	}
	f.Refused, f.Key = append(f.Refused, r.errs...), uuid.NewString()
	return true
}

func (r *cells) text(name string) string { return strings.TrimSpace(r.v.Get(name)) }
func (r *cells) ticked(name string) bool { return r.v.Get(name) != "" }
func (r *cells) wrong(e *events.Error)   { r.errs = append(r.errs, e) }

// whole reads a whole number; an empty field is ifEmpty.
func (r *cells) whole(name string, ifEmpty int) int {
	s := r.text(name)
	if s == "" {
		return ifEmpty
	}
	n, err := strconv.Atoi(s)
	if err != nil {
		r.wrong(events.Invalid(name, "malformed", fmt.Sprintf("%q is not a whole number", s)))
	}
	return n
}

// index reads a handicap index in tenths; nil where the field is empty.
func (r *cells) index(name string) *int {
	s := r.text(name)
	if s == "" {
		return nil
	}
	n, err := parseIndex(s)
	if err != nil {
		r.wrong(events.Invalid(name, "malformed", err.Error()))
		return nil
	}
	return &n
}
