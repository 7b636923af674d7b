package api

import (
	"github.com/labstack/echo/v4"

	"marram.example/api/command"
	"marram.example/events"
)

// routes are all routes of the API, in the order of openapi.yaml.
func (a *API) routes(e *echo.Echo) {
	e.GET("/livez", alive)
	e.GET("/readyz", a.ready)
	e.GET("/metrics", a.Metrics.handler())
	g := e.Group(Root)
	g.GET("/openapi.yaml", describe)
	g.POST("/sessions", a.signIn)
	g.DELETE("/sessions/current", a.signOut)
	a.courseRoutes(g)
	g.GET("/allowances", read(listAllowances)(a))
	a.playerRoutes(g)
	a.competitionRoutes(g.Group("/competitions"))
	a.cardRoutes(g.Group("/cards/:card"))
	a.matchRoutes(g.Group("/matches/:match"))
	a.clubRoutes(g.Group("/club"))
	g.POST("/imports/:kind", a.importTable)
}

func (a *API) courseRoutes(g *echo.Group) {
	g.GET("/courses", read(listCourses)(a))
	g.POST("/courses", write[command.DefineCourse](courseAt, a.addCourse)(a))
	g.GET("/courses/:course", read(getCourse)(a))
	g.PUT("/courses/:course", write[command.DefineCourse](nil, a.changeCourse)(a))
	g.GET("/courses/:course/tees/:tee/stroke-indexes", read(getStrokeIndexes)(a))
}

func (a *API) clubRoutes(g *echo.Group) {
	g.GET("/handicap-estimates", read(getEstimates)(a))
	g.PUT("/handicap-estimates", write[command.SwitchEstimates](nil, a.switchEstimates)(a))
	g.POST("/expected-scores", write[command.ExpectedScores](nil, a.importExpected)(a))
	g.POST("/expected-scores/withdrawal", write[because](nil, a.withdrawExpected)(a))
}

func (a *API) playerRoutes(g *echo.Group) {
	g.GET("/players", read(listPlayers)(a))
	g.POST("/players", write[command.RegisterPlayer](playerAt, a.addPlayer)(a))
	g.GET("/players/:player", read(getPlayer)(a))
	g.GET("/players/:player/handicap-record", read(getHandicapRecord)(a))
	g.GET("/players/:player/review", read(getPlayerReview)(a))
	g.POST("/players/:player/handicap-indexes", write[command.RecordIndex](nil, a.recordIndex)(a))
	g.POST("/players/:player/erasure", write[because](nil, a.erasePlayer)(a))
	g.POST("/players/:player/departure", write[because](nil, a.playerLeaves)(a))
	g.GET("/players/:player/notes", read(listNotes)(a))
	g.POST("/players/:player/notes", reviewing[command.AddNote](notesAt, a.addNote)(a))
	g.POST("/players/:player/notes/:note/removal", reviewing[nothing](nil, a.removeNote)(a))
}

