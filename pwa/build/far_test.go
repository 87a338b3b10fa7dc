package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"testing"
)

// The engine has the rules of near kinds of edit in it, and of far kinds none.
func TestEngineLeavesFarRulesOut(t *testing.T) {
	t.Chdir("..")
	out := filepath.Join(t.TempDir(), "engine.wasm")
	if err := link("./engine", out); err != nil {
		t.Fatal(err)
	}
	module, err := os.ReadFile(out)
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../domain/shoot/*.go")
	if err != nil {
		t.Fatal(err)
	}
	near, far := 0, 0
	for _, file := range files {
		src, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`(?m)^\t\t\{name: "[^"]+", .*args: (\w+)\{\}`).FindAllSubmatch(src, -1) {
			near++
			if !bytes.Contains(module, []byte("fairday/domain/shoot."+string(m[1])+".decide")) {
				t.Errorf("the rule of %s is not in the engine, and it is near", m[1])
			}
		}
		for _, m := range regexp.MustCompile(`(?m)^\t\{"[a-z.]+", (\w+)\{\}\},$`).FindAllSubmatch(src, -1) {
			far++
			if bytes.Contains(module, []byte("fairday/domain/shoot."+string(m[1])+".decide")) {
				t.Errorf("the rule of %s is in the engine, and it is far: what is linked with it calls shoot.Decide", m[1])
			}
		}
	}
	if near < 40 || far < 10 {
		t.Errorf("%d near and %d far rules were found in the source", near, far)
	}
}
