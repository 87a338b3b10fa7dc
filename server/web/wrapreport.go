package web

import (
	"cmp"
	"encoding/csv"
	"net/http"
	"strings"
	"time"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/sorting"
	"fairday/domain/view"
	"fairday/domain/view/office"
)

// lead is a visitor who runs the shoot and what they see of it; the error is a
// problem, not_allowed for others.
func (a *App) lead(c echo.Context) (v visitor, seen *shoot.State, err error) {
	if v, err = a.visitor(c); err != nil {
		return v, nil, err
	}
	if v.Role != shoot.Producer && v.Role != shoot.ArtDirector {
		return v, nil, fail(codeNotAllowed, nil)
	}
	err = v.runner.Ask(c.Request().Context(), func(s *shoot.State) error {
		seen = s.For(shoot.Audience{Person: v.ID, Role: v.Role})
		return nil
	})
	return v, seen, err
}

type wrapPage struct {
	frame
	*office.WrapReport
}

// showWrap draws the wrap report of a day.
func (a *App) showWrap(c echo.Context) error {
	v, seen, err := a.lead(c)
	if err != nil {
		return err
	}
	report, err := office.Report(seen, view.Context{Me: v.ID, Now: a.now(), Day: shoot.DayID(c.QueryParam("day"))})
	if err != nil {
		return fail(codeFault, err)
	}
	return page(c, http.StatusOK, "wrap.html", wrapPage{frame{Title: report.Shoot, Wide: true}, report})
}

// punches writes every punch of the shoot as comma-separated values (RFC 4180),
// a row for each, for whoever reckons pay elsewhere.
func (a *App) punches(c echo.Context) error {
	_, seen, err := a.lead(c)
	if err != nil {
		return err
	}
	h := c.Response().Header()
	h.Set(echo.HeaderContentType, "text/csv; charset=utf-8; header=present")
	h.Set(echo.HeaderContentDisposition, `attachment; filename="punches.csv"`)
	h.Set("Cache-Control", "no-store")
	out := csv.NewWriter(c.Response())
	out.UseCRLF = true
	rows := append([][]string{{"date", "person", "role", "department", "job", "punch", "time", "zone", "instant", "reported by"}}, punchRows(seen)...)
	if err := out.WriteAll(rows); err != nil {
		return fail(codeFault, err)
	}
	return nil
}

func punchRows(s *shoot.State) (rows [][]string) {
	everybody := sorting.Values(s.Floor.People, func(a, b shoot.Person) int { return cmp.Or(cmp.Compare(a.Name, b.Name), cmp.Compare(a.ID, b.ID)) })
	for _, day := range s.DaysInOrder() {
		at := day.Zone.Reader()
		for _, p := range everybody {
			for _, m := range s.Floor.Hours[shoot.KeyOf(day.ID, p.ID)].Marks {
				row := []string{string(day.Date), p.Name, p.Role.Label(), p.Department, p.Job, string(m.Kind), at.ClockOn(day.Date, m.At),
					string(day.Zone), m.At.Time().Format(time.RFC3339), s.Floor.People[m.By].Name}
				for i := range row {
					row[i] = harmless(row[i])
				}
				rows = append(rows, row)
			}
		}
	}
	return rows
}

// harmless keeps a spreadsheet from taking what a person wrote for a formula.
func harmless(cell string) string {
	if cell != "" && strings.ContainsRune("=+-@\t\r", rune(cell[0])) {
		return "'" + cell
	}
	return cell
}
