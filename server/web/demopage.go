package web

import (
	"html/template"
	"net/http"
	"net/url"

	"github.com/labstack/echo/v4"
)

// DemoPerson is one row of the demo's page: a join link and its code.
type DemoPerson struct {
	Name, Role, URL string
	QR              template.HTML
}

type demoPage struct {
	frame
	Local  bool
	People []DemoPerson
}

// ShowPeople has the server show the demo's page with join links.
func (a *App) ShowPeople(people []DemoPerson) {
	a.Demo, a.guests = true, people
}

// showDemo draws the page of join links.
func (a *App) showDemo(c echo.Context) error {
	p := demoPage{frame: frame{Title: "The demo’s people", Wide: true}, People: a.guests}
	if len(a.guests) > 0 {
		if u, err := url.Parse(a.guests[0].URL); err == nil {
			p.Local = Here(u.Host)
		}
	}
	return page(c, http.StatusOK, "demo.html", p)
}
