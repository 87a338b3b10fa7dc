package web

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"mime/multipart"
	"net/http"
	"strings"

	"github.com/labstack/echo/v4"

	"fairday/domain/shoot"
	"fairday/domain/when"
	"fairday/server/plan"
)

// planPath takes plan files. It has a limit of its own, so that who chose the wrong
// file is told which kind is meant.
const planPath = "/shoots/plan"

// mostDrained is how much of a file that is too large is still read, so that its
// sender hears the answer.
const mostDrained = 16 << 20

// fileFields are what came with a plan file, and what is wrong with it.
type fileFields struct {
	Date, Say string
	Mistakes  []plan.Problem
	Again     bool // ask whether the same file is meant to make a second shoot
}

// upload is a plan file on its way in.
type upload struct {
	id, date, name string
	again          bool
	file           []byte
}

// loadPlan starts a shoot from a plan file.
func (a *App) loadPlan(c echo.Context) error {
	me, err := a.owner(c)
	if err != nil {
		return err
	}
	r := c.Request()
	up, err := readUpload(r)
	if err != nil {
		_, _ = io.Copy(io.Discard, io.LimitReader(r.Body, mostDrained)) // the answer does not depend on it
		return err
	}
	if !shoot.ValidID(up.id) {
		return fail(CodeMalformed, nil)
	}
	refuse := func(f fileFields) error {
		in, err := a.emptyStart()
		if err != nil {
			return err
		}
		f.Date = up.date
		return a.drawStart(c, http.StatusUnprocessableEntity, startPage{In: in, File: f})
	}
	switch {
	case len(up.file) > plan.MaxBytes:
		_, _ = io.Copy(io.Discard, io.LimitReader(r.Body, mostDrained)) // the answer does not depend on it
		return refuse(fileFields{Say: fmt.Sprintf("That file is too large for a plan: %d kB fit. A plan is text only; choose the right file.", plan.MaxBytes>>10)})
	case up.date != "" && !when.Date(up.date).Valid():
		return refuse(fileFields{Say: "“" + up.date + "” is no date. Choose one, or leave it empty."})
	}
	p, problems := plan.Load(bytes.NewReader(up.file), up.name, when.Date(up.date), a.now(), a.Rand)
	if len(problems) > 0 {
		return refuse(fileFields{Mistakes: problems})
	}
	sum := sha256.Sum256(up.file)
	hash := hex.EncodeToString(sum[:])
	if title, err := a.loadedAs(c, hash, up.id); err != nil {
		return err
	} else if title != "" && !up.again {
		return refuse(fileFields{Again: true, Say: "This very file was loaded already, as “" + title + "”. Look in the list of shoots; or choose the file again and say that it is meant."})
	}
	return a.newShoot(c, me, up.id, p, hash, func(one plan.Person) bool {
		return one.Role == shoot.Producer && strings.EqualFold(one.Name, me.Name)
	})
}

// loadedAs is the title of another shoot that was loaded from a file, "" for none.
func (a *App) loadedAs(c echo.Context, hash, id string) (string, error) {
	all, err := a.Every(c.Request().Context())
	if err != nil {
		return "", err
	}
	for _, s := range all {
		if s.Row.File == hash && s.ID != id {
			return s.Title, nil
		}
	}
	return "", nil
}

// readUpload reads the parts of the form. Of a file that is too large it reads one
// byte more than fits.
func readUpload(r *http.Request) (up upload, err error) {
	parts, err := r.MultipartReader()
	if err != nil {
		return up, fail(CodeMalformed, err)
	}
	for range 8 {
		part, err := parts.NextPart()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return up, fail(CodeMalformed, err)
		}
		if err := up.take(part); err != nil {
			return up, fail(CodeMalformed, err)
		}
		if len(up.file) > plan.MaxBytes {
			return up, nil
		}
	}
	return up, nil
}

func (up *upload) take(part *multipart.Part) error {
	most := int64(200)
	if part.FormName() == "file" {
		most = plan.MaxBytes + 1
	}
	b, err := io.ReadAll(io.LimitReader(part, most))
	if err != nil {
		return err
	}
	switch part.FormName() {
	case "id":
		up.id = string(b)
	case "date":
		up.date = strings.TrimSpace(string(b))
	case "again":
		up.again = true
	case "file":
		up.file, up.name = b, part.FileName()
	}
	return nil
}

// examplePlan gives the example of a plan file.
func (a *App) examplePlan(c echo.Context) error {
	if _, err := a.owner(c); err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="shoot.yaml"`)
	return c.Blob(http.StatusOK, "text/plain; charset=utf-8", a.Example)
}
