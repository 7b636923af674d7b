package web_test

import (
	"io"
	"math"
	"net/http"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// answer is what a request came to, without its body.
type answer struct {
	StatusCode int
	Header     http.Header
}

func (v *visitor) get(path string, header map[string]string) (answer, []byte) {
	v.t.Helper()
	q, err := http.NewRequest(http.MethodGet, v.base+path, nil)
	require.NoError(v.t, err)
	for k, x := range header {
		q.Header.Set(k, x)
	}
	r, err := v.client.Do(q)
	require.NoError(v.t, err)
	defer func() { _ = r.Body.Close() }()
	b, err := io.ReadAll(r.Body)
	require.NoError(v.t, err)
	return answer{r.StatusCode, r.Header}, b
}

// parts are the files that a page loads.
func (v *visitor) parts() []string {
	var out []string
	for _, n := range append(all(v.page, "link"), all(v.page, "script")...) {
		if at := attr(n, "href") + attr(n, "src"); at != "" {
			out = append(out, at)
		}
	}
	return out
}

func TestStaticFilesAreKeptUnderTheirFingerprint(t *testing.T) {
	t.Parallel()
	m := medal(t, 3)
	v := m.visit().reads("/competitions/" + m.competition + "/board")
	files := v.parts()
	require.GreaterOrEqual(t, len(files), 4)
	for _, at := range files {
		if !strings.HasPrefix(at, "/static/") {
			continue // the manifest, whose address never changes
		}
		r, body := v.get(at, map[string]string{"Accept-Encoding": "identity"})
		require.Equal(t, http.StatusOK, r.StatusCode, at)
		assert.Equal(t, "public, max-age=31536000, immutable", r.Header.Get("Cache-Control"), at)
		assert.NotEmpty(t, body, at)
		r, zipped := v.get(at, map[string]string{"Accept-Encoding": "gzip"})
		if r.Header.Get("Content-Encoding") == "gzip" {
			assert.Less(t, len(zipped), len(body), at)
		}
		tag := r.Header.Get("ETag")
		require.NotEmpty(t, tag, at)
		r, _ = v.get(at, map[string]string{"If-None-Match": tag})
		assert.Equal(t, http.StatusNotModified, r.StatusCode, at)
		stale := regexp.MustCompile(`/static/[0-9a-f]+/`).ReplaceAllString(at, "/static/0000000000/")
		r, other := v.get(stale, map[string]string{"Accept-Encoding": "identity"})
		assert.Equal(t, "no-cache", r.Header.Get("Cache-Control"), "an old address is not kept")
		assert.Equal(t, body, other)
	}
	r, _ := v.get("/static/0000000000/nothing.css", nil)
	assert.Equal(t, http.StatusNotFound, r.StatusCode)
}

// lightBoard is what a board of 120 players may weigh with everything that it
// loads, before compression.
const lightBoard = 150_000

func TestBoardIsLight(t *testing.T) {
	t.Parallel()
	m := medal(t, 120)
	m.open()
	m.play(func(int) int { return 1 })
	v := m.visit().reads("/competitions/" + m.competition + "/board")
	assert.Len(t, all(all(v.page, "table")[0], "tr"), 121)
	weight := len(v.text)
	for _, at := range v.parts() {
		_, b := v.get(at, map[string]string{"Accept-Encoding": "identity"})
		weight += len(b)
	}
	t.Logf("the board of 120 players weighs %d bytes in all", weight)
	assert.Less(t, weight, lightBoard)
}

// colours reads the custom properties of one block of base.css.
func colours(t *testing.T, css string) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, m := range regexp.MustCompile(`--([a-z-]+): (#[0-9a-f]{6})`).FindAllStringSubmatch(css, -1) {
		out[m[1]] = m[2]
	}
	require.NotEmpty(t, out)
	return out
}

// luminance is the relative luminance of a colour (WCAG 2.2).
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	var sum float64
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, err := strconv.ParseUint(colour[1+2*i:3+2*i], 16, 8)
		require.NoError(t, err)
		c := float64(n) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(t *testing.T, a, b string) float64 {
	t.Helper()
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func TestTextStandsOutInEveryTheme(t *testing.T) {
	t.Parallel()
	// Main text stands out 7:1 by design, in bright sun as much as there is: black on white
	// is 21:1.
	for name, enough := range map[string]float64{"base": 7, "dark": 7, "sun": 10} {
		css, err := os.ReadFile("static/" + name + ".css")
		require.NoError(t, err)
		block, _, ok := strings.Cut(string(css), "\n}\n")
		require.True(t, ok)
		c := colours(t, block)
		if name == "sun" {
			for _, plain := range []string{"paper", "raised", "sand", "under-wash", "over-wash", "dune-far", "dune-near"} {
				assert.Equal(t, "#ffffff", c[plain], "no tint: %s", plain)
			}
			for _, full := range []string{"ink", "soft", "line", "edge"} {
				assert.Equal(t, "#000000", c[full], full)
			}
		}
		for _, text := range []string{"ink", "soft", "under", "over", "grass", "alarm"} {
			for _, ground := range []string{"paper", "raised", "sand", "under-wash", "over-wash"} {
				if text == "grass" && ground != "paper" && ground != "raised" {
					continue // stands on these two alone
				}
				assert.GreaterOrEqual(t, contrast(t, c[text], c[ground]), enough, "%s: %s on %s", name, text, ground)
			}
		}
		assert.GreaterOrEqual(t, contrast(t, c["on-sea"], c["sea"]), enough, name)
		assert.GreaterOrEqual(t, contrast(t, c["on-alarm"], c["alarm"]), enough, name)
		assert.GreaterOrEqual(t, contrast(t, c["sea"], c["paper"]), enough, name+": links")
		assert.GreaterOrEqual(t, contrast(t, c["edge"], c["raised"]), 3.0, name+": borders of fields and buttons (WCAG 2.2, 1.4.11)")
		assert.GreaterOrEqual(t, contrast(t, c["focus"], c["paper"]), 3.0, name+": focus")
	}
}
