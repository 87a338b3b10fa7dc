// Package live runs the shoots: one goroutine owns each (runner.go), takes what
// phones say over sockets and requests, makes it durable and tells everybody.
// Sockets are bounded by limits.go and never hold a shoot up.
package live
