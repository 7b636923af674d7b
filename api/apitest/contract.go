package apitest

import (
	"bytes"
	"encoding/json"
	"io"
	"net/http"
	"sync"
	"testing"

	"github.com/getkin/kin-openapi/openapi3"
	"github.com/getkin/kin-openapi/openapi3filter"
	"github.com/getkin/kin-openapi/routers"
	"github.com/getkin/kin-openapi/routers/legacy"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"

	"marram.example/api"
)

// contract is openapi.yaml as a judge of what goes over the wire.
type contract struct {
	Spec   *openapi3.T
	router routers.Router
}

// load reads the contract once for all tests of a package. It lets clients
// ignore what they do not know; here an undescribed member is a mistake, so every
// object is closed.
var load = sync.OnceValues(func() (*contract, error) {
	var tree any
	if err := yaml.Unmarshal(api.Description(), &tree); err != nil {
		return nil, err
	}
	closeObjects(tree)
	body, err := json.Marshal(tree)
	if err != nil {
		return nil, err
	}
	doc, err := openapi3.NewLoader().LoadFromData(body)
	if err != nil {
		return nil, err
	}
	doc.Servers = nil                    // whatever the host
	router, err := legacy.NewRouter(doc) // checks the document too
	return &contract{Spec: doc, router: router}, err
})

func mustLoad(t testing.TB) *contract {
	t.Helper()
	k, err := load()
	require.NoError(t, err)
	return k
}

func closeObjects(node any) {
	switch n := node.(type) {
	case map[string]any:
		if n["type"] == "object" && n["properties"] != nil && n["additionalProperties"] == nil {
			n["additionalProperties"] = false
		}
		for _, v := range n {
			closeObjects(v)
		}
	case []any:
		for _, v := range n {
			closeObjects(v)
		}
	}
}

func filterOptions() *openapi3filter.Options {
	return &openapi3filter.Options{
		IncludeResponseStatus: true, MultiError: true, AuthenticationFunc: openapi3filter.NoopAuthenticationFunc,
		RejectWhenRequestBodyNotSpecified: true, SkipSettingDefaults: true,
	}
}

// request checks a request that is meant to keep to the contract.
func (k *contract) request(t testing.TB, r *http.Request, body []byte) {
	t.Helper()
	route, path, err := k.router.FindRoute(r)
	require.NoError(t, err, "%s %s is not in openapi.yaml", r.Method, r.URL.Path)
	c := r.Clone(r.Context())
	c.Body = io.NopCloser(bytes.NewReader(body))
	require.NoError(t, openapi3filter.ValidateRequest(r.Context(), &openapi3filter.RequestValidationInput{
		Request: c, PathParams: path, Route: route, Options: filterOptions(),
	}), "the request %s %s breaks the contract", r.Method, r.URL)
}

// response checks an answer.
func (k *contract) response(t testing.TB, r *http.Request, status int, h http.Header, body []byte) {
	t.Helper()
	require.NotEqual(t, http.StatusInternalServerError, status, "%s %s: %s", r.Method, r.URL, body)
	route, path, err := k.router.FindRoute(r)
	if err != nil {
		k.problem(t, status, body) // no such address, or not with this method
		return
	}
	require.NoError(t, openapi3filter.ValidateResponse(r.Context(), &openapi3filter.ResponseValidationInput{
		RequestValidationInput: &openapi3filter.RequestValidationInput{Request: r, PathParams: path, Route: route},
		Status:                 status, Header: h, Body: io.NopCloser(bytes.NewReader(body)), Options: filterOptions(),
	}), "the answer %d to %s %s breaks the contract: %s", status, r.Method, r.URL, clip(body))
}

func (k *contract) problem(t testing.TB, status int, body []byte) {
	t.Helper()
	require.GreaterOrEqual(t, status, 400)
	var v any
	require.NoError(t, json.Unmarshal(body, &v), "%s", body)
	require.NoError(t, k.Spec.Components.Schemas["Problem"].Value.VisitJSON(v, openapi3.EnableJSONSchema2020()))
}

const clipAt = 2000

func clip(b []byte) []byte { return b[:min(len(b), clipAt)] }
