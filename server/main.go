package main

import (
	"context"
	"crypto/rand"
	"fmt"
	"io"
	"os"
	"os/signal"
	"runtime/debug"
	"syscall"
	"time"

	plans "fairday/testdata/demo"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	os.Exit(run(ctx, os.Args[1:], world{
		Stdout: os.Stdout, Stderr: os.Stderr, Getenv: os.Getenv,
		Now: time.Now, Rand: rand.Reader,
	}))
}

// world is what a command takes from outside.
type world struct {
	Stdout, Stderr io.Writer
	Getenv         func(string) string
	Now            func() time.Time
	Rand           io.Reader
}

// Exit codes of the commands.
const (
	exitOK    = 0
	exitFault = 1 // it could not be done
	exitUsage = 2 // it was asked for in a way that is not understood
)

// run executes one command and gives its exit code. It returns when the command
// has ended or ctx is done.
func run(ctx context.Context, args []string, w world) int {
	o, err := parse(args)
	if err != nil {
		fmt.Fprintf(w.Stderr, "%v\n", err)
		return exitUsage
	}
	switch o.command {
	case "help":
		fmt.Fprint(w.Stdout, usage)
		return exitOK
	case "version":
		fmt.Fprintln(w.Stdout, version())
		return exitOK
	case "example":
		_, err = w.Stdout.Write(plans.File)
	case "demo":
		err = demo(ctx, o, w)
	case "shoots", "archive", "delete":
		err = shelf(ctx, o, w)
	case "owner":
		err = owner(ctx, o, w)
	case "backup":
		err = backup(ctx, o, w)
	case "restore":
		err = restore(o, w)
	case "verify":
		err = verifyFolder(ctx, o, w)
	default:
		err = serve(ctx, o, w)
	}
	if err != nil {
		fmt.Fprintf(w.Stderr, "%v\n", err)
		return exitFault
	}
	return exitOK
}

// version names the build: the module's version, or the commit it was built
// from.
func version() string {
	name := "development"
	if info, ok := debug.ReadBuildInfo(); ok {
		if v := info.Main.Version; v != "" && v != "(devel)" {
			name = v
		}
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" && len(s.Value) >= 12 {
				name += " " + s.Value[:12]
			}
		}
	}
	return fmt.Sprintf("fairday %s", name)
}
