package web

import "github.com/labstack/echo/v4"

// contentSecurityPolicy lets a page use what this service itself serves, and
// nothing else. Pictures may also be written into the page (data:), such as the
// codes on a start sheet, whose content must not stand in any URL.
const contentSecurityPolicy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; " +
	"connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"

// guard sets the security headers of every page.
func guard(next echo.HandlerFunc) echo.HandlerFunc {
	return func(c echo.Context) error {
		h := c.Response().Header()
		h.Set(echo.HeaderContentSecurityPolicy, contentSecurityPolicy)
		h.Set(echo.HeaderXContentTypeOptions, "nosniff")
		h.Set(echo.HeaderReferrerPolicy, "same-origin")
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Permissions-Policy", "camera=(), microphone=(), geolocation=()")
		h.Set(echo.HeaderVary, echo.HeaderCookie)
		return next(c)
	}
}