func (a *API) competitionRoutes(g *echo.Group) {
	g.GET("", read(listCompetitions)(a))
	g.POST("", write[command.PlanCompetition](competitionAt, a.planCompetition)(a))
	c := g.Group("/:competition")
	c.GET("", read(getCompetition)(a))
	c.PUT("", write[command.PlanCompetition](nil, a.changeCompetition)(a))
	c.PUT("/terms", write[events.Terms](nil, a.setTerms)(a))
	c.GET("/terms/preset", read(presetTerms)(a))
	c.GET("/entries", read(listEntries)(a))
	c.POST("/entries", write[command.EnterPlayer](entryAt, a.addEntry)(a))
	c.GET("/entries/:entry", read(getEntry)(a))
	c.PATCH("/entries/:entry", write[command.AmendEntry](nil, a.amendEntry)(a))
	c.POST("/entries/:entry/withdrawal", write[because](nil, a.withdrawEntry)(a))
	c.GET("/draw", read(getDraw)(a))
	c.POST("/draw", write[command.Draw](drawAt, a.publishDraw)(a))
	c.POST("/draw/late", write[command.PlaceLate](drawAt, a.placeLate)(a))
	c.POST("/round/opening", write[nothing](nil, a.openRound)(a))
	c.POST("/round/suspension", write[suspend](nil, a.suspendRound)(a))
	c.POST("/round/resumption", write[nothing](nil, a.resumeRound)(a))
	c.POST("/round/closing", write[command.CloseRound](nil, a.closeRound)(a))
	c.POST("/cut", write[nothing](nil, a.makeCut)(a))
	c.POST("/excluded-holes", write[command.HoleOut](nil, a.excludeHole)(a))
	c.POST("/excluded-holes/restoration", write[command.HoleOut](nil, a.restoreHole)(a))
	c.POST("/playing-conditions", write[command.SetConditions](nil, a.setConditions)(a))
	c.GET("/cards", read(listCards)(a))
	c.GET("/attention", read(attention)(a))
	c.GET("/matches", read(listMatches)(a))
	c.GET("/board", read(getBoard)(a))
	c.GET("/board/stream", a.listeners.Handler())
	c.POST("/ties", write[command.DecideTie](nil, a.decideTie)(a))
	c.GET("/result", read(getResult)(a))
	c.POST("/result", write[nothing](resultAt, a.publishResult)(a))
	c.POST("/result/revision", write[because](resultAt, a.reviseResult)(a))
	c.GET("/result.csv", a.resultCSV)
	c.GET("/what-if", read(getWhatIf)(a))
}

func (a *API) cardRoutes(k *echo.Group) {
	k.GET("", read(getCard)(a))
	k.POST("/scores", write[command.EnterScore](cardAt, a.enterScore)(a))
	k.PUT("/scores", write[command.EnterCard](nil, a.enterCard)(a))
	k.POST("/certification", write[certification](nil, a.certify)(a))
	k.POST("/return", write[nothing](nil, a.returnCard)(a))
	k.POST("/reopening", write[because](nil, a.reopenCard)(a))
	k.POST("/ruling", write[command.RuleStatus](nil, a.ruleCard)(a))
	k.POST("/penalties", write[command.AddPenalty](cardAt, a.addPenalty)(a))
	k.POST("/penalties/:penalty/removal", write[because](nil, a.removePenalty)(a))
	k.POST("/actual-score", a.ruleScore)
	k.POST("/marker", write[assignMarker](nil, a.assignMarker)(a))
	k.GET("/figures", read(getFigures)(a))
	k.GET("/review", read(getCardReview)(a))
	k.GET("/events", read(listCardEvents)(a))
	k.POST("/links/:role", a.cardLink)
	k.GET("/strokes", read(getStrokes)(a))
	k.POST("/strokes", logging[command.RecordStroke](strokesAt, a.recordStroke)(a))
	k.PUT("/strokes/:stroke", logging[command.Stroke](nil, a.amendStroke)(a))
	k.DELETE("/strokes/:stroke", logging[nothing](nil, a.removeStroke)(a))
	k.PUT("/strokes/holes/:hole", logging[command.LogHole](nil, a.logHole)(a))
	k.GET("/strokes.csv", a.strokesCSV)
	k.POST("/strokes.csv", a.takeStrokesCSV)
	k.GET("/shares", read(listShares)(a))
	k.POST("/shares", a.shareReview)
	k.POST("/shares/:share/withdrawal", a.withdrawShare)
}

func (a *API) matchRoutes(m *echo.Group) {
	m.GET("", read(getMatch)(a))
	m.GET("/figures", read(getMatchFigures)(a))
	m.POST("/holes", write[command.EnterMatchHole](matchAt, a.enterMatchHole)(a))
	m.POST("/holes/removal", write[removeHole](nil, a.removeMatchHole)(a))
	m.POST("/concessions/hole", write[command.ConcedeHole](nil, a.concedeHole)(a))
	m.POST("/concessions/match", write[command.ConcedeMatch](nil, a.concedeMatch)(a))
	m.POST("/result", write[command.MatchResult](nil, a.resultOfMatch)(a))
	m.POST("/ruling", write[command.RuleMatch](nil, a.ruleMatch)(a))
	m.POST("/reopening", write[because](nil, a.reopenMatch)(a))
	m.POST("/links/:entry", a.matchLink)
}
