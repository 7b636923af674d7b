package web

import (
	"net/http"
	"net/url"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"

	"marram.example/events"
)

// largestForm is the most that a form of the console may send: a file to import
// and the fields around it.
const largestForm = "5M"

// registerDesk adds the committee's console. Every page is a plain form that is
// posted and answered with a redirect, so that it works without script.
func (w *Web) registerDesk(e *echo.Echo) {
	d := e.Group("/desk", w.committeeOnly, middleware.BodyLimit(largestForm))
	d.GET("", w.deskHome)
	d.GET("/competitions/new", w.deskNew)
	d.POST("/competitions/new", w.deskPlan)
	w.registerDeskCompetition(d.Group("/competitions/:competition"))

	d.GET("/matches/:match", w.deskMatch)
	d.POST("/matches/:match/holes", w.deskMatchHole)
	d.POST("/matches/:match/holes/removal", w.deskMatchRemove)
	d.POST("/matches/:match/holes/concession", w.deskMatchConcedeHole)
	d.POST("/matches/:match/concession", w.deskMatchConcede)
	d.POST("/matches/:match/result", w.deskMatchResult)
	d.POST("/matches/:match/ruling", w.deskMatchRule)
	d.POST("/matches/:match/reopening", w.deskMatchReopen)
	d.POST("/matches/:match/links", w.deskMatchLink)

	d.GET("/cards/:card", w.deskCard)
	d.POST("/cards/:card", w.deskCardEnter)
	d.POST("/cards/:card/holes", w.deskCardSettle)
	d.POST("/cards/:card/reopening", w.deskCardReopen)
	d.POST("/cards/:card/ruling", w.deskCardRule)
	d.POST("/cards/:card/marker", w.deskCardMarker)
	d.POST("/cards/:card/links", w.deskCardLink)
	d.POST("/cards/:card/penalties", w.deskCardPenalty)
	d.POST("/cards/:card/penalties/removal", w.deskCardPenaltyRemove)
	d.POST("/cards/:card/wrong-score", w.deskCardWrongScore)

	d.GET("/courses", w.deskCourses)
	d.GET("/courses/new", w.deskTee)
	d.POST("/courses/new", w.deskTeeSave)
	d.GET("/courses/:course", w.deskCourse)
	d.GET("/courses/:course/tee", w.deskTee)
	d.POST("/courses/:course/tee", w.deskTeeSave)
	d.GET("/courses/:course/stroke-indexes", w.deskStrokeIndexes)

	d.GET("/players", w.deskPlayers)
	d.POST("/players", w.deskPlayerRegister)
	d.GET("/players/:player", w.deskPlayer)
	d.POST("/players/:player/details", w.deskPlayerDetails)
	d.POST("/players/:player/index", w.deskPlayerIndex)
	d.POST("/players/:player/departure", w.deskPlayerLeave)
	d.POST("/players/:player/erasure", w.deskPlayerErase)

	d.GET("/accounts", w.deskAccounts)
	d.POST("/accounts", w.deskAccountAdd)
	d.POST("/accounts/password", w.deskAccountPassword)
	d.POST("/accounts/removal", w.deskAccountRemove)

	d.GET("/estimates", w.deskEstimates)
	d.POST("/estimates", w.deskEstimatesSwitch)
	d.POST("/estimates/withdrawal", w.deskExpectedWithdraw)

	d.GET("/import", w.deskImport)
	d.POST("/import", w.deskImportSend)
}

// registerDeskCompetition adds the pages of one competition, in the order in
// which they are needed.
func (w *Web) registerDeskCompetition(k *echo.Group) {
	k.GET("", w.deskCompetition)
	k.POST("", w.deskRename)
	k.GET("/terms", w.deskTerms)
	k.POST("/terms", w.deskTermsSet)
	k.GET("/entries", w.deskEntries)
	k.POST("/entries", w.deskEnter)
	k.GET("/entries/:entry", w.deskEntry)
	k.POST("/entries/:entry", w.deskAmend)
	k.POST("/entries/:entry/withdrawal", w.deskWithdraw)
	k.GET("/draw", w.deskDraw)
	k.POST("/draw", w.deskDrawPublish)
	k.GET("/draw/hand", w.deskHand)
	k.POST("/draw/hand", w.deskHandPublish)
	k.POST("/draw/late", w.deskLate)
	k.GET("/open", w.deskOpen)
	k.POST("/open", w.deskOpenRound)
	k.POST("/suspension", w.deskSuspend)
	k.POST("/resumption", w.deskResume)
	k.GET("/cards", w.deskCards)
	k.GET("/print", w.deskPrint)
	k.GET("/print/start-sheet", w.deskPrintSheet)
	k.GET("/matches", w.deskMatches)
	k.GET("/conditions", w.deskConditions)
	k.POST("/conditions", w.deskConditionsSet)
	k.POST("/exclusions", w.deskExclude)
	k.POST("/exclusions/lifting", w.deskRestore)
	k.GET("/close", w.deskClose)
	k.POST("/close", w.deskCloseRound)
	k.POST("/cut", w.deskCutAgain)
	k.GET("/result", w.deskResult)
	k.POST("/result", w.deskPublish)
	k.POST("/result/revision", w.deskRevise)
	k.POST("/ties", w.deskTie)
}

