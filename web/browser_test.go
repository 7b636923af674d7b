package web_test

import (
	"context"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// patience bounds every wait for a page.
const patience = 60 * time.Second

// chromium starts a real browser with an empty profile.
func chromium(t testing.TB) context.Context {
	t.Helper()
	path, err := exec.LookPath("chromium")
	require.NoError(t, err, "this test needs Chromium: run make test, it installs it")
	allocator, end := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.UserDataDir(t.TempDir()), chromedp.WSURLReadTimeout(patience),
		chromedp.Flag("disable-background-networking", true), chromedp.Flag("disable-component-update", true),
		chromedp.Flag("disable-sync", true), chromedp.Flag("disable-dev-shm-usage", true))
	t.Cleanup(end)
	ctx, end := chromedp.NewContext(allocator)
	t.Cleanup(end)
	require.NoError(t, chromedp.Do(ctx)) // the browser lives as long as the context of its first step
	return ctx
}

// tab is one page of the browser, at the width of a small phone.
func tab(t testing.TB, browser context.Context, width, height int64) context.Context {
	t.Helper()
	ctx, end := chromedp.NewContext(browser)
	t.Cleanup(end)
	require.NoError(t, chromedp.Do(ctx, chromedp.EmulateViewport(width, height)))
	return ctx
}

// run carries out one step with a bound.
func run[T any](t testing.TB, tab context.Context, step chromedp.Action[T]) T {
	t.Helper()
	ctx, cancel := context.WithTimeout(tab, patience)
	defer cancel()
	out, err := chromedp.Run(ctx, step)
	require.NoError(t, err)
	return out
}
