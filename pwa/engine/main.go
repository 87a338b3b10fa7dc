//go:build js && wasm

package main

import (
	"strconv"
	"syscall/js"
)

// main puts the global object fairday in place: one function per call, and
// stop, which ends the program.
func main() {
	b, done := &Bridge{}, make(chan struct{})
	methods := map[string]any{
		"stop": js.FuncOf(func(js.Value, []js.Value) any {
			close(done)
			return nil
		}),
	}
	for name := range calls() {
		methods[name] = js.FuncOf(func(_ js.Value, args []js.Value) any {
			return b.Call(name, texts(args))
		})
	}
	js.Global().Set("fairday", js.ValueOf(methods))
	<-done
}

// texts reads arguments; a number counts in whole milliseconds or numbers.
func texts(args []js.Value) []string {
	out := make([]string, len(args))
	for i, a := range args {
		if a.Type() == js.TypeNumber {
			out[i] = strconv.FormatInt(int64(a.Float()), 10)
		} else {
			out[i] = a.String()
		}
	}
	return out
}
