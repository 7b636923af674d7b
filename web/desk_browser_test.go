package web_test

import (
	"bytes"
	"io"
	"mime/multipart"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"golang.org/x/net/html"
)

// visitor is a browser without script: it follows links and sends forms with the
// fields that the page has, as a person changed them.
type visitor struct {
	t      testing.TB
	base   string
	client *http.Client
	at     string // address of the page
	status int
	text   string // the page as sent
	page   *html.Node
}

func newVisitor(t testing.TB, base string) *visitor {
	t.Helper()
	jar, err := cookiejar.New(nil)
	require.NoError(t, err)
	return &visitor{t: t, base: base, client: &http.Client{Jar: jar}}
}

func (v *visitor) take(r *http.Response, err error) *visitor {
	v.t.Helper()
	require.NoError(v.t, err)
	defer func() { _ = r.Body.Close() }()
	b, err := io.ReadAll(r.Body)
	require.NoError(v.t, err)
	v.at, v.status, v.text = r.Request.URL.RequestURI(), r.StatusCode, string(b)
	v.page, err = html.ParseWithOptions(strings.NewReader(v.text), html.ParseOptionEnableScripting(false))
	require.NoError(v.t, err)
	return v
}

// open looks at a page.
func (v *visitor) open(path string) *visitor {
	v.t.Helper()
	v.take(v.client.Get(v.base + path))
	return v
}

// reads makes sure that a page is there.
func (v *visitor) reads(path string) *visitor {
	v.t.Helper()
	v.open(path)
	require.Equal(v.t, http.StatusOK, v.status, "%s\n%s", path, v.words())
	return v
}

func attr(n *html.Node, key string) string {
	for _, a := range n.Attr {
		if a.Key == key {
			return a.Val
		}
	}
	return ""
}

func has(n *html.Node, key string) bool {
	return slices.ContainsFunc(n.Attr, func(a html.Attribute) bool { return a.Key == key })
}

func each(n *html.Node, visit func(*html.Node)) {
	visit(n)
	for c := n.FirstChild; c != nil; c = c.NextSibling {
		each(c, visit)
	}
}

func all(n *html.Node, tag string) []*html.Node {
	var out []*html.Node
	each(n, func(x *html.Node) {
		if x.Type == html.ElementNode && x.Data == tag {
			out = append(out, x)
		}
	})
	return out
}

func words(n *html.Node) string {
	var b strings.Builder
	each(n, func(x *html.Node) {
		if x.Type == html.TextNode {
			b.WriteString(x.Data + " ")
		}
	})
	return strings.Join(strings.Fields(b.String()), " ")
}

// words are what the main part of the page says.
func (v *visitor) words() string {
	main := all(v.page, "main")
	require.Len(v.t, main, 1)
	return words(main[0])
}

// sheet is a form of the page as it would be sent.
type sheet struct {
	v      *visitor
	action string
	method string
	multi  bool
	values url.Values
	file   []byte
}

// form finds the form of the page that is sent to an address; nth where there are
// several.
func (v *visitor) form(action string, nth ...int) *sheet {
	v.t.Helper()
	skip := 0
	if len(nth) > 0 {
		skip = nth[0]
	}
	for _, n := range all(v.page, "form") {
		if attr(n, "action") != action {
			continue
		}
		if skip > 0 {
			skip--
			continue
		}
		return v.fieldsOf(n)
	}
	require.Fail(v.t, "no such form", "%s on %s\n%s", action, v.at, v.words())
	return nil
}

func (v *visitor) fieldsOf(n *html.Node) *sheet {
	s := &sheet{v: v, action: attr(n, "action"), method: attr(n, "method"), multi: attr(n, "enctype") != "", values: url.Values{}}
	each(n, func(x *html.Node) {
		name := attr(x, "name")
		if x.Type != html.ElementNode || name == "" || has(x, "disabled") {
			return
		}
		switch x.Data {
		case "input":
			switch kind := attr(x, "type"); {
			case kind == "checkbox" || kind == "radio":
				if has(x, "checked") {
					s.values.Add(name, attr(x, "value"))
				}
			case kind != "file":
				s.values.Add(name, attr(x, "value"))
			}
		case "select":
			options := all(x, "option")
			chosen := ""
			for i, o := range options {
				value := attr(o, "value")
				if !has(o, "value") {
					value = words(o)
				}
				if i == 0 || has(o, "selected") {
					chosen = value
				}
			}
			s.values.Add(name, chosen)
		case "textarea":
			s.values.Add(name, words(x))
			if x.FirstChild != nil {
				s.values.Set(name, x.FirstChild.Data)
			}
		}
	})
	return s
}

func (s *sheet) set(name string, values ...string) *sheet {
	s.values[name] = values
	return s
}

// send sends the form and follows the answer.
func (s *sheet) send() *visitor {
	s.v.t.Helper()
	if s.method == "get" {
		return s.v.take(s.v.client.Get(s.v.base + s.action + "?" + s.values.Encode()))
	}
	body, kind := io.Reader(strings.NewReader(s.values.Encode())), "application/x-www-form-urlencoded"
	if s.multi {
		var b bytes.Buffer
		m := multipart.NewWriter(&b)
		for name, values := range s.values {
			for _, x := range values {
				require.NoError(s.v.t, m.WriteField(name, x))
			}
		}
		if s.file != nil {
			f, err := m.CreateFormFile("file", "file.csv")
			require.NoError(s.v.t, err)
			_, err = f.Write(s.file)
			require.NoError(s.v.t, err)
		}
		require.NoError(s.v.t, m.Close())
		body, kind = &b, m.FormDataContentType()
	}
	return s.v.take(s.v.client.Post(s.v.base+s.action, kind, body))
}

// ok sends the form and makes sure that it was carried out: the browser ends on a
// page that it got, not on the answer to the form.
func (s *sheet) ok() *visitor {
	s.v.t.Helper()
	s.send()
	require.Equal(s.v.t, http.StatusOK, s.v.status, "%s\n%s", s.action, s.v.words())
	require.Contains(s.v.t, s.v.at, "done=", s.v.words())
	return s.v
}
