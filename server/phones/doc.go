// Package phones holds no code of its own, only tests: real browsers, each with
// a profile of its own, work a shoot day against the real server, which runs as
// a program of its own and is killed at will.
//
// Each phone reaches the server through its own line (line_test.go), which can be
// cut and keeps a record of all that went over it. host_test.go runs the server,
// phone_test.go the browser, hand_test.go speaks to the server without one.
//
// The client has to be built first: go generate ./...
package phones
