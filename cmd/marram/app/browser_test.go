package app_test

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// pictures names a folder to keep pictures of the walk's pages in, for a look.
const pictures = "MARRAM_PICTURES"

// patience bounds every wait for a page.
const patience = 60 * time.Second

// browser is a real Chromium with a profile of its own. What a page complains of
// on the console, a breach of the content security policy above all, fails the
// test.
type browser struct {
	t      testing.TB
	ctx    context.Context
	base   string
	width  int64
	height int64

	mu       sync.Mutex
	troubles []string
}

func mustBrowse(t testing.TB, base string, width, height int64) *browser {
	t.Helper()
	path, err := exec.LookPath("chromium")
	require.NoError(t, err, "the walk needs Chromium: run make test, it installs it")
	allocator, endAllocator := chromedp.NewExecAllocator(t.Context(),
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.UserDataDir(t.TempDir()), chromedp.WSURLReadTimeout(patience),
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("disable-dev-shm-usage", true))
	t.Cleanup(endAllocator)
	b := &browser{t: t, base: base, width: width, height: height}
	ctx, end := chromedp.NewContext(allocator)
	t.Cleanup(end)
	b.ctx = ctx
	require.NoError(t, chromedp.Do(ctx)) // the browser lives as long as the context of its first step
	b.do(chromedp.EmulateViewport(width, height))
	require.NoError(t, chromedp.Listen(ctx, b.hear))
	t.Cleanup(func() {
		b.mu.Lock()
		defer b.mu.Unlock()
		require.Empty(t, b.troubles, "what pages complained of")
	})
	return b
}

func (b *browser) hear(ev any) {
	b.mu.Lock()
	defer b.mu.Unlock()
	switch ev := ev.(type) {
	case *runtime.EventExceptionThrown:
		b.troubles = append(b.troubles, ev.ExceptionDetails.Text)
	case *log.EventEntryAdded:
		if string(ev.Entry.Level) == "error" {
			b.troubles = append(b.troubles, ev.Entry.Text+" "+ev.Entry.URL)
		}
	}
}

func (b *browser) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	require.NoError(b.t, chromedp.Do(ctx, steps...), "%s", b.where())
}

// where is the address and what the page says, for a failure.
func (b *browser) where() string {
	ctx, cancel := context.WithTimeout(b.ctx, 5*time.Second)
	defer cancel()
	text, err := chromedp.Run(ctx, chromedp.Evaluate[string](`location.href + "\n" + document.body.innerText.slice(0, 1500)`))
	if err != nil {
		return err.Error()
	}
	return text
}

// open goes to a page.
func (b *browser) open(path string) {
	b.t.Helper()
	b.do(chromedp.Navigate(b.base + path))
}

// click presses what a selector finds, as a finger or a mouse would.
func (b *browser) click(css string) {
	b.t.Helper()
	b.do(chromedp.ScrollIntoView(chromedp.CSS(css)), chromedp.Click(chromedp.CSS(css)))
}

// follow presses a button that leads to another page, and waits for it.
func (b *browser) follow(css string) {
	b.t.Helper()
	b.eval(`void (window.stale = true)`)
	b.click(css)
	b.wait(`!window.stale && document.readyState === "complete"`)
}

// fill writes into a field.
func (b *browser) fill(css, value string) {
	b.t.Helper()
	b.do(chromedp.SetValue(chromedp.CSS(css), value))
}

func (b *browser) upload(css, file string) {
	b.t.Helper()
	path, err := filepath.Abs(file)
	require.NoError(b.t, err)
	b.do(chromedp.SetUploadFiles(chromedp.CSS(css), []string{path}))
}

// keys types on the keyboard, wherever the focus is.
func (b *browser) keys(text string) {
	b.t.Helper()
	b.do(chromedp.KeyEvent(text))
}

func (b *browser) eval(js string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	_, err := chromedp.Run(ctx, chromedp.Evaluate[any](js))
	require.NoError(b.t, err, "%s", js)
}

// ask is the text that an expression gives.
func (b *browser) ask(js string) string {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	out, err := chromedp.Run(ctx, chromedp.Evaluate[string](js))
	require.NoError(b.t, err)
	return out
}

// text is what an element says.
func (b *browser) text(css string) string {
	b.t.Helper()
	return strings.Join(strings.Fields(b.ask(fmt.Sprintf(`document.querySelector(%q)?.innerText ?? ""`, css))), " ")
}

// path is where the browser is.
func (b *browser) path() string {
	b.t.Helper()
	return b.ask(`location.pathname`)
}

// wait waits for a condition on the page.
func (b *browser) wait(js string) {
	b.t.Helper()
	deadline := time.Now().Add(patience)
	for {
		ctx, cancel := context.WithTimeout(b.ctx, patience)
		ok, err := chromedp.Run(ctx, chromedp.Evaluate[bool](js))
		cancel()
		if err == nil && ok { // between two pages there is nothing to ask
			return
		}
		require.True(b.t, time.Now().Before(deadline), "waited for %s (%v)\n%s", js, err, b.where())
		select {
		case <-b.ctx.Done():
		case <-time.After(20 * time.Millisecond):
		}
	}
}

// says waits until the page says something.
func (b *browser) says(words string) {
	b.t.Helper()
	b.wait(fmt.Sprintf(`document.body.innerText.includes(%q)`, words))
}

// fits makes sure that nothing is cut off to the side, and keeps a picture where
// somebody wants one.
func (b *browser) fits(name string) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, patience)
	defer cancel()
	wide, err := chromedp.Run(ctx, chromedp.Evaluate[int64](`document.documentElement.scrollWidth`))
	require.NoError(b.t, err)
	assert.LessOrEqual(b.t, wide, b.width, "%s is wider than the screen", name)
	folder := os.Getenv(pictures)
	if folder == "" {
		return
	}
	png, err := chromedp.Run(ctx, chromedp.FullScreenshot(100))
	require.NoError(b.t, err)
	require.NoError(b.t, os.WriteFile(filepath.Join(folder, fmt.Sprintf("%s-%d.png", name, b.width)), png, 0o600))
}
