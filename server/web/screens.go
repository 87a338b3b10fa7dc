package web

import (
	"context"
	"errors"
	"net/http"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/view"
	"fairday/domain/view/office"
	"fairday/server/live"
)

// sees is the shoot as this person sees it, at the desk or on a phone.
func (v visitor) sees(ctx context.Context, desk bool) (seen *shoot.State, err error) {
	err = v.runner.Ask(ctx, func(s *shoot.State) error {
		who, ok := s.AudienceOf(v.ID)
		if !ok {
			return live.ErrWithdrawn
		}
		who.Desk = desk
		seen = s.For(who)
		return nil
	})
	return seen, err
}

// farScreen makes a far screen for whoever asks, of the shoot as it is now and as
// they see it. The error is a problem: not_allowed for whom the screen is not.
func (a *App) farScreen(c echo.Context) error {
	v, err := a.visitor(c)
	if err != nil {
		return err
	}
	seen, err := v.sees(c.Request().Context(), true)
	if err != nil {
		return err
	}
	name, now := c.Param("name"), a.now()
	model, err := office.Make(name, seen, office.Context{Of: c.QueryParam("of"),
		Context: view.Context{Me: v.ID, Now: now, Day: shoot.DayID(c.QueryParam("day"))}})
	var e *view.Error
	switch {
	case errors.As(err, &e) && e.Code == view.CodeRole:
		p := fail(codeNotAllowed, nil)
		p.Say = e.Text
		return p
	case errors.As(err, &e) && e.Code == view.CodeScreen:
		return fail(codeNotFound, nil)
	case err != nil:
		return fail(codeFault, err)
	}
	return c.JSON(http.StatusOK, FarScreen{View: model, Person: v.ID, Offers: office.Offers(name), Made: now})
}
