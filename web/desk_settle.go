package web

import (
	"context"
	"time"

	"github.com/labstack/echo/v4"

	"marram.example/events"
)

// settleWait is how long the answer to a form waits for the read models, so that
// the list that is looked at next shows what was just stored. They catch up by
// themselves where it takes longer.
const settleWait = 800 * time.Millisecond

func (w *Web) settle(c echo.Context, at events.Position) {
	ctx, cancel := context.WithTimeout(c.Request().Context(), settleWait)
	defer cancel()
	if err := w.api.Runner.WaitFor(ctx, at); err != nil {
		w.lines.Warn("read models are behind", "position", uint64(at), "error", err)
	}
}
