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
}

func page(c echo.Context, status int, name string, data any) error {
	var b bytes.Buffer
	if err := pages.ExecuteTemplate(&b, name, data); err != nil {
		return fail(codeFault, err)
	}
	c.Response().Header().Set("Cache-Control", "no-store")
	return c.HTMLBlob(status, b.Bytes())
}

func look(c echo.Context) error {
	css, err := pageFiles.ReadFile("pages/look.css")
	if err != nil {
		return fail(codeFault, err)
	}
	c.Response().Header().Set("Cache-Control", "no-cache")
	return c.Blob(http.StatusOK, "text/css; charset=utf-8", css)
}
