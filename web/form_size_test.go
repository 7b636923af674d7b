package web_test

import (
	"bytes"
	"io"
	"mime/multipart"
	"net/http"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Anybody may send these forms, so none of them may fill memory or disk: a file
// in a form would be kept for as long as it is read.
func TestFormsOfAnybodyAreSmall(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	m.open()
	var body bytes.Buffer
	form := multipart.NewWriter(&body)
	require.NoError(t, form.WriteField("key", "0123456789"))
	file, err := form.CreateFormFile("file", "large.bin")
	require.NoError(t, err)
	_, err = io.WriteString(file, strings.Repeat("x", 1<<20))
	require.NoError(t, err)
	require.NoError(t, form.Close())

	card := "/cards/" + m.card(0)
	post := func(path string, from io.Reader) int {
		req, err := http.NewRequest(http.MethodPost, m.server.URL+path, from)
		require.NoError(t, err)
		req.Header.Set("Content-Type", form.FormDataContentType())
		answer, err := http.DefaultTransport.RoundTrip(req)
		require.NoError(t, err)
		defer func() { require.NoError(t, answer.Body.Close()) }()
		return answer.StatusCode
	}
	for _, path := range []string{"/sign-in", "/sign-out", "/setup/x", card + "/scores", card + "/certification", card + "/return"} {
		assert.Equal(t, http.StatusRequestEntityTooLarge, post(path, bytes.NewReader(body.Bytes())), path)
	}
	unsized := io.MultiReader(bytes.NewReader(body.Bytes())) // sent in chunks, with no length ahead
	assert.Equal(t, http.StatusRequestEntityTooLarge, post(card+"/scores", unsized))
}
