package web_test

import (
	"bytes"
	"encoding/base64"
	"fmt"
	"image"
	"image/png"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"testing"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// redraw names a variable with which the test below draws the icons anew.
const redraw = "MARRAM_REDRAW_ICONS"

// The icons of the home screen are pictures of their drawings: draw a changed one
// anew with MARRAM_REDRAW_ICONS=1.
func TestIconsAreDrawnFromTheirSource(t *testing.T) {
	t.Parallel()
	files := httptest.NewServer(http.FileServer(http.Dir("static")))
	t.Cleanup(files.Close)
	phone := tab(t, chromium(t), 600, 600)
	for _, icon := range []struct {
		name, from string
		size       int
	}{
		{"icon_192.png", "icon.svg", 192}, {"icon_512.png", "icon.svg", 512},
		{"icon_maskable_512.png", "icon_maskable.svg", 512}, {"icon_touch_180.png", "icon_maskable.svg", 180},
	} {
		run(t, phone, chromedp.Navigate(files.URL+"/"+icon.from))
		data := run(t, phone, chromedp.Evaluate[string](fmt.Sprintf(`(async () => {
			const i = new Image(%[1]d, %[1]d);
			i.src = location.href;
			await i.decode();
			const c = document.createElementNS("http://www.w3.org/1999/xhtml", "canvas");
			c.width = c.height = %[1]d;
			c.getContext("2d").drawImage(i, 0, 0, %[1]d, %[1]d);
			const blob = await new Promise((take) => c.toBlob(take, "image/png"));
			return btoa(String.fromCharCode(...new Uint8Array(await blob.arrayBuffer())));
		})()`, icon.size), chromedp.EvalAwaitPromise))
		drawn := picture(t, data)
		require.Equal(t, icon.size, drawn.Bounds().Dx(), icon.name)
		path := filepath.Join("static", icon.name)
		if os.Getenv(redraw) != "" {
			var out bytes.Buffer
			require.NoError(t, (&png.Encoder{CompressionLevel: png.BestCompression}).Encode(&out, drawn))
			require.NoError(t, os.WriteFile(path, out.Bytes(), 0o600))
		}
		kept, err := os.ReadFile(path)
		require.NoError(t, err)
		assert.Less(t, len(kept), 24<<10, "%s is small", icon.name)
		is, err := png.Decode(bytes.NewReader(kept))
		require.NoError(t, err)
		assert.Less(t, apart(t, is, drawn), 2.0, "%s is not a picture of %s any more", icon.name, icon.from)
		if icon.from == "icon_maskable.svg" {
			opaque(t, is, icon.name)
		}
	}
}

// apart is how far two pictures of one size are from each other, on average over
// pixels and channels, of 255.
func apart(t *testing.T, a, b image.Image) float64 {
	t.Helper()
	require.Equal(t, a.Bounds(), b.Bounds())
	sum, size := 0.0, a.Bounds().Dx()
	for y := range size {
		for x := range size {
			r, g, bl, al := a.At(x, y).RGBA()
			r2, g2, b2, a2 := b.At(x, y).RGBA()
			for _, d := range []int{int(r) - int(r2), int(g) - int(g2), int(bl) - int(b2), int(al) - int(a2)} {
				sum += float64(max(d, -d)) / 257
			}
		}
	}
	return sum / float64(4*size*size)
}

// opaque makes sure that a picture which a phone cuts to its own shape fills its
// square, and that what is drawn lies within the circle that is never cut (W3C Web
// Application Manifest: 80 % of the width).
func opaque(t *testing.T, is image.Image, name string) {
	t.Helper()
	size := is.Bounds().Dx()
	for _, at := range [][2]int{{0, 0}, {size - 1, 0}, {0, size - 1}, {size - 1, size - 1}} {
		_, _, _, alpha := is.At(at[0], at[1]).RGBA()
		assert.Equal(t, uint32(0xffff), alpha, "%s is cut at a corner", name)
	}
	grass := 0
	for y := range size {
		for x := range size {
			r, g, b, _ := is.At(x, y).RGBA()
			if r>>8 < 0x70 || r>>8 > 0xb0 || g>>8 < 0xc0 || b>>8 < 0xa0 {
				continue
			}
			grass++
			dx, dy := float64(x)-float64(size)/2, float64(y)-float64(size)/2
			assert.LessOrEqual(t, dx*dx+dy*dy, 0.16*float64(size*size), "a blade of %s may be cut off", name)
		}
	}
	assert.Greater(t, grass, size*size/100, "there is grass on %s", name)
}

func picture(t *testing.T, data string) image.Image {
	t.Helper()
	raw, err := base64.StdEncoding.DecodeString(data)
	require.NoError(t, err)
	is, err := png.Decode(bytes.NewReader(raw))
	require.NoError(t, err)
	return is
}
