// Package pwa is the client: the pages that phones and browsers run, with the
// engine, which is the same Go rules compiled to WebAssembly.
//
// Its parts: build is the program that makes dist out of all the others, engine
// is the bridge between the rules and the page, src is the TypeScript (worker,
// storage, socket, screens), public is served as it stands. Nothing in dist is
// committed; go generate makes it.
package pwa

import (
	"embed"
	"io/fs"
)

//go:generate go run ./build

//go:embed all:dist
var dist embed.FS

// Files gives the built client with index.html at its root. Before the first
// go generate there is no index.html in it. Files ending in .br and .gz are the
// packed forms of the file of the same name without that ending.
func Files() fs.FS {
	sub, err := fs.Sub(dist, "dist")
	if err != nil {
		panic(err) // only for a malformed name
	}
	return sub
}
