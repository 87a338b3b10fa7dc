package web

import (
	"errors"
	"net/http"
	"time"

	"github.com/labstack/echo/v4"

	"fairday/server/access"
	"fairday/server/live"
	"fairday/sync/desk"
)

// Code is a stable name for a refusal by the server itself.
type Code string

// The codes. Only ever add to this list; each has a row in problems.
const (
	CodeNoSession    Code = "no_session"
	codeLinkUnknown  Code = "link_unknown"
	codeLinkUsed     Code = "link_used"
	codeLinkExpired  Code = "link_expired"
	codeWithdrawn    Code = "access_withdrawn"
	CodeBadOrigin    Code = "bad_origin"
	codeNotAllowed   Code = "not_allowed"
	codeNoPerson     Code = "unknown_person"
	CodeMalformed    Code = "malformed"
	codeTooLarge     Code = "too_large"
	codeNotFound     Code = "not_found"
	codeBadMethod    Code = "bad_method"
	codeNotBuilt     Code = "not_built"
	codeShuttingDown Code = "shutting_down"
	codeFault        Code = "fault"

	CodeHandShoot     Code = "hand_shoot"
	CodeHandForged    Code = "hand_forged"
	CodeHandExpired   Code = "hand_expired"
	CodeHandChanged   Code = "hand_changed"
	CodeHandGone      Code = "hand_gone"
	CodeOtherKey      Code = "other_key"
	CodeHandGap       Code = "hand_gap"
	CodeHandWithdrawn Code = "hand_withdrawn"
	codeHandMany      Code = "hand_many"
	codeHandLater     Code = "hand_later"

	codeTooManyTries Code = "too_many_tries"
	codeDiskFull     Code = "disk_full"
	codeDamaged      Code = "shoot_damaged"
	codeCrowded      Code = "crowded"

	codeLinkVoid      Code = "link_void"
	codeLinkChanged   Code = "link_changed"
	codeAccessChanged Code = "access_changed"
	codeNoPhone       Code = "unknown_phone"

	codeNoOwner   Code = "no_owner"
	codeLastOwner Code = "last_owner"
	codeNoShoot   Code = "unknown_shoot"
	codeArchived  Code = "shoot_archived"

	codeOtherName Code = "other_name"

	codePasskeyLate  Code = "passkey_late"
	codePasskeyWrong Code = "passkey_wrong"
	codePasskeyMany  Code = "passkey_many"
	codePasskeyName  Code = "passkey_name"
)

// kind is what is fixed about a code: its HTTP status, a headline, what is
// wrong and what to do next.
type kind struct {
	status int
	title  string
	say    string
}

