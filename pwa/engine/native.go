//go:build !(js && wasm)

package main

import (
	"fmt"
	"os"
)

// main is here so that the bridge can be vetted and tested on any machine.
func main() {
	fmt.Fprintln(os.Stderr, "The engine runs in a browser. Build it with `go generate ./...`.")
	os.Exit(2)
}
