package web

import (
	"bytes"
	"compress/gzip"
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"io/fs"
	"mime"
	"net/http"
	"path"
	"strings"

	"github.com/labstack/echo/v4"
)

//go:embed static
var staticFiles embed.FS

// asset is one static file as it is sent.
type asset struct {
	body   []byte
	zipped []byte // the same, compressed; nil where that saves nothing
	kind   string // Content-Type
	tag    string // ETag
}

// assets are all static files. They lie under one fingerprint of all of them, so
// that modules import one another by relative names and a browser never mixes
// two versions of the program.
type assets struct {
	files map[string]asset
	print string
}

// contentTypes name what is not left to the machine's own table.
var contentTypes = map[string]string{
	".js": "text/javascript; charset=utf-8", ".css": "text/css; charset=utf-8", ".svg": "image/svg+xml",
	".webmanifest": "application/manifest+json",
}

func readAssets() (*assets, error) {
	a := &assets{files: map[string]asset{}}
	all := sha256.New()
	err := fs.WalkDir(staticFiles, "static", func(file string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := staticFiles.ReadFile(file)
		if err != nil {
			return err
		}
		sum := sha256.Sum256(body)
		_, _ = all.Write(sum[:]) // a hash never fails to write
		kind, known := contentTypes[path.Ext(file)]
		if !known {
			kind = mime.TypeByExtension(path.Ext(file))
		}
		f := asset{body: body, kind: kind, tag: `"` + hex.EncodeToString(sum[:8]) + `"`}
		if f.zipped, err = zipped(body); err != nil {
			return err
		}
		a.files[strings.TrimPrefix(file, "static/")] = f
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("read the static files: %w", err)
	}
	a.print = hex.EncodeToString(all.Sum(nil))[:10]
	return a, nil
}

// zipped compresses a file, or returns nil where that is no gain.
func zipped(body []byte) ([]byte, error) {
	var out bytes.Buffer
	z, err := gzip.NewWriterLevel(&out, gzip.BestCompression)
	if err != nil {
		return nil, err
	}
	if _, err := z.Write(body); err != nil {
		return nil, err
	}
	if err := z.Close(); err != nil {
		return nil, err
	}
	if out.Len() >= len(body) {
		return nil, nil
	}
	return out.Bytes(), nil
}

// url is where a static file lies. A name that does not exist is a fault of the
// template that asks for it.
func (a *assets) url(name string) (string, error) {
	if _, ok := a.files[name]; !ok {
		return "", fmt.Errorf("no static file %q", name)
	}
	return "/static/" + a.print + "/" + name, nil
}

// serve answers GET /static/<fingerprint>/<file>. Under the fingerprint in force
// a file never changes; under any other one the present file is sent and has to
// be asked for again.
func (a *assets) serve(c echo.Context) error {
	fingerprint, name, _ := strings.Cut(c.Param("*"), "/")
	f, ok := a.files[name]
	if !ok {
		return echo.ErrNotFound
	}
	h := c.Response().Header()
	h.Set("ETag", f.tag)
	h.Set(echo.HeaderVary, echo.HeaderAcceptEncoding)
	h.Set(echo.HeaderXContentTypeOptions, "nosniff")
	h.Set(echo.HeaderCacheControl, "no-cache")
	if fingerprint == a.print {
		h.Set(echo.HeaderCacheControl, "public, max-age=31536000, immutable")
	}
	if c.Request().Header.Get("If-None-Match") == f.tag {
		return c.NoContent(http.StatusNotModified)
	}
	if f.zipped != nil && strings.Contains(c.Request().Header.Get(echo.HeaderAcceptEncoding), "gzip") {
		h.Set(echo.HeaderContentEncoding, "gzip")
		return c.Blob(http.StatusOK, f.kind, f.zipped)
	}
	return c.Blob(http.StatusOK, f.kind, f.body)
}
