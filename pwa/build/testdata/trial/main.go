// Command trial does what needs the table of functions at run time: stacks that
// grow and are scanned, deferred calls, panics that are recovered, calls made by
// reflection. What it prints is compared before and after the table is thinned.
// With an argument it prints a trace instead.
package main

import (
	"bytes"
	"fmt"
	"os"
	"reflect"
	"runtime"
	"runtime/debug"
	"strings"
	"time"
)

type day struct {
	names []string
	next  *day
}

// first is a method of the value: called through a nil pointer it panics with
// what the runtime reads from a function's name.
func (d day) first() string { return d.names[0] }

type firster interface{ first() string }

// Held here, the compiler cannot know which methods are called.
var (
	none firster      = (*day)(nil)
	gone fmt.Stringer = (*time.Time)(nil)
)

// deep keeps pointers on a stack that grows, while the collector runs.
func deep(n int, d *day) int {
	if n == 0 {
		runtime.GC()
		return 0
	}
	here := &day{names: []string{strings.Repeat("x", n%7+1)}, next: d}
	below := deep(n-1, here)
	return below + len(here.names[0]) + len(d.names)
}

func broken(list []int) int { return list[len(list)] }

func recovered(name string, do func()) {
	defer func() {
		p := recover()
		fmt.Println(name, p, bytes.Contains(debug.Stack(), []byte("main.broken(")))
	}()
	do()
}

// trace prints where a call that breaks was made, as a panic on a phone does.
func trace() {
	defer func() {
		if p := recover(); p != nil {
			fmt.Printf("trace of\n%s", debug.Stack())
		}
	}()
	deeper(3)
}

func deeper(n int) {
	if n == 0 {
		broken(nil)
		return
	}
	deeper(n - 1)
}

func main() {
	if len(os.Args) > 1 {
		trace()
		return
	}
	done := make(chan int)
	for i := range 4 {
		go func() { done <- deep(5000+i, &day{names: []string{"a", "b"}}) }()
	}
	total := 0
	for range 4 {
		total += <-done
	}
	fmt.Println("deep", total)
	recovered("index", func() { broken(nil) })
	recovered("nil value", func() { fmt.Println(none.first()) })
	recovered("nil value of a library", func() { fmt.Println(gone.String()) })
	swap := reflect.MakeFunc(reflect.TypeFor[func(string, *day) (*day, string)](), func(in []reflect.Value) []reflect.Value {
		runtime.GC()
		return []reflect.Value{in[1], in[0]}
	}).Interface().(func(string, *day) (*day, string))
	d, s := swap("swapped", &day{names: []string{"kept"}})
	fmt.Println(s, d.first(), reflect.ValueOf(*d).NumField())
	method := reflect.ValueOf(bytes.NewBufferString("by method")).MethodByName("String").Interface().(func() string)
	runtime.GC()
	fmt.Println(method(), runtime.NumGoroutine())
}