// committeeOnly lets nobody else in. Who only looks is sent to sign in and comes
// back afterwards; who sends something is refused.
func (w *Web) committeeOnly(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		who := w.who(c)
		if isCommittee(who) {
			return next(c)
		}
		w.lines.Warn("refused", "role", string(who.Role), "id", who.ID, "wanted", "committee", "path", c.Path())
		if m := c.Request().Method; m == http.MethodGet || m == http.MethodHead {
			return c.Redirect(http.StatusSeeOther, "/sign-in?to="+url.QueryEscape(c.Request().URL.RequestURI()))
		}
		return events.Forbidden("forbidden",
			"only the committee may do this. Sign in in another tab, then go back and send the form again: what you typed is still there")
	}
}

// deskPage writes a page of the console.
func (w *Web) deskPage(c echo.Context, status int, name, title string, data any, scripts ...string) error {
	return w.render(c, status, name, page{
		Title: title, Body: "desk", Styles: []string{"desk.css"}, Scripts: scripts, Private: true, Data: data,
	})
}

// done answers a form that was carried out: the browser gets a page to look at,
// so that loading it again sends nothing. word names what the page says first.
func done(c echo.Context, to, word string) error {
	at, err := url.Parse(to)
	if err != nil {
		return err
	}
	q := at.Query()
	q.Set("done", word)
	at.RawQuery = q.Encode()
	return c.Redirect(http.StatusSeeOther, at.String())
}

// doneWords are what a page says first after a form was carried out. The address
// carries only the key, so that nobody can put words into it.
var doneWords = map[string]string{
	"planned": "The competition is announced. State its terms next.", "renamed": "Name and date are changed.",
	"terms": "The terms are stated.", "entered": "The entry is taken.", "amended": "The entry is amended.",
	"withdrawn": "The entry is withdrawn.", "drawn": "The start sheet is published.", "late": "The late entry is on the start sheet.",
	"opened": "The round is open and every card is issued.", "arranged": "The round is open and every match is arranged.", "suspended": "Play is suspended. The board says so.",
	"resumed": "Play is resumed.", "closed": "The round is closed. Check the result and publish it.",
	"between": "The round is closed. Draw the next one.", "cut": "The cut is made again.",
	"conditions": "The playing conditions are recorded.", "excluded": "The hole counts for nobody.", "restored": "The hole counts again.",
	"penalty": "The penalty counts.", "unpenalty": "The penalty is taken back.",
	"hole": "The hole is stored.", "hole-removed": "The last hole is removed.", "given": "The concession is stored.", "match": "The result is recorded.",
	"match-reopened": "The match is open again.",
	"published":      "The result is published.", "revised": "The revised result is published.", "tie": "The tie is decided.",
	"saved": "The scores are stored.", "returned": "The card is returned.", "settled": "The hole is settled.",
	"reopened": "The card is open again.", "ruled": "The ruling stands.", "lifted": "The ruling is lifted.",
	"marker": "The marker is changed. A link of the marker until now opens nothing any more.",
	"tee":    "The tee is stored.", "registered": "The player is registered.", "named": "The details are changed.",
	"index": "The handicap index is recorded.", "left": "The player has left.", "erased": "The personal data is erased.",
	"account": "The account is added.", "password": "The password is changed; the account has to sign in again.", "removed": "The account is removed.",
	"estimates-on": "Unofficial estimates are switched on.", "estimates-off": "Unofficial estimates are switched off. Nothing is worked out any more.",
	"expected-withdrawn": "The expected scores are withdrawn.",
	"imported":           "The file is imported.", "link": "There is a fresh link; the old one opens nothing any more.",
}

// doneWord is what a page says first, if anything.
func doneWord(c echo.Context) string { return doneWords[c.QueryParam("done")] }
