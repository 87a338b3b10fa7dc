package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/access"
	"fairday/server/plan"
	"fairday/server/web"
)

// badPlan is what is wrong with a plan file, a line for each problem.
type badPlan []plan.Problem

func (b badPlan) Error() string {
	var text string
	for _, p := range b {
		text += p.String() + "\n"
	}
	return text + "Nothing was stored."
}

// readPlan reads a plan file.
func readPlan(path string, date when.Date, w world) (plan.Plan, error) {
	f, err := os.Open(path)
	if err != nil {
		return plan.Plan{}, fmt.Errorf("the plan cannot be read: %w", err)
	}
	defer f.Close()
	return parsePlan(f, path, date, w)
}

func parsePlan(r io.Reader, name string, date when.Date, w world) (plan.Plan, error) {
	p, problems := plan.Load(r, name, date, when.FromTime(w.Now()), w.Rand)
	if len(problems) > 0 {
		return plan.Plan{}, badPlan(problems)
	}
	return p, nil
}

// today is the date in the zone of a plan's first day.
func today(p plan.Plan, now time.Time) (when.Date, error) {
	for _, in := range p.Intents {
		if in.Name == "day.set" {
			var day struct {
				Zone when.Zone `json:"zone"`
			}
			if err := json.Unmarshal(in.Args, &day); err != nil {
				return "", err
			}
			date, _, err := day.Zone.Local(when.FromTime(now))
			return date, err
		}
	}
	return "", errors.New("the plan has no day")
}

// invited is a join link that was made for somebody.
type invited struct {
	Name string
	Role string
	URL  string
}

// inviteAll makes a join link below base for each person of a plan that keep
// chooses.
func inviteAll(a *web.App, base, id string, people []plan.Person, many bool) ([]invited, error) {
	var out []invited
	for _, p := range people {
		address, err := a.Invite(base, access.Link{Shoot: id, Person: p.ID, By: shoot.Desk, Many: many})
		if err != nil {
			return nil, err
		}
		out = append(out, invited{p.Name, p.Role.Label(), address})
	}
	return out, nil
}

// onePerRole picks the first person of each role, in the order of roles.
func onePerRole(people []plan.Person) []plan.Person {
	var out []plan.Person
	for _, role := range shoot.Roles() {
		for _, p := range people {
			if p.Role == role {
				out = append(out, p)
				break
			}
		}
	}
	return out
}
