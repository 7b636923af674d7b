// Package web serves the pages of the club: what is on, start sheets, the live
// board, results, cards and players. Pages are written on the server and work
// without script; small ES modules of our own make them quicker. Everything that
// a page needs is embedded, nothing comes from another host, and the
// Content-Security-Policy allows neither inline script nor inline style.
//
// One noun, one name: the board is board.go, templates/board.html and
// static/board.js.
package web
