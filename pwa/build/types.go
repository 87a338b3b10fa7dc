package main

import (
	"fmt"
	"maps"
	"os"
	"path/filepath"

	"github.com/gzuidhof/tygo/tygo"
)

// typed are the packages whose types the pages share with Go, and the file each
// becomes.
var typed = []struct {
	path, file string
	sources    []string // of the package; none means all
	imports    string
}{
	{path: "fairday/domain/shoot", file: "shoot.ts", sources: []string{"refusal.go"}},
	{path: "fairday/sync/wire", file: "wire.ts", sources: []string{"message.go"},
		imports: "import type { Flag, Refusal } from './shoot';\n\nexport type Code = string;\n"},
	{path: "fairday/domain/view", file: "view.ts", sources: []string{"model.go", "screens.go", "fill.go"}},
	{path: "fairday/domain/view/day", file: "day.ts", sources: []string{"model_ahead.go", "model_callsheet.go", "model_catering.go", "model_day.go", "model_heroes.go",
		"model_hours.go", "model_overtime.go", "model_settle.go", "model_shell.go", "model_shots.go"},
		imports: "import type { Action, ChangeLine, DayHead, DayTab, Line, Made, Mark, Screen, Tone } from './view';\n"},
	{path: "fairday/domain/view/office", file: "office.ts", sources: []string{"model_plan.go", "model_terms.go"},
		imports: "import type { Ahead } from './day';\nimport type { Action, DayHead, Line, Option } from './view';\n"},
	{path: "fairday/server/web", file: "web.ts", sources: []string{"answers.go"}, imports: "export type Code = string;\n"},
	{path: "fairday/pwa/engine", file: "engine.ts", sources: []string{"reply.go", "view.go"},
		imports: "import type { Problem } from './view';\nimport type { Refusal } from './shoot';\n"},
}

// named are the types of other packages as they look in JSON.
var named = map[string]string{
	"when.Instant":    "number /* ms since 1970, UTC */",
	"json.RawMessage": "unknown",
	"shoot.Refusal":   "Refusal",
	"day.Ahead":       "Ahead",
	"shoot.Flag":      "Flag",
	"wire.Edit":       "Edit",
	"wire.Verdict":    "Verdict",
	"replica.Row":     "unknown",
	"view.Problem":    "Problem",
	"view.Action":     "Action",
	"view.ChangeLine": "ChangeLine",
	"view.DayHead":    "DayHead",
	"view.DayTab":     "DayTab",
	"view.Line":       "Line",
	"view.Made":       "Made",
	"view.Mark":       "Mark",
	"view.Option":     "Option",
	"view.Screen":     "Screen",
	"view.Tone":       "Tone",
}

// texts are the named kinds of string.
var texts = []string{"when.Date", "when.Zone", "shoot.Role", "shoot.DayID", "shoot.PersonID", "shoot.SetupID", "shoot.ShotID",
	"shoot.HeroID", "shoot.MealID", "shoot.HireID", "shoot.ApprovalID", "shoot.QueryID", "shoot.IntentID", "shoot.DeviceID",
	"shoot.Code", "wire.Code", "wire.Result"}

const head = "// Generated from the Go types by `go generate ./...`; do not edit.\n"

// writeTypes writes the TypeScript form of the shared types into dir.
func writeTypes(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	mappings := maps.Clone(named)
	for _, t := range texts {
		mappings[t] = "string"
	}
	conf := &tygo.Config{TypeMappings: mappings}
	for _, t := range typed {
		conf.Packages = append(conf.Packages, &tygo.PackageConfig{
			Path: t.path, OutputPath: filepath.Join(dir, t.file), Indent: "  ", Frontmatter: head + t.imports,
			IncludeFiles: t.sources,
			FallbackType: "unknown", TypeMappings: map[string]string{},
		})
	}
	if err := tygo.New(conf).Generate(); err != nil {
		return fmt.Errorf("generate types: %w", err)
	}
	return nil
}