// problems is the one table from code to status and words.
var problems = map[Code]kind{
	CodeNoSession:    {http.StatusUnauthorized, "You have not joined yet", "This phone has not joined a shoot, or was signed out. Open the join link you were sent, or ask the producer for a new one."},
	codeLinkUnknown:  {http.StatusNotFound, "This join link is not known here", "Part of the link may be missing. Copy the whole of it, or ask the producer for a new one."},
	codeLinkUsed:     {http.StatusGone, "This join link was used already", "Each link lets one phone in, once. If you joined on this phone before, open Fairday there. Otherwise ask the producer for a new link."},
	codeLinkExpired:  {http.StatusGone, "This join link has run out", "Ask the producer for a new one; it takes them a moment."},
	codeWithdrawn:    {http.StatusForbidden, "Your access was withdrawn", "You can no longer see this shoot. If that is a mistake, speak to the producer."},
	CodeBadOrigin:    {http.StatusForbidden, "That came from another site", "Open Fairday itself and try again from there."},
	codeNotAllowed:   {http.StatusForbidden, "That is for the producer", "Ask the producer to do it."},
	codeNoPerson:     {http.StatusNotFound, "Nobody by that name", "This person is not on the shoot. Reload and choose somebody from the list."},
	CodeMalformed:    {http.StatusBadRequest, "That could not be read", "Reload the page and try again."},
	codeTooLarge:     {http.StatusRequestEntityTooLarge, "That is too much at once", "Send it in smaller parts."},
	codeNotFound:     {http.StatusNotFound, "There is nothing here", "Go back to the start page."},
	codeBadMethod:    {http.StatusMethodNotAllowed, "That cannot be done here", "Go back to the start page."},
	codeNotBuilt:     {http.StatusServiceUnavailable, "The phone's part is not built yet", "Run \"go generate ./...\" in the project folder, then start the server again."},
	codeShuttingDown: {http.StatusServiceUnavailable, "The server is stopping", "What you entered is kept on this phone and is sent once the server is back."},
	codeFault:        {http.StatusInternalServerError, "Something broke on the server", "It has been noted in the server's log. Try again in a moment."},

	CodeHandShoot:     {http.StatusForbidden, "That file is not of this shoot", "This file was saved on a phone of another shoot. Hand it in on a phone that has joined there."},
	CodeHandForged:    {http.StatusForbidden, "That file was not signed by the phone it names", "This file was changed, or its phone never told the server its key. Nothing of it was taken. Save it again on the phone that it comes from."},
	CodeHandExpired:   {http.StatusGone, "That file has run out", "A file is good for 48 hours. Save it again on the phone that it comes from."},
	CodeHandChanged:   {http.StatusConflict, "Their access has changed since", "What its owner may do on this shoot has changed since the file was saved. Their phone needs signal once, then it sends them itself."},
	CodeHandGone:      {http.StatusConflict, "Their phone has been there since", "The phone that this file comes from has sent or discarded these edits itself. The file is not needed any more."},
	CodeOtherKey:      {http.StatusConflict, "This phone has another key", "This phone lost part of its memory. It starts afresh by itself."},
	CodeHandGap:       {http.StatusConflict, "Edits are missing before these", "Edits that come before these are not in the file. Save it again on the phone that it comes from."},
	CodeHandWithdrawn: {http.StatusForbidden, "Their access was withdrawn", "The person these edits come from was taken off the shoot, or their phone was signed out. Nothing of the file was taken. Speak to the producer."},
	codeHandMany:      {http.StatusTooManyRequests, "That is too much in a short time", "Wait a minute, then hand the file in again. Nothing of it is lost."},
	codeHandLater:     {http.StatusServiceUnavailable, "The server cannot take them now", "Try again in a moment. Nothing is lost."},

	codeTooManyTries: {http.StatusTooManyRequests, "Too many links that do not work", "Several join links from this network did not work. Wait a minute, then try yours again, or ask the producer for a new one."},
	codeDiskFull:     {http.StatusInsufficientStorage, "The server has no room left", "What you entered is kept on this phone. Tell whoever looks after the server that its disk is full, then try again."},
	codeDamaged:      {http.StatusInternalServerError, "This shoot's log is damaged", "What you entered is kept on this phone. Whoever looks after the server has to restore the last backup; it tells them how with \"fairday verify\"."},
	codeCrowded:      {http.StatusTooManyRequests, "Open in too many places", "Fairday is open in too many places in this network. Close it where nobody uses it, then try again in a moment."},

	codeLinkVoid:      {http.StatusGone, "This join link does not work any more", "It was cancelled, or a newer one was made. Open the newest that you were sent, or ask the producer for one."},
	codeLinkChanged:   {http.StatusGone, "This join link is from before", "What you do on the shoot has changed since this link was made. Ask the producer for a new one."},
	codeAccessChanged: {http.StatusUnauthorized, "You have to join again", "What you do on the shoot has changed since this phone joined, so it is signed out. Ask the producer for a new join link."},
	codeNoOwner:       {http.StatusUnauthorized, "This page is for owners", "Open the owner’s link that was printed when the server started, or ask an owner for one. On the server, “fairday owner” prints a new one."},
	codeArchived:      {http.StatusConflict, "That shoot is archived", "Bring it back first, on its page in the list of shoots."},
	codeNoShoot:       {http.StatusNotFound, "There is no such shoot", "It may have been deleted. Go back to the list of shoots."},
	codeLastOwner:     {http.StatusConflict, "You cannot end that access", "You cannot end your own access, so that somebody stays who can let others in. Ask another owner to do it."},

	codeNoPhone:   {http.StatusNotFound, "That phone is signed out already", "Look at the list again."},
	codeOtherName: {http.StatusMisdirectedRequest, "Fairday does not go by this name", "Open the address that is in your join link. Whoever looks after the server can name this one with --base."},

	codePasskeyLate:  {http.StatusGone, "That took too long", "The question for your passkey has run out. Press the button again."},
	codePasskeyWrong: {http.StatusForbidden, "That passkey does not work here", "It may have been forgotten here, or be for another Fairday. Come in by your link, or ask for a new one."},
	codePasskeyName:  {http.StatusConflict, "This address has no name", "Browsers keep passkeys for names alone. Come in by your link; whoever looks after the server can give it a name with --domain or --base."},
	codePasskeyMany:  {http.StatusConflict, "You have ten passkeys", "Forget one that you do not use any more, then add the new one."},
}

