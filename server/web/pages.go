package web

import (
	"bytes"
	"embed"
	"html/template"
	"net/http"

	"github.com/labstack/echo/v4"
)

//go:embed pages
var pageFiles embed.FS

// pages are the few pages that the server draws itself; everything else is the
// client's.
var pages = template.Must(template.ParseFS(pageFiles, "pages/*.html"))

// frame is what every page needs.
type frame struct {
	Title string
	Wide  bool
	Owner bool // an owner's page, with the way to the others
}

type problemPage struct {
	frame
	Say  string
	Home bool
}

type joinPage struct {
	frame
	Name, Role string
	Now        string // who this browser is already
	Many       bool
	Inside     bool // the page is shown inside another program
	Unsafe     bool // browsers will not let it work without signal at this address
}

func page(c echo.Context, status int, name string, data any) error {
	var b bytes.Buffer
	if err := pages.ExecuteTemplate(&b, name, data); err != nil {
		return fail(codeFault, err)
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.HTMLBlob(status, b.Bytes())
}

// file serves a file beside the pages.
func file(name, kind string) echo.HandlerFunc {
	return func(c echo.Context) error {
		b, err := pageFiles.ReadFile("pages/" + name)
		if err != nil {
			return fail(codeFault, err)
		}
		c.Response().Header().Set("Cache-Control", "no-cache")
		return c.Blob(http.StatusOK, kind+"; charset=utf-8", b)
	}
}
