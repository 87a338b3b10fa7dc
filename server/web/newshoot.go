package web

import (
	"cmp"
	"context"
	"errors"
	"net/http"
	"slices"
	"strconv"
	"strings"
	"sync"

	"github.com/labstack/echo/v4"

	"fairday/domain/money"
	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/house"
	"fairday/server/live"
	"fairday/server/plan"
)

// startFields are what the form of a new shoot has, as it was filled in.
type startFields struct {
	ID                               string // of the shoot that it makes, so that a form that is sent twice makes one
	Title, Client, First, Days       string
	Zone, Place, Address, Call, Wrap string
	Currency, Runs, Producer, Like   string
	Terms                            bool
}

// Who runs a new shoot.
const (
	runsMe    = "me"
	runsOther = "other"
	runsLike  = "like" // whoever ran the earlier one
)

type startPage struct {
	frame
	In         startFields
	Me         string
	Wrong      map[string]string // by field
	Zones      []zoneGroup
	Currencies []money.Currency
	Earlier    []Summary
	File       fileFields
}

type zoneGroup struct {
	Name  string
	Zones []when.Zone
}

// zoneGroups lists the zones by the part of the world, without the names that are no
// places.
var zoneGroups = sync.OnceValue(func() (out []zoneGroup) {
	for _, z := range when.Zones() {
		part, _, in := strings.Cut(string(z), "/")
		if !in || slices.Contains([]string{"Etc", "US", "Canada", "Brazil", "Chile", "Mexico"}, part) {
			continue
		}
		if n := len(out); n == 0 || out[n-1].Name != part {
			out = append(out, zoneGroup{Name: part})
		}
		out[len(out)-1].Zones = append(out[len(out)-1].Zones, z)
	}
	return append(out, zoneGroup{"Elsewhere", []when.Zone{"UTC"}})
})