// problem is an error that a person gets to see. Cause goes to the log only.
type problem struct {
	Problem
	wait  time.Duration // how long to stay away, as Retry-After; 0 for not said
	cause error
}

func (p *problem) Error() string {
	if p.cause != nil {
		return string(p.Code) + ": " + p.cause.Error()
	}
	return string(p.Code)
}

func (p *problem) Unwrap() error { return p.cause }

// fail makes a problem with the words of the table.
func fail(c Code, cause error) *problem {
	return &problem{Problem: Problem{Code: c, Say: problems[c].say}, cause: cause}
}

// problemOf finds the problem in an error, whoever made it.
func problemOf(err error) *problem {
	var p *problem
	var h *echo.HTTPError
	var big *http.MaxBytesError
	var crowded *live.CrowdedError
	switch {
	case errors.Is(err, desk.ErrFull):
		return fail(codeDiskFull, err)
	case errors.As(err, &p):
		return p
	case errors.Is(err, live.ErrStopped):
		return fail(codeShuttingDown, nil)
	case errors.Is(err, live.ErrDropped):
		return fail(codeNoShoot, nil)
	case errors.Is(err, live.ErrNoPerson):
		return fail(codeNoPerson, nil)
	case errors.Is(err, live.ErrWithdrawn):
		return fail(codeWithdrawn, nil)
	case errors.As(err, &crowded):
		p := fail(codeCrowded, nil)
		p.wait = crowded.Wait
		return p
	case errors.Is(err, desk.ErrDamaged):
		return fail(codeDamaged, err)
	case errors.Is(err, access.ErrOtherKey):
		return fail(CodeOtherKey, nil)
	case errors.Is(err, access.ErrUnknownLink):
		return fail(codeLinkUnknown, nil)
	case errors.Is(err, access.ErrUsedLink):
		return fail(codeLinkUsed, nil)
	case errors.Is(err, access.ErrExpiredLink):
		return fail(codeLinkExpired, nil)
	case errors.Is(err, access.ErrVoidLink):
		return fail(codeLinkVoid, nil)
	case errors.Is(err, live.ErrChanged):
		return fail(codeAccessChanged, nil)
	case errors.As(err, &big):
		return fail(codeTooLarge, nil)
	case errors.As(err, &h):
		switch h.Code {
		case http.StatusNotFound:
			return fail(codeNotFound, nil)
		case http.StatusMethodNotAllowed:
			return fail(codeBadMethod, nil)
		case http.StatusRequestEntityTooLarge:
			return fail(codeTooLarge, nil)
		case http.StatusBadRequest, http.StatusUnsupportedMediaType:
			return fail(CodeMalformed, err)
		}
	}
	return fail(codeFault, err)
}
