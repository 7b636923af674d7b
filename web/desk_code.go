package web

import (
	"fmt"
	"strings"

	"github.com/labstack/echo/v4"
	"github.com/skip2/go-qrcode"

	"marram.example/events"
)

// qrCode is a code to be drawn: dark squares as the path of an SVG of Size units.
// It is part of the page, so that what it says stands in no address.
type qrCode struct {
	Size int
	Path string
}

// codeOf draws a code. Medium recovery stands a crease in the paper.
func codeOf(text string) (qrCode, error) {
	q, err := qrcode.New(text, qrcode.Medium)
	if err != nil {
		return qrCode{}, fmt.Errorf("draw a code: %w", err)
	}
	bits := q.Bitmap()
	var path strings.Builder
	for y, row := range bits {
		for x := 0; x < len(row); x++ {
			if !row[x] {
				continue
			}
			from := x
			for x < len(row) && row[x] {
				x++
			}
			fmt.Fprintf(&path, "M%d %dh%dv1h-%dz", from, y, x-from, x-from)
		}
	}
	return qrCode{Size: len(bits), Path: path.String()}, nil
}

// cardLink is the link of a card for a role, with its code.
func (w *Web) cardLink(c echo.Context, cardID string, role events.Role) (cardLink, error) {
	token, err := w.api.Commands.CardLink(c.Request().Context(), cardID, role)
	if err != nil {
		return cardLink{}, err
	}
	return w.linkOf(c, token, role)
}

// linkOf is the address that a token opens, with its code.
func (w *Web) linkOf(c echo.Context, token string, role events.Role) (cardLink, error) {
	scheme := c.Scheme()
	if w.api.Secure {
		scheme = "https"
	}
	l := cardLink{Role: role, URL: scheme + "://" + c.Request().Host + "/c/" + token}
	var err error
	l.Code, err = codeOf(l.URL)
	return l, err
}