// currencies lists the currencies that are known, those that are most used first.
var currencies = sync.OnceValue(func() (out []money.Currency) {
	out = []money.Currency{"EUR", "USD", "GBP"}
	for i := range 26 * 26 * 26 {
		c := money.Currency([]byte{byte('A' + i/676), byte('A' + i/26%26), byte('A' + i%26)})
		if c.Check() == nil && !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	return out
})

// askShoot draws the form of a new shoot.
func (a *App) askShoot(c echo.Context) error {
	in, err := a.emptyStart()
	if err != nil {
		return err
	}
	in.Like = c.QueryParam("like")
	return a.showStart(c, http.StatusOK, in, nil)
}

func (a *App) emptyStart() (startFields, error) {
	id, err := a.Shoots.NewID()
	if err != nil {
		return startFields{}, fail(codeFault, err)
	}
	return startFields{ID: id, Days: "1", Call: "08:00", Wrap: "18:00", Currency: "EUR", Runs: runsMe, Terms: true}, nil
}

func (a *App) showStart(c echo.Context, status int, in startFields, wrong map[string]string) error {
	return a.drawStart(c, status, startPage{In: in, Wrong: wrong})
}

func (a *App) drawStart(c echo.Context, status int, p startPage) error {
	me, err := a.owner(c)
	if err != nil {
		return err
	}
	all, err := a.Every(c.Request().Context())
	if err != nil {
		return err
	}
	slices.Reverse(all)
	all = slices.DeleteFunc(all, func(s Summary) bool { return s.Damaged })
	p.frame, p.Me, p.Zones, p.Currencies, p.Earlier = frame{Title: "Start a shoot", Owner: true}, me.Name, zoneGroups(), currencies(), all
	return page(c, status, "start.html", p)
}

// startShoot makes a shoot from the form.
func (a *App) startShoot(c echo.Context) error {
	me, err := a.owner(c)
	if err != nil {
		return err
	}
	f := func(name string) string { return strings.TrimSpace(c.FormValue(name)) }
	in := startFields{ID: f("id"), Title: f("title"), Client: f("client"), First: f("first"), Days: f("days"), Zone: f("zone"), Place: f("place"),
		Address: f("address"), Call: f("call"), Wrap: f("wrap"), Currency: f("currency"), Runs: f("runs"), Producer: f("producer"),
		Like: f("like"), Terms: f("terms") != ""}
	if !shoot.ValidID(in.ID) {
		return fail(CodeMalformed, nil)
	}
	s, faults := in.read(me.Name)
	wrong := map[string]string{}
	var was shoot.PersonID // who the owner was on the earlier shoot
	if in.Like != "" {
		if s.Like, err = a.stateOf(c.Request().Context(), in.Like); err != nil {
			wrong["like"] = "That shoot is not there any more. Choose another, or none."
		} else if was, err = a.ownOn(in.Like, me, s.Like); err != nil {
			return err
		}
		if was != "" && in.Runs == runsMe && s.Like.Floor.People[was].Role == shoot.Producer {
			s.Producer = "" // they come along
		}
	}
	p, more := s.Plan(a.now(), a.Rand)
	for _, f := range append(faults, more...) {
		wrong[f.Field] = cmp.Or(wrong[f.Field], f.Say)
	}
	if len(wrong) > 0 {
		return a.showStart(c, http.StatusUnprocessableEntity, in, wrong)
	}
	own := func(p plan.Person) bool { return p.Key == string(was) && (was != "" || in.Runs == runsMe) }
	return a.newShoot(c, me, in.ID, p, "", own)
}

// ownOn is who an owner is on a shoot, "" for nobody who may come in.
func (a *App) ownOn(id string, me owner, s *shoot.State) (shoot.PersonID, error) {
	rows, err := a.Store.Shelf()
	if err != nil {
		return "", fail(codeFault, err)
	}
	p := rows[id].Known[me.ID]
	if _, in := s.AudienceOf(p); !in {
		return "", nil
	}
	return p, nil
}

// stateOf copies what a shoot is like now.
func (a *App) stateOf(ctx context.Context, id string) (out *shoot.State, err error) {
	ids, err := a.Store.Shoots()
	if err != nil {
		return nil, err
	}
	if !slices.Contains(ids, id) {
		return nil, fail(codeNoShoot, nil)
	}
	err = a.Shoots.Look(ctx, id, func(s *shoot.State) error { out = s.Clone(); return nil })
	return out, err
}

// newShoot stores a shoot and shows it. What was sent twice is there already.
func (a *App) newShoot(c echo.Context, me owner, id string, p plan.Plan, file string, own func(plan.Person) bool) error {
	err := a.Shoots.CreateAs(id, p.Intents)
	if err != nil && !errors.Is(err, live.ErrThere) {
		return err
	}
	if err == nil {
		a.Log.Info("a shoot was started", "shoot", id, "owner", me.ID)
		err := a.Store.ChangeShelved(id, func(row *house.Shelved) error {
			row.Made, row.By, row.File = a.now(), me.ID, file
			for _, one := range p.People {
				if own(one) {
					row.Known = map[house.OwnerID]shoot.PersonID{me.ID: one.ID}
				}
			}
			return nil
		})
		if err != nil {
			return err
		}
	}
	return c.Redirect(http.StatusSeeOther, "/shoots/"+id)
}

// read turns the fields into what a plan is made of.
func (in startFields) read(me string) (s plan.Start, faults []plan.Fault) {
	s = plan.Start{Title: in.Title, Client: in.Client, First: when.Date(in.First), Zone: when.Zone(in.Zone), Place: in.Place, Address: in.Address,
		Currency: money.Currency(in.Currency), Terms: in.Terms}
	clock := func(field, text string) (out when.Clock) {
		out, err := when.ParseClock(text)
		if err != nil {
			faults = append(faults, plan.Fault{Field: field, Say: "“" + text + "” is no time. Write it like 08:00."})
		}
		return out
	}
	s.Call, s.Wrap = clock("call", in.Call), clock("wrap", in.Wrap)
	var err error
	if s.Days, err = strconv.Atoi(in.Days); err != nil {
		s.Days = 0
	}
	switch in.Runs {
	case runsMe:
		s.Producer = me
	case runsOther:
		s.Producer = in.Producer
	}
	return s, faults
}
