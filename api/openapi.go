package api

import (
	_ "embed"
	"net/http"

	"github.com/labstack/echo/v4"
)

//go:embed openapi.yaml
var description []byte

// Description is openapi.yaml: the contract of this API (OpenAPI 3.1).
func Description() []byte { return append([]byte(nil), description...) }

func describe(c echo.Context) error { return c.Blob(http.StatusOK, "application/yaml", description) }
