package web

import (
	"context"
	"errors"
	"net/http"
	"slices"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/server/house"
)

// putPeople puts people of the list on the producer's shoot, with their terms where
// they are in its currency.
func (a *App) putPeople(c echo.Context) error {
	t, err := a.trusting(c)
	if err != nil {
		return err
	}
	if t.member == nil {
		return fail(codeNotAllowed, nil)
	}
	ids, err := chosen(c)
	if err != nil {
		return err
	}
	all, err := a.Store.People()
	if err != nil {
		return fail(codeFault, err)
	}
	ctx := c.Request().Context()
	on, err := peopleOf(ctx, t.member)
	if err != nil {
		return err
	}
	var said []string
	for _, id := range ids {
		one, ok := all[id]
		switch {
		case !ok:
			continue
		case slices.ContainsFunc(on, func(who shoot.Person) bool { return one.Same(who.Name, who.Phone) }):
			said = append(said, one.Name+" is on it already.")
			continue
		}
		say, err := a.putPerson(ctx, t.member, one)
		if err != nil {
			return err
		}
		said = append(said, say)
	}
	return a.drawPeople(c, http.StatusOK, peoplePage{Said: said})
}

// putPerson puts one on a shoot, and says what came of it.
func (a *App) putPerson(ctx context.Context, v *visitor, one house.Person) (string, error) {
	id, err := a.Shoots.NewID()
	if err != nil {
		return "", fail(codeFault, err)
	}
	person, err := a.intent("person.set", map[string]any{"id": id, "name": one.Name, "role": one.Role, "department": one.Department, "job": one.Job, "phone": one.Phone})
	if err != nil {
		return "", err
	}
	intents, say := []shoot.Intent{person}, one.Name+" is on it now. Their join link is made under Plan."
	if one.Terms != nil {
		terms, err := a.intent("terms.set", map[string]any{"person": id, "terms": one.Terms.Terms, "employee": one.Terms.Employee})
		if err != nil {
			return "", err
		}
		fits := false
		err = v.runner.Ask(ctx, func(s *shoot.State) error {
			fits = s.Money.Currency == one.Terms.Rate.Currency
			return nil
		})
		if err != nil {
			return "", err
		}
		if fits {
			intents = append(intents, terms)
		} else {
			say += " Their terms are in " + string(one.Terms.Rate.Currency) + " and were left out."
		}
	}
	var refusal *shoot.Refusal
	switch err := a.Shoots.Record(ctx, v.runner.Shoot, intents); {
	case errors.As(err, &refusal):
		return one.Name + " was not put on it. " + refusal.Say, nil
	case err != nil:
		return "", err
	}
	return say, nil
}
