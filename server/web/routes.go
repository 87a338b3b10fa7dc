package web

import (
	"net/http"

	"github.com/labstack/echo/v4"
	"github.com/labstack/echo/v4/middleware"
)

// Who may come to an address. What they see there is what their role sees.
type Who string

// The kinds of visitor, from everybody to few.
const (
	Anybody   Who = "anybody"
	LinkOf    Who = "whoever has the link or the code"
	OnShoot   Who = "everybody on the shoot"
	ByScreen  Who = "everybody on the shoot whose screen it is"
	Leads     Who = "producer, art director"
	Producers Who = "producer"
	Keepers   Who = "owner, producer of that shoot"
	Trusted   Who = "owner, producer"
	Owners    Who = "owner"
)

// Route is one address of the server: who may come to it, and for what. The handler
// does the refusing; a test holds it to this table, and ACCESS.md is made from it.
type Route struct {
	Method, Path string
	Who          Who
	Does         string // for people who read the table

	do echo.HandlerFunc
	by []echo.MiddlewareFunc
}

// Routes are all addresses that there are.
func (a *App) Routes() []Route {
	gzip := middleware.GzipWithConfig(middleware.GzipConfig{MinLength: 1024})
	get := func(path string, who Who, does string, do echo.HandlerFunc, by ...echo.MiddlewareFunc) Route {
		return Route{http.MethodGet, path, who, does, do, by}
	}
	post := func(path string, who Who, does string, do echo.HandlerFunc, by ...echo.MiddlewareFunc) Route {
		return Route{http.MethodPost, path, who, does, do, by}
	}
	out := []Route{
		get("/healthz", Anybody, "tells that the server is up", func(c echo.Context) error { return c.String(http.StatusOK, "ok\n") }),
		get("/look.css", Anybody, "the look of the server's pages", file("look.css", "text/css")),
		get("/house.js", Anybody, "what those pages do", file("house.js", "text/javascript")),
		get("/join/:token", LinkOf, "whom a link is for", a.showJoin, a.sparing),
		post("/join/:token", LinkOf, "joins with a link or a code", a.join, a.sparing),

		get("/api/me", OnShoot, "who this phone is", a.me),
		get("/api/screens/:name", ByScreen, "a screen that the server makes", a.farScreen, gzip),
		get("/api/links", Producers, "the open join links of the shoot", a.links),
		post("/api/links", Producers, "makes a join link", a.newLink),
		post("/api/links/cancel", Producers, "cancels a join link", a.cancelLink),
		get("/api/phones", OnShoot, "one's own phones; all for a producer", a.phones),
		post("/api/phones/end", OnShoot, "signs out one's own phones; any for a producer", a.endPhones),
		post("/api/code", OnShoot, "a code for another phone of one's own", a.newCode),
		post("/api/leave", Anybody, "signs this phone out", a.leave),
		post("/api/device", OnShoot, "tells the key that this phone signs with", a.device),
		post("/api/hand", OnShoot, "delivers another phone's signed edits", a.hand),
		get("/sync", OnShoot, "the socket that carries edits and news", a.socket),
		post("/sync", OnShoot, "the same in one request", a.post),
		get("/wrap", Leads, "the wrap report", a.showWrap),
		get("/wrap/punches.csv", Leads, "every punch of the shoot", a.punches),
	}
	out = append(out, a.houseRoutes(get, post)...)
	out = append(out,
		get("/passkey.js", Anybody, "what the pages of passkeys do", file("passkey.js", "text/javascript")),
		get("/passkeys", Trusted, "one's own passkeys", a.showPasskeys),
		post("/passkeys/end", Trusted, "forgets a passkey of one's own", a.endPasskey),
		post("/api/passkeys/ask", Trusted, "begins to add a passkey", a.askPasskey),
		post("/api/passkeys/add", Trusted, "adds a passkey", a.addPasskey),
		get("/passkey", Anybody, "the page to come in with a passkey", a.showSignIn),
		post("/api/passkey/ask", Anybody, "begins to come in with a passkey", a.askSignIn),
		post("/api/passkey", Anybody, "comes in with a passkey", a.signIn))
	if a.Demo {
		out = append(out, get("/demo", Anybody, "join links of the demo", a.showDemo))
	}
	return append(out,
		get("/", Anybody, "the app itself, with the first screens of whoever is on a shoot", a.home, gzip),
		get("/*", Anybody, "the app itself", a.client.serve),
		Route{http.MethodHead, "/*", Anybody, "the app itself", a.client.serve, nil})
}

// houseRoutes are those above single shoots.
func (a *App) houseRoutes(get, post func(string, Who, string, echo.HandlerFunc, ...echo.MiddlewareFunc) Route) []Route {
	return []Route{
		get("/shoots", Owners, "the list of shoots", a.shelf),
		get("/shoots/new", Owners, "the form of a new shoot", a.askShoot),
		post("/shoots/new", Owners, "starts a shoot", a.startShoot),
		post(planPath, Owners, "starts a shoot from a plan file", a.loadPlan),
		get("/shoots/example", Owners, "an example of a plan file", a.examplePlan),
		get("/shoots/owners", Owners, "the owners", a.owners),
		post("/shoots/owners", Owners, "makes an owner's link", a.inviteOwner),
		post("/shoots/owners/end", Owners, "ends another owner's access", a.endOwner),
		post("/shoots/owners/signout", Owners, "signs an owner's other browsers out", a.signOutOwner),
		post("/shoots/leave", Owners, "signs this browser out", a.leaveHouse),
		get("/shoots/people", Trusted, "people who are remembered, with notes", a.people),
		post("/shoots/people/remember", Producers, "remembers people of the shoot", a.rememberPeople),
		post("/shoots/people/note", Trusted, "writes a note about somebody", a.notePerson),
		post("/shoots/people/forget", Trusted, "forgets somebody", a.forgetPerson),
		post("/shoots/people/put", Producers, "puts remembered people on the shoot", a.putPeople),
		get("/shoots/:id", Keepers, "a shoot from outside: its title, dates and producers", a.showShoot),
		post("/shoots/:id/enter", Owners, "makes an owner a producer of a shoot, for everybody on it to see", a.enterShoot),
		post("/shoots/:id/invite", Keepers, "makes a producer's join link", a.inviteProducer),
		post("/shoots/:id/archive", Keepers, "archives a shoot; an owner also brings it back", a.archiveShoot),
		get("/shoots/:id/delete", Keepers, "what would be deleted", a.askDelete),
		post("/shoots/:id/delete", Keepers, "deletes a shoot", a.deleteShoot),
	}
}
