package web

import (
	"github.com/labstack/echo/v4"
)

// registerStrokes adds the pages on which strokes are logged.
func (w *Web) registerStrokes(e *echo.Echo, small echo.MiddlewareFunc) {
	e.POST("/units", w.setUnits, small)
	e.GET("/cards/:card/strokes", w.strokes)
	e.POST("/cards/:card/strokes", w.logStroke, small)
	e.GET("/cards/:card/strokes/rows", w.strokeRows)
	e.POST("/cards/:card/strokes/rows", w.saveRows, small)
	e.POST("/cards/:card/strokes/csv", w.strokesFile, small)
	e.POST("/cards/:card/strokes/undo", w.undoStroke, small)
	e.POST("/cards/:card/strokes/score", w.takeStrokes, small)
	e.POST("/cards/:card/strokes/:stroke", w.amendStroke, small)
	e.POST("/cards/:card/strokes/:stroke/removal", w.removeStroke, small)
}
