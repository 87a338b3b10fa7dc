// Package web answers requests: who may come in, what they are told, and the few
// pages that the server draws itself.
//
// A request passes through app.go (limits, headers, recovery) and access.go (who
// is it); sync.go hands what phones say to package live. problem.go holds every
// error a person can meet.
package web
