package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/gzuidhof/tygo/tygo"
)

// typed are the packages whose types the pages share with Go, and the file each
// becomes.
var typed = []struct{ path, file string }{}

// named are the types of other packages as they look in JSON.
var named = map[string]string{
	"when.Instant":    "number /* ms since 1970, UTC */",
	"json.RawMessage": "unknown",
}

const head = "// Generated from the Go types by `go generate ./...`; do not edit.\n"

// writeTypes writes the TypeScript form of the shared types into dir.
func writeTypes(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	conf := &tygo.Config{TypeMappings: named}
	for _, t := range typed {
		conf.Packages = append(conf.Packages, &tygo.PackageConfig{
			Path: t.path, OutputPath: filepath.Join(dir, t.file), Indent: "  ", Frontmatter: head,
			FallbackType: "unknown", TypeMappings: map[string]string{},
		})
	}
	if len(typed) == 0 {
		return nil
	}
	if err := tygo.New(conf).Generate(); err != nil {
		return fmt.Errorf("generate types: %w", err)
	}
	return nil
}
